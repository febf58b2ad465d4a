"""What is known of a bar on a bender: from the maker's own test bends, or from the handbook where there are none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bentwork.bending.advice import Advice, advised
from bentwork.bending.bend_law import BendLaw, Quantity
from bentwork.bending.doubts import Doubt
from bentwork.bending.interval import interval
from bentwork.bending.posterior import Posterior
from bentwork.bending.readings import Readings
from bentwork.bending.set_up import SetUp
from bentwork.bending.test_bend import USUAL_GAUGE_SD_DEG, TestBend
from bentwork.forming.moment import Floats

__all__ = ["Fit", "Law", "Measured", "Pull", "Shift"]

_LEARNT = 0.9  # of the handbook's scatter: what is left must be less for the test bends to have said something


@dataclass(frozen=True, slots=True)
class Measured:
    """A quantity, and how far it may be out.

    Args:
        mean: likeliest.
        sd: one standard deviation.
        learnt: whether the test bends said anything about it; otherwise it is the handbook alone.
    """

    mean: float
    sd: float
    learnt: bool


@dataclass(frozen=True, slots=True)
class Law:
    """Springback of a bend that lies on the die: fixed + proportional * angle left.

    Args:
        fixed: degrees.
        proportional: degrees for each degree.
    """

    fixed: Measured
    proportional: Measured


@dataclass(frozen=True, slots=True)
class Pull:
    """How far to pull for one bend, degrees.

    Args:
        wanted: angle that is to be left.
        bend_to: likeliest angle to pull to.
        low: the pull that leaves it may be as little as this, with ``forming.scatter.CERTAINTY``.
        high: or as much as this. One bend differs from the next on top of it, see ``Fit.repeat``.
        sd: one standard deviation.
    """

    wanted: float
    bend_to: float
    low: float
    high: float
    sd: float

    @property
    def springback(self) -> float:
        """How much further than wanted it is pulled; below 0 where soft legs keep more than is shown."""
        return self.bend_to - self.wanted


@dataclass(frozen=True, slots=True)
class Shift:
    """How the marks of one bend move from where a drawing with the die's radius puts them, mm along the bar.

    Positive away from the held end, as in ``forming.arc_used.ArcUsed``.

    Args:
        start: of the mark at the start of the bend.
        centre: of the mark in its middle.
        onward: of all that comes after the bend.
    """

    start: Measured
    centre: Measured
    onward: Measured


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What is known of a bar on a bender. Angles in degrees, lengths in mm.

    Args:
        set_up: bar and bender.
        used: test bends whose angles count.
        left_out: test bends left out altogether, because they are clearly wrong while others agree.
        doubts: what is odd about the test bends.
        batch: the batch it holds for; None where there are neither test bends nor a batch.
        taped: whether readings of the tape count.
        repeat: by how much springback differs from one bend to the next, one standard deviation, degrees; the usual
            figure until three test bends tell.
        bends: how bends of this batch follow from the unknowns.
        before: distribution of the unknowns by the handbook.
        said: what the test bends say, as far as they count.
        after: distribution of the unknowns after them.
    """

    set_up: SetUp
    used: tuple[TestBend, ...]
    left_out: tuple[TestBend, ...]
    doubts: tuple[Doubt, ...]
    batch: str | None
    taped: bool
    repeat: float
    bends: BendLaw
    before: Posterior
    said: tuple[Readings, ...]
    after: Posterior

    @property
    def count(self) -> int:
        """How many test bends count; 0: it is the handbook."""
        return len(self.used)

    @property
    def from_handbook(self) -> bool:
        """Whether no test bend counts."""
        return not self.used

    @property
    def last_made_on(self) -> str | None:
        """Day of the newest test bend that counts."""
        return max((bend.made_on for bend in self.used), default=None)

    @property
    def batches(self) -> tuple[str, ...]:
        """Batches of the test bends that count, in the order of the alphabet."""
        return tuple(sorted({bend.batch for bend in self.used}))

    def pull(self, wanted_deg: float) -> Pull:
        """Return the likeliest pull for a bend, and the interval of ``forming.scatter.CERTAINTY``.

        Raises:
            ValueError: the angle does not lie between 0 and 360.
        """
        if not 0.0 < wanted_deg < 360.0:
            raise ValueError(f"a bend angle lies between 0 and 360 degrees, not {wanted_deg:g}")
        low, likely, high, sd = interval(self.bends, self.before, self.said, self.after, wanted_deg)
        # A bender cannot pull the other way, whatever its readings say of small bends.
        bend_to, low, high = (max(0.0, wanted_deg + springback) for springback in (likely, low, high))
        return Pull(wanted_deg, bend_to, low, high, sd)

    def bend_to(self, wanted_deg: float) -> float:
        """Return the likeliest pull for a bend alone, degrees: that of ``pull``, for a small part of its work."""
        if not self.said:
            return max(0.0, wanted_deg + self.bends.by_handbook(wanted_deg))
        return max(0.0, wanted_deg + self.bends.springback(wanted_deg, self.after.mean)[0])

    def left(self, pulled_deg: float) -> float:
        """Return the likeliest angle that is left of a pull, degrees, 0 or more: the inverse of ``pull``."""
        return self.bends.left(pulled_deg, self.after.mean)

    @property
    def law(self) -> Law:
        """Springback over the angle, of bends that lie on the die."""
        return Law(self._measured(self.bends.fixed), self._measured(self.bends.proportional))

    @property
    def radius(self) -> Measured:
        """Centreline radius of the bend that is left."""
        return self._measured(self.bends.radius)

    @property
    def start(self) -> Measured:
        """How far behind the mark that is lined up on the tool the bend really starts; below 0 before it.

        It is the start of the arc that comes nearest to a bend of 90 degrees, compared with a drawing of the die's
        radius, which supposes 0. Of benders that line up the middle of a bend, it is that of the real middle.
        """
        return self._measured(self.bends.start)

    @property
    def drawn_in(self) -> Measured:
        """By how much both legs of a right angle together are longer than the bar.

        Legs are measured to where their middle lines meet.
        """
        return self._measured(self.bends.drawn_in)

    @property
    def stretch(self) -> Measured:
        """How much longer the bar gets in a bend of 90 degrees."""
        return self._measured(self.bends.stretch)

    def shift(self, wanted_deg: float) -> Shift | None:
        """Return how the marks of a bend drawn with the die's radius must move; None before the first tape reading.

        Signs are those of ``forming.arc_used.ArcUsed``: positive away from the held end. All of it is as seen from the
        held side, and the same for a bar that is held by its other end: swap the ends, then shift. The start of a
        return of 180 degrees or more, whose legs meet nowhere, moves only by what the tool's mark is out.

        Raises:
            ValueError: the angle does not lie between 0 and 360.
        """
        if not 0.0 < wanted_deg < 360.0:
            raise ValueError(f"a bend angle lies between 0 and 360 degrees, not {wanted_deg:g}")
        if not self.taped:
            return None
        before = self.bends.shifts(wanted_deg, self.before.mean)
        after = self.bends.shifts(wanted_deg, self.after.mean)
        return Shift(*(self._compared(old, new) for old, new in zip(before, after, strict=True)))

    def advice(self, angles: Sequence[float], accuracy_deg: float | None = None) -> Advice:
        """Return how many more test bends are worth making, at which angle, and what they would bring.

        Args:
            angles: wanted by the job, degrees.
            accuracy_deg: scatter of one bend by this maker, one standard deviation; None: the bender's.
        """
        accuracy = self.set_up.bender.scatter.angle if accuracy_deg is None else accuracy_deg
        newest = max(self.used, key=lambda bend: bend.made_on, default=None)
        gauge = newest.gauge_sd_deg if newest else USUAL_GAUGE_SD_DEG
        return advised(self.bends, self.after, angles, accuracy, gauge, self.repeat)

    def _measured(self, quantity: Callable[[Floats], Quantity]) -> Measured:
        return self._compared(quantity(self.before.mean), quantity(self.after.mean))

    def _compared(self, before: Quantity, after: Quantity) -> Measured:
        old, sd = self.before.sd_along(before[1]), self.after.sd_along(after[1])
        return Measured(after[0], sd, sd < _LEARNT * old)
