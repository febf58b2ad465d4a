"""Straights and arcs of round bar and tube, from faces that are cylinders and tori."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.space import Vec, along, cross, distance, dot, norm, sub
from bentwork.takeoff.runs import ASKEW, MEETS, Arc, Part, Straight
from bentwork.takeoff.shape import Face

__all__ = ["Rod", "bores", "middle_ends", "rods", "tube_radius"]

SAME_RADIUS = 3e-3
"""Faces whose radii differ by less belong to one bar, mm."""
SAME_WAY = 3e-4
"""Axes that differ by less run the same way, rad."""
ROUGH = 1e-3
"""Where coordinates are rounded to 3 decimals the middle of a pipe is known to within this, mm."""
COVERED = 0.6 * 2.0 * math.pi
"""A bar shows more than this of its round, rad; the corner of a square tube shows a quarter."""
HOLLOW = 0.5
"""A bar is hollow along more than this share of it; what is shorter is a hole in its end."""


@dataclass(frozen=True, slots=True)
class Rod:
    """Straights and arcs of one radius, not yet chained.

    Args:
        radius: of the bar, mm.
        parts: straights and arcs.
        faces: numbers of the faces that each part was made from.
    """

    radius: float
    parts: tuple[Part, ...]
    faces: tuple[tuple[int, ...], ...]


def rods(faces: Sequence[Face]) -> list[Rod]:
    """Return the straights and arcs of every radius, the one with most surface first.

    Args:
        faces: of a solid, those without formula already taken apart.
    """
    sides = [f for f in faces if f.outward and tube_radius(f) > 0.0]
    found = []
    for radius, group in _by_radius(sides):
        parts = [*_straights(group, radius), *_arcs(group, radius)]
        if parts:
            surface = sum(part.length for part, _ in parts) * radius
            found.append((surface, Rod(radius, tuple(p for p, _ in parts), tuple(n for _, n in parts))))
    found.sort(key=lambda pair: -pair[0])
    return [rod for _, rod in found]


def bores(faces: Sequence[Face], parts: Sequence[Part], radius: float) -> dict[float, set[int]]:
    """Return the radii of what is hollow along these parts, with the faces of each.

    Args:
        faces: of the solid.
        parts: of one bar.
        radius: of the bar, mm.
    """
    lines = [(p.a, p.tangents[0], p.length) for p in parts if isinstance(p, Straight)]
    arcs = [p for p in parts if isinstance(p, Arc)]
    found: dict[float, set[int]] = {}
    lengths: dict[float, float] = {}
    for face in faces:
        inner = tube_radius(face)
        if face.outward or not 0.0 < inner < radius:
            continue
        if face.kind == "cylinder":
            inside = any(_same_axis(face, start, way) and _beside(face, start, way, far) for start, way, far in lines)
            length, round_it = face.v[1] - face.v[0], face.u[1] - face.u[0]
        else:
            inside = any(_same_circle(face, arc) for arc in arcs)
            length, round_it = face.radius * (face.u[1] - face.u[0]), face.v[1] - face.v[0]
        if inside:
            key = next((k for k in found if abs(k - inner) < SAME_RADIUS), inner)
            found.setdefault(key, set()).add(face.part_of)
            lengths[key] = lengths.get(key, 0.0) + length * round_it / (2.0 * math.pi)
    least = HOLLOW * sum(part.length for part in parts)
    return {radius: numbers for radius, numbers in found.items() if lengths[radius] > least}


def tube_radius(face: Face) -> float:
    """Return the radius of a cylinder, or of the tube of a torus that does not go past its axis, mm; 0 for others."""
    if face.kind == "cylinder":
        return face.radius
    if face.kind == "torus" and face.minor < face.radius + SAME_RADIUS:
        return face.minor
    return 0.0


def middle_ends(face: Face) -> tuple[Vec, Vec]:
    """Return where the middle of a cylinder or of a torus begins and ends."""
    if face.kind == "cylinder":
        return along(face.origin, face.axis, face.v[0]), along(face.origin, face.axis, face.v[1])
    begin, end = (along(face.origin, _out(face, u), face.radius) for u in face.u)
    return begin, end


def _by_radius(faces: list[Face]) -> list[tuple[float, list[Face]]]:
    groups: list[tuple[float, list[Face]]] = []
    for face in sorted(faces, key=tube_radius):
        if groups and tube_radius(face) - groups[-1][0] < SAME_RADIUS:
            groups[-1][1].append(face)
        else:
            groups.append((tube_radius(face), [face]))
    return groups


def _beside(face: Face, point: Vec, way: Vec, length: float) -> bool:
    """Tell whether a cylinder goes along a part of a straight, and not on after it."""
    at, turn = dot(sub(face.origin, point), way), dot(face.axis, way)
    one, two = at + turn * face.v[0], at + turn * face.v[1]
    return min(one, two) < length and max(one, two) > 0.0


def _same_axis(face: Face, point: Vec, way: Vec) -> bool:
    # Written out: it is asked for every pair of corners of a rounded tube.
    (ax, ay, az), (wx, wy, wz) = face.axis, way
    x, y, z = ay * wz - az * wy, az * wx - ax * wz, ax * wy - ay * wx
    if x * x + y * y + z * z > (SAME_WAY * 3) ** 2:
        return False
    (px, py, pz), (ox, oy, oz) = point, face.origin
    x, y, z = px - ox, py - oy, pz - oz
    ahead = x * ax + y * ay + z * az
    x, y, z = x - ahead * ax, y - ahead * ay, z - ahead * az
    return x * x + y * y + z * z < (2 * MEETS) ** 2


def _same_circle(face: Face, arc: Arc) -> bool:
    near = distance(face.origin, arc.centre) < 2 * MEETS and abs(face.radius - arc.radius) < 2 * MEETS
    return near and abs(dot(face.axis, arc.axis)) > 1.0 - 1e-6


def _straights(faces: list[Face], radius: float) -> list[tuple[Part, tuple[int, ...]]]:
    """Return straights: cylinders with one axis, put together where they touch and go round far enough."""
    groups: list[list[Face]] = []
    round_ones = [face for face in faces if face.kind == "cylinder"]
    # Seen along one line, the feet of one axis lie as close together as skew directions let them.
    wide = 4 * MEETS + 12 * SAME_WAY * max((abs(c) for face in round_ones for c in face.origin), default=0.0)
    cells: dict[int, list[list[Face]]] = {}
    for face in round_ones:
        (x, y, z), (a, b, c) = face.origin, face.axis
        ahead = a * x + b * y + c * z
        cell = math.floor(dot((x - ahead * a, y - ahead * b, z - ahead * c), ASKEW) / wide)
        for group in (group for k in (cell, cell - 1, cell + 1) for group in cells.get(k, ())):
            if _same_axis(face, group[0].origin, group[0].axis):
                group.append(face)
                break
        else:
            groups.append([face])
            cells.setdefault(cell, []).append(groups[-1])
    found: list[tuple[Part, tuple[int, ...]]] = []
    for group in groups:
        if sum(face.u[1] - face.u[0] for face in group) <= COVERED:
            continue  # wherever they lie, they do not go round far enough
        first = max(group, key=lambda f: f.v[1] - f.v[0])
        spans = []
        for face in group:
            offset = dot(sub(face.origin, first.origin), first.axis)
            sign = 1.0 if dot(face.axis, first.axis) > 0.0 else -1.0
            low, high = sorted((offset + sign * face.v[0], offset + sign * face.v[1]))
            spans.append((low, high, face.u[1] - face.u[0], face.part_of))
        for low, high, numbers in _covered(spans):
            ends = along(first.origin, first.axis, low), along(first.origin, first.axis, high)
            found.append((Straight(*ends), numbers))
    return found


def _arcs(faces: list[Face], radius: float) -> list[tuple[Part, tuple[int, ...]]]:
    """Return arcs: tori about one circle, put together where they touch and go round far enough."""
    groups: list[list[Face]] = []
    for face in faces:
        if face.kind != "torus":
            continue
        for group in groups:
            if _one_circle(face, group[0]):
                group.append(face)
                break
        else:
            groups.append([face])
    found: list[tuple[Part, tuple[int, ...]]] = []
    for group in groups:
        if sum(face.v[1] - face.v[0] for face in group) <= COVERED:
            continue
        first = max(group, key=lambda f: f.u[1] - f.u[0])
        spans = []
        for face in group:
            # Angles are counted from first.x about the circle, by the right-hand rule about x cross y.
            begin = math.atan2(dot(_out(face, face.u[0]), first.y), dot(_out(face, face.u[0]), first.x))
            width = face.u[1] - face.u[0]
            if dot(cross(face.x, face.y), cross(first.x, first.y)) < 0.0:
                begin -= width
            spans.append((begin, begin + width, face.v[1] - face.v[0], face.part_of))
        axis = cross(first.x, first.y)
        for low, high, numbers in _round_the_circle(spans):
            out = _out(first, low)
            found.append((Arc(first.origin, axis, out, first.radius, high - low), numbers))
    return found


def _one_circle(face: Face, other: Face) -> bool:
    """Tell whether tori lie about one circle; of a slight bend, rounded coordinates tell no more than its middle."""
    turned = min(face.u[1] - face.u[0], other.u[1] - other.u[0])
    near = max(MEETS, ROUGH / (1.0 - math.cos(min(turned, math.pi) / 2.0)))
    if abs(face.radius - other.radius) >= near or distance(face.origin, other.origin) >= near:
        return False
    if near == MEETS:
        return abs(dot(face.axis, other.axis)) > 1.0 - 1e-6
    return all(
        _off(other, along(face.origin, _out(face, u), face.radius)) < MEETS for u in (*face.u, sum(face.u) / 2.0)
    )


def _off(face: Face, point: Vec) -> float:
    """Return how far a point lies from the circle that a torus lies about, mm."""
    rel = sub(point, face.origin)
    height = dot(rel, face.axis)
    return math.hypot(norm(along(rel, face.axis, -height)) - face.radius, height)


def _out(face: Face, u: float) -> Vec:
    c, s = math.cos(u), math.sin(u)
    x, y = face.x, face.y
    return (c * x[0] + s * y[0], c * x[1] + s * y[1], c * x[2] + s * y[2])


def _round_the_circle(spans: list[tuple[float, float, float, int]]) -> list[tuple[float, float, tuple[int, ...]]]:
    """Return what angles are covered, beginning where nothing is."""
    whole = 2.0 * math.pi
    if len(spans) > 1:
        starts = sorted(s[0] % whole for s in spans)
        for begin in starts:
            shifted = []
            for low, high, across, number in spans:
                at = (low - begin + 1e-7) % whole + begin - 1e-7
                shifted.append((at, at + high - low, across, number))
            if all(high <= begin + whole + 1e-5 for _, high, *_ in shifted):
                return [(low, min(high, low + whole), numbers) for low, high, numbers in _covered(shifted, 1e-5)]
        return [(low, min(high, low + whole), numbers) for low, high, numbers in _covered(spans, 1e-5)]
    return _covered(spans, 1e-5)


def _covered(
    spans: list[tuple[float, float, float, int]], gap: float = MEETS
) -> list[tuple[float, float, tuple[int, ...]]]:
    """Put spans (from, to, angle round the bar, face) together that touch; keep what goes round far enough."""
    found = []
    run: list[tuple[float, float, float, int]] = []
    reach = -math.inf
    for span in [*sorted(spans), (math.inf, math.inf, 0.0, 0)]:
        if run and span[0] > reach + gap:
            low, high = run[0][0], reach
            covered = sum((s[1] - s[0]) * s[2] for s in run)
            if high - low > gap and covered > COVERED * (high - low):
                found.append((low, high, tuple(s[3] for s in run)))
            run = []
            reach = -math.inf
        run.append(span)
        reach = max(reach, span[1])
    return found
