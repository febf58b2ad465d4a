"""One test bend: what was pulled, what was left, and what the tape said. An impossible one is refused.

What is merely odd is kept: whether the gauge was misread is for the fit to judge, which sees the others as well.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar, Literal, get_args

from bentwork.bending.checking import LONGEST, Checks
from bentwork.bending.stock_key import StockKey
from bentwork.stock.shape import Way

__all__ = ["USUAL_GAUGE_SD_DEG", "USUAL_TAPE_SD_MM", "LegsTo", "TestBend"]

LegsTo = Literal["outside", "middle"]

USUAL_TAPE_SD_MM = 0.5
"""One standard deviation of a length read off a tape; common practice, no source."""

USUAL_GAUGE_SD_DEG = 0.5
"""One standard deviation of an angle read off a finder or a protractor; common practice, no source."""

_WORST_TAPE_SD_MM = 50.0
_WORST_GAUGE_SD_DEG = 30.0
_READINGS = 6.0  # three readings make the comparison of legs and bar, and each may be out by two standard deviations


@dataclass(frozen=True, slots=True)
class TestBend:
    """A bend in scrap, and what was read off it. Lengths in mm, angles in degrees.

    Args:
        stock_key: the kind of bar.
        bender: name of the bender, as the job calls it.
        radius_mm: centreline radius of the die that was on it.
        made_on: the day, such as ``2025-03-12``.
        pulled_deg: what it was pulled to, read while the lever was held.
        left_deg: what was left of it when it was let go.
        batch: what tells this delivery of bar from others; empty when nobody noted it.
        way: which way a flat or rectangular section was bent.
        bar_mm: length of the scrap before bending.
        mark_mm: where the mark that was lined up on the tool lies, from the end that was held.
        held_leg_mm: leg on the held side after bending, along the bar from its end to where the legs would meet.
        free_leg_mm: leg on the free side, likewise.
        legs_to: where the legs would meet: their ``outside``, as a square and a tape find it, or their ``middle``.
        start_shift_mm: how far behind the mark the bend was seen to begin, towards the free end; below 0 before it.
        tape_sd_mm: one standard deviation of a length read.
        gauge_sd_deg: one standard deviation of an angle read.
        note: anything else.
        id: number in the workshop; None until it is kept there.
        struck: whether a later record strikes it out.
        struck_because: the reason that record gives.
        sure: the maker was asked about its angles, and read them again: they are no slip.

    Raises:
        InputError: it cannot have been so; it carries every fault found.
    """

    __test__: ClassVar[bool] = False  # pytest takes a class for tests by its name

    stock_key: StockKey
    bender: str
    radius_mm: float
    made_on: str
    pulled_deg: float
    left_deg: float
    batch: str = ""
    way: Way = "easy"
    bar_mm: float | None = None
    mark_mm: float | None = None
    held_leg_mm: float | None = None
    free_leg_mm: float | None = None
    legs_to: LegsTo = "outside"
    start_shift_mm: float | None = None
    tape_sd_mm: float = USUAL_TAPE_SD_MM
    gauge_sd_deg: float = USUAL_GAUGE_SD_DEG
    note: str = ""
    id: int | None = None
    struck: bool = False
    struck_because: str = ""
    sure: bool = False

    def __post_init__(self) -> None:
        checks = Checks("test bend")
        object.__setattr__(self, "bender", checks.name("bender", self.bender))
        object.__setattr__(self, "batch", checks.text("batch", self.batch))
        object.__setattr__(self, "note", checks.text("note", self.note))
        checks.length("radius", _of(self.radius_mm))
        checks.date("made on", self.made_on)
        checks.choice("way", self.way, get_args(Way))
        checks.choice("legs to", self.legs_to, get_args(LegsTo))
        self._check_angles(checks)
        wanted = "what a reading is out by, above 0 and below 50 mm"
        tape = checks.between("tape", self.tape_sd_mm, 0.0, _WORST_TAPE_SD_MM, " mm", wanted)
        bar = checks.length("bar", self.bar_mm)
        self._check_mark(checks, bar)
        self._check_legs(checks, bar and tape)
        checks.tell()

    def _check_angles(self, checks: Checks) -> None:
        pulled, left = checks.angle("pulled to", self.pulled_deg), checks.angle("left", self.left_deg)
        wanted = "what a reading is out by, above 0° and below 30°"
        checks.between("gauge", self.gauge_sd_deg, 0.0, _WORST_GAUGE_SD_DEG, "°", wanted)
        if pulled and left and self.left_deg > self.pulled_deg:
            checks.fault(
                "left",
                f"{self.left_deg:g}°",
                f"no more than the {self.pulled_deg:g}° it was pulled to",
                "A bar opens when it is let go. Read both again, or change them over.",
            )

    def _check_mark(self, checks: Checks, bar: bool) -> None:
        mark = checks.length("mark", self.mark_mm)
        if bar and mark and _of(self.mark_mm) >= _of(self.bar_mm):
            checks.fault("mark", f"{self.mark_mm:g} mm from the held end", f"a place on the bar of {self.bar_mm:g} mm")
        if self.start_shift_mm is None:
            return
        wanted = "how far behind the mark it begins, below 0 where before it, and no more than a bar is long"
        shift = checks.between("start", self.start_shift_mm, -LONGEST, LONGEST, " mm", wanted)
        start = _of(self.mark_mm) + self.start_shift_mm
        if shift and bar and mark and not 0.0 < start < _of(self.bar_mm):
            checks.fault("start", f"{start:g} mm from the held end", f"a place on the bar of {self.bar_mm:g} mm")

    def _check_legs(self, checks: Checks, bar: bool) -> None:
        held, free = checks.length("held leg", self.held_leg_mm), checks.length("free leg", self.free_leg_mm)
        if not (held or free) or not 0.0 < self.left_deg < 360.0:
            return
        if self.left_deg >= 180.0:
            checks.fault(
                "legs",
                f"legs of a bend of {self.left_deg:g}°",
                "no legs, or a bend below 180°",
                "From 180° on the legs do not meet; a bend of about 90° says most.",
            )
        elif bar:
            self._compare_legs(checks, held and free)

    def _compare_legs(self, checks: Checks, both: bool) -> None:
        limits = _Limits.of(self)
        bar = f"a bar of {self.bar_mm:g} mm bent by {self.left_deg:g}°"
        for which, leg in (("held leg", self.held_leg_mm), ("free leg", self.free_leg_mm)):
            if leg is not None and LONGEST > leg > limits.one_most:
                checks.fault(which, f"{leg:g} mm", f"no more than {limits.one_most:.1f} mm, the most that {bar} gives")
        if not both:
            return
        sum_mm = _of(self.held_leg_mm) + _of(self.free_leg_mm)
        found = f"{self.held_leg_mm:g} and {self.free_leg_mm:g} mm, {sum_mm:g} mm together"
        if sum_mm < limits.both_least:
            checks.fault(
                "legs",
                found,
                f"at least {limits.both_least:.1f} mm from {bar}",
                "Along the legs to where they would meet it is further than round the bend.",
            )
        elif sum_mm > limits.both_most:
            checks.fault("legs", found, f"no more than {limits.both_most:.1f} mm from {bar}")


@dataclass(frozen=True, slots=True)
class _Limits:
    """What legs a bar can have at all, mm: from a bend without radius to a bar that is all bend.

    Of the straights s and t, the radius r of the line that keeps its length, the angle a in radians, and the distance h
    from the middle to the face that is measured, s + t + r a is the bar and s + t + 2 (r + h) tan(a/2) are the legs. In
    a tight bend the line that keeps its length lies inside the middle, by no more than half the depth of the bar.
    """

    both_least: float
    both_most: float
    one_most: float

    @classmethod
    def of(cls, bend: TestBend) -> _Limits:
        bar = _of(bend.bar_mm)
        # The gauge may be out as well, which matters near a return, where legs grow without bound.
        play = 3.0 * bend.gauge_sd_deg
        angle = math.radians(min(bend.left_deg + play, (bend.left_deg + 180.0) / 2.0))
        least = math.radians(max(bend.left_deg - play, bend.left_deg / 2.0))
        tangent = math.tan(angle / 2.0)
        half = bend.stock_key.section.depth(bend.way) / 2.0
        face = half if bend.legs_to == "outside" else 0.0
        inside = face + half
        slack = _READINGS * bend.tape_sd_mm
        return cls(
            both_least=bar + 2.0 * face * math.tan(least / 2.0) - slack,
            both_most=2.0 * (bar / angle + inside) * tangent + slack,
            one_most=max(bar, bar * tangent / angle) + inside * tangent + slack,
        )


def _of(value: float | None) -> float:
    """Return a length that a check has found to be there."""
    return 0.0 if value is None else value
