"""One bend: an arc tangent to the straights on both sides of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Bend", "half_turn"]


def half_turn(angle: float) -> float:
    """Return the same rotation in (-180, 180] degrees."""
    turned = math.fmod(angle, 360.0)
    if turned > 180.0:
        return turned - 360.0
    if turned <= -180.0:
        return turned + 360.0
    return turned + 0.0  # never minus zero


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend of a piece.

    Args:
        radius: centreline radius, mm.
        angle: how far the bar is turned away from straight, degrees in (0, 360).
        rotation: turn of the bend plane about the bar from the bend before, degrees, right-hand rule about A to B.

    Raises:
        ValueError: a number is not finite or out of its range.
    """

    radius: float
    angle: float
    rotation: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.radius) and self.radius > 0.0):
            raise ValueError(f"a bend needs a centreline radius above 0, not {self.radius}")
        if not 0.0 < self.angle < 360.0:
            raise ValueError(f"a bend angle lies between 0 and 360 degrees, not {self.angle}")
        if not math.isfinite(self.rotation):
            raise ValueError(f"a rotation is a finite angle, not {self.rotation}")
        if not -180.0 < self.rotation <= 180.0:
            object.__setattr__(self, "rotation", half_turn(self.rotation))

    @property
    def arc(self) -> float:
        """Length of the centreline in the bend, mm: radius times angle."""
        return self.radius * math.radians(self.angle)

    @property
    def setback(self) -> float:
        """Distance from tangent point to corner point, mm: R tan(angle/2); infinite at a return of 180 degrees."""
        return math.inf if self.angle >= 180.0 else self.radius * math.tan(math.radians(self.angle) / 2.0)
