"""Which straight edges of a face belong to one bar: those with the bar's metal between them.

A face may be the side of several bars that were fused: then its edges are in pieces, and metal goes on from one bar
into another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.space import Vec, dot, sub
from bentwork.takeoff.bends_about import Ints
from bentwork.takeoff.runs import MEETS
from bentwork.takeoff.shape import Face, Floats

__all__ = ["AS_FAR", "PARALLEL", "Neighbours", "across_metal"]

Bools = NDArray[np.bool_]
MOST_PAIRS = 400_000
"""Edges of faces held against one another at a time."""

PARALLEL = 1.0 - 1e-8
"""Edges run the same way when the cosine between them is above this."""
AS_FAR = 2.0 * MEETS
"""Places that differ by less across a bar are one, mm."""
RISES = 0.02
"""A face whose middle lies no deeper below its neighbour's plane goes on smoothly, mm."""


def across_metal(
    sides: Sequence[tuple[Face, Sequence[int]]], ends: Floats, ways: Floats, join: Callable[[Face, int, int], bool]
) -> None:
    """Find which edges of plane faces lie across the metal of a bar from one another.

    Seen along lines at right angles to an edge, metal and air take turns at the edges. Where another bar ends on the
    edge, or on the one across, its metal is seen as well: what is long and not wide counts.

    Args:
        sides: planes, with the numbers of their straight edges.
        ends: of all straight edges of the solid, (n, 2, 3).
        ways: where they run, unit, (n, 3).
        join: told of every pair; what it takes is not asked for again from the other side.
    """
    first = 0
    while first < len(sides):
        count = most = 0
        while first + count < len(sides) and (not count or most <= MOST_PAIRS):
            most += len(sides[first + count][1]) ** 2
            count += 1
        _some_across(sides[first : first + count], ends, ways, join)
        first += count


def _some_across(
    sides: Sequence[tuple[Face, Sequence[int]]], ends: Floats, ways: Floats, join: Callable[[Face, int, int], bool]
) -> None:
    rows, asked, side = _seen(sides, ends, ways)
    if len(asked) == 0:
        return
    beside = _beside(rows, asked)
    middles = (rows.begins[asked] + rows.ends[asked]) / 2.0
    two = _beyond(rows, asked, middles, beside)
    plain = _plainly(rows, asked, two, beside)
    askew = (~plain).nonzero()[0]
    counted = _counted(rows, asked, askew, beside)
    numbers = rows.numbers.tolist()
    # The longest of those of one face that run the same way first.
    order = np.lexsort((rows.begins[asked] - rows.ends[asked], rows.groups[asked]))
    known: set[int] = set()
    group = -1
    own, partners, groups, faces = (row.tolist() for row in (asked, two, rows.groups[asked], side[asked]))
    for k in order.tolist():
        if groups[k] != group:
            group, known = groups[k], set()
        one = numbers[own[k]]
        if one not in known:
            face = sides[faces[k]][0]
            others = [partners[k]] if k not in counted else counted[k]
            known.update(other for other in (numbers[n] for n in others) if join(face, one, other))


class _Rows(NamedTuple):
    """Edges in the planes of their faces, each as often as edges of its face run another way.

    Args:
        groups: which of them are seen together, in order.
        begins: how far along the way of their group each begins, mm.
        ends: and ends, further on.
        firsts: how far aside it is where it begins.
        lasts: and where it ends.
        numbers: of the edges.
    """

    groups: Ints
    begins: Floats
    ends: Floats
    firsts: Floats
    lasts: Floats
    numbers: Ints

    def at(self, rows: Ints, places: Floats) -> Floats:
        """Return how far aside edges are at places along."""
        begins, firsts = self.begins[rows], self.firsts[rows]
        return firsts + (self.lasts[rows] - firsts) * (places - begins) / (self.ends[rows] - begins)


class _Beside(NamedTuple):
    """Which edges are seen beside each that is asked for.

    Args:
        which: of those asked for, in order.
        rows: that are beside it, itself among them.
        starts: where those of each begin.
        counts: how many they are.
    """

    which: Ints
    rows: Ints
    starts: Ints
    counts: Ints


def _each(starts: Ints, counts: Ints) -> tuple[Ints, Ints]:
    """Return runs of numbers one after the other: which of the runs each belongs to, and the number."""
    which = np.arange(len(counts)).repeat(counts)
    return which, np.arange(len(which)) + (starts - counts.cumsum() + counts).repeat(counts)


def _seen(sides: Sequence[tuple[Face, Sequence[int]]], ends: Floats, ways: Floats) -> tuple[_Rows, Ints, Ints]:
    """Return edges as they are seen in their faces, those that are asked for, and the face of each."""
    counts = np.array([len(own) for _, own in sides])
    numbers = np.array([number for _, own in sides for number in own])
    starts = counts.cumsum() - counts
    side = np.arange(len(sides)).repeat(counts)
    one, two = _each(starts[side], counts[side])
    same = np.abs(np.einsum("ij,ij->i", ways[numbers[one]], ways[numbers[two]])) > PARALLEL
    firsts = counts[side].cumsum() - counts[side]
    leaders = np.minimum.reduceat(np.where(same, two, len(numbers)), firsts)
    together = np.bincount(leaders, minlength=len(numbers)) > 1
    seen = together[one]
    one, two = one[seen], two[seen]
    way = ways[numbers[one]]
    x, y, z = np.array([face.axis for face, _ in sides])[side[one]].T
    a, b, c = way.T
    aside = np.column_stack((y * c - z * b, z * a - x * c, x * b - y * a))
    own = ends[numbers[two]]
    places, off = np.einsum("ikj,ij->ki", own, way), np.einsum("ikj,ij->ki", own, aside)
    long = (np.abs(places[1] - places[0]) > MEETS).nonzero()[0]
    one, two, places, off = one[long], two[long], places[:, long], off[:, long]
    forth = places[1] > places[0]
    begins, beyond = np.where(forth, places, places[::-1])
    p, q = np.where(forth, off, off[::-1])
    asked = (leaders[two] == one).nonzero()[0]
    return _Rows(one, begins, beyond, p, q, numbers[two]), asked, side[two]


def _beside(rows: _Rows, asked: Ints) -> _Beside:
    begun = np.searchsorted(rows.groups, rows.groups[asked])
    which, other = _each(begun, np.searchsorted(rows.groups, rows.groups[asked], side="right") - begun)
    one = asked[which]
    near = (rows.ends[other] > rows.begins[one] + MEETS) & (rows.begins[other] < rows.ends[one] - MEETS)
    counts = np.bincount(which[near], minlength=len(asked))
    return _Beside(which[near], other[near], counts.cumsum() - counts, counts)


def _beyond(rows: _Rows, ones: Ints, places: Floats, beside: _Beside, which: Ints | None = None) -> Ints:
    """Return the edges at which metal ends that begins at others, at places along; -1 where that cannot be told.

    Args:
        rows: the edges.
        ones: of every place the edge where metal begins.
        places: where along.
        beside: which edges are beside those asked for.
        which: of those asked for belongs to each place; None where all do in turn.
    """
    if which is None:
        query, other = beside.which, beside.rows
    else:
        query, k = _each(beside.starts[which], beside.counts[which])
        other = beside.rows[k]
    place = places[query]
    met = (rows.begins[other] < place) & (place < rows.ends[other])
    query, other = query[met], other[met]
    order = np.lexsort((rows.numbers[other], rows.at(other, place[met]), query))
    query, other = query[order], other[order]
    counts = np.bincount(query, minlength=len(ones))
    found = np.full(len(ones), -1)
    own = (other == ones[query]).nonzero()[0]
    its = query[own]
    starts = (counts.cumsum() - counts)[its]
    even = counts[its] % 2 == 0  # else something is not a straight edge
    found[its[even]] = other[(starts + ((own - starts) ^ 1))[even]]
    return found


def _plainly(rows: _Rows, asked: Ints, two: Ints, beside: _Beside) -> Bools:
    """Tell which edges lie across from others along more than half of them, none between them."""
    found = (two >= 0) & (np.abs(rows.lasts[two] - rows.firsts[two]) <= AS_FAR)
    begins, ends, aside = rows.begins[asked], rows.ends[asked], rows.firsts[asked]
    beyond = rows.firsts[two] - aside
    low, high = np.maximum(begins, rows.begins[two]), np.minimum(ends, rows.ends[two])
    found &= high - low >= np.maximum(0.5 * (ends - begins), np.abs(beyond))
    which, other = beside.which, beside.rows
    left = (found[which] & (other != asked[which]) & (other != two[which])).nonzero()[0]
    which, other = which[left], other[left]
    first, last = np.maximum(low[which], rows.begins[other]), np.minimum(high[which], rows.ends[other])
    towards, far = np.where(beyond > 0.0, 1.0, -1.0)[which], (np.abs(beyond) - AS_FAR)[which]
    between = np.zeros(len(which), dtype=bool)
    for place in (first, last):
        off = towards * (rows.at(other, place) - aside[which])
        between |= (off > AS_FAR) & (off < far)
    found[which[between & (last - first > MEETS)]] = False
    return found


def _counted(rows: _Rows, asked: Ints, some: Ints, beside: _Beside) -> dict[int, list[int]]:
    """Return of some of those asked for the edges in one line that lie across from each; none where there is no bar."""
    which, k = _each(beside.starts[some], beside.counts[some])
    other, ones = beside.rows[k], asked[some]
    stops = np.concatenate((rows.begins[ones], rows.ends[ones], rows.begins[other], rows.ends[other]))
    each = np.arange(len(some))
    whose = np.concatenate((each, each, which, which))
    inside = (stops >= rows.begins[ones][whose]) & (stops <= rows.ends[ones][whose])
    stops, whose = stops[inside], whose[inside]
    order = np.lexsort((stops, whose))
    stops, whose = stops[order], whose[order]
    span = ((stops[1:] - stops[:-1] >= MEETS) & (whose[1:] == whose[:-1])).nonzero()[0]
    of, sizes, places = whose[span], stops[span + 1] - stops[span], (stops[span] + stops[span + 1]) / 2.0
    two = _beyond(rows, ones[of], places, beside, some[of])
    aside = rows.firsts[ones]
    met = (two >= 0).nonzero()[0]
    beyond = rows.at(two[met], places[met]) - aside[of[met]]
    wide = np.full(len(some), np.nan)
    spans = np.bincount(of[met], minlength=len(some))
    lone = spans[of[met]] == 1
    wide[of[met][lone]] = np.where(np.abs(beyond) > AS_FAR, beyond, np.nan)[lone]
    bounds = [0, *spans.cumsum().tolist()]
    seen = list(zip(beyond.tolist(), sizes[met].tolist(), strict=True))
    for n in (spans > 1).nonzero()[0].tolist():
        wide[n] = _most(seen[bounds[n] : bounds[n + 1]])
    there = (aside + wide)[which]
    in_line = np.maximum(np.abs(rows.firsts[other] - there), np.abs(rows.lasts[other] - there)) < AS_FAR
    which, other = which[in_line], other[in_line]
    low, high = np.full(len(some), np.inf), np.full(len(some), -np.inf)
    np.minimum.at(low, which, rows.begins[other])
    np.maximum.at(high, which, rows.ends[other])
    is_bar = np.maximum(rows.ends[ones] - rows.begins[ones], high - low) > np.abs(wide)
    found: dict[int, list[int]] = {n: [] for n in some.tolist()}
    for n, row in zip(some[which].tolist(), other.tolist(), strict=True):
        found[n].append(row)
    return {n: its if good else [] for (n, its), good in zip(found.items(), is_bar.tolist(), strict=True)}


def _most(spans: Sequence[tuple[float, float]]) -> float:
    """Return how far metal goes from an edge where most speaks for a bar as wide as that; NaN where nothing does.

    Args:
        spans: how far it goes, and along how much of the edge, in order.
    """
    joined: list[tuple[float, float]] = []
    for beyond, size in spans:
        if joined and abs(joined[-1][0] - beyond) < AS_FAR:
            joined[-1] = beyond, joined[-1][1] + size
        else:
            joined.append((beyond, size))
    counts: dict[float, float] = {}
    for beyond, size in joined:
        if abs(beyond) > AS_FAR:
            key = next((key for key in counts if abs(key - beyond) < AS_FAR), beyond)
            counts[key] = counts.get(key, 0.0) + size * min(1.0, size / abs(beyond))
    return max(counts, key=lambda key: counts[key]) if counts else np.nan


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

    def rises(self, face: Face, number: int, one: Sequence[Vec], two: Sequence[Vec]) -> bool:
        """Tell whether the neighbour of a face at an edge stands up from it, as in an inside corner.

        Args:
            face: a plane or cylinder.
            number: of the edge.
            one: the ends of the edge.
            two: those of another one of the face, side by side with it.
        """
        if face.kind == "cylinder":
            return not face.outward
        own = self._beside[number]
        other = own[-1] if own[0] is face else own[0]
        if other.kind == "cylinder":  # its round begins smoothly, up from the face or down
            return dot(face.axis, sub(other.origin, one[0])) > RISES
        if other.kind != "plane":
            return False
        ((ax, ay, az), (bx, by, bz)), ((cx, cy, cz), (dx, dy, dz)) = one, two
        x, y, z = other.axis
        return x * (cx + dx - ax - bx) + y * (cy + dy - ay - by) + z * (cz + dz - az - bz) > 2.0 * RISES
