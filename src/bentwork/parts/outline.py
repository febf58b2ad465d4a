"""The outline of a section, and of its bore: a rectangle with rounded corners; a round one is nothing but corners.

Frame: x along the section's width, y along its height, the middle at the origin. Places on it are told in mm round it,
anticlockwise, from where the ray along x meets it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bentwork.stock.rounded import RoundedRectangle
from bentwork.stock.section import Section, SquareTube, Tube

__all__ = ["Outline", "Point", "bore_of", "outline_of"]

Point = tuple[float, float]


@dataclass(frozen=True)
class Outline:
    """A rectangle with rounded corners.

    Args:
        wide: half its width, mm.
        high: half its height, mm.
        corner: radius of its corners, mm, from 0 to the smaller half.

    Raises:
        ValueError: a size makes no sense.
    """

    wide: float
    high: float
    corner: float = 0.0

    def __post_init__(self) -> None:
        if not (self.wide > 0.0 and self.high > 0.0 and 0.0 <= self.corner <= min(self.wide, self.high)):
            raise ValueError("an outline has sizes above 0 and corners no rounder than its smaller half")

    @property
    def is_round(self) -> bool:
        """Tell whether it is a circle."""
        return self.wide == self.high == self.corner

    @cached_property
    def around(self) -> float:
        """Length of it all round, mm."""
        return RoundedRectangle(2.0 * self.wide, 2.0 * self.high, self.corner).perimeter

    @property
    def core(self) -> Point:
        """Half sizes of the rectangle of the middles of its corners, mm."""
        return self.wide - self.corner, self.high - self.corner

    @property
    def folds(self) -> tuple[float, ...]:
        """Places in the middle of its four corners, mm; none for a round one."""
        if self.is_round:
            return ()
        quarter = self.around / 4.0
        first = self.core[1] + self.corner * math.pi / 4.0
        return first, 2.0 * quarter - first, 2.0 * quarter + first, 4.0 * quarter - first

    @property
    def joints(self) -> tuple[float, ...]:
        """Places where a straight face and a corner meet, mm: twice four; of sharp corners two at one place."""
        if self.is_round:
            return ()
        quarter, half = self.around / 4.0, self.corner * math.pi / 4.0
        firsts = (self.core[1], self.core[1] + 2.0 * half)
        return tuple(
            place
            for first in firsts
            for place in (first, 2.0 * quarter - first, 2.0 * quarter + first, 4.0 * quarter - first)
        )

    def half(self, turn: float) -> float:
        """Return how far it reaches from its middle in a direction, mm; the turn in degrees from x."""
        a, b = self.core
        return a * abs(math.cos(math.radians(turn))) + b * abs(math.sin(math.radians(turn))) + self.corner

    def point(self, place: float) -> Point:
        """Return the point at a place, mm."""
        quarter = self.around / 4.0
        number, rest = divmod(place % self.around, quarter)
        x, y = self._in_first_quarter(quarter - rest if number in (1.0, 3.0) else rest)
        return (-x if number in (1.0, 2.0) else x, -y if number in (2.0, 3.0) else y)

    def _in_first_quarter(self, along: float) -> Point:
        a, b = self.core
        if along <= b:
            return self.wide, along
        bend = self.corner * math.pi / 2.0
        if along < b + bend:
            turn = (along - b) / self.corner
            return a + self.corner * math.cos(turn), b + self.corner * math.sin(turn)
        return max(0.0, a - (along - b - bend)), self.high

    def towards(self, turn: float) -> float:
        """Return the place where a ray from the middle meets it, mm; the turn in degrees from x."""
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        along, quarter = self._met_in_first_quarter(abs(c), abs(s)), self.around / 4.0
        if c < 0.0:
            return 2.0 * quarter + along if s < 0.0 else 2.0 * quarter - along
        return 4.0 * quarter - along if s < 0.0 else along

    def _met_in_first_quarter(self, c: float, s: float) -> float:
        a, b = self.core
        if self.wide * s <= b * c:
            return self.wide * s / c
        if self.high * c <= a * s:
            return b + self.corner * math.pi / 2.0 + a - self.high * c / s
        near = a * c + b * s
        far = near + math.sqrt(max(0.0, near * near - a * a - b * b + self.corner**2))
        return b + self.corner * math.atan2(far * s - b, far * c - a)

    def nearest(self, point: Point) -> Point:
        """Return the point of it that is nearest to a point outside or on it."""
        a, b = self.core
        x, y = min(max(point[0], -a), a), min(max(point[1], -b), b)
        away = math.hypot(point[0] - x, point[1] - y)
        if away <= 0.0:
            return x, y
        return x + self.corner * (point[0] - x) / away, y + self.corner * (point[1] - y) / away


def outline_of(section: Section) -> Outline:
    """Return the outside of a section."""
    wide, high = section.depth("hard") / 2.0, section.depth("easy") / 2.0
    if section.kind in ("round", "tube"):
        return Outline(wide, wide, wide)
    return Outline(wide, high, section.corner_radius if isinstance(section, SquareTube) else 0.0)


def bore_of(section: Section) -> Outline | None:
    """Return the inside of a tube; None for solid bar."""
    if isinstance(section, Tube):
        half = section.bore / 2.0
        return Outline(half, half, half)
    if isinstance(section, SquareTube):
        wide, high = section.width / 2.0 - section.wall, section.height / 2.0 - section.wall
        return Outline(wide, high, min(section.inside_radius, wide, high))
    return None
