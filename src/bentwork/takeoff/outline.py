"""The outline of a bar's section, from where its long edges run: sizes, wall and corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.shape import Floats

__all__ = ["Outline", "chamfered", "rectangle_from", "round_outline"]

ALIKE = 0.01
"""Sizes that differ by less are one, mm: what a take-off promises."""


BROKEN = 0.2
"""A broken corner takes away this share of the smaller size at most: one that takes more makes an octagon."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A section in the frame of the first bend.

    Args:
        section: as it is sold.
        area: of metal as drawn, mm2.
        inward: half of its size towards the inside of the first bend, mm.
        across: half of its size along the axis of the first bend, mm.
    """

    section: Section
    area: float
    inward: float
    across: float

    @property
    def is_round(self) -> bool:
        """Tell round bar and tube from the others."""
        return isinstance(self.section, Round | Tube)

    @property
    def half(self) -> float:
        """Half of the smaller size, mm."""
        return min(self.inward, self.across)

    @property
    def largest(self) -> float:
        """The larger size, mm."""
        return 2.0 * max(self.inward, self.across)

    def beyond(self, flat: Floats) -> Floats:
        """Return how far each point of the straightened bar (n, 3) stands out beyond the section, mm; (n,)."""
        if self.is_round:
            return np.hypot(flat[:, 1], flat[:, 2]) - self.inward
        return np.maximum(np.abs(flat[:, 1]) - self.inward, np.abs(flat[:, 2]) - self.across)

    def outside(self, flat: Floats) -> float:
        """Return how far points of the straightened bar (n, 3) stand out beyond the section at most, mm."""
        return float(self.beyond(flat).max(initial=0.0))


def round_outline(radius: float, bore: float = 0.0) -> Outline:
    """Return the outline of round bar or tube; sizes are rounded to a ten-thousandth of a millimetre."""
    diameter = _tidy(2.0 * radius)
    section: Section = Tube(diameter, _tidy(radius - bore)) if bore > 0.0 else Round(diameter)
    return Outline(section, math.pi * (radius**2 - bore**2), radius, radius)


def chamfered(outline: Outline) -> Outline | None:
    """Return a solid section whose corners are small chamfers instead of rounds: their edges run along the same lines.

    Returns:
        None for tubes, round bar, sharp corners, and corners that are more than broken.
    """
    section = outline.section
    if not isinstance(section, Flat | Square):
        return None
    whole = 4.0 * outline.inward * outline.across
    size = math.sqrt(max(0.0, whole - outline.area) / (4.0 - math.pi))
    if not ALIKE < size <= BROKEN * 2.0 * outline.half:
        return None
    return replace(outline, area=whole - 2.0 * size**2)


def rectangle_from(points: Floats) -> Outline | None:
    """Return the outline whose corners are these, (n, 2) about its middle: towards the inside, and along the axis.

    Sharp corners give one point each, rounded ones two; a tube has the same again inside. None when they are the
    corners of something else.
    """
    # A section has few corners: plain numbers are faster than arrays.
    corners: list[_Point] = points.tolist()
    half = _reach(corners)
    if min(half) < 10.0 * ALIKE:
        return None
    outer, inner = _parted(corners, half)
    radius = _corner(outer, half)
    if radius is None:
        return None
    h, w = 2.0 * half[0], 2.0 * half[1]
    area = w * h - (4.0 - math.pi) * radius**2
    if not inner:
        return Outline(_solid(w, h), area, h / 2.0, w / 2.0)
    inside = _reach(inner)
    walls = half[0] - inside[0], half[1] - inside[1]
    if abs(walls[0] - walls[1]) > 2.0 * ALIKE or min(walls) <= 0.0 or _parted(inner, inside)[1]:
        return None
    hole_radius = _corner(inner, inside)
    if hole_radius is None:
        return None
    hole = 4.0 * inside[0] * inside[1] - (4.0 - math.pi) * hole_radius**2
    try:
        tube = SquareTube(_tidy(max(w, h)), _tidy(min(w, h)), _tidy(sum(walls) / 2.0), _tidy(radius))
    except ValueError:
        return None
    return Outline(tube, area - hole, h / 2.0, w / 2.0)


_Point: TypeAlias = Sequence[float]


def _reach(points: Sequence[_Point]) -> tuple[float, float]:
    return max([abs(x) for x, _ in points]), max([abs(y) for _, y in points])


def _parted(points: Sequence[_Point], half: tuple[float, float]) -> tuple[list[_Point], list[_Point]]:
    """Part points that lie on the outline of a rectangle, or where its sides run on to, from those within it."""
    h, w = half[0] - ALIKE, half[1] - ALIKE
    found: tuple[list[_Point], list[_Point]] = ([], [])
    for point in points:
        found[abs(point[0]) <= h and abs(point[1]) <= w].append(point)
    return found


def _solid(w: float, h: float) -> Section:
    if abs(w - h) < ALIKE:
        return Square(_tidy(w), _tidy(h))
    return Flat(_tidy(max(w, h)), _tidy(min(w, h)))


def _corner(points: Sequence[_Point], half: tuple[float, float]) -> float | None:
    """Return the radius of the corners of a rectangle; None unless all four are there and alike."""
    h, w = half
    on_first = [abs(y) for x, y in points if abs(x) > h - ALIKE]
    on_second = [abs(x) for x, y in points if abs(y) > w - ALIKE]
    if not on_first or not on_second:
        return None
    one, two = w - max(on_first), h - max(on_second)
    if abs(one - two) > 2.0 * ALIKE or one > min(half) + ALIKE:
        return None
    radius = 0.0 if max(one, two) < ALIKE else (one + two) / 2.0
    sides = ((h, w - radius), (h - radius, w)) if radius else ((h, w),)
    near = (3.0 * ALIKE) ** 2
    for p, q in [corner for a, b in sides for corner in ((a, b), (a, -b), (-a, b), (-a, -b))]:
        for x, y in points:
            if (x - p) * (x - p) + (y - q) * (y - q) <= near:
                break
        else:
            return None
    return radius


def _tidy(size: float) -> float:
    """Round to a ten-thousandth: below that is the noise of the file."""
    return round(size, 4)
