"""Which straight edges of a face belong to one bar: those with the bar's metal between them.

A face may be the side of several bars that were fused: then its edges are in pieces, and metal goes on from one bar
into another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from bentwork.space import Vec, cross, dot, sub
from bentwork.takeoff.runs import MEETS
from bentwork.takeoff.shape import Face

__all__ = ["AS_FAR", "Line", "Neighbours", "across_metal"]

Line: TypeAlias = tuple[tuple[Vec, Vec], Vec]
"""A straight edge: its ends, and where it runs."""

PARALLEL = 1.0 - 1e-8
"""Edges run the same way when the cosine between them is above this."""
AS_FAR = 2.0 * MEETS
"""Places that differ by less across a bar are one, mm."""
RISES = 0.02
"""A face whose middle lies no deeper below its neighbour's plane goes on smoothly, mm."""


def across_metal(own: Sequence[int], lines: Sequence[Line], face: Face, join: Callable[[int, int], bool]) -> None:
    """Find which edges of a plane face lie across the metal of a bar from one another.

    Seen along lines at right angles to an edge, metal and air take turns at the edges. Where another bar ends on the
    edge, or on the one across, its metal is seen as well: what is long and not wide counts.

    Args:
        own: straight edges of the face.
        lines: all of the solid.
        face: a plane.
        join: told of every pair; what it takes is not asked for again from the other side.
    """
    left, ends = list(own), np.array([lines[number][0] for number in own])
    while left:
        way = lines[left[0]][1]
        parallel = {number for number in left if abs(dot(lines[number][1], way)) > PARALLEL}
        left = [number for number in left if number not in parallel]
        if len(parallel) == 1:
            continue
        places = ends @ np.array((way, cross(face.axis, way))).T
        seen = []
        for number, ((begin, p), (end, q)) in zip(own, places.tolist(), strict=True):
            if end - begin > MEETS:
                seen.append((begin, end, p, q, number))
            elif begin - end > MEETS:
                seen.append((end, begin, q, p, number))
        some = sorted((row for row in seen if row[4] in parallel), key=lambda row: row[0] - row[1])
        known: set[int] = set()
        for one in some:
            if one[4] not in known:
                beside = [row for row in seen if row[1] > one[0] + MEETS and row[0] < one[1] - MEETS]
                known.update(two for two in _across(one, beside) if join(one[4], two))


_Seen: TypeAlias = tuple[float, float, float, float, int]
"""An edge in the plane of its face: from where to where along, how far aside there, and its number."""


def _across(one: _Seen, beside: Sequence[_Seen]) -> list[int]:
    """Return the edges in one line that lie across from one edge; none where there is no bar."""
    begin, end, aside, *_ = one
    two = _beyond(one, beside, (begin + end) / 2.0)
    if two is not None and _plainly(one, two, beside):
        return [two[4]]
    counts = _counted(one, beside)
    if not counts:
        return []
    beyond = max(counts, key=lambda key: counts[key])
    those = [row for row in beside if all(abs(p - aside - beyond) < AS_FAR for p in row[2:4])]
    reach = max((row[1] for row in those), default=0.0) - min((row[0] for row in those), default=0.0)
    return [row[4] for row in those] if max(end - begin, reach) > abs(beyond) else []


def _at(row: _Seen, place: float) -> float:
    """Return how far aside an edge is at a place along."""
    begin, end, p, q, _ = row
    return p + (q - p) * (place - begin) / (end - begin)


def _beyond(one: _Seen, beside: Sequence[_Seen], place: float) -> _Seen | None:
    """Return the edge at which metal ends that begins at another, at a place along; None where that cannot be told."""
    rows = [(_at(row, place), row[4], row) for row in beside if row[0] < place < row[1]]
    if len(rows) % 2:
        return None  # something is not a straight edge
    rows.sort()
    k = next(k for k, row in enumerate(rows) if row[2] is one)
    return rows[k ^ 1][2]


def _plainly(one: _Seen, two: _Seen, beside: Sequence[_Seen]) -> bool:
    """Tell whether one edge lies across from another along more than half of it, none between them."""
    (begin, end, aside, _, _), beyond = one, two[2] - one[2]
    low, high, towards = max(begin, two[0]), min(end, two[1]), 1.0 if beyond > 0.0 else -1.0
    if abs(two[3] - two[2]) > AS_FAR or high - low < max(0.5 * (end - begin), abs(beyond)):
        return False
    far = abs(beyond) - AS_FAR
    for row in beside:
        begin, end, p, q, _ = row
        first, last = max(low, begin), min(high, end)
        if last - first > MEETS and row is not one and row is not two:
            lean = (q - p) / (end - begin)
            for place in (first, last):
                if AS_FAR < towards * (p + lean * (place - begin) - aside) < far:
                    return False
    return True


def _counted(one: _Seen, beside: Sequence[_Seen]) -> dict[float, float]:
    """Return how far metal goes from an edge, with how much speaks for a bar as wide as that."""
    begin, end, aside, *_ = one
    stops = sorted({begin, end, *(stop for row in beside for stop in row[:2] if begin < stop < end)})
    spans: list[tuple[float, float]] = []
    for low, high in pairwise(stops):
        if high - low < MEETS:
            continue
        two = _beyond(one, beside, (low + high) / 2.0)
        if two is None:
            continue
        beyond = _at(two, (low + high) / 2.0) - aside
        if spans and abs(spans[-1][0] - beyond) < AS_FAR:
            spans[-1] = beyond, spans[-1][1] + high - low
        else:
            spans.append((beyond, high - low))
    counts: dict[float, float] = {}
    for beyond, size in spans:
        if abs(beyond) > AS_FAR:
            key = next((key for key in counts if abs(key - beyond) < AS_FAR), beyond)
            counts[key] = counts.get(key, 0.0) + size * min(1.0, size / abs(beyond))
    return counts


class Neighbours:
    """The faces on the other side of edges."""

    def __init__(self, faces: Sequence[Face]) -> None:
        """Take the faces of a solid."""
        self._beside: dict[int, list[Face]] = {}
        for face in faces:
            for number in face.edges:
                if number in self._beside:
                    self._beside[number].append(face)
                else:
                    self._beside[number] = [face]

    def rises(self, face: Face, number: int, one: Line, two: Line) -> bool:
        """Tell whether the neighbour of a face at an edge stands up from it, as in an inside corner.

        Args:
            face: a plane or cylinder.
            number: of the edge.
            one: the edge.
            two: another one of the face, side by side with it.
        """
        if face.kind == "cylinder":
            return not face.outward
        own = self._beside[number]
        other = own[-1] if own[0] is face else own[0]
        if other.kind == "cylinder":  # its round begins smoothly, up from the face or down
            return dot(face.axis, sub(other.origin, one[0][0])) > RISES
        if other.kind != "plane":
            return False
        ((ax, ay, az), (bx, by, bz)), ((cx, cy, cz), (dx, dy, dz)) = one[0], two[0]
        x, y, z = other.axis
        return x * (cx + dx - ax - bx) + y * (cy + dy - ay - by) + z * (cz + dz - az - bz) > 2.0 * RISES
