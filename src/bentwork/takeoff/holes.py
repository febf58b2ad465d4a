"""Drilled holes: where along the developed length, and where round the bar."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bentwork.piece.bend import half_turn
from bentwork.piece.centreline import Centreline
from bentwork.space import cross, dot, norm, sub
from bentwork.takeoff.bar import Hole
from bentwork.takeoff.ends import Rest
from bentwork.takeoff.shape import Face
from bentwork.takeoff.unbend import unbent

__all__ = ["holes_of"]

SAME_AXIS = 5e-3
"""Walls whose holes are less apart were drilled in one go, mm."""
ROUND = 1.5 * math.pi
"""A hole shows more than this of its round, rad; the end of a slot shows half a turn."""


def holes_of(line: Centreline, rests: Sequence[Rest], half: float) -> tuple[Hole, ...]:
    """Return the holes of a bar, by station.

    Args:
        line: of the bar.
        rests: faces that are no sides and no bore.
        half: half of the section's smaller size, mm.
    """
    walls = [r.face for r in rests if r.face.kind == "cylinder" and not r.face.outward]
    groups: list[list[Face]] = []
    for wall in walls:
        for group in groups:
            if _same(wall, group[0]):
                group.append(wall)
                break
        else:
            groups.append([wall])
    found = []
    for group in groups:
        hole = _hole(line, group, rests, half)
        if hole is not None:
            found.append(hole)
    return tuple(sorted(found, key=lambda hole: (hole.at, hole.round)))


def _same(a: Face, b: Face) -> bool:
    between = sub(a.origin, b.origin)
    aside = sub(between, tuple(dot(between, b.axis) * c for c in b.axis))  # type: ignore[arg-type]
    return norm(cross(a.axis, b.axis)) < 1e-4 and norm(aside) < SAME_AXIS and abs(a.radius - b.radius) < SAME_AXIS


def _hole(line: Centreline, walls: list[Face], rests: Sequence[Rest], half: float) -> Hole | None:
    first = walls[0]
    spans = []
    for wall in walls:
        offset = dot(sub(wall.origin, first.origin), first.axis)
        sign = 1.0 if dot(wall.axis, first.axis) > 0.0 else -1.0
        spans.append(sorted((offset + sign * wall.v[0], offset + sign * wall.v[1])))
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    shown = sum((wall.u[1] - wall.u[0]) * (s[1] - s[0]) for wall, s in zip(walls, spans, strict=True))
    depth = sum(b - a for a, b in _union(spans))
    if depth <= 0.0 or shown < ROUND * depth:
        return None
    origin, axis = np.array(first.origin), np.array(first.axis)
    reach = 4.0 * half + high - low
    middle, width = (low + high) / 2.0, reach
    flat = np.zeros((1, 3))
    for _ in range(7):
        places = middle + np.linspace(-width, width, 33)
        flat = unbent(line, origin + places[:, None] * axis)
        k = int(np.argmin(np.hypot(flat[:, 1], flat[:, 2])))
        middle, width = float(places[k]), width / 12.0
    foot = flat[k]
    step = 0.25 * half
    ends = unbent(line, origin + np.array([[middle - step], [middle + step]]) * axis)
    way = ends[1] - ends[0]
    if math.hypot(way[1], way[2]) < 0.3 * float(np.linalg.norm(way)):
        return None  # along the bar: a bore, or a thread in its end
    outward, inward = high - middle, middle - low
    through = min(outward, inward) > 0.0 and not _has_bottom(first, walls, rests)
    angle = math.degrees(math.atan2(way[2], way[1]))
    if inward > outward:
        angle += 180.0
    angle = half_turn(angle)
    if through:
        angle = angle % 180.0
        angle = 0.0 if 180.0 - angle < 1e-6 else angle
    off = float(math.hypot(foot[1], foot[2]))
    return Hole(float(foot[0]), angle, 2.0 * first.radius, through, off if off > 1e-4 else 0.0)


def _has_bottom(wall: Face, walls: list[Face], rests: Sequence[Rest]) -> bool:
    """Tell whether a hole ends in the metal: a face that lies within its round."""
    numbers = {one.part_of for one in walls}
    origin, axis = np.array(wall.origin), np.array(wall.axis)
    for rest in rests:
        if rest.face.part_of in numbers or len(rest.points) == 0:
            continue
        aside = np.cross(rest.points - origin, axis)
        if float(np.linalg.norm(aside, axis=1).max()) < wall.radius + SAME_AXIS:
            return True
    return False


def _union(spans: list[list[float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted((s[0], s[1]) for s in spans):
        if found and low < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
