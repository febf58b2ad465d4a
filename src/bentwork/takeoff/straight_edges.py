"""Straight square, rectangular and flat bars, from parallel edges that border its sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import chain

import numpy as np

from bentwork.space import Vec, along, cross, dot, scale, unit
from bentwork.takeoff.across_metal import AS_FAR, PARALLEL, Neighbours, across_metal
from bentwork.takeoff.bends_about import SAME_WAY, Ints
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.long_edges import Strip
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.runs import MEETS, Straight
from bentwork.takeoff.shape import Face, Floats

__all__ = ["straight_strips"]

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
    found = []
    sides = list(dict.fromkeys(face.axis for face in faces if face.kind == "plane"))
    for group in _side_by_side(edges, faces):
        strip = _strip(group, sides)
        if strip is not None:
            found.append(strip)
    found.sort(key=lambda strip: -strip.parts[0].length)
    return found


def _side_by_side(edges: Edges, faces: Sequence[Face]) -> list[Floats]:
    """Return groups of parallel edges, (n, 2, 3), that border long sides or rounded corners together."""
    chords = edges.ends[:, 1] - edges.ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    ways = chords / np.maximum(1e-12, sizes)[:, None]
    numbers = edges.line_numbers.tolist()
    places = {number: k for k, number in enumerate(numbers)}
    sides: list[tuple[Face, list[int]]] = []
    many_sided: list[tuple[Face, list[int]]] = []
    for face in faces:
        if face.kind in ("plane", "cylinder"):
            own = [places[number] for number in face.edges if number in places]
            if 2 <= len(own) <= MOST_OF_A_FACE:
                (many_sided if _many_sided(face) else sides).append((face, own))
    at, one, two = _abreast(edges.ends, ways, sizes, [own for _, own in sides])
    hollow = np.array([face.kind == "cylinder" and not face.outward for face, _ in sides], dtype=bool)[at]
    plane = np.array([face.kind == "plane" for face, _ in sides], dtype=bool)[at]
    rounds = ~(hollow | plane)
    pairs = list(zip(one[rounds].tolist(), two[rounds].tolist(), strict=True))
    deep = list(zip(one[hollow].tolist(), two[hollow].tolist(), strict=True))
    lines, beside = edges.ends.tolist(), Neighbours(faces)

    def rises(face: Face, k: int, n: int) -> bool:
        return beside.rises(face, numbers[k], lines[k], lines[n])

    for side, k, n in zip(at[plane].tolist(), one[plane].tolist(), two[plane].tolist(), strict=True):
        face = sides[side][0]
        (deep if rises(face, k, n) and rises(face, n, k) else pairs).append((k, n))

    def met(face: Face, k: int, n: int) -> bool:
        at_one, at_two = rises(face, k, n), rises(face, n, k)
        if at_one and at_two:
            deep.append((k, n))
        elif not at_one and not at_two:
            pairs.append((k, n))
            return True
        return False

    across_metal(many_sided, edges.ends, ways, met)
    # What lies deep is a bore where nothing else is: between bars laid on another it belongs to none of these.
    joined = set(chain.from_iterable(pairs))
    pairs += [(k, n) for k, n in deep if k not in joined and n not in joined]
    groups: dict[int, list[int]] = {}
    for k, leader in zip(places.values(), _together(len(lines), pairs)[list(places.values())].tolist(), strict=True):
        groups.setdefault(leader, []).append(k)
    return _nested([edges.ends[group] for group in groups.values() if len(group) >= 4])


def _together(count: int, pairs: Sequence[tuple[int, int]]) -> Ints:
    """Return of each of so many the first one that pairs join it with, over others too."""
    found = np.arange(count)
    one, two = np.array(pairs, dtype=np.intp).reshape(-1, 2).T
    while True:
        least = np.minimum(found[one], found[two])
        nearer = found.copy()
        for some in (one, two, found[one], found[two]):
            np.minimum.at(nearer, some, least)
        nearer = nearer[nearer]
        if (nearer == found).all():
            return found
        found = nearer


def _many_sided(face: Face) -> bool:
    """Tell whether a face may be the side of several bars: one of four edges has one way across."""
    return face.kind == "plane" and len(face.edges) > 4


def _abreast(ends: Floats, ways: Floats, sizes: Floats, sides: Sequence[Sequence[int]]) -> tuple[Ints, Ints, Ints]:
    """Return which lines of faces run the same way, and side by side for longer than they are apart.

    Args:
        ends: of all lines, (n, 2, 3).
        ways: unit, (n, 3).
        sizes: how long they are, (n,).
        sides: of every face the numbers of its lines.

    Returns:
        which of the faces, one of its lines, and one before it that is beside it, (m,) each.
    """
    found: list[Ints] = [np.zeros((3, 0), dtype=np.intp)]
    for first in range(0, len(sides), FACES_AT_ONCE):
        by_size: dict[int, list[int]] = {}
        for at, own in enumerate(sides[first : first + FACES_AT_ONCE], first):
            by_size.setdefault(len(own), []).append(at)
        pairs = []
        for size, faces in by_size.items():
            table, (k, n) = np.array([sides[at] for at in faces]), _pairs(size)
            pairs.append((np.repeat(faces, len(k)), table[:, k].ravel(), table[:, n].ravel()))
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
    across: list[tuple[Floats, tuple[Floats, Floats]]] = []
    left = (lows - highs).min(axis=1).argsort(kind="stable").tolist()  # the largest first
    found = []
    while left:
        own = left[0]
        way = ways[own]
        parallel = np.abs(ways @ way) >= PARALLEL
        reaches = next((known for one, known in across if abs(one @ way) >= PARALLEL), None)
        if reaches is None:
            # Across it: what lies ahead is taken out.
            reaches = reach(points - (points @ way)[:, None] * way)
            across.append((way, reaches))
        lows, highs = reaches
        around = parallel & ((lows <= lows[own] + MEETS) & (highs >= highs[own] - MEETS)).all(axis=1)
        # A bore may be longer than what is left of the outside.
        own = next((k for k in left if around[k] and k != own), own)
        inside = parallel & ((lows >= lows[own] - MEETS) & (highs <= highs[own] + MEETS)).all(axis=1)
        inside[own] = True
        found.append(np.concatenate([groups[k] for k in left if inside[k]]))
        left = [k for k in left if not inside[k]]
    return found


def _strip(group: Floats, sides: Sequence[Vec]) -> Strip | None:
    """Return a straight bar from the edges along it.

    Args:
        group: the edges, (n, 2, 3).
        sides: normals of the planes of the solid.
    """
    chords = group[:, 1] - group[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    ahead = unit(_vec(chords[int(sizes.argmax())]))
    begins, along_it = group[:, 0], group @ np.array(ahead)
    tried: list[Vec] = []
    best: Strip | None = None
    for side in sides:
        if abs(dot(side, ahead)) >= SAME_WAY:
            continue
        if any(abs(dot(side, one)) > 1.0 - 1e-6 or abs(dot(side, one)) < 1e-3 for one in tried):
            continue
        tried.append(side)
        across = unit(along(side, ahead, -dot(side, ahead)))
        up = cross(ahead, across)
        # One product after the other: which way a square is thick hangs on the last digit, and both at once round off
        # otherwise.
        flat = np.empty((len(group), 2))
        flat[:, 0], flat[:, 1] = begins @ np.array(across), begins @ np.array(up)
        found = _rectangle(flat, sizes)
        if found is None or (best is not None and found[0].box > (1.0 - 1e-6) * best.outline.box):
            continue
        outline, middle, own = found
        thick = across
        if outline.inward > outline.across:
            thick = up
            outline = replace(outline, inward=outline.across, across=outline.inward)
        reach = along_it[own]
        foot = along(scale(across, float(middle[0])), up, float(middle[1]))
        ends = along(foot, ahead, float(reach.min())), along(foot, ahead, float(reach.max()))
        best = Strip(outline, (Straight(*ends),), thick=thick)
        if max(outline.corners) <= outline.most_broken:
            break  # else, seen askew, it may be the broken corners of a smaller one that look like sides
    return best


def _rectangle(places: Floats, sizes: Floats) -> tuple[Outline, Floats, Ints] | None:
    """Return the section whose corners these are, with its middle and which of them belong to it.

    Edges of what is fused to the bar may be among them, shorter than its own. But these may be in pieces where another
    bar ends on them: the long ones alone are tried first, then all, then without those that stand out to one side.
    """
    own = np.arange(len(places))
    while len(own) >= 4:
        lengths = sizes[own]
        if lengths.min() <= LONG * lengths.max():
            lengths = _in_lines(places[own], lengths)
        long = lengths > LONG * lengths.max()
        for those in (own[long], own) if not long.all() else (own,):
            if len(those) >= 4:
                some = places[those]
                middle = (some.max(axis=0) + some.min(axis=0)) / 2.0
                outline = rectangle_from((some - middle).tolist())
                if outline is not None:
                    return outline, middle, those
        some = places[own]
        sides = np.concatenate((some > some.max(axis=0) - MEETS, some < some.min(axis=0) + MEETS), axis=1)
        longest = np.where(sides, lengths[:, None], 0.0).max(axis=0)
        shorter = SHORTER * lengths.max()
        if longest.min() <= shorter:
            own = own[~sides[:, int(longest.argmin())]]
        elif lengths.min() <= shorter:
            own = own[lengths > lengths.min()]
        else:
            break
    return None


def _in_lines(places: Floats, sizes: Floats) -> Floats:
    """Return of each edge how long it is together with those in one line with it, mm."""
    lines: dict[tuple[float, float], int] = {}
    which = [lines.setdefault((x, y), len(lines)) for x, y in np.rint(places / AS_FAR).tolist()]
    found: Floats = np.bincount(which, sizes).astype(float)[which]
    return found


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
