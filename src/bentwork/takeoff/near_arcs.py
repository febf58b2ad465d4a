"""A free curve by the nearest straights and arcs that run on smoothly.

Between two points with given directions there is always a pair of arcs that meets both and has no kink (a biarc;
Bolton, Biarc curves, Computer-Aided Design 7, 1975, in the plane; the same construction holds in space).
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, add, along, cross, dot, norm, scale, sub
from bentwork.takeoff.formal_fits import off_circle, off_circles
from bentwork.takeoff.made_of import ARC_MISSES, deviation, furthest, straights_and_arcs
from bentwork.takeoff.runs import Arc, Part, Straight, centreline_of
from bentwork.takeoff.shape import Floats

__all__ = ["nearest_arcs"]

STRAIGHT = 0.2
"""What is straight along less of it is a free curve."""
WITHIN = 0.2
"""How near arcs are brought to a free curve, mm: a fifth of what a hand bender holds."""
STILL = 1e-9
"""Points that are nearer are one, mm."""
MOST_ARCS = 190
"""A job file takes 200 bends a piece."""


def nearest_arcs(points: Floats, tangents: Floats, closed: bool) -> tuple[Centreline, float] | None:
    """Return tangent-continuous arcs near a curve, with their largest deviation from it, mm.

    Args:
        points: (n, 3) in order.
        tangents: (n, 3), unit.
        closed: the last is the first again.
    """
    # A bar that was approximated has straights, which curves have not.
    few = straights_and_arcs(points, closed, WITHIN / 2.0, STRAIGHT)
    if few is not None:
        return few
    # Where a curve turns back on itself planes across may go through one place twice.
    moved = np.append(True, np.linalg.norm(np.diff(points, axis=0), axis=1) > STILL)
    points, tangents = points[moved], tangents[moved]
    if len(points) < 2:
        return None
    within = WITHIN
    for _ in range(8):
        parts: list[Part] = []
        first = 0
        while first < len(points) - 1 and len(parts) <= MOST_ARCS:
            reach, pair = _longest(points[first:], tangents[first:], within)
            parts += pair
            first += reach
        if first == len(points) - 1 and len(parts) <= MOST_ARCS:
            line = centreline_of(parts, closed)
            if line is None:
                return None
            return line, deviation(line, points)
        within *= 2.0
    return None


def _longest(points: Floats, tangents: Floats, within: float) -> tuple[int, list[Part]]:
    """Return the biarc that goes furthest from the first point."""
    start, way = _vec(points[0]), _vec(tangents[0])

    @cache
    def to(number: int) -> list[Part]:
        return _biarc(start, way, _vec(points[number]), _vec(tangents[number]))

    def miss(last: int) -> float:
        return _off_biarc(to(last), points[: last + 1])

    reach = furthest(1, len(points) - 1, miss, ARC_MISSES, within=within)
    return reach, to(reach)


def _off_biarc(parts: list[Part], points: Floats) -> float:
    """Return how far points lie from a biarc at most, mm; those before its middle are measured from its first arc."""
    if not parts or sum(p.angle for p in parts if isinstance(p, Arc)) > 1.2 * math.pi:
        return math.inf
    if len(parts) == 1:
        return _off(parts[0], points)
    one, two = parts
    middle, way = np.array(one.b), np.array(one.tangents[1])
    before = (points - middle) @ way < 0.0
    if isinstance(one, Arc) and isinstance(two, Arc):
        off = off_circles(points, [(arc.centre, arc.axis, arc.radius) for arc in (one, two)])
        return float(np.where(before, off[0], off[1]).max())
    return max(_off(one, points[before]), _off(two, points[~before]))


def _off(part: Part, points: Floats) -> float:
    """Return how far points lie from the line or circle of a part at most, mm."""
    if len(points) == 0:
        return 0.0
    if isinstance(part, Arc):
        return float(off_circle(points, (np.array(part.centre), np.array(part.axis), part.radius)).max())
    way, rel = np.array(part.tangents[0]), points - np.array(part.a)
    rel = rel - (rel @ way)[:, None] * way
    return math.sqrt(float(np.einsum("ij,ij->i", rel, rel).max()))


def _biarc(p: Vec, d: Vec, q: Vec, e: Vec) -> list[Part]:
    chord = sub(q, p)
    a, b, c = 2.0 * (1.0 - dot(d, e)), 2.0 * dot(chord, add(d, e)), -dot(chord, chord)
    reach = -c / b if abs(a) < 1e-12 and b > 0.0 else (-b + math.sqrt(max(0.0, b * b - 4 * a * c))) / (2.0 * a or 1.0)
    corner, other = along(p, d, reach), along(q, e, -reach)
    way = sub(other, corner)
    size = norm(way)
    if size < 1e-12:
        return [Straight(p, q)]
    middle = along(corner, way, 0.5)
    arcs = (_arc_from(p, d, middle), _arc_from(middle, scale(way, 1.0 / size), q))
    return [part for part in arcs if part.length > 1e-9]


def _arc_from(p: Vec, d: Vec, q: Vec) -> Part:
    chord = sub(q, p)
    length, normal = norm(chord), cross(d, chord)
    size = norm(normal)
    if size < 1e-7 * max(length, 1e-12):
        return Straight(p, q)
    half = math.atan2(size, dot(d, chord))
    radius = length / (2.0 * math.sin(half))
    normal = scale(normal, 1.0 / size)
    out = cross(d, normal)
    return Arc(along(p, out, -radius), normal, out, radius, 2.0 * half)


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
