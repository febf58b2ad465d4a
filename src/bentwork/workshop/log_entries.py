"""What a maker measures at the bench: a bend as it came out, and sizes taken with tape, rule and feeler."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.bending.checking import LONGEST, Checks

__all__ = ["Hand", "Logged", "LoggedBend", "LoggedSize", "MeasuredTo", "OffsetWay", "SizeKind"]

Hand = Literal["left", "right"]
SizeKind = Literal["leg", "across", "gap", "offset", "rock", "height"]
"""``leg``: from one corner to the next, or from an end to the corner beside it. ``across``: between two others, such as
a diagonal. ``gap``: between the ends of a closed piece, along the bar. ``offset``: how far they miss sideways.
``rock``: how far a corner stands off a flat table. ``height``: how high a place lies over the table on which a bend
lies flat with both its legs; above 0 on the side from which that bend is seen to turn left, from A to B."""

MeasuredTo = Literal["outside", "middle", "inside"]
OffsetWay = Literal["side", "up"]
"""Of an offset, seen from end A: to the side to which bend 1 turns, or along the axis of bend 1."""

_MOST = 10_000  # bends, or equal pieces
_KINDS: tuple[SizeKind, ...] = ("leg", "across", "gap", "offset", "rock", "height")
_PLACED = ("leg", "across")


@dataclass(frozen=True, slots=True)
class LoggedBend:
    """One bend of a piece as it was measured; that it is there says that the bend is made.

    Args:
        entry_id: any text that its sender made up for this one entry; sent again, it is kept once.
        job: name of the job.
        job_version: short code of the job file as it was bent to; may be empty.
        piece: name of the piece.
        bend: its number, from 1 at end A.
        angle_deg: the angle found.
        made_on: the day, such as ``2025-03-12``.
        hand: which hand of a mirrored piece; None where only one is made.
        number: which of the equal pieces of this hand, from 1.
        held: the end that was held; None when it was not said.
        pulled_deg: the angle that it was pulled to; None when it was not said.
        rotation_deg: the rotation found against the bend before, -180 to 180; None when it was not measured.
        position_mm: where along the straight bar from end A the bend was found to begin, trim included, as marks are.
        angle_sd_deg: how far the reading of angle and rotation may be out, one standard deviation; None for a finder.
        position_sd_mm: the same for the position; None for a tape.
        mark_mm: the mark that was lined up on the tool, from end A, trim included; None when it was not said.
        turn_deg: by how much the bar was turned from the step before, -180 to 180; None when it was not said.
        sure: it was questioned, and the maker says that it is right.
        bender: name of the bender; empty when it was not said.
        stock_key: what kind of bar it is, as test bends have it (``str(StockKey)``); empty when it was not said.
        note: anything else.
        struck: it is struck out and counts no more.
        struck_because: what was wrong with it.
        id: number in the log; None until it is kept there.

    Raises:
        InputError: it cannot have been so; it carries every fault found.
    """

    entry_id: str
    job: str
    job_version: str
    piece: str
    bend: int
    angle_deg: float
    made_on: str
    hand: Hand | None = None
    number: int = 1
    held: Literal["A", "B"] | None = None
    pulled_deg: float | None = None
    rotation_deg: float | None = None
    position_mm: float | None = None
    angle_sd_deg: float | None = None
    position_sd_mm: float | None = None
    mark_mm: float | None = None
    turn_deg: float | None = None
    sure: bool = False
    bender: str = ""
    stock_key: str = ""
    note: str = ""
    struck: bool = False
    struck_because: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        checks = Checks("log")
        _same_for_all(self, checks)
        if not 0 < self.bend <= _MOST:
            checks.fault("bend", f"{self.bend}", "its number, from 1 at end A")
        checks.angle("angle", self.angle_deg)
        if self.pulled_deg is not None:
            checks.angle("pulled to", self.pulled_deg)
        checks.choice("held", self.held or "A", ("A", "B"))
        if self.rotation_deg is not None and not -180.0 <= self.rotation_deg <= 180.0:
            checks.fault("rotation", f"{self.rotation_deg:g}°", "a rotation from -180° to 180°")
        checks.length("position", self.position_mm)
        checks.length("mark", self.mark_mm)
        if self.turn_deg is not None and not -180.0 <= self.turn_deg <= 180.0:
            checks.fault("turn", f"{self.turn_deg:g}°", "a turn from -180° to 180°")
        if self.angle_sd_deg is not None:
            checks.between("finder", self.angle_sd_deg, 0.0, 30.0, "°", "how far a reading may be out, below 30°")
        if self.position_sd_mm is not None:
            checks.between("tape", self.position_sd_mm, 0.0, 50.0, " mm", "how far a reading may be out, below 50 mm")
        checks.tell()


@dataclass(frozen=True, slots=True)
class LoggedSize:
    """One size of a piece that is bent, or half bent, as it was measured.

    Args:
        entry_id: as of a bend.
        job: name of the job.
        job_version: short code of the job file; may be empty.
        piece: name of the piece.
        kind: what was measured.
        length_mm: the reading; a gap is below 0 where the ends overlap, an offset and a height to either side.
        made_on: the day.
        from_place: where from: 0 is end A, a number is the corner of that bend, one more than the last bend is end B;
            of a height the bend that lies flat.
        to_place: where to, likewise; None where there is no other place (a gap, an offset, a rock).
        measured_to: the outside, middle or inside of the bar.
        sd_mm: how far the reading may be out, one standard deviation; None for a tape.
        way: of an offset; None for anything else.
        sure: as of a bend.
        hand: as of a bend.
        number: as of a bend.
        note: anything else.
        struck: it is struck out and counts no more.
        struck_because: what was wrong with it.
        id: number in the log; None until it is kept there.

    Raises:
        InputError: it cannot have been so; it carries every fault found.
    """

    entry_id: str
    job: str
    job_version: str
    piece: str
    kind: SizeKind
    length_mm: float
    made_on: str
    from_place: int | None = None
    to_place: int | None = None
    measured_to: MeasuredTo = "outside"
    sd_mm: float | None = None
    way: OffsetWay | None = None
    sure: bool = False
    hand: Hand | None = None
    number: int = 1
    note: str = ""
    struck: bool = False
    struck_because: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        checks = Checks("log")
        _same_for_all(self, checks)
        checks.choice("kind", self.kind, _KINDS)
        checks.choice("measured to", self.measured_to, ("outside", "middle", "inside"))
        if self.way is not None:
            checks.choice("way", self.way, ("side", "up"))
            if self.kind != "offset":
                checks.fault("way", self.way, f"none for a {self.kind}")
        if self.kind in _PLACED:
            checks.length("length", self.length_mm)
            if self.from_place is None or self.to_place is None or not 0 <= self.from_place < self.to_place <= _MOST:
                found = f"from {self.from_place} to {self.to_place}"
                checks.fault("places", found, "two places in order along the bar, end A being 0")
            elif self.kind == "leg" and self.to_place != self.from_place + 1:
                checks.fault("places", f"from {self.from_place} to {self.to_place}", "two neighbours along the bar")
        else:
            least = 0.0 if self.kind == "rock" else -LONGEST
            if not least <= self.length_mm < LONGEST:
                checks.fault("length", f"{self.length_mm:g} mm", f"a length of {least:g} mm or more and below 100 m")
            if self.kind == "height":
                self._lies_flat(checks)
            elif self.to_place is not None or (self.from_place is not None and self.kind != "rock"):
                checks.fault("places", f"from {self.from_place} to {self.to_place}", f"none for a {self.kind}")
            elif self.from_place is not None and not 0 <= self.from_place <= _MOST:
                checks.fault("places", f"{self.from_place}", "a corner by the number of its bend, end A being 0")
        if self.sd_mm is not None:
            checks.between("tape", self.sd_mm, 0.0, 50.0, " mm", "how far a reading may be out, below 50 mm")
        checks.tell()

    def _lies_flat(self, checks: Checks) -> None:
        flat, place = self.from_place, self.to_place
        if flat is None or place is None or flat == place or not (0 < flat <= _MOST and 0 <= place <= _MOST):
            checks.fault("places", f"from {flat} to {place}", "a bend that lies flat, from 1, and another place")


Logged = LoggedBend | LoggedSize
"""Anything that is in the log."""


def _same_for_all(entry: Logged, checks: Checks) -> None:
    texts = ("job_version", "note", *(("bender", "stock_key") if isinstance(entry, LoggedBend) else ()))
    for field in ("entry_id", "job", "piece"):
        object.__setattr__(entry, field, checks.name(field.replace("_", " "), getattr(entry, field)))
    for field in texts:
        object.__setattr__(entry, field, checks.text(field.replace("_", " "), getattr(entry, field)))
    checks.date("made on", entry.made_on)
    checks.choice("hand", entry.hand or "left", ("left", "right"))
    if not 0 < entry.number <= _MOST:
        checks.fault("number", f"{entry.number}", "which of the equal pieces, from 1")
