"""What every section has in common: which way it is bent, and how it answers. Lengths in mm."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import ClassVar, Literal

__all__ = ["Bending", "SectionKind", "Shape", "Way", "bending", "check_sizes", "check_wall"]

Way = Literal["easy", "hard"]
SectionKind = Literal["round", "tube", "square", "square-tube", "flat"]


@dataclass(frozen=True, slots=True)
class Bending:
    """How a section answers bending one way.

    Args:
        second_moment: second moment of area, mm4.
        section_modulus: elastic modulus, second moment over half depth, mm3: times the proof stress it is the moment at
            which the outermost fibre yields.
        plastic_modulus: sum of area times distance, mm3: times the proof stress it is the moment at which all yields.
        half_depth: from the middle to the outermost fibre, mm.
    """

    second_moment: float
    section_modulus: float
    plastic_modulus: float
    half_depth: float

    @property
    def shape_factor(self) -> float:
        """Plastic modulus over elastic modulus: 1.5 for a rectangle, 1.698 for round bar, near 1.27 for thin tube."""
        return self.plastic_modulus / self.section_modulus


class Shape(ABC):
    """What every section has in common."""

    __slots__ = ()

    kind: ClassVar[SectionKind]

    @property
    @abstractmethod
    def area(self) -> float:
        """Area of metal, mm2."""

    @property
    @abstractmethod
    def torsion_constant(self) -> float:
        """Saint-Venant's torsion constant J, mm4: twist per length is moment over G J."""

    @property
    @abstractmethod
    def perimeter(self) -> float:
        """Length of the outside outline, mm."""

    @abstractmethod
    def depth(self, way: Way = "easy") -> float:
        """Return the size in the plane of the bend, mm."""

    @abstractmethod
    def bending(self, way: Way = "easy") -> Bending:
        """Return how the section answers bending this way."""

    def breadth(self, way: Way = "easy") -> float:
        """Return the size across the plane of the bend, mm."""
        return self.depth("hard" if way == "easy" else "easy")

    @property
    def polar_second_moment(self) -> float:
        """Second moment about the centreline, mm4: the sum of both ways.

        It is the torsion constant of round sections, and of no other.
        """
        return self.bending("easy").second_moment + self.bending("hard").second_moment

    @property
    def surface_per_metre(self) -> float:
        """Outside surface of a metre of bar, m2: what is cleaned and painted."""
        return self.perimeter / 1000.0


def bending(second_moment: float, plastic_modulus: float, depth: float) -> Bending:
    """Return the bending record of a section that is alike above and below its axis."""
    half = depth / 2.0
    return Bending(second_moment, second_moment / half, plastic_modulus, half)


def check_sizes(what: str, **sizes: float) -> None:
    """Raise ValueError, in the maker's words, unless every size is a finite number above 0."""
    for name, size in sizes.items():
        if not (math.isfinite(size) and size > 0.0):
            raise ValueError(f"the {name} of a {what} must be a size above 0 mm, not {size:g}")


def check_wall(wall: float, across: float, of_what: str, instead: str) -> None:
    """Raise ValueError, in the maker's words, unless the wall leaves a hole."""
    if not wall < across / 2.0:
        raise ValueError(
            f"a wall of {wall:g} mm leaves no hole: it must be less than half the {of_what}, {across / 2.0:g} mm; "
            f"a bar without a hole is {instead}"
        )
