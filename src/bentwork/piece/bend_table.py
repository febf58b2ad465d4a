"""The bend table: straights and bends in order, from end A to end B."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate

from bentwork.piece.bend import Bend, half_turn

__all__ = ["BendTable"]


@dataclass(frozen=True, slots=True)
class BendTable:
    """A piece as straights and bends: straight, bend, straight, ... , bend, straight.

    Args:
        straights: n + 1 lengths from tangent point to tangent point, mm; the first and last reach to the ends.
        bends: n bends; the rotation of the first is 0.
        closed: ends A and B meet, in a seam.

    Raises:
        ValueError: the counts do not match, or a straight is negative or not finite.
    """

    straights: tuple[float, ...]
    bends: tuple[Bend, ...] = ()
    closed: bool = False

    def __post_init__(self) -> None:
        if len(self.straights) != len(self.bends) + 1:
            raise ValueError(f"{len(self.bends)} bends need {len(self.bends) + 1} straights, not {len(self.straights)}")
        for number, straight in enumerate(self.straights, 1):
            if not (math.isfinite(straight) and straight >= 0.0):
                raise ValueError(f"straight {number} is {straight}; a straight is 0 or longer")
        if self.bends and self.bends[0].rotation != 0.0:
            raise ValueError("the first bend has no bend before it: its rotation is 0")

    @property
    def length(self) -> float:
        """Length of the centreline, mm: the developed length."""
        return math.fsum(self.straights) + math.fsum(bend.arc for bend in self.bends)

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Start and end of every bend along the centreline from end A, mm."""
        spans = []
        at = 0.0
        for straight, bend in zip(self.straights, self.bends, strict=False):
            start = at + straight
            at = start + bend.arc
            spans.append((start, at))
        return tuple(spans)

    @property
    def directions(self) -> tuple[float, ...]:
        """Where round the straight bar every bend turns to, degrees from the first bend, in (-180, 180].

        The sum of the rotations: the same whichever bends are made first, so one line scribed along the bar serves all.
        """
        return tuple(half_turn(total) for total in accumulate(bend.rotation for bend in self.bends))

    def reversed(self) -> BendTable:
        """Return the same piece read from B to A: the order turns round, no rotation changes its sign or value."""
        turned = self.bends[::-1]
        rotations = (0.0, *(bend.rotation for bend in turned[:-1]))
        bends = tuple(
            Bend(bend.radius, bend.angle, rotation) for bend, rotation in zip(turned, rotations, strict=False)
        )
        return BendTable(self.straights[::-1], bends, self.closed)

    def mirrored(self) -> BendTable:
        """Return the mirror image: every rotation changes its sign, nothing else does."""
        bends = tuple(Bend(bend.radius, bend.angle, -bend.rotation) for bend in self.bends)
        return BendTable(self.straights, bends, self.closed)
