"""A rectangle with rounded corners: the outline, and the hole, of a square tube. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["RoundedRectangle"]


@dataclass(frozen=True, slots=True)
class RoundedRectangle:
    """A rectangle whose four corners are quarter circles of one radius.

    Every value is exact: the sharp rectangle less, at each corner, a square of the radius, plus a quarter circle.

    Args:
        breadth: size along the bending axis, mm.
        depth: size across the bending axis, mm.
        radius: of the corners, mm; 0 for sharp ones, at most half the smaller size.
    """

    breadth: float
    depth: float
    radius: float = 0.0

    @property
    def area(self) -> float:
        """Area, mm2."""
        return self.breadth * self.depth - (4.0 - math.pi) * self.radius**2

    @property
    def perimeter(self) -> float:
        """Length of the outline, mm."""
        return 2.0 * (self.breadth + self.depth) - (8.0 - 2.0 * math.pi) * self.radius

    @property
    def second_moment(self) -> float:
        """Second moment of area about the axis along the breadth, mm4."""
        half, radius = self.depth / 2.0, self.radius
        centre = half - radius
        square = radius * (half**3 - centre**3) / 3.0
        quarter = math.pi * radius**2 * centre**2 / 4.0 + 2.0 * centre * radius**3 / 3.0 + math.pi * radius**4 / 16.0
        return self.breadth * self.depth**3 / 12.0 - 4.0 * (square - quarter)

    @property
    def plastic_modulus(self) -> float:
        """Sum of area times distance from the axis along the breadth, mm3."""
        half, radius = self.depth / 2.0, self.radius
        centre = half - radius
        square = radius * (half**2 - centre**2) / 2.0
        quarter = math.pi * radius**2 * centre / 4.0 + radius**3 / 3.0
        return self.breadth * self.depth**2 / 4.0 - 4.0 * (square - quarter)
