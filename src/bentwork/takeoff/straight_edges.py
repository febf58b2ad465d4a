"""Straight square, rectangular and flat bars, from parallel edges that border its sides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import starmap
from typing import NamedTuple

import numpy as np

from bentwork.space import Vec, add, along, cross, dot, norm, scale, sub, unit
from bentwork.takeoff.bends_about import SAME_WAY
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.long_edges import Strip
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.runs import MEETS, Straight
from bentwork.takeoff.shape import Face, Floats

__all__ = ["straight_strips"]


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


class _Line(NamedTuple):
    """A straight edge: its ends, where it runs, and how long it is."""

    a: Vec
    b: Vec
    way: Vec
    size: float


def _side_by_side(edges: Edges, faces: Sequence[Face]) -> list[Floats]:
    """Return groups of parallel edges, (n, 2, 3), that border long sides or rounded corners together."""
    chords = edges.ends[:, 1] - edges.ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    ways = chords / np.maximum(1e-12, sizes)[:, None]
    columns = (edges.ends[:, 0].tolist(), edges.ends[:, 1].tolist(), ways.tolist())
    rows = zip(*(map(tuple, column) for column in columns), sizes.tolist(), strict=True)
    lines = dict(zip(edges.line_numbers, starmap(_Line, rows), strict=True))
    leader = {number: number for number in lines}

    def lead(number: int) -> int:
        while leader[number] != number:
            leader[number] = leader[leader[number]]
            number = leader[number]
        return number

    for face in faces:
        if face.kind not in ("plane", "cylinder"):
            continue
        own = [number for number in face.edges if number in lines]
        if len(own) > 60:
            continue
        for k, one in enumerate(own):
            beside = [two for two in own[:k] if lead(one) != lead(two) and _abreast(lines[one], lines[two])]
            if beside and face.kind == "plane":
                across = _across_metal(one, own, lines, face)
                beside = [two for two in beside if across is None or two in across]
            for two in beside:
                leader[lead(one)] = lead(two)
    places = {number: k for k, number in enumerate(edges.line_numbers)}
    groups: dict[int, list[int]] = {}
    for number in lines:
        groups.setdefault(lead(number), []).append(places[number])
    return _nested([edges.ends[group] for group in groups.values() if len(group) >= 4])


def _abreast(one: _Line, two: _Line) -> bool:
    """Tell whether two lines run the same way, and side by side for longer than they are apart."""
    if abs(dot(one.way, two.way)) < 1.0 - 1e-8:
        return False
    rel = sub(two.a, one.a)
    begin, end = dot(rel, one.way), dot(sub(two.b, one.a), one.way)
    apart = norm(along(rel, one.way, -begin))
    overlap = min(one.size, max(begin, end)) - max(0.0, min(begin, end))
    return apart < overlap or apart < MEETS


def _across_metal(one: int, own: Sequence[int], lines: Mapping[int, _Line], face: Face) -> set[int] | None:
    """Return the edges that lie across the metal of a plane face from one edge; None when that cannot be told.

    Seen along a line at right angles to it, metal and air take turns at the edges: of a frame in one face the edges
    of one bar belong together, and not those on both sides of the opening.
    """
    this = lines[one]
    middle, x = scale(add(this.a, this.b), 0.5), cross(face.axis, this.way)
    way, level, aside = this.way, dot(middle, this.way), dot(middle, x)
    places: list[tuple[float, int]] = []
    for number in own:
        a, b = lines[number].a, lines[number].b
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
    chords = group[:, 1] - group[:, 0]
    ahead = unit(_vec(chords[int(np.einsum("ij,ij->i", chords, chords).argmax())]))
    way = np.array(ahead)
    tried: list[Vec] = []
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
        return Strip(outline, (straight,), (), thick)
    return None


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
