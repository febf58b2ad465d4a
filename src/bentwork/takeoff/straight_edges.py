"""Straight square, rectangular and flat bars, from parallel edges that border its sides."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.space import Vec
from bentwork.takeoff.bends_about import SAME_WAY
from bentwork.takeoff.long_edges import Strip
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.runs import MEETS, Straight
from bentwork.takeoff.shape import Edge, Face, Floats

__all__ = ["straight_strips"]


def straight_strips(edges: Sequence[tuple[int, Edge]], faces: Sequence[Face]) -> list[Strip]:
    """Return the straight bars that a solid with nothing bent may be made of, the longest first.

    Args:
        edges: with their numbers in the solid.
        faces: of the solid.
    """
    found = []
    for group in _side_by_side(edges, faces):
        strip = _strip(group, faces)
        if strip is not None:
            found.append(strip)
    found.sort(key=lambda strip: -strip.parts[0].length)
    return found


def _side_by_side(edges: Sequence[tuple[int, Edge]], faces: Sequence[Face]) -> list[Floats]:
    """Return groups of parallel edges, (n, 2, 3), that border long sides or rounded corners together."""
    ends: dict[int, Floats] = {number: edge.points for number, edge in edges if edge.kind == "line"}
    ways = {number: (p[1] - p[0]) / max(1e-12, float(np.linalg.norm(p[1] - p[0]))) for number, p in ends.items()}
    leader = {number: number for number in ends}

    def lead(number: int) -> int:
        while leader[number] != number:
            leader[number] = leader[leader[number]]
            number = leader[number]
        return number

    for face in faces:
        if face.kind not in ("plane", "cylinder"):
            continue
        own = [number for number in face.edges if number in ends]
        if len(own) > 60:
            continue
        for k, one in enumerate(own):
            beside = _across_metal(one, own, ends, face) if face.kind == "plane" else None
            for two in own[:k]:
                if beside is not None and two not in beside:
                    continue
                if abs(float(ways[one] @ ways[two])) < 1.0 - 1e-8:
                    continue
                rel = ends[two] - ends[one][0]
                at = np.sort(rel @ ways[one])
                size = float(np.linalg.norm(ends[one][1] - ends[one][0]))
                overlap = min(size, float(at[1])) - max(0.0, float(at[0]))
                apart = float(np.linalg.norm(rel[0] - (rel[0] @ ways[one]) * ways[one]))
                if apart < overlap or apart < MEETS:
                    leader[lead(one)] = lead(two)
    groups: dict[int, list[Floats]] = {}
    for number in ends:
        groups.setdefault(lead(number), []).append(ends[number])
    return _nested([np.array(group) for group in groups.values() if len(group) >= 4])


def _across_metal(one: int, own: Sequence[int], ends: dict[int, Floats], face: Face) -> set[int] | None:
    """Return the edges that lie across the metal of a plane face from one edge; None when that cannot be told.

    Seen along a line at right angles to it, metal and air take turns at the edges: of a frame in one face the edges
    of one bar belong together, and not those on both sides of the opening.
    """
    a, b = ends[one]
    way = (b - a) / max(1e-12, float(np.linalg.norm(b - a)))
    middle, x = (a + b) / 2.0, np.cross(np.array(face.axis), way)
    places: list[tuple[float, int]] = []
    for number in own:
        rel = ends[number] - middle
        at = rel @ way
        if float(at.min()) < -MEETS and float(at.max()) > MEETS:
            share = float(at[0] / (at[0] - at[1]))
            places.append((float(((1.0 - share) * rel[0] + share * rel[1]) @ x), number))
    places.sort()
    if len(places) % 2:
        return None
    k = next(k for k, (_, number) in enumerate(places) if number == one)
    return {number for place, number in places if abs(place - places[k ^ 1][0]) < MEETS}


def _nested(groups: list[Floats]) -> list[Floats]:
    """Put the edges of a hole together with those of the outside that goes round it."""
    groups = sorted(groups, key=lambda group: -float(np.ptp(group.reshape(-1, 3), axis=0).max()))
    found: list[Floats] = []
    for group in groups:
        for k, outer in enumerate(found):
            way = outer[0, 1] - outer[0, 0]
            way = way / float(np.linalg.norm(way))
            along = group[0, 1] - group[0, 0]
            if abs(float(along @ way)) < (1.0 - 1e-8) * float(np.linalg.norm(along)):
                continue
            across = np.eye(3) - np.outer(way, way)
            big, small = outer.reshape(-1, 3) @ across, group.reshape(-1, 3) @ across
            inside = np.all(small.min(axis=0) >= big.min(axis=0) - MEETS) and np.all(
                small.max(axis=0) <= big.max(axis=0) + MEETS
            )
            if inside:
                found[k] = np.vstack((outer, group))
                break
        else:
            found.append(group)
    return found


def _strip(group: Floats, faces: Sequence[Face]) -> Strip | None:
    """Return a straight bar from the edges along it."""
    longest = group[int(np.argmax(np.linalg.norm(group[:, 1] - group[:, 0], axis=1)))]
    way = longest[1] - longest[0]
    way = way / float(np.linalg.norm(way))
    sides = [np.array(f.axis) for f in faces if f.kind == "plane" and abs(float(np.array(f.axis) @ way)) < SAME_WAY]
    best: Strip | None = None
    tried: list[Floats] = []
    for side in sides:
        if any(abs(float(side @ one)) > 1.0 - 1e-6 or abs(float(side @ one)) < 1e-3 for one in tried):
            continue
        tried.append(side)
        x = side - (side @ way) * way
        x = x / float(np.linalg.norm(x))
        y = np.cross(way, x)
        flat = np.column_stack((group[:, 0] @ x, group[:, 0] @ y))
        middle = (flat.max(axis=0) + flat.min(axis=0)) / 2.0
        outline = rectangle_from(flat - middle)
        if outline is None:
            continue
        thick = x
        if outline.inward > outline.across:
            thick = y
            outline = Outline(outline.section, outline.area, outline.across, outline.inward)
        reach = group @ way
        foot = middle[0] * x + middle[1] * y
        straight = Straight(_vec(foot + float(reach.min()) * way), _vec(foot + float(reach.max()) * way))
        best = Strip(outline, (straight,), (), thick)
        break
    return best


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
