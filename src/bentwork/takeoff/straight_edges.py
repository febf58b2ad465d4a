"""Straight square, rectangular and flat bars, from parallel edges that border its sides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from typing import TypeAlias

import numpy as np

from bentwork.space import Vec, add, along, cross, dot, scale, unit
from bentwork.takeoff.bends_about import SAME_WAY, Ints
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.long_edges import Strip
from bentwork.takeoff.outline import rectangle_from
from bentwork.takeoff.runs import MEETS, Straight
from bentwork.takeoff.shape import Face, Floats

__all__ = ["straight_strips"]

MOST_OF_A_FACE = 60
"""Straight edges of one face: those of a face with more are not looked at."""
FACES_AT_ONCE = 500
"""Faces whose straight edges are held against one another at a time."""


def straight_strips(edges: Edges, faces: Sequence[Face]) -> list[Strip]:
    """Return the straight bars that a solid with nothing bent may be made of, the longest first.

    Args:
        edges: of the solid.
        faces: of the solid.
    """
    found = []
    for group in _side_by_side(edges, faces):
        strip = _strip(group, faces)
        if strip is not None:
            found.append(strip)
    found.sort(key=lambda strip: -strip.parts[0].length)
    return found


_Line: TypeAlias = tuple[tuple[Vec, Vec], Vec]
"""A straight edge: its ends, and where it runs."""


def _side_by_side(edges: Edges, faces: Sequence[Face]) -> list[Floats]:
    """Return groups of parallel edges, (n, 2, 3), that border long sides or rounded corners together."""
    chords = edges.ends[:, 1] - edges.ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    ways = chords / np.maximum(1e-12, sizes)[:, None]
    places = {number: k for k, number in enumerate(edges.line_numbers.tolist())}
    leader = list(range(len(edges.ends)))

    def lead(k: int) -> int:
        while leader[k] != k:
            leader[k] = leader[leader[k]]
            k = leader[k]
        return k

    sides = []
    for face in faces:
        if face.kind in ("plane", "cylinder"):
            own = [places[number] for number in face.edges if number in places]
            if 2 <= len(own) <= MOST_OF_A_FACE:
                sides.append((face, own))
    lines: list[_Line] = list(zip(edges.ends.tolist(), ways.tolist(), strict=True))
    more: dict[tuple[int, int], list[int]] = {}
    for at, one, two in _abreast(edges.ends, ways, sizes, [own for _, own in sides]):
        face = sides[at][0]
        if face.kind == "plane" and len(face.edges) > 4:
            more.setdefault((at, one), []).append(two)
        else:  # a face of four has one way across
            leader[lead(one)] = lead(two)
    for (at, one), them in more.items():
        beside = [two for two in them if lead(one) != lead(two)]
        across = _across_metal(one, sides[at][1], lines, sides[at][0]) if beside else None
        for two in beside:
            if across is None or two in across:
                leader[lead(one)] = lead(two)
    groups: dict[int, list[int]] = {}
    for k in places.values():
        groups.setdefault(lead(k), []).append(k)
    return _nested([edges.ends[group] for group in groups.values() if len(group) >= 4])


def _abreast(
    ends: Floats, ways: Floats, sizes: Floats, sides: Sequence[Sequence[int]]
) -> Iterator[tuple[int, int, int]]:
    """Yield which lines of faces run the same way, and side by side for longer than they are apart.

    Args:
        ends: of all lines, (n, 2, 3).
        ways: unit, (n, 3).
        sizes: how long they are, (n,).
        sides: of every face the numbers of its lines.

    Returns:
        which of the faces, one of its lines, and one before it that is beside it.
    """
    for first in range(0, len(sides), FACES_AT_ONCE):
        by_size: dict[int, list[int]] = {}
        for at, own in enumerate(sides[first : first + FACES_AT_ONCE], first):
            by_size.setdefault(len(own), []).append(at)
        pairs = []
        for size, faces in by_size.items():
            table, (k, n) = np.array([sides[at] for at in faces]), _pairs(size)
            pairs.append((np.repeat(faces, len(k)), table[:, k].ravel(), table[:, n].ravel()))
        at, one, two = rows = np.concatenate(pairs, axis=1)
        same = (np.abs(np.einsum("ij,ij->i", ways[one], ways[two])) >= 1.0 - 1e-8).nonzero()[0]
        one, two = one[same], two[same]
        begins, way = ends[one, 0], ways[one]
        rel = ends[two, 0] - begins
        begin, end = np.einsum("ij,ij->i", rel, way), np.einsum("ij,ij->i", ends[two, 1] - begins, way)
        aside = rel - begin[:, None] * way
        apart = np.sqrt(np.einsum("ij,ij->i", aside, aside))
        overlap = np.minimum(sizes[one], np.maximum(begin, end)) - np.maximum(0.0, np.minimum(begin, end))
        yield from zip(*rows[:, same[(apart < overlap) | (apart < MEETS)]].tolist(), strict=True)


@cache
def _pairs(count: int) -> tuple[Ints, Ints]:
    """Return all pairs of so many, the later one first."""
    found = np.array([(one, two) for one in range(count) for two in range(one)], dtype=np.intp).reshape(-1, 2)
    return found[:, 0], found[:, 1]


def _across_metal(one: int, own: Sequence[int], lines: Sequence[_Line], face: Face) -> set[int] | None:
    """Return the edges that lie across the metal of a plane face from one edge; None when that cannot be told.

    Seen along a line at right angles to it, metal and air take turns at the edges: of a frame in one face the edges
    of one bar belong together, and not those on both sides of the opening.
    """
    (first, last), way = lines[one]
    middle, x = scale(add(first, last), 0.5), cross(face.axis, way)
    level, aside = dot(middle, way), dot(middle, x)
    places: list[tuple[float, int]] = []
    for number in own:
        a, b = lines[number][0]
        begin, end = dot(a, way) - level, dot(b, way) - level
        if begin < -MEETS < MEETS < end or end < -MEETS < MEETS < begin:
            share = begin / (begin - end)
            places.append(((1.0 - share) * dot(a, x) + share * dot(b, x) - aside, number))
    places.sort()
    if len(places) % 2:
        return None
    k = next((k for k, (_, number) in enumerate(places) if number == one), None)
    if k is None:
        return None  # shorter than what ends are apart
    beyond = places[k ^ 1][0] + aside
    # What lies across may be cut in several by another bar there.
    return {number for number in own if all(abs(dot(end, x) - beyond) < MEETS for end in lines[number][0])}


def _nested(groups: list[Floats]) -> list[Floats]:
    """Put the edges of a hole together with those of the outside that goes round it."""
    if not groups:
        return []
    ends, firsts = np.concatenate(groups), np.cumsum([0, *(len(group) for group in groups[:-1])])
    points, chords = ends.reshape(-1, 3), ends[firsts, 1] - ends[firsts, 0]
    ways = chords / np.sqrt(np.einsum("ij,ij->i", chords, chords))[:, None]

    def reach(some: Floats) -> tuple[Floats, Floats]:
        return np.minimum.reduceat(some, 2 * firsts), np.maximum.reduceat(some, 2 * firsts)

    lows, highs = reach(points)
    left = (lows - highs).min(axis=1).argsort(kind="stable").tolist()  # the largest first
    found = []
    while left:
        own = left[0]
        way = ways[own]
        # Across it: what lies ahead is taken out.
        lows, highs = reach(points - (points @ way)[:, None] * way)
        inside = (np.abs(ways @ way) >= 1.0 - 1e-8) & ((lows >= lows[own] - MEETS) & (highs <= highs[own] + MEETS)).all(
            axis=1
        )
        inside[own] = True
        found.append(np.concatenate([groups[k] for k in left if inside[k]]))
        left = [k for k in left if not inside[k]]
    return found


def _strip(group: Floats, faces: Sequence[Face]) -> Strip | None:
    """Return a straight bar from the edges along it."""
    chords = group[:, 1] - group[:, 0]
    ahead = unit(_vec(chords[int(np.einsum("ij,ij->i", chords, chords).argmax())]))
    way = np.array(ahead)
    tried: list[Vec] = []
    best: Strip | None = None
    for face in faces:
        side = face.axis
        if face.kind != "plane" or abs(dot(side, ahead)) >= SAME_WAY:
            continue
        if any(abs(dot(side, one)) > 1.0 - 1e-6 or abs(dot(side, one)) < 1e-3 for one in tried):
            continue
        tried.append(side)
        across = unit(along(side, ahead, -dot(side, ahead)))
        x, y = np.array(across), np.array(cross(ahead, across))
        flat = np.column_stack((group[:, 0] @ x, group[:, 0] @ y))
        middle = (flat.max(axis=0) + flat.min(axis=0)) / 2.0
        outline = rectangle_from((flat - middle).tolist())
        if outline is None or (best is not None and outline.box > (1.0 - 1e-6) * best.outline.box):
            continue
        thick = x
        if outline.inward > outline.across:
            thick = y
            outline = replace(outline, inward=outline.across, across=outline.inward)
        reach = group @ way
        foot = middle[0] * x + middle[1] * y
        straight = Straight(_vec(foot + float(reach.min()) * way), _vec(foot + float(reach.max()) * way))
        best = Strip(outline, (straight,), thick=thick)
        if max(outline.corners) <= outline.most_broken:
            break  # else, seen askew, it may be the broken corners of a smaller one that look like sides
    return best


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
