"""A bracket of flat bar in the flat: holes and slots, how near they are to bends and edges, which are drilled later.

x runs along the flat blank from its end A, y across it from its middle, seen on the face inside the first bend.

A hole near a bend is drawn out of round by it. Two rules are asked, and the one that wants more counts:

- for the metal: from the edge of the hole to the inside of the leg that is bent up 1.5 T + R; an edge that runs along
  the bend 2 T + R up to 1 in long, 2.5 T + R up to 2 in, 3.5 T + R beyond (a stamping shop's public design guide, seen;
  it gives 3 to 3.5 for the last). R and the bend's own metal lie between that leg and the tangent line, so that what is
  left of it is counted from the tangent line: 1.5 T and so on.
- for a V-block: from the middle of the bend to the edge of the hole half the opening, less 1 mm for a round hole, more
  1 mm for a slot (a bending shop's public guide, seen): nearer than that it hangs over the open V while it is bent.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.units import INCH

__all__ = ["Blank", "FlatHole", "Fold", "Rule", "Seat", "seat_of", "seats"]

Rule = Literal["metal", "block"]
"""Which rule wants the distance to a bend: that of the metal, or that of the V-block's opening."""

_ROUND = 1.5
_EDGES = ((1.0 * INCH, 2.0), (2.0 * INCH, 2.5), (math.inf, 3.5))
_BLOCK_ROUND, _BLOCK_SLOT = -1.0, 1.0


@dataclass(frozen=True, slots=True)
class Fold:
    """A bend in the flat.

    Args:
        number: of the bend, from 1 at end A.
        start: where it begins, mm from end A.
        end: where it ends.
        angle: degrees.
        up: it turns towards who looks at the face that is inside the first bend.
    """

    number: int
    start: float
    end: float
    angle: float
    up: bool = True

    @property
    def middle(self) -> float:
        """The bend line, mm from end A."""
        return (self.start + self.end) / 2.0


@dataclass(frozen=True, slots=True)
class Blank:
    """The flat bar a bracket is bent from.

    Args:
        length: cut length, trim included, mm.
        width: mm.
        thickness: mm.
        trim: spare length on each end, cut off when it is bent, mm.
        folds: its bends, from end A on.
        opening: of the V-block it is bent in, mm; None where it is bent on something else.
    """

    length: float
    width: float
    thickness: float
    trim: float = 0.0
    folds: tuple[Fold, ...] = ()
    opening: float | None = None


@dataclass(frozen=True, slots=True)
class FlatHole:
    """A hole or a slot in the flat.

    Args:
        number: from 1, in the order of the job.
        x: of its middle, mm from end A of the blank.
        y: of its middle, mm from the middle of the width.
        size: diameter, or width of a slot, mm.
        slot: length of a slot from end to end, mm; 0 for a round hole.
        runs: which way a slot runs.
    """

    number: int
    x: float
    y: float
    size: float
    slot: float = 0.0
    runs: Literal["along", "across"] = "along"

    @property
    def half_straight(self) -> float:
        """Half the straight of a slot, mm: from its middle to the middle of the round of either end; 0 for a hole."""
        return max(0.0, self.slot - self.size) / 2.0

    @property
    def reach(self) -> tuple[float, float]:
        """From its middle to its own edge along the bar and across it, mm."""
        far, near = self.half_straight + self.size / 2.0, self.size / 2.0
        return (far, near) if self.runs == "along" else (near, far)

    @property
    def rounds(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Middles of the two rounds of a slot, mm; twice the middle for a hole."""
        h = self.half_straight
        dx, dy = (h, 0.0) if self.runs == "along" else (0.0, h)
        return (self.x - dx, self.y - dy), (self.x + dx, self.y + dy)

    def ring(self, chords: int = 24) -> tuple[tuple[float, float], ...]:
        """Return points round it, so many chords in each half circle."""
        radius = self.size / 2.0
        first, last = self.rounds
        start = 90.0 if self.runs == "along" else 180.0
        points = []
        for (x, y), turn in ((first, start), (last, start + 180.0)):
            for k in range(chords + 1):
                theta = math.radians(turn + 180.0 * k / chords)
                points.append((x + radius * math.cos(theta), y + radius * math.sin(theta)))
        return tuple(points)


@dataclass(frozen=True, slots=True)
class Seat:
    """How a hole lies to the bends and edges of its blank.

    Args:
        hole: of which it is told.
        fold: number of the nearest bend; None where there is none.
        gap: from the edge of the hole to the tangent line of that bend, mm; below 0 where it reaches into the bend.
        wanted: least gap for a hole that is drilled in the flat, mm.
        rule: which rule wants it.
        in_bend: its middle lies in the bend.
        edge: from the middle of the hole (of the nearer round of a slot) to the nearest edge of the finished piece, mm.
    """

    hole: FlatHole
    fold: int | None
    gap: float
    wanted: float
    rule: Rule
    in_bend: bool
    edge: float

    @property
    def after(self) -> bool:
        """Whether it is to be drilled after bending."""
        return self.fold is not None and self.gap < self.wanted - 1e-9

    @property
    def off(self) -> bool:
        """Whether it reaches over an edge."""
        return self.edge < self.hole.size / 2.0 - 1e-9


def seat_of(hole: FlatHole, blank: Blank) -> Seat:
    """Return how a hole lies to the bends and edges of its blank."""
    along = hole.reach[0]
    ends = [hole.x - blank.trim, blank.length - blank.trim - hole.x]
    straight = hole.half_straight
    dx, dy = (straight, 0.0) if hole.runs == "along" else (0.0, straight)
    edge = min(min(ends) - dx, blank.width / 2.0 - abs(hole.y) - dy)
    nearest: Seat | None = None
    for fold in blank.folds:
        gap = max(fold.start - hole.x, hole.x - fold.end) - along
        wanted, rule = _wanted(hole, fold, blank)
        inside = fold.start < hole.x < fold.end
        seat = Seat(hole, fold.number, gap, wanted, rule, inside, edge)
        if nearest is None or seat.gap - seat.wanted < nearest.gap - nearest.wanted:
            nearest = seat
    return nearest or Seat(hole, None, math.inf, 0.0, "metal", False, edge)


def seats(holes: Sequence[FlatHole], blank: Blank) -> tuple[Seat, ...]:
    """Return how every hole lies to the bends and edges of its blank."""
    return tuple(seat_of(hole, blank) for hole in holes)


def _wanted(hole: FlatHole, fold: Fold, blank: Blank) -> tuple[float, Rule]:
    """Return the least gap to the tangent line of a bend, mm, and the rule that wants it."""
    slotted = hole.half_straight > 0.0
    times = _ROUND
    if slotted and hole.runs == "across":
        times = next(share for longest, share in _EDGES if hole.slot <= longest)
    metal = times * blank.thickness
    if blank.opening is None:
        return metal, "metal"
    block = blank.opening / 2.0 + (_BLOCK_SLOT if slotted else _BLOCK_ROUND) - (fold.end - fold.start) / 2.0
    return (block, "block") if block > metal else (metal, "metal")
