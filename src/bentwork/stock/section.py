"""The cross-section of a bar: size, area, and how it answers bending and twisting.

A section is bent one of two ways: ``easy`` in the plane of its height, ``hard`` in the plane of its width.
For flat bar, whose height is its thickness, these are the fabricator's easy way and hard way. A round section knows
no difference. Lengths in mm, areas in mm2, moduli in mm3, second moments and torsion constants in mm4.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar, TypeAlias

from bentwork.stock.rounded import RoundedRectangle
from bentwork.stock.shape import Bending, SectionKind, Shape, Way, bending, check_sizes, check_wall
from bentwork.stock.torsion import hollow_torsion, rectangle_torsion

__all__ = [
    "Bending",
    "Flat",
    "Round",
    "Section",
    "SectionKind",
    "Square",
    "SquareTube",
    "Tube",
    "Way",
    "mass_per_metre",
]


@dataclass(frozen=True, slots=True)
class Round(Shape):
    """Solid round bar. Every value is exact.

    Args:
        diameter: mm.

    Raises:
        ValueError: a size is not a finite number above 0.
    """

    diameter: float

    kind: ClassVar[SectionKind] = "round"

    def __post_init__(self) -> None:
        check_sizes("round bar", diameter=self.diameter)

    @property
    def area(self) -> float:
        """Area of metal, mm2."""
        return math.pi * self.diameter**2 / 4.0

    @property
    def torsion_constant(self) -> float:
        """Torsion constant J, mm4."""
        return math.pi * self.diameter**4 / 32.0

    @property
    def perimeter(self) -> float:
        """Length of the outside outline, mm."""
        return math.pi * self.diameter

    def depth(self, way: Way = "easy") -> float:
        """Return the size in the plane of the bend, mm."""
        return self.diameter

    def bending(self, way: Way = "easy") -> Bending:
        """Return how the section answers bending this way."""
        return bending(math.pi * self.diameter**4 / 64.0, self.diameter**3 / 6.0, self.diameter)


@dataclass(frozen=True, slots=True)
class Tube(Shape):
    """Round tube. Every value is exact.

    Args:
        diameter: outside, mm.
        wall: thickness, mm, below half the diameter.

    Raises:
        ValueError: a size is not a finite number above 0, or the wall leaves no bore.
    """

    diameter: float
    wall: float

    kind: ClassVar[SectionKind] = "tube"

    def __post_init__(self) -> None:
        check_sizes("tube", diameter=self.diameter, wall=self.wall)
        check_wall(self.wall, self.diameter, "diameter", "round bar")

    @property
    def bore(self) -> float:
        """Inside diameter, mm."""
        return self.diameter - 2.0 * self.wall

    @property
    def area(self) -> float:
        """Area of metal, mm2."""
        return math.pi * (self.diameter - self.wall) * self.wall

    @property
    def torsion_constant(self) -> float:
        """Torsion constant J, mm4."""
        return math.pi * (self.diameter**4 - self.bore**4) / 32.0

    @property
    def perimeter(self) -> float:
        """Length of the outside outline, mm."""
        return math.pi * self.diameter

    def depth(self, way: Way = "easy") -> float:
        """Return the size in the plane of the bend, mm."""
        return self.diameter

    def bending(self, way: Way = "easy") -> Bending:
        """Return how the section answers bending this way."""
        return bending(
            math.pi * (self.diameter**4 - self.bore**4) / 64.0, (self.diameter**3 - self.bore**3) / 6.0, self.diameter
        )


@dataclass(frozen=True, slots=True)
class _Rectangle(Shape):
    """Solid, with four sharp corners: what square bar and flat bar share."""

    width: float
    height: float

    @property
    def area(self) -> float:
        """Area of metal, mm2."""
        return self.width * self.height

    @property
    def torsion_constant(self) -> float:
        """Torsion constant J, mm4."""
        return rectangle_torsion(self.width, self.height)

    @property
    def perimeter(self) -> float:
        """Length of the outside outline, mm."""
        return 2.0 * (self.width + self.height)

    def depth(self, way: Way = "easy") -> float:
        """Return the size in the plane of the bend, mm."""
        return self.height if way == "easy" else self.width

    def bending(self, way: Way = "easy") -> Bending:
        """Return how the section answers bending this way."""
        depth, breadth = self.depth(way), self.breadth(way)
        return bending(breadth * depth**3 / 12.0, breadth * depth**2 / 4.0, depth)


@dataclass(frozen=True, slots=True)
class Square(_Rectangle):
    """Solid square or rectangular bar with sharp corners. Every value is exact, torsion to the last digit.

    Args:
        width: mm.
        height: mm.

    Raises:
        ValueError: a size is not a finite number above 0.
    """

    kind: ClassVar[SectionKind] = "square"

    def __post_init__(self) -> None:
        check_sizes("square bar", width=self.width, height=self.height)


@dataclass(frozen=True, slots=True)
class Flat(_Rectangle):
    """Flat bar: ``height`` is the thickness. Every value is exact, torsion to the last digit.

    Args:
        width: mm.
        height: thickness, mm, not above the width.

    Raises:
        ValueError: a size is not a finite number above 0, or the thickness is above the width.
    """

    kind: ClassVar[SectionKind] = "flat"

    def __post_init__(self) -> None:
        check_sizes("flat bar", width=self.width, height=self.height)
        if self.height > self.width:
            raise ValueError(
                f"the height of a flat bar is its thickness: it cannot be {self.height:g} mm "
                f"when the width is {self.width:g} mm; change them over"
            )


@dataclass(frozen=True, slots=True)
class SquareTube(Shape):
    """Square or rectangular tube.

    Area, second moments and moduli are exact. The torsion constant is the formula of EN 10210-2 and EN 10219-2, with
    what shear saves round corners sharper than theirs (see ``torsion.py``). Against a finite element analysis
    (``tests/truth/test_sections_finite_elements.py``) it is within 0.2 % for sharp corners and 0.7 % for all, as long
    as the wall is no more than a fifth of the smaller side.

    Args:
        width: outside, mm.
        height: outside, mm.
        wall: thickness, mm, below half the smaller size.
        corner_radius: outside radius of the corners, mm; the inside radius is this less the wall, never below 0.

    Raises:
        ValueError: a size is not a finite number above 0, or wall or corners are too big for the outside.
    """

    width: float
    height: float
    wall: float
    corner_radius: float = 0.0

    kind: ClassVar[SectionKind] = "square-tube"

    def __post_init__(self) -> None:
        check_sizes("square tube", width=self.width, height=self.height, wall=self.wall)
        smaller = min(self.width, self.height)
        check_wall(self.wall, smaller, "smaller side", "square bar")
        if not 0.0 <= self.corner_radius <= smaller / 2.0:
            raise ValueError(
                f"the corner radius of a square tube lies between 0 and half its smaller side, {smaller / 2.0:g} mm, "
                f"not {self.corner_radius:g} mm"
            )

    @property
    def inside_radius(self) -> float:
        """Inside radius of the corners, mm."""
        return max(0.0, self.corner_radius - self.wall)

    @property
    def area(self) -> float:
        """Area of metal, mm2."""
        return self._outline("easy").area - self._hole("easy").area

    @property
    def torsion_constant(self) -> float:
        """Torsion constant J, mm4."""
        return hollow_torsion(self.width, self.height, self.wall, self.corner_radius, self.inside_radius)

    @property
    def perimeter(self) -> float:
        """Length of the outside outline, mm."""
        return self._outline("easy").perimeter

    def depth(self, way: Way = "easy") -> float:
        """Return the size in the plane of the bend, mm."""
        return self.height if way == "easy" else self.width

    def bending(self, way: Way = "easy") -> Bending:
        """Return how the section answers bending this way."""
        outline, hole = self._outline(way), self._hole(way)
        return bending(
            outline.second_moment - hole.second_moment, outline.plastic_modulus - hole.plastic_modulus, self.depth(way)
        )

    def _outline(self, way: Way) -> RoundedRectangle:
        return RoundedRectangle(self.breadth(way), self.depth(way), self.corner_radius)

    def _hole(self, way: Way) -> RoundedRectangle:
        inset = 2.0 * self.wall
        return RoundedRectangle(self.breadth(way) - inset, self.depth(way) - inset, self.inside_radius)


Section: TypeAlias = Round | Tube | Square | SquareTube | Flat


def mass_per_metre(section: Section, density: float) -> float:
    """Return the mass of a metre of bar, kg/m.

    Args:
        section: of the bar.
        density: kg/m3.
    """
    return section.area * density * 1e-6
