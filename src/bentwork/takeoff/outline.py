"""The outline of a bar's section, from where its long edges run: sizes, wall and corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median_low
from typing import TypeAlias

import numpy as np

from bentwork.piece.bend_table import BendTable
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.shape import Floats

__all__ = ["ALIKE", "Outline", "chamfered", "rectangle_from", "round_outline"]

ALIKE = 0.01
"""Sizes that differ by less are one, mm: what a take-off promises."""
Point: TypeAlias = Sequence[float]
NEAR = 3.0 * ALIKE
"""Corners that are nearer to a side are on it, mm."""
BROKEN = 0.2
"""A broken corner takes away this share of the smaller size at most."""

FILLET = (1.0 - math.pi / 4.0, (10.0 - 3.0 * math.pi) / (12.0 - 3.0 * math.pi))
CHAMFER = (0.5, 1.0 / 3.0)
"""What a round and a flat take off a corner, as in ``Outline.broken``."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A section in the frame of the first bend.

    Args:
        section: as it is sold.
        area: of metal as drawn, mm2.
        inward: half of its size towards the inside of the first bend, mm.
        across: half of its size along the axis of the first bend, mm.
        corners: how far back each is broken on the outside, mm, 0 for a sharp one: first those on the inside of the
            bend, each time the one ahead along the axis first. None for round bar.
        bore: the same of the corners inside a tube.
        broken: what is taken off at corners on the outside: area over the square of their size, and how far its centre
            is from both sides, over the size.
    """

    section: Section
    area: float
    inward: float
    across: float
    corners: tuple[float, ...] = ()
    bore: tuple[float, ...] = ()
    broken: tuple[float, float] = FILLET

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

    @property
    def most_broken(self) -> float:
        """What a broken corner takes away of a side at most, mm: corners that take more make an octagon."""
        return BROKEN * 2.0 * self.half

    @property
    def box(self) -> float:
        """Area of the rectangle round it, mm2: of several that corners may be seen as, the smallest is it."""
        return 4.0 * self.inward * self.across

    def upside_down(self) -> Outline:
        """Return the section of square, rectangular or flat bar as it is seen where the axis runs the other way."""
        corners, bore = (tuple(some[k] for k in (1, 0, 3, 2)[: len(some)]) for some in (self.corners, self.bore))
        return replace(self, corners=corners, bore=bore)

    def volume(self, table: BendTable) -> float:
        """Return the metal of a bar, mm3.

        In a bend that is the area times how far its centre goes (Pappus and Guldin), and where corners are unlike, this
        does not lie in the middle.
        """
        metal = self.area * table.length
        if not table.bends or (_alike(self.corners) and _alike(self.bore)):
            return metal
        inward, across = self._moments()
        turned = (
            (math.radians(bend.angle), math.radians(way))
            for bend, way in zip(table.bends, table.directions, strict=True)
        )
        return metal - sum(a * (math.cos(w) * inward + math.sin(w) * across) for a, w in turned)

    def _moments(self) -> tuple[float, float]:
        """Return the moments of the area about the middle, towards the inside and along the axis, mm3."""
        wall = self.section.wall if isinstance(self.section, SquareTube) else 0.0
        inward = across = 0.0
        for sign, inset, sizes, (share, deep) in ((-1, 0, self.corners, self.broken), (1, wall, self.bore, FILLET)):
            for size, x, y in zip(sizes, (1, 1, -1, -1), (1, -1, 1, -1), strict=False):
                off = sign * share * size * size
                inward += x * off * (self.inward - inset - deep * size)
                across += y * off * (self.across - inset - deep * size)
        return inward, across

    def beyond(self, flat: Floats) -> Floats:
        """Return how far each point of the straightened bar (n, 3) stands out beyond the section, mm; (n,)."""
        if self.is_round:
            return np.hypot(flat[:, 1], flat[:, 2]) - self.inward
        return np.maximum(np.abs(flat[:, 1]) - self.inward, np.abs(flat[:, 2]) - self.across)

    def outside(self, flat: Floats) -> float:
        """Return how far points of the straightened bar (n, 3) stand out beyond the section at most, mm."""
        return float(self.beyond(flat).max(initial=0.0))

    def off_sides(self, flat: Floats) -> float:
        """Return how far points of the straightened bar (n, 3) lie off its outside at most, or all off its bore, mm."""
        wall = self.section.wall if isinstance(self.section, Tube | SquareTube) else 0.0
        off = float(np.abs(self._over(flat, 0.0, self.corners)).max())
        return min(off, float(np.abs(self._over(flat, wall, self.bore)).max())) if wall else off

    def _over(self, flat: Floats, inset: float, corners: Sequence[float]) -> Floats:
        """Return how far points lie outside what is so much within the section, corners and all; below 0 inside it."""
        if self.is_round:
            return self.beyond(flat) + inset
        x, y = flat[:, 1], flat[:, 2]
        sizes = np.array(corners or (0.0,) * 4)[np.where(x > 0.0, 0, 2) + np.where(y > 0.0, 0, 1)]
        u, v = np.abs(x) - self.inward + inset + sizes, np.abs(y) - self.across + inset + sizes
        over: Floats
        if corners and self.broken == CHAMFER and inset == 0.0:
            over = np.maximum(np.maximum(u, v) - sizes, (u + v - sizes) * math.sqrt(0.5))
        else:
            over = np.hypot(np.maximum(u, 0.0), np.maximum(v, 0.0)) + np.minimum(np.maximum(u, v), 0.0) - sizes
        return over


def round_outline(radius: float, bore: float = 0.0) -> Outline:
    """Return the outline of round bar or tube; sizes are rounded to a ten-thousandth of a millimetre."""
    diameter = _tidy(2.0 * radius)
    section: Section = Tube(diameter, _tidy(radius - bore)) if bore > 0.0 else Round(diameter)
    return Outline(section, math.pi * (radius**2 - bore**2), radius, radius)


def chamfered(outline: Outline) -> Outline | None:
    """Return a section whose corners are small chamfers instead of rounds: their edges run along the same lines.

    Returns:
        None for round bar, sharp corners, and corners that are more than broken.
    """
    size = math.sqrt(_squares(outline.corners) / 4.0)
    if not ALIKE < size <= outline.most_broken:
        return None
    area = outline.area - (CHAMFER[0] - FILLET[0]) * _squares(outline.corners)
    return replace(outline, area=area, broken=CHAMFER)


def rectangle_from(points: Sequence[Point]) -> Outline | None:
    """Return the outline whose corners are these, about its middle: towards the inside, and along the axis.

    Sharp corners give one point each, rounded ones two; half a round from side to side one more where it is highest; a
    tube has the same again inside. None when they are the corners of something else.
    """
    # A section has few corners: plain numbers are faster than arrays.
    half = _reach(points)
    if min(half) < 10.0 * ALIKE:
        return None
    outer, inner = _parted(points, half)
    corners = _corners(outer, half)
    if corners is None:
        return None
    section: Section
    area, bore = 4.0 * half[0] * half[1] - FILLET[0] * _squares(corners), None
    if inner:
        inside = _reach(inner)
        walls = half[0] - inside[0], half[1] - inside[1]
        if abs(walls[0] - walls[1]) > 2.0 * ALIKE or min(walls) <= 0.0 or _parted(inner, inside)[1]:
            return None
        bore = _corners(inner, inside)
        if bore is None:
            return None
        area -= 4.0 * inside[0] * inside[1] - FILLET[0] * _squares(bore)
        sizes = _tidy(2.0 * max(half)), _tidy(2.0 * min(half)), _tidy(sum(walls) / 2.0)
        try:
            section = SquareTube(*sizes, _tidy(median_low(corners)))  # one unlike the others does not count
        except ValueError:
            return None
    else:
        section = _solid(2.0 * half[0], 2.0 * half[1])
    return Outline(section, area, *half, corners, bore or ())


def _alike(sizes: Sequence[float]) -> bool:
    return not sizes or max(sizes) - min(sizes) < 2.0 * ALIKE


def _squares(sizes: Sequence[float]) -> float:
    return sum([size * size for size in sizes])


def _reach(points: Sequence[Point]) -> tuple[float, float]:
    return max([abs(x) for x, _ in points]), max([abs(y) for _, y in points])


def _parted(points: Sequence[Point], half: tuple[float, float]) -> tuple[list[Point], list[Point]]:
    """Part points that lie on the outline of a rectangle, or where its sides run on to, from those within it."""
    h, w = half[0] - ALIKE, half[1] - ALIKE
    found: tuple[list[Point], list[Point]] = ([], [])
    for point in points:
        found[abs(point[0]) <= h and abs(point[1]) <= w].append(point)
    return found


def _solid(w: float, h: float) -> Section:
    if abs(w - h) < ALIKE:
        return Square(_tidy(w), _tidy(h))
    return Flat(_tidy(max(w, h)), _tidy(min(w, h)))


def _corners(points: Sequence[Point], half: tuple[float, float]) -> tuple[float, ...] | None:
    """Return how far back from each corner of a rectangle its sides end, 0 where it is sharp.

    Returns:
        None when one is not as far back on both its sides, or so far that too little is left of a wide side.
    """
    h, w = half
    right, left = [y for x, y in points if x > h - NEAR], [y for x, y in points if x < NEAR - h]
    top, bottom = [x for x, y in points if y > w - NEAR], [x for x, y in points if y < NEAR - w]
    if not (right and left and top and bottom):
        return None
    pairs = (
        *((w - max(right), h - max(top)), (w + min(right), h - max(bottom))),
        *((w - max(left), h + min(top)), (w + min(left), h + min(bottom))),
    )
    found: list[float] = []
    for one, two in pairs:
        if abs(one - two) > 2.0 * ALIKE or one > min(half) + ALIKE:
            return None
        found.append(0.0 if max(one, two) < NEAR else (one + two) / 2.0)
    a, b, c, d = found
    # Half of a wide side is left, or it is an arch, a wedge or an oval; less where all sides are there and alike.
    most = 2.0 if _alike(found) and max(found) < min(half) - NEAR else 1.0
    if (h > w - NEAR and max(a + c, b + d) > most * h + ALIKE) or (
        w > h - NEAR and max(a + b, c + d) > most * w + ALIKE
    ):
        return None
    return a, b, c, d


def _tidy(size: float) -> float:
    """Round to a ten-thousandth: below that is the noise of the file."""
    return round(size, 4)
