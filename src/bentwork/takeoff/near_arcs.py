"""A free curve as straights and arcs: exactly where it is made of them, else by the nearest that run on smoothly.

Between two points with given directions there is always a pair of arcs that meets both and has no kink (a biarc;
Bolton, Biarc curves, Computer-Aided Design 7, 1975, in the plane; the same construction holds in space).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, add, along, cross, dot, norm, scale, sub
from bentwork.takeoff.formal_fits import ARCS_ON_END, circle_through, off_circle, off_circles
from bentwork.takeoff.runs import Arc, Part, Straight, centreline_of
from bentwork.takeoff.shape import Floats
from bentwork.takeoff.unbend import unbent

__all__ = ["nearest_arcs", "straights_and_arcs"]

MADE_OF = 8e-3
"""A curve that is nearer than this to straights and arcs is made of them, mm."""
WITHIN = 0.2
"""How near arcs are brought to a free curve, mm: a fifth of what a hand bender holds."""
MOST_ARCS = 190
"""A job file takes 200 bends a piece."""


def straights_and_arcs(points: Floats, closed: bool) -> tuple[Centreline, float] | None:
    """Return the straights and arcs that a curve is made of, with its largest deviation; None when it is not.

    Args:
        points: (n, 3) in order.
        closed: the last is the first again.
    """
    parts: list[tuple[int, int, bool]] = []
    first = 0
    last = len(points) - 1
    while first < last:
        straight, bent = _reach(points, first, True), _reach(points, first, False)
        is_line = straight + 2 >= bent or straight == last
        reach = straight if is_line else bent
        if reach <= first:
            return None
        parts.append((first, reach, is_line))
        first = reach
        if len(parts) > 60 or _winds(parts):
            return None
    # What is left between a straight and an arc, by a sample or two, belongs to neither.
    solid = [p for p in parts if p[1] - p[0] >= 4]
    if len(solid) < 1 or len(parts) - len(solid) > len(solid) + 1:
        return None
    chain = _tangent_chain(points, solid)
    if chain is None:
        return None
    line = centreline_of(chain, closed)
    if line is None:
        return None
    off = deviation(line, points)
    return (line, off) if off < MADE_OF * 2.0 else None


def _winds(parts: Sequence[tuple[int, int, bool]]) -> bool:
    """Tell whether arc follows upon arc, more than any bar has."""
    return len(parts) > ARCS_ON_END and not any(is_line for *_, is_line in parts[-ARCS_ON_END - 1 :])


def _reach(points: Floats, first: int, straight: bool) -> int:
    """Return how far a line or a circle goes from a point, by doubling and halving."""
    last = len(points) - 1
    good, step = first, 4
    while good < last:
        trial = min(last, good + step)
        if _fits(points[first : trial + 1], straight):
            good, step = trial, step * 2
        elif step == 1:
            break
        else:
            step = max(1, step // 4)
    return good


def _fits(points: Floats, straight: bool) -> bool:
    if straight:
        chord = points[-1] - points[0]
        length = float(np.linalg.norm(chord))
        if length < 1e-9:
            return False
        rel = points - points[0]
        off = rel - ((rel @ chord) / length**2)[:, None] * chord
        return float(np.linalg.norm(off, axis=1).max()) < MADE_OF / 2.0
    circle = circle_through(points)
    if circle is None or len(points) < 4 or circle[2] > 2e4:
        return len(points) < 4
    return float(off_circle(points, circle).max()) < MADE_OF / 2.0


def _tangent_chain(points: Floats, solid: list[tuple[int, int, bool]]) -> list[Part] | None:
    """Return parts that meet without a kink: straights by least squares, arcs laid between them."""
    lines: dict[int, tuple[Floats, Floats]] = {}
    for k, (first, last, is_line) in enumerate(solid):
        if is_line:
            part = points[first : last + 1]
            middle = part.mean(axis=0)
            way = np.linalg.svd(part - middle)[2][0]
            lines[k] = (middle, way if float(way @ (part[-1] - part[0])) > 0.0 else -way)
    chain: list[Part] = []
    for k, (first, last, is_line) in enumerate(solid):
        part = points[first : last + 1]
        if is_line:
            middle, way = lines[k]
            a, b = middle + ((part[0] - middle) @ way) * way, middle + ((part[-1] - middle) @ way) * way
            chain.append(Straight(_vec(a), _vec(b)))
            continue
        trimmed = part[1:-1] if len(part) > 6 else part
        circle = circle_through(trimmed)
        if circle is None:
            return None
        centre, normal, radius = circle
        if k - 1 in lines and k + 1 in lines:
            arc = _between(lines[k - 1], lines[k + 1], radius)
            if arc is not None:
                chain.append(arc)
                continue
        x = _aside(part[0] - centre, normal)
        angle = math.atan2(float(np.cross(x, part[-1] - centre) @ normal), float(x @ (part[-1] - centre)))
        chain.append(Arc(_vec(centre), _vec(normal), _vec(x), radius, angle % (2.0 * math.pi) or 2.0 * math.pi))
    return chain


def _between(one: tuple[Floats, Floats], two: tuple[Floats, Floats], radius: float) -> Arc | None:
    """Return the arc of this radius that touches two straights; None when they are parallel or far from meeting."""
    (p, d), (q, e) = one, two
    normal = np.cross(d, e)
    sine = float(np.linalg.norm(normal))
    if sine < 0.02:
        return None
    normal = normal / sine
    gap = q - p
    s = float(np.cross(gap, e) @ normal) / sine
    t = float(np.cross(gap, d) @ normal) / sine
    corner = (p + s * d + q + t * e) / 2.0
    angle = math.atan2(sine, float(d @ e))
    start = corner - radius * math.tan(angle / 2.0) * d
    out = -np.cross(normal, d)
    centre = start - radius * out
    return Arc(_vec(centre), _vec(normal), _vec(out), radius, angle)


def nearest_arcs(points: Floats, tangents: Floats, closed: bool) -> tuple[Centreline, float] | None:
    """Return tangent-continuous arcs near a curve, with their largest deviation from it, mm.

    Args:
        points: (n, 3) in order.
        tangents: (n, 3), unit.
        closed: the last is the first again.
    """
    within = WITHIN
    for _ in range(8):
        parts: list[Part] = []
        first = 0
        while first < len(points) - 1 and len(parts) <= MOST_ARCS:
            last, pair = _longest(points, tangents, first, within)
            parts += pair
            first = last
        if first == len(points) - 1 and len(parts) <= MOST_ARCS:
            line = centreline_of(parts, closed)
            if line is None:
                return None
            return line, deviation(line, points)
        within *= 2.0
    return None


def _longest(points: Floats, tangents: Floats, first: int, within: float) -> tuple[int, list[Part]]:
    """Return the biarc that goes furthest, by doubling and halving."""

    def to(number: int) -> list[Part]:
        return _biarc(_vec(points[first]), _vec(tangents[first]), _vec(points[number]), _vec(tangents[number]))

    good, step = first + 1, 2
    best = to(good)
    last = len(points) - 1
    while good < last:
        trial = min(last, good + step)
        pair = to(trial)
        if pair and _near(pair, points[first : trial + 1], within):
            good, best, step = trial, pair, step * 2
        elif step == 1:
            break
        else:
            step = max(1, step // 4)
    return good, best


def _near(parts: list[Part], points: Floats, within: float) -> bool:
    """Tell whether points lie near a biarc; those before its middle are measured from its first arc."""
    if sum(p.angle for p in parts if isinstance(p, Arc)) > 1.2 * math.pi:
        return False
    if len(parts) == 1:
        return _off(parts[0], points) < within
    one, two = parts
    middle, way = np.array(one.b), np.array(one.tangents[1])
    before = (points - middle) @ way < 0.0
    if isinstance(one, Arc) and isinstance(two, Arc):
        off = off_circles(points, [(arc.centre, arc.axis, arc.radius) for arc in (one, two)])
        return float(np.where(before, off[0], off[1]).max()) < within
    return _off(one, points[before]) < within and _off(two, points[~before]) < within


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


def deviation(line: Centreline, points: Floats) -> float:
    """Return how far points lie from a centreline at most, mm; beyond its ends counts."""
    flat = unbent(line, points)
    over = np.maximum(0.0, np.maximum(-flat[:, 0], flat[:, 0] - line.table.length))
    return float(np.hypot(np.hypot(flat[:, 1], flat[:, 2]), over).max())


def _aside(v: Floats, normal: Floats) -> Floats:
    flat = v - (v @ normal) * normal
    return np.array(flat / float(np.linalg.norm(flat)))


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
