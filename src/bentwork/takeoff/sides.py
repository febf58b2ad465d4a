"""Which faces of a solid run along a bar: two of their edges, or more, keep their place in its section."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from itertools import accumulate, chain
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import Centreline
from bentwork.stock.section import SquareTube
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Face, Floats
from bentwork.takeoff.unbend import beside, runs_of

__all__ = ["Borders", "Ints", "Points", "bent_sides", "borders_of", "ends_of", "points_of", "straight_sides"]

Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]

MOST_PLACES = 400_000
"""Edges held against bars at a time."""
BESIDE = 0.05
"""An edge that stands out more beyond the section is not the bar's, mm: files round, and bends add that up."""
RUNS_ALONG = 0.01
"""An edge that keeps its place in the section to within this runs along the bar, mm."""


class Points(NamedTuple):
    """What tells where all of an edge runs: the numbers of edges, points, and where those of each begin among them."""

    numbers: Ints
    points: Floats
    starts: Ints


def points_of(edges: Edges) -> Points:
    """Return points of all edges that are more than a point."""
    others = [(number, edge.points) for number, edge in edges.others.items() if len(edge.points)]
    last = np.array([number for number, _ in others], dtype=np.intp)
    numbers = np.concatenate((edges.line_numbers, edges.circle_numbers, last))
    # Ends alone may lie on two legs of a bar: of a straight edge the middle is looked at too. Of a circle three
    # different points tell where all of it runs; where it closes the ends are one.
    lines, rounds = 3 * len(edges.ends), 4 * len(edges.arcs)
    ends = np.concatenate((edges.ends, edges.ends.mean(axis=1, keepdims=True)), axis=1)
    first, last = edges.starts[:-1], edges.starts[1:] - 1
    third = (last - first) // 3
    arcs = edges.points.take(np.column_stack((first, first + third, last - third, last)).ravel(), axis=0)
    points = np.concatenate((ends.reshape(-1, 3), arcs, *(some for _, some in others)))
    begun = np.cumsum([lines + rounds, *(len(some) for _, some in others)])[:-1]
    starts = np.concatenate((np.arange(0, lines, 3), np.arange(lines, lines + rounds, 4), begun))
    return Points(numbers, points, starts)


class Borders(NamedTuple):
    """Faces of two edges and more.

    Args:
        edges: numbers of those of one face after the other.
        starts: where those of each face begin.
        faces: numbers of these.
        owners: which of these each of the edges belongs to.
        marks: how many edges the solid has.
        beside_rounds: number of every hollow round, with the planes that touch it: they may be the walls of a slot.
    """

    edges: Ints
    starts: Ints
    faces: Ints
    owners: Ints
    marks: int
    beside_rounds: tuple[tuple[int, list[Face]], ...]

    def walls(self, found: Set[int]) -> list[Face]:
        """Return which planes among those found along a bar touch a hollow round that is not: walls of a slot?"""
        beside = [planes for number, planes in self.beside_rounds if number not in found]
        return [face for planes in beside for face in planes if face.part_of in found]

    def with_two(self, edges: Ints) -> set[int]:
        """Return the numbers of the faces that have two of these edges, or more."""
        along = np.zeros(self.marks, dtype=bool)
        along[edges] = True
        found: list[int] = self.faces[np.add.reduceat(along[self.edges], self.starts, dtype=np.intp) >= 2].tolist()
        return set(found)

    def with_two_abreast(self, bars: Ints, edges: Ints, lows: Floats, highs: Floats, count: int) -> list[set[int]]:
        """Return the numbers of the faces that two edges run along a bar of side by side, for each of several bars.

        A bar that goes from leg to leg of another has an edge along each of these, and they are not abreast.

        Args:
            bars: which of the bars an edge runs along, (n,).
            edges: its number, (n,).
            lows: how far along the bar it begins, mm, (n,).
            highs: and ends, (n,).
            count: of the bars.
        """
        table = np.full((count, self.marks), -1)
        table[bars, edges] = np.arange(len(bars))
        rows = table[:, self.edges]
        bar, border = (rows >= 0).nonzero()
        row, face = rows[bar, border], self.owners[border]
        order = np.lexsort((lows[row], face, bar))
        bar, face, row = bar[order], face[order], row[order]
        two = (bar[1:] == bar[:-1]) & (face[1:] == face[:-1]) & (lows[row[1:]] < highs[row[:-1]] - RUNS_ALONG)
        found: list[set[int]] = [set() for _ in range(count)]
        for k, number in zip(bar[1:][two].tolist(), self.faces[face[1:][two]].tolist(), strict=True):
            found[k].add(number)
        return found


def borders_of(faces: Sequence[Face], marks: int) -> Borders:
    """Return the edges of faces of a solid that has so many."""
    some = [face for face in faces if len(face.edges) > 1]
    edges = np.array([number for face in some for number in face.edges], dtype=np.intp)
    starts = np.array([0, *accumulate(len(face.edges) for face in some)][:-1], dtype=np.intp)
    numbers = np.array([face.part_of for face in some], dtype=np.intp)
    owners = np.arange(len(some)).repeat([len(face.edges) for face in some])
    return Borders(edges, starts, numbers, owners, marks, tuple(_beside_rounds(faces)))


def _beside_rounds(faces: Sequence[Face]) -> Iterator[tuple[int, list[Face]]]:
    rounds = [face for face in faces if face.kind == "cylinder" and not face.outward]
    if not rounds:
        return
    touched = set(chain.from_iterable(face.edges for face in rounds))
    planes: dict[int, list[Face]] = {}
    for face in faces:
        if face.kind == "plane":
            for number in touched.intersection(face.edges):
                planes.setdefault(number, []).append(face)
    for face in rounds:
        yield face.part_of, [plane for number in face.edges for plane in planes.get(number, ())]


def bent_sides(
    seen: Points, nearest: Floats, borders: Borders, faces: Sequence[Face], line: Centreline, outline: Outline
) -> set[int]:
    """Return the numbers of the faces that run along a bent bar: two of their edges keep their place in it, or more.

    Args:
        seen: points of the edges of the solid.
        nearest: where these lie on the straightened bar, each measured from the part that is nearest to it, (n, 3).
        borders: edges of the faces.
        faces: of the solid.
        line: middle of the bar.
        outline: of its section.
    """
    numbers, points, starts = seen
    if len(numbers) == 0 or len(borders.faces) == 0:
        return set()
    # Open ends run on, and what they pass is no part of the bar.
    longest = line.table.length + outline.largest
    # By the nearest part for edges that go on round several; by each part for where the bar runs past itself.
    here = (nearest[:, 0] > -outline.largest) & (nearest[:, 0] < longest) & (outline.beyond(nearest) < BESIDE)
    runs, lows, highs = _along(nearest, here, starts)

    def sides() -> set[int]:
        bars = np.zeros(int(runs.sum()), dtype=np.intp)
        return borders.with_two_abreast(bars, numbers[runs], lows[runs], highs[runs], 1)[0]

    found = sides()
    walls, slots = borders.walls(found), set[int]()
    if walls:
        slots = _in_metal(walls, numbers[runs], np.maximum.reduceat(nearest, starts)[runs, 1:], outline)
        found -= slots
    # What turns less does not come back to itself.
    if sum(bend.angle for bend in line.table.bends) <= 180.0 or len({f.part_of for f in faces} - found) <= ends_of(
        line
    ):
        return found
    parts = [beside(line, number, points) for number in runs_of(line)]
    inside = [
        (np.abs(off) < RUNS_ALONG)
        & (flat[:, 0] > -outline.largest)
        & (flat[:, 0] < longest)
        & (outline.beyond(flat) < BESIDE)
        for flat, off, _ in parts
    ]
    more, begins, ends = _along_several([flat for flat, _, _ in parts], inside, starts)
    more &= ~runs
    runs |= more
    lows[more], highs[more] = begins[more], ends[more]
    return sides() - slots


def straight_sides(seen: Points, borders: Borders, bars: Sequence[tuple[Centreline, Outline]]) -> list[set[int]]:
    """Return the numbers of the faces that run along each of several straight bars: all are looked at at once."""
    numbers, points, starts = seen
    if len(numbers) == 0 or len(borders.faces) == 0:
        return [set() for _ in bars]
    counts = np.append(starts[1:], len(points)) - starts
    firsts = points.take(starts, axis=0)
    steps = points.take(starts + np.minimum(1, counts - 1), axis=0) - firsts
    found: list[set[int]] = []
    each = max(1, MOST_PLACES // len(numbers))
    for some in (bars[k : k + each] for k in range(0, len(bars), each)):
        poses = [line.start for line, _ in some]
        frames = np.array([(pose.tangent, pose.inward, pose.axis) for pose in poses])
        origins = np.array([pose.origin for pose in poses])
        large = np.array([outline.largest for _, outline in some])
        highs = np.array([line.table.length for line, _ in some]) + large
        half = np.array([(outline.inward, outline.across) for _, outline in some]) + BESIDE
        # Of most edges the first two points tell that they lie elsewhere, or run another way.
        places = frames @ firsts.T - frames @ origins[..., None]
        ahead, aside = places[:, 0], np.abs(places[:, 1:])
        near = (ahead > -large[:, None]) & (ahead < highs[:, None]) & (aside < half[..., None]).all(axis=1)
        near &= (np.abs(frames[:, 1:] @ steps.T) < RUNS_ALONG).all(axis=1)
        bar, edge = near.nonzero()
        if len(bar) == 0:
            found += [set() for _ in some]
            continue
        sizes = counts[edge]
        begun = sizes.cumsum() - sizes
        whose = bar.repeat(sizes)
        own = points[np.arange(len(whose)) + (starts[edge] - begun).repeat(sizes)] - origins[whose]
        flat = np.einsum("nij,nj->ni", frames[whose], own)
        here = (flat[:, 0] > -large[whose]) & (flat[:, 0] < highs[whose])
        runs, lows, highs = _along(flat, here & (np.abs(flat[:, 1:]) < half[whose]).all(axis=1), begun)
        bar, edge = bar[runs], edge[runs]
        own_sides = borders.with_two_abreast(bar, numbers[edge], lows[runs], highs[runs], len(some))
        at: Floats | None = None
        for k, (sides, (_, outline)) in enumerate(zip(own_sides, some, strict=True)):
            walls = borders.walls(sides)
            if walls:
                at = np.maximum.reduceat(flat, begun)[runs, 1:] if at is None else at
                its = bar == k
                sides -= _in_metal(walls, numbers[edge[its]], at[its], outline)
            found.append(sides)
    return found


def ends_of(line: Centreline) -> int:
    """Return how many faces of a bar are no sides: the last two of one that is open are its ends."""
    return 0 if line.table.closed else 2


def _in_metal(walls: Sequence[Face], numbers: Ints, places: Floats, outline: Outline) -> set[int]:
    """Return which planes are walls of a slot that lies along the bar: they stand square in the metal of the section.

    Args:
        walls: planes along the bar.
        numbers: of edges that run along the bar.
        places: where in the section they do, (n, 2).
        outline: of the section.
    """
    wall = outline.section.wall if isinstance(outline.section, SquareTube) else math.inf
    at = dict(zip(numbers.tolist(), places.tolist(), strict=True))
    slots = set()
    for face in walls:
        those = [at[number] for number in face.edges if number in at]
        (a, b), (c, d) = ((min(row), max(row)) for row in zip(*those, strict=True))
        if min(b - a, d - c) < RUNS_ALONG:  # not a chamfer
            deep = min(outline.inward - abs(a + b) / 2.0, outline.across - abs(c + d) / 2.0)
            if RUNS_ALONG < deep < wall - RUNS_ALONG:
                slots.add(face.part_of)
    return slots


def _along(flat: Floats, here: Bools, starts: Ints) -> tuple[Bools, Floats, Floats]:
    """Tell which edges keep their place in the section, and from where to where along the bar each goes, mm.

    Args:
        flat: samples of edges on the straightened bar, (n, 3).
        here: which samples lie in or on the section beside the part that they were measured from, (n,).
        starts: where each edge begins among them.
    """
    inside: Bools = np.logical_and.reduceat(here, starts)
    low, high = np.minimum.reduceat(flat, starts), np.maximum.reduceat(flat, starts)
    wide = high - low
    inside &= (wide[:, 0] > RUNS_ALONG) & (wide[:, 1] < RUNS_ALONG) & (wide[:, 2] < RUNS_ALONG)
    return inside, low[:, 0], high[:, 0]


def _along_several(flats: Sequence[Floats], inside: Sequence[Bools], starts: Ints) -> tuple[Bools, Floats, Floats]:
    """Tell which edges keep one place in the section over several parts, and from where to where each goes, mm.

    Args:
        flats: samples of edges measured from each part, (n, 3) each.
        inside: which of them lie in or on the section beside that part, (n,) each.
        starts: where each edge begins among them.
    """
    sizes = np.diff(np.append(starts, len(flats[0])))
    found = np.zeros(len(starts), dtype=bool)
    lows, highs = np.zeros(len(starts)), np.zeros(len(starts))
    for first, begun in zip(flats, inside, strict=True):
        # Where an edge begins beside this part, that is its place: which parts are the others beside at it?
        place = first[starts, 1:].repeat(sizes, axis=0)
        least, most = np.full(len(place), np.inf), np.full(len(place), -np.inf)
        for flat, here in zip(flats, inside, strict=True):
            same = here & (np.abs(flat[:, 1:] - place) < RUNS_ALONG).all(axis=1)
            least = np.where(same, np.minimum(least, flat[:, 0]), least)
            most = np.where(same, np.maximum(most, flat[:, 0]), most)
        own = np.logical_and.reduceat(least < np.inf, starts) & begun[starts] & ~found
        low, high = np.minimum.reduceat(least, starts), np.maximum.reduceat(most, starts)
        own &= high - low > RUNS_ALONG
        found |= own
        lows[own], highs[own] = low[own], high[own]
    return found, lows, highs
