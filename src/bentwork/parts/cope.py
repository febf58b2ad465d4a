"""A cope: the end of a round bar or tube shaped to sit on another, at any angle and any offset.

Frame: the middle line of the bar that is sat on is x; the coped bar's middle line lies at y = offset and leaves the
other at an angle, from where the two are nearest, in the direction (cos angle, 0, sin angle). Places round the coped
bar are turns in degrees, anticlockwise looking at its end; turn 0 lies in the plane of the two directions, on the side
of the wide angle. Lengths are measured along the coped bar from where the two middle lines are nearest, outwards.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

__all__ = ["LEAST_ANGLE", "Cope"]

LEAST_ANGLE = 15.0
"""Bars that meet at less lie beside one another, degrees: nobody copes a bar so long (common practice, no source)."""

_STEP = 0.5  # degrees between the places at which a cope is looked at; kinks are looked at besides


@dataclass(frozen=True)
class Cope:
    """The coped end of a round bar.

    Args:
        outside: diameter of the coped bar, mm.
        bore: inside diameter of a tube, mm; 0 for a solid bar.
        onto: diameter of the bar it sits on, mm.
        angle: between the two bars, degrees, from ``LEAST_ANGLE`` to 90.
        offset: how far its middle line passes beside that of the other, mm; towards turn 90 above 0.

    Raises:
        ValueError: a size makes no sense, or the bars pass one another without meeting.
    """

    outside: float
    bore: float
    onto: float
    angle: float
    offset: float = 0.0

    def __post_init__(self) -> None:
        if not (0.0 <= self.bore < self.outside and self.onto > 0.0):
            raise ValueError("a cope is of one bar with a diameter above its bore, on another with a diameter above 0")
        if not LEAST_ANGLE <= self.angle <= 90.0:
            raise ValueError(f"bars are coped at {LEAST_ANGLE:g} to 90 degrees, not {self.angle:g}")
        if abs(self.offset) >= (self.outside + self.onto) / 2.0:
            raise ValueError("the bars pass beside one another")

    @property
    def solid(self) -> bool:
        """Tell whether the coped bar has no bore."""
        return self.bore == 0.0

    def reach(self, turn: float, radius: float) -> float:
        """Return how far out the metal at a turn, degrees, and at a radius of the coped bar, mm, may begin, mm.

        Where the coped bar is wider than the other, what passes beside it is cut off level with its middle line.
        """
        phi, theta = math.radians(turn), math.radians(self.angle)
        beside = self.offset + radius * math.sin(phi)
        up = math.sqrt(max(0.0, (self.onto / 2.0) ** 2 - beside * beside))
        return (up - radius * math.cos(phi) * math.cos(theta)) / math.sin(theta)

    def outer(self, turn: float) -> float:
        """Return where the outer edge meets the other bar, mm."""
        return self.reach(turn, self.outside / 2.0)

    def inner(self, turn: float) -> float:
        """Return where the inner edge of the wall meets the other bar, mm; of a solid bar, its middle."""
        return self.reach(turn, self.bore / 2.0)

    def sawn(self, turn: float) -> float:
        """Return where to cut square to the surface so that no gap is left, mm: the longer of the two edges.

        What is left standing is filed off: ``bevel`` says how deep. For a solid bar it is the outer edge.
        """
        return self.outer(turn) if self.solid else min(self.outer(turn), self.inner(turn))

    def bevel(self, turn: float) -> float:
        """Return how much is filed off one edge of the wall after a cut square to the surface, mm.

        Above 0 at the inner edge, which touches first; below 0 at the outer edge. 0 for a solid bar.
        """
        return 0.0 if self.solid else self.inner(turn) - self.outer(turn)

    @cached_property
    def turns(self) -> tuple[float, ...]:
        """Turns at which the curves are looked at, degrees from 0 to 360: evenly, and where they have a kink."""
        found = {k * _STEP for k in range(round(360.0 / _STEP) + 1)}
        for radius in (self.outside / 2.0, self.bore / 2.0):
            for edge in (self.onto / 2.0 - self.offset, -self.onto / 2.0 - self.offset):
                if radius > 0.0 and abs(edge) <= radius:
                    kink = math.degrees(math.asin(edge / radius))
                    found |= {kink % 360.0, (180.0 - kink) % 360.0}
        return tuple(sorted(found))

    @cached_property
    def longest(self) -> float:
        """Where its longest point stands, mm: the bar is cut to this first.

        It lies on the outer edge: of all metal equally far beside the other bar, that on the rim reaches farthest.
        """
        return min(map(self.outer, self.turns))

    @cached_property
    def throat(self) -> float:
        """Where it reaches least far, mm: the bottom of the hollow, for the same reason on the rim."""
        return max(map(self.outer, self.turns))

    @property
    def depth(self) -> float:
        """How deep it is cut or filed, from its longest point to the bottom, mm."""
        return self.throat - self.longest

    @cached_property
    def most_bevel(self) -> float:
        """The most that is filed off an edge of the wall after a cut square to the surface, mm."""
        return max(abs(self.bevel(turn)) for turn in self.turns)

    @property
    def wider(self) -> bool:
        """Tell whether part of the coped bar passes beside the other."""
        return abs(self.offset) + self.outside / 2.0 > self.onto / 2.0 + 1e-9

    @property
    def longest_turn(self) -> float:
        """The turn of its longest point, degrees; the first of several."""
        return next(turn for turn in self.turns if self.outer(turn) - self.longest < 1e-9)

    def curve(self, of: Callable[[float], float]) -> tuple[tuple[float, float], ...]:
        """Return (turn, length) of one of its curves all round, 0 to 360 degrees."""
        return tuple((turn, of(turn)) for turn in self.turns)
