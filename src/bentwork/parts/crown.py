"""The upper side of a bar as another one comes down on it: how high it is at every place across.

Frame: y across the bar, z up, its middle at the origin. The outline is the rectangle of the middles of its corners,
grown by their radius: its upper side is made of faces and of arcs about those middles, in turn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from bentwork.parts.outline import Outline, Point

__all__ = ["ON", "Crown", "crown_of"]

ON = 1e-9
"""A place so little beyond the edge is on it, mm."""
_LEAST = 1e-9  # mm
_SQUARE = 2e-5  # sine; a bar that is turned by no more than a thousandth of a degree is not turned


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A face from one point to the other, or an arc between them about a middle."""

    low: Point
    high: Point
    middle: Point | None = None
    radius: float = 0.0

    def at(self, y: float) -> float:
        if self.middle is not None:
            beside = y - self.middle[0]
            return self.middle[1] + math.sqrt(max(0.0, self.radius**2 - beside * beside))
        share = (y - self.low[0]) / (self.high[0] - self.low[0])
        return self.low[1] + share * (self.high[1] - self.low[1])


@dataclass(frozen=True, slots=True)
class Crown:
    """The upper side of a bar.

    Args:
        stretches: from one edge to the other.
    """

    stretches: tuple[_Stretch, ...]

    @property
    def edge(self) -> float:
        """How far the bar reaches to either side, mm."""
        return self.stretches[-1].high[0]

    @property
    def borders(self) -> tuple[float, ...]:
        """Places across where faces and arcs meet, edges among them, mm."""
        return (*(one.low[0] for one in self.stretches), self.edge)

    def at(self, y: float) -> float | None:
        """Return how high the bar is at a place across, mm; None beyond its edge."""
        if abs(y) > self.edge + ON:
            return None
        for one in self.stretches:
            if y <= one.high[0]:
                return one.at(max(y, one.low[0]))
        return self.stretches[-1].high[1]

    def between(self, low: float, high: float) -> tuple[str, ...]:
        """Return what there is of it between two places across, in turn: ``face`` or ``round``."""
        found = []
        for one in self.stretches:
            if min(high, one.high[0]) - max(low, one.low[0]) > 1e-6:
                found.append("round" if one.middle is not None else "face")
        return tuple(found)


def crown_of(outline: Outline, turn: float) -> Crown:
    """Return the upper side of an outline whose width is turned so far from y towards z, degrees."""
    (a, b), radius = outline.core, outline.corner
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    s, c = (0.0 if abs(s) < _SQUARE else s), (0.0 if abs(c) < _SQUARE else c)
    corners = {(round(x * c - y * s, 12), round(x * s + y * c, 12)) for x in (-a, a) for y in (-b, b)}
    hull = _upper(sorted(corners))
    ways = [(-1.0, 0.0), *(_normal(p, q) for p, q in pairwise(hull)), (1.0, 0.0)]
    found: list[_Stretch] = []
    for number, corner in enumerate(hull):
        before, after = ways[number], ways[number + 1]
        low, high = _out(corner, before, radius), _out(corner, after, radius)
        if high[0] - low[0] > _LEAST:
            found.append(_Stretch(low, high, corner, radius))
        if number + 1 < len(hull):
            found.append(_Stretch(high, _out(hull[number + 1], after, radius)))
    return Crown(tuple(found))


def _upper(corners: list[Point]) -> list[Point]:
    """The corners that are seen from above, from the left to the right; of two above one another the higher."""
    hull: list[Point] = []
    for corner in corners:
        if hull and corner[0] - hull[-1][0] < _LEAST:
            hull.pop()  # sorted: the later one is the higher
        while len(hull) > 1 and _turns_left(hull[-2], hull[-1], corner):
            hull.pop()
        hull.append(corner)
    return hull


def _turns_left(p: Point, q: Point, r: Point) -> bool:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]) >= -1e-12


def _normal(p: Point, q: Point) -> Point:
    """The way up off a face."""
    length = math.dist(p, q)
    return (p[1] - q[1]) / length, (q[0] - p[0]) / length


def _out(corner: Point, way: Point, radius: float) -> Point:
    return corner[0] + radius * way[0], corner[1] + radius * way[1]
