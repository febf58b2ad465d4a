"""How broad a section is at every height above its middle, cut into pieces on which that is smooth. Lengths in mm.

All sections of the stock are alike above and below the bending axis, so the upper half says everything. A piece is a
band between two heights; its breadth is constant, or that of a circle on top of a constant. Holes are pieces that count
negative. Round bar is one piece, tube two, square tube with rounded corners four.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.stock.section import Round, Section, SquareTube, Tube, Way

__all__ = ["Cap", "Piece", "Plank", "pieces"]

Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Plank:
    """A band of constant breadth from ``start`` to ``stop``; a negative breadth is a hole."""

    start: float
    stop: float
    breadth: float

    @property
    def span(self) -> tuple[float, float]:
        """From and to in the coordinate of the piece: here the height itself."""
        return self.start, self.stop

    def coordinate(self, height: Floats) -> Floats:
        """Return the coordinate at heights, those outside moved to the nearer edge."""
        return np.clip(height, self.start, self.stop)

    def height(self, coordinate: Floats) -> Floats:
        """Return the height at coordinates."""
        return coordinate

    def weight(self, coordinate: Floats) -> Floats:
        """Return breadth times change of height with the coordinate."""
        return np.full_like(coordinate, self.breadth)


@dataclass(frozen=True, slots=True)
class Cap:
    """A band from the height ``centre`` up by ``radius``: a constant breadth, and on it that of a circle.

    Its coordinate is the angle at the circle's centre: heights crowd together towards the top, where the breadth of a
    circle falls like a square root, and quadrature keeps all its digits.
    """

    centre: float
    radius: float
    breadth: float
    sign: float

    @property
    def span(self) -> tuple[float, float]:
        """From and to in the coordinate of the piece: a quarter turn."""
        return 0.0, 0.5 * np.pi

    def coordinate(self, height: Floats) -> Floats:
        """Return the coordinate at heights, those outside moved to the nearer edge."""
        return np.arcsin(np.clip(height - self.centre, 0.0, self.radius) / self.radius)

    def height(self, coordinate: Floats) -> Floats:
        """Return the height at coordinates."""
        return self.centre + self.radius * np.sin(coordinate)

    def weight(self, coordinate: Floats) -> Floats:
        """Return breadth times change of height with the coordinate."""
        rise = self.radius * np.cos(coordinate)
        return self.sign * (self.breadth + 2.0 * rise) * rise


Piece: TypeAlias = Plank | Cap


def pieces(section: Section, way: Way = "easy") -> tuple[Piece, ...]:
    """Return the upper half of a section in pieces."""
    if isinstance(section, Round):
        return (Cap(0.0, section.diameter / 2.0, 0.0, 1.0),)
    if isinstance(section, Tube):
        return (Cap(0.0, section.diameter / 2.0, 0.0, 1.0), Cap(0.0, section.bore / 2.0, 0.0, -1.0))
    depth, breadth = section.depth(way), section.breadth(way)
    if isinstance(section, SquareTube):
        inset = 2.0 * section.wall
        return (
            *_rounded(depth, breadth, section.corner_radius, 1.0),
            *_rounded(depth - inset, breadth - inset, section.inside_radius, -1.0),
        )
    return _rounded(depth, breadth, 0.0, 1.0)


def _rounded(depth: float, breadth: float, radius: float, sign: float) -> tuple[Piece, ...]:
    """Return the upper half of a rectangle whose corners have this radius."""
    shoulder = depth / 2.0 - radius
    body = (Plank(0.0, shoulder, sign * breadth),) if shoulder > 0.0 else ()
    top = (Cap(shoulder, radius, breadth - 2.0 * radius, sign),) if radius > 0.0 else ()
    return (*body, *top)
