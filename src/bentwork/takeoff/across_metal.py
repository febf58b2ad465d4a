"""Which straight edges of a face belong to one bar: those with the bar's metal between them.

A face may be the side of several bars that were fused: then its edges are in pieces, and metal goes on from one bar
into another.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.bends_about import Ints
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.runs import MEETS
from bentwork.takeoff.shape import Face, Floats

__all__ = ["AS_FAR", "MOST_PAIRS", "PARALLEL", "Neighbours", "Pair", "Sides", "across_metal"]

Bools = NDArray[np.bool_]
Pair: TypeAlias = tuple[int, int]
"""Two straight edges, by their places among all of the solid."""
MOST_PAIRS = 400_000
"""Edges of faces held against one another at a time."""

PARALLEL = 1.0 - 1e-8
"""Edges run the same way when the cosine between them is above this."""
AS_FAR = 2.0 * MEETS
"""Places that differ by less across a bar are one, mm."""
RISES = 0.02
"""A face whose middle lies no deeper below its neighbour's plane goes on smoothly, mm."""


class Sides(NamedTuple):
    """Faces with the straight edges of each.

    Args:
        faces: which of the solid's, (n,).
        starts: where the edges of each begin, (n,).
        counts: how many they are, (n,).
        edges: by their places among all straight ones of the solid; there may be others between them.
    """

    faces: Ints
    starts: Ints
    counts: Ints
    edges: Ints

    def some(self, which: Ints | Bools | slice) -> Sides:
        """Return some of them."""
        return Sides(self.faces[which], self.starts[which], self.counts[which], self.edges)


def across_metal(sides: Sides, ways: Floats, beside: Neighbours) -> tuple[list[Pair], list[Pair]]:
    """Find which edges of plane faces lie across the metal of a bar from one another.

    Seen along lines at right angles to an edge, metal and air take turns at the edges. Where another bar ends on the
    edge, or on the one across, its metal is seen as well: what is long and not wide counts.

    Args:
        sides: the faces, planes.
        ways: where the straight edges of the solid run, unit, (n, 3).
        beside: all faces and straight edges of the solid.

    Returns:
        pairs of edges, at which no neighbour stands up from the face; and those between two that do.
    """
    pairs: list[Pair] = []
    deep: list[Pair] = []
    first, most = 0, (sides.counts**2).cumsum()
    while first < len(most):
        before = most[first - 1] if first else 0
        last = max(first + 1, int(most.searchsorted(before + MOST_PAIRS, side="right")))
        _some_across(sides.some(slice(first, last)), ways, beside, pairs, deep)
        first = last
    return pairs, deep


def _some_across(sides: Sides, ways: Floats, beside: Neighbours, pairs: list[Pair], deep: list[Pair]) -> None:
    rows, asked, faces = _seen(sides, ways, beside)
    if len(asked) == 0:
        return
    near = _beside(rows, asked)
    two = _beyond(rows, asked, (rows.begins[asked] + rows.ends[asked]) / 2.0, near)
    plain = _plainly(rows, asked, two, near)
    which, others = _counted(rows, asked, (~plain).nonzero()[0], near)
    which, others = np.append(plain.nonzero()[0], which), rows.places[np.append(two[plain], others)]
    own = rows.places[asked]
    up = beside.rise(faces[which], own[which], others)
    found: list[list[tuple[int, bool, bool]]] = [[] for _ in asked]
    for k, *row in zip(*(row.tolist() for row in (which, others, *up)), strict=True):
        found[k].append((row[0], row[1], row[2]))
    # The longest of those of one face that run the same way first; those that it meets are not asked any more.
    groups = rows.groups[asked]
    order = np.lexsort((rows.begins[asked] - rows.ends[asked], groups)).tolist()
    known: set[tuple[int, int]] = set()
    ones, groups_of = own.tolist(), groups.tolist()
    for k in order:
        one, group = ones[k], groups_of[k]
        for other, at_one, at_two in found[k] if (group, one) not in known else ():
            if at_one and at_two:
                deep.append((one, other))
            elif not at_one and not at_two:
                pairs.append((one, other))
                known.add((group, other))


class _Rows(NamedTuple):
    """Edges in the planes of their faces, each as often as edges of its face run another way.

    Args:
        groups: which of them are seen together, in order.
        begins: how far along the way of their group each begins, mm.
        ends: and ends, further on.
        firsts: how far aside it is where it begins.
        lasts: and where it ends.
        places: of the edges among all straight ones.
    """

    groups: Ints
    begins: Floats
    ends: Floats
    firsts: Floats
    lasts: Floats
    places: Ints

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


def _seen(sides: Sides, ways: Floats, beside: Neighbours) -> tuple[_Rows, Ints, Ints]:
    """Return edges as they are seen in their faces, those that are asked for, and the face of each of these."""
    counts = sides.counts
    side, at = _each(sides.starts, counts)
    starts, edges = counts.cumsum() - counts, sides.edges[at]
    leaders, left = np.zeros_like(edges), np.arange(len(edges))
    while len(left):
        # Of every face what runs the same way as the first edge that is left.
        first = (np.diff(side[left], prepend=-1) > 0).nonzero()[0]
        leader = left[first].repeat(np.diff(first, append=len(left)))
        same = np.abs(np.einsum("ij,ij->i", ways[edges[left]], ways[edges[leader]])) > PARALLEL
        same[first] = True
        leaders[left[same]] = leader[same]
        left = left[~same]
    seen = (np.bincount(leaders, minlength=len(edges)) > 1).nonzero()[0]
    which, two = _each(starts[side[seen]], counts[side[seen]])
    one = seen[which]
    faces = sides.faces[side]
    way = ways[edges[one]]
    (x, y, z), (a, b, c) = beside.axes[faces[one]].T, way.T
    aside = np.column_stack((y * c - z * b, z * a - x * c, x * b - y * a))
    own = beside.ends[edges[two]]
    along, off = np.einsum("ikj,ij->ki", own, way), np.einsum("ikj,ij->ki", own, aside)
    long = (np.abs(along[1] - along[0]) > MEETS).nonzero()[0]
    one, two, along, off = one[long], two[long], along[:, long], off[:, long]
    forth = along[1] > along[0]
    begins, beyond = np.where(forth, along, along[::-1])
    p, q = np.where(forth, off, off[::-1])
    asked = (leaders[two] == one).nonzero()[0]
    return _Rows(one, begins, beyond, p, q, edges[two]), asked, faces[two[asked]]


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
    order = np.lexsort((rows.places[other], rows.at(other, place[met]), query))
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


def _counted(rows: _Rows, asked: Ints, some: Ints, beside: _Beside) -> tuple[Ints, Ints]:
    """Return which of some of those asked for have edges in one line across from them, and these; one row for each."""
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
    good = is_bar[which]
    return some[which[good]], other[good]


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
    """The straight edges of a solid, and the faces on both sides of them.

    Attributes:
        axes: of the faces; of planes their normals, (n, 3).
        planes: which of the faces are, (n,).
        rounds: which of them are cylinders, (n,).
        borders: how many edges each has, (n,).
        sides: all faces, each with its straight edges.
        ends: of the straight edges, (m, 2, 3).
    """

    def __init__(self, faces: Sequence[Face], edges: Edges) -> None:
        """Take the faces and edges of a solid."""
        self.axes, self.ends = np.array([face.axis for face in faces]).reshape(-1, 3), edges.ends
        self._origins = np.array([face.origin for face in faces]).reshape(-1, 3)
        self.rounds = np.array([face.kind == "cylinder" for face in faces], dtype=bool)
        self.planes = np.array([face.kind == "plane" for face in faces], dtype=bool)
        self._middles = edges.ends.mean(axis=1)
        numbers = np.array([number for face in faces for number in face.edges], dtype=np.intp)
        self.borders = np.array([len(face.edges) for face in faces], dtype=np.intp)
        which = np.arange(len(faces)).repeat(self.borders)
        first, last = np.zeros((2, edges.count), dtype=np.intp)
        # Of what is written to one place the last one stays.
        first[numbers[::-1]], last[numbers] = which[::-1], which
        self._first, self._last = first[edges.line_numbers], last[edges.line_numbers]
        places = np.full(edges.count, -1)
        places[edges.line_numbers] = np.arange(len(edges.ends))
        at = places[numbers]
        straight = at >= 0
        counts = np.bincount(which[straight], minlength=len(faces))
        self.sides = Sides(np.arange(len(faces)), counts.cumsum() - counts, counts, at[straight])

    def rise(self, faces: Ints, ones: Ints, twos: Ints) -> Bools:
        """Tell whether the neighbours of plane faces at two edges stand up from them, as in an inside corner, (2, k).

        Args:
            faces: the planes, (k,).
            ones: an edge of each.
            twos: another one, side by side with it.
        """
        edges = np.array((ones, twos))
        first = self._first[edges]
        other = np.where(first == faces, self._last[edges], first)
        # A round begins smoothly, up from the face or down.
        rounds = np.einsum("ij,kij->ki", self.axes[faces], self._origins[other] - self.ends[edges, 0]) > RISES
        middles = self._middles[edges]
        planes = np.einsum("kij,kij->ki", self.axes[other], middles[::-1] - middles) > RISES
        found: Bools = np.where(self.rounds[other], rounds, planes & self.planes[other])
        return found
