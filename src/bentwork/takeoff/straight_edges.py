"""Straight square, rectangular and flat bars, from parallel edges that border its sides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import chain, islice
from typing import NamedTuple, TypeAlias

import numpy as np

from bentwork.space import Vec, along, cross, dot, scale, unit
from bentwork.takeoff.across_metal import AS_FAR, MOST_PAIRS, PARALLEL, Neighbours, Sides, across_metal
from bentwork.takeoff.bends_about import SAME_WAY, Ints
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.long_edges import Strip
from bentwork.takeoff.outline import ALIKE, Outline, rectangle_from
from bentwork.takeoff.runs import MEETS, Straight
from bentwork.takeoff.shape import Face, Floats

__all__ = ["straight_strips", "unseen"]

Vec2: TypeAlias = tuple[float, float]
Frame: TypeAlias = tuple[Vec, Vec, Vec]

MOST_OF_A_FACE = 250
"""Straight edges of one face: those of a face with more are not looked at."""
FACES_AT_ONCE = 500
"""Faces whose straight edges are held against one another at a time."""

LONG, SHORTER = 0.5, 0.9
"""Shares of a bar's longest edge, those in one line together: all of its own are mostly above the first; those of what
is fused to it are below the second."""


def straight_strips(edges: Edges, faces: Sequence[Face]) -> list[Strip]:
    """Return the straight bars that a solid with nothing bent may be made of, the longest first.

    Args:
        edges: of the solid.
        faces: of the solid.
    """
    chords = edges.ends[:, 1] - edges.ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    looking: dict[Vec, None] = {}
    for face in faces:
        if face.kind == "plane" and scale(face.axis, -1.0) not in looking:
            looking[face.axis] = None
    lengths, ways = sizes.tolist(), list(map(tuple, chords.tolist()))
    groups = [
        _Group(own, [lengths[k] for k in own], unit(ways[max(own, key=lengths.__getitem__)]))
        for own in _side_by_side(edges, chords, sizes, faces)
    ]
    found = list(_strips(edges.ends, groups, list(looking)))
    found.sort(key=lambda strip: -strip.parts[0].length)
    return found


class _Group(NamedTuple):
    """Edges along a bar: their places among all straight ones, how long they are, and the way they run, unit."""

    places: list[int]
    sizes: list[float]
    ahead: Vec


def _side_by_side(edges: Edges, chords: Floats, sizes: Floats, faces: Sequence[Face]) -> list[list[int]]:
    """Return groups of parallel edges that border long sides or rounded corners together, by their places.

    Args:
        edges: of the solid.
        chords: from end to end of its straight ones, (n, 3).
        sizes: how long these are, (n,).
        faces: of the solid.
    """
    ways = chords / np.maximum(1e-12, sizes)[:, None]
    beside = Neighbours(faces, edges)
    counts = beside.sides.counts
    fit = (beside.planes | beside.rounds) & (counts >= 2) & (counts <= MOST_OF_A_FACE)
    # What may be the side of several bars: a face of four edges has one way across.
    many_sided = fit & beside.planes & (beside.borders > 4)
    found = across_metal(beside.sides.some(many_sided), ways, beside)
    pairs, deep = (np.array(some, dtype=np.intp).reshape(-1, 2).T for some in found)
    whose, *rows = _abreast(edges.ends, ways, sizes, beside.sides.some(fit & ~many_sided))
    one, two = rows
    is_deep = np.array([face.kind == "cylinder" and not face.outward for face in faces], dtype=bool)[whose]
    planes = beside.planes[whose].nonzero()[0]
    is_deep[planes] = np.logical_and(*beside.rise(whose[planes], one[planes], two[planes]))
    pairs = np.concatenate((pairs, np.array(rows)[:, ~is_deep]), axis=1)
    deep = np.concatenate((deep, np.array(rows)[:, is_deep]), axis=1)
    # What lies deep is a bore where nothing else is: between bars laid on another it belongs to none of these.
    alone = np.ones(len(edges.ends), dtype=bool)
    alone[pairs] = False
    one, two = np.concatenate((pairs, deep[:, alone[deep].all(axis=0)]), axis=1)
    leaders = _together(len(edges.ends), one, two)
    order = leaders.argsort(kind="stable")
    sizes_of = np.bincount(leaders)
    begun = sizes_of.cumsum() - sizes_of
    groups = [order[begun[k] : begun[k] + sizes_of[k]].tolist() for k in (sizes_of >= 4).nonzero()[0].tolist()]
    return _nested(groups, edges.ends)


def _together(count: int, one: Ints, two: Ints) -> Ints:
    """Return of each of so many the first one that pairs, one and two, join it with, over others too."""
    found = np.arange(count)
    while True:
        first, second = found[one], found[two]
        least = np.minimum(first, second)
        nearer = found.copy()
        np.minimum.at(nearer, first, least)
        np.minimum.at(nearer, second, least)
        nearer = nearer[nearer]
        if (nearer == found).all():
            return found
        found = nearer


def _abreast(ends: Floats, ways: Floats, sizes: Floats, sides: Sides) -> tuple[Ints, Ints, Ints]:
    """Return which lines of faces run the same way, and side by side for longer than they are apart.

    Args:
        ends: of all lines, (n, 2, 3).
        ways: unit, (n, 3).
        sizes: how long they are, (n,).
        sides: the faces.

    Returns:
        the face, one of its lines, and one before it that is beside it, (m,) each.
    """
    found: list[Ints] = [np.zeros((3, 0), dtype=np.intp)]
    for first in range(0, len(sides.faces), FACES_AT_ONCE):
        faces, starts, counts, edges = sides.some(slice(first, first + FACES_AT_ONCE))
        pairs = []
        for size in np.unique(counts).tolist():
            own, (k, n) = (counts == size).nonzero()[0], _pairs(size)
            table = edges[starts[own][:, None] + np.arange(size)]
            pairs.append((faces[own].repeat(len(k)), table[:, k].ravel(), table[:, n].ravel()))
        rows = np.concatenate(pairs, axis=1)
        _, one, two = rows
        same = (np.abs(np.einsum("ij,ij->i", ways[one], ways[two])) >= PARALLEL).nonzero()[0]
        one, two = one[same], two[same]
        begins, way = ends[one, 0], ways[one]
        rel = ends[two, 0] - begins
        begin, end = np.einsum("ij,ij->i", rel, way), np.einsum("ij,ij->i", ends[two, 1] - begins, way)
        aside = rel - begin[:, None] * way
        apart = np.sqrt(np.einsum("ij,ij->i", aside, aside))
        overlap = np.minimum(sizes[one], np.maximum(begin, end)) - np.maximum(0.0, np.minimum(begin, end))
        found.append(rows[:, same[(apart < overlap) | (apart < MEETS)]])
    at, one, two = np.concatenate(found, axis=1)
    return at, one, two


@cache
def _pairs(count: int) -> tuple[Ints, Ints]:
    """Return all pairs of so many, the later one first."""
    found = np.array([(one, two) for one in range(count) for two in range(one)], dtype=np.intp).reshape(-1, 2)
    return found[:, 0], found[:, 1]


def _nested(groups: list[list[int]], all_ends: Floats) -> list[list[int]]:
    """Put the edges of a hole together with those of the outside that goes round it."""
    if not groups:
        return []
    ends = all_ends[list(chain.from_iterable(groups))]
    firsts = np.cumsum([0, *(len(group) for group in groups[:-1])])
    points, chords = ends.reshape(-1, 3), ends[firsts, 1] - ends[firsts, 0]
    ways = chords / np.sqrt(np.einsum("ij,ij->i", chords, chords))[:, None]
    lows, highs = _reaches(points, 2 * firsts)
    order = (lows - highs).min(axis=1).argsort(kind="stable")  # the largest first
    rank = {k: place for place, k in enumerate(order.tolist())}
    within: list[list[int]] = [[] for _ in groups]
    around: list[list[int]] = [[] for _ in groups]
    while len(order):
        way = ways[order[0]]
        same = np.abs(ways[order] @ way) >= PARALLEL
        same[0] = True
        own, order = order[same], order[~same]
        # Across it: what lies ahead is taken out.
        lows, highs = (some[own] for some in _reaches(points - (points @ way)[:, None] * way, 2 * firsts))
        numbers, each = own.tolist(), max(1, MOST_PAIRS // len(own))
        for first in range(0, len(own), each):
            at = slice(first, first + each)
            inside = ((lows >= lows[at, None] - MEETS) & (highs <= highs[at, None] + MEETS)).all(axis=2)
            for row, column in zip(*(places.tolist() for places in inside.nonzero()), strict=True):
                if first + row != column:
                    within[numbers[first + row]].append(numbers[column])
                    around[numbers[column]].append(numbers[first + row])
    found: list[list[int]] = []
    done: set[int] = set()
    for k in rank:
        if k not in done:
            # A bore may be longer than what is left of the outside.
            outside = min((n for n in around[k] if n not in done), key=rank.__getitem__, default=k)
            its = {outside, *within[outside]} - done
            found.append([place for n in sorted(its, key=rank.__getitem__) for place in groups[n]])
            done |= its
    return found


def _reaches(points: Floats, firsts: Ints) -> tuple[Floats, Floats]:
    """Return the least and greatest coordinates of points, (n, 3), from each of the first ones to the next, (m, 3)."""
    return np.minimum.reduceat(points, firsts), np.maximum.reduceat(points, firsts)


def _strips(ends: Floats, groups: Sequence[_Group], sides: Sequence[Vec]) -> Iterator[Strip]:
    """Yield straight bars from the edges along them; each is seen from one of its sides, mostly the first.

    Args:
        ends: of all straight edges, (n, 2, 3).
        groups: those along each bar.
        sides: normals of the planes of the solid.
    """
    views = [_across(group.ahead, sides) for group in groups]
    best: dict[int, Strip] = {}
    left = list(range(len(groups)))
    # All at once: a frame has many bars.
    while asked := [(k, frame) for k in left for frame in islice(views[k], 1)]:
        left = []
        counts = [len(groups[k].places) for k, _ in asked]
        frames = np.array([frame for _, frame in asked]).repeat(counts, axis=0)
        rows = [place for k, _ in asked for place in groups[k].places]
        flat = iter(np.einsum("nkj,nij->nki", ends[rows], frames).tolist())
        for k, frame in asked:
            own = list(islice(flat, len(groups[k].places)))
            found = _rectangle([(x, y) for (_, x, y), _ in own], groups[k].sizes)
            if found is not None and (k not in best or found[0].box <= (1.0 - 1e-6) * best[k].outline.box):
                best[k] = _strip(*found[:2], frame, [(own[n][0][0], own[n][1][0]) for n in found[2]])
                if max(found[0].corners) <= found[0].most_broken:
                    continue
            # It may be seen askew: the broken corners of a smaller one may look like sides.
            left.append(k)
    yield from best.values()


def _strip(outline: Outline, middle: Vec2, frame: Frame, reaches: Sequence[Vec2]) -> Strip:
    """Return a straight bar.

    Args:
        outline: of its section, across and up.
        middle: of this, mm.
        frame: it is seen in: ahead, across, up.
        reaches: from where to where along it each of its edges goes, or back, mm.
    """
    ahead, thick, up = frame
    low, high = min(map(min, reaches)), max(map(max, reaches))
    foot = along(scale(thick, middle[0]), up, middle[1])
    if 2.0 * outline.inward > 2.0 * outline.across + ALIKE:  # of a square the last digit does not tell
        thick = up
        outline = replace(outline, inward=outline.across, across=outline.inward)
    broken = bool(unseen([(begin - low, end - low) for begin, end in reaches], high - low))
    return Strip(outline, (Straight(along(foot, ahead, low), along(foot, ahead, high)),), thick=thick, broken=broken)


def _across(ahead: Vec, sides: Sequence[Vec]) -> Iterator[Frame]:
    """Yield frames that a bar may be seen in: ahead, across it as one of the sides of the solid looks, and up."""
    tried: list[Vec] = []
    for side in sides:
        lean = dot(side, ahead)
        if abs(lean) < SAME_WAY and all(1e-3 <= abs(dot(side, one)) <= 1.0 - 1e-6 for one in tried):
            tried.append(side)
            across = unit(along(side, ahead, -lean))
            yield ahead, across, cross(ahead, across)


def unseen(reaches: Iterable[Sequence[float]], length: float) -> list[tuple[float, float]]:
    """Return from where to where along a bar none of its edges goes, mm.

    Args:
        reaches: from where to where each of them goes, or back.
        length: of the bar, mm.
    """
    end, found = 0.0, []
    for low, high in sorted(map(sorted, reaches)):
        if end + MEETS < low and end < length:
            found.append((end, min(low, length)))
        end = max(end, high)
    return [*found, (end, length)] if end < length - MEETS else found


def _rectangle(places: Sequence[Sequence[float]], sizes: Sequence[float]) -> tuple[Outline, Vec2, list[int]] | None:
    """Return the section whose corners these are, with its middle and which of them belong to it.

    Edges of what is fused to the bar may be among them, shorter than its own. But these may be in pieces where another
    bar ends on them: the long ones alone are tried first, then all, then without those that stand out to one side.
    A section has few corners: plain numbers are faster than arrays.
    """
    own = list(range(len(places)))
    while len(own) >= 4:
        some, lengths = [places[k] for k in own], [sizes[k] for k in own]
        if min(lengths) <= LONG * max(lengths):
            lengths = _in_lines(some, lengths)
        longest = max(lengths)
        long = [k for k, length in zip(own, lengths, strict=True) if length > LONG * longest]
        for those in (long, own) if len(long) < len(own) else (own,):
            if len(those) >= 4:
                (low, high), (near, far) = (_span([places[k][axis] for k in those]) for axis in (0, 1))
                x, y = (high + low) / 2.0, (far + near) / 2.0
                outline = rectangle_from([(places[k][0] - x, places[k][1] - y) for k in those])
                if outline is not None:
                    return outline, (x, y), those
        (low, high), (near, far) = (_span([place[axis] for place in some]) for axis in (0, 1))
        sides = (
            [x > high - MEETS for x, _ in some],
            [y > far - MEETS for _, y in some],
            [x < low + MEETS for x, _ in some],
            [y < near + MEETS for _, y in some],
        )
        of_sides = [max(size for size, on in zip(lengths, side, strict=True) if on) for side in sides]
        shorter = SHORTER * longest
        if min(of_sides) <= shorter:
            gone = sides[of_sides.index(min(of_sides))]
            own = [k for k, on in zip(own, gone, strict=True) if not on]
        elif min(lengths) <= shorter:
            own = [k for k, length in zip(own, lengths, strict=True) if length > min(lengths)]
        else:
            break
    return None


def _span(some: Sequence[float]) -> tuple[float, float]:
    return min(some), max(some)


def _in_lines(places: Sequence[Sequence[float]], sizes: Sequence[float]) -> list[float]:
    """Return of each edge how long it is together with those in one line with it, mm."""
    lines = [(round(x / AS_FAR), round(y / AS_FAR)) for x, y in places]
    found = dict.fromkeys(lines, 0.0)
    for line, size in zip(lines, sizes, strict=True):
        found[line] += size
    return [found[line] for line in lines]
