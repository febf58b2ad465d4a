"""Which faces of a solid run along a bar: two of their edges, or more, keep their place in its section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import Centreline
from bentwork.stock.section import SquareTube
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Face, Floats
from bentwork.takeoff.unbend import beside, runs_of, unbent

__all__ = ["Borders", "Ints", "Points", "borders_of", "ends_of", "long_sides", "points_of"]

Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]

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
    # Three different points of a circle tell where all of it runs; where it closes the ends are one.
    lines, rounds = 2 * len(edges.ends), 4 * len(edges.arcs)
    first, last = edges.starts[:-1], edges.starts[1:] - 1
    third = (last - first) // 3
    arcs = edges.points.take(np.column_stack((first, first + third, last - third, last)).ravel(), axis=0)
    points = np.concatenate((edges.ends.reshape(-1, 3), arcs, *(some for _, some in others)))
    begun = np.cumsum([lines + rounds, *(len(some) for _, some in others)])[:-1]
    starts = np.concatenate((np.arange(0, lines, 2), np.arange(lines, lines + rounds, 4), begun))
    return Points(numbers, points, starts)


class Borders(NamedTuple):
    """Faces of two edges and more.

    Args:
        edges: numbers of those of one face after the other.
        starts: where those of each face begin.
        faces: numbers of these.
        marks: how many edges the solid has.
    """

    edges: Ints
    starts: Ints
    faces: Ints
    marks: int

    def with_two(self, edges: Ints) -> set[int]:
        """Return the numbers of the faces that have two of these edges, or more."""
        along = np.zeros(self.marks, dtype=bool)
        along[edges] = True
        found: list[int] = self.faces[np.add.reduceat(along[self.edges], self.starts, dtype=np.intp) >= 2].tolist()
        return set(found)


def borders_of(faces: Sequence[Face], marks: int) -> Borders:
    """Return the edges of faces of a solid that has so many."""
    some = [face for face in faces if len(face.edges) > 1]
    edges = np.array([number for face in some for number in face.edges], dtype=np.intp)
    starts = np.array([0, *accumulate(len(face.edges) for face in some)][:-1], dtype=np.intp)
    return Borders(edges, starts, np.array([face.part_of for face in some], dtype=np.intp), marks)


def long_sides(seen: Points, borders: Borders, faces: Sequence[Face], line: Centreline, outline: Outline) -> set[int]:
    """Return the numbers of the faces that run along a bar: two of their edges, or more, keep their place in it."""
    numbers, points, starts = seen
    if len(numbers) == 0 or len(borders.faces) == 0:
        return set()
    reach = (math.hypot(outline.inward, outline.across) + RUNS_ALONG) ** 2
    # Open ends run on, and what they pass is no part of the bar.
    longest = line.table.length + outline.largest
    # By the nearest part for edges that go on round several; by each part for where the bar runs past itself.
    nearest = unbent(line, points)
    runs = _along(nearest, (nearest[:, 0] > -outline.largest) & (nearest[:, 0] < longest), starts, reach)
    found = borders.with_two(numbers[runs])
    slots: set[int] = set()
    walls = _beside_rounds(faces, found)
    if walls:
        slots = _in_metal(walls, numbers, runs, np.maximum.reduceat(nearest, starts)[:, 1:], outline)
        found -= slots
    # What turns less does not come back to itself.
    if sum(bend.angle for bend in line.table.bends) <= 180.0 or len({f.part_of for f in faces} - found) <= ends_of(
        line
    ):
        return found
    for flat, off, _ in (beside(line, number, points) for number in runs_of(line)):
        here = (np.abs(off) < RUNS_ALONG) & (flat[:, 0] > -outline.largest) & (flat[:, 0] < longest)
        runs |= _along(flat, here, starts, reach, ~runs)
    return borders.with_two(numbers[runs]) - slots


def ends_of(line: Centreline) -> int:
    """Return how many faces of a bar are no sides: the last two of one that is open are its ends."""
    return 0 if line.table.closed else 2


def _beside_rounds(faces: Sequence[Face], found: set[int]) -> list[Face]:
    """Return which planes among those found touch a hollow round that is not: they may be the walls of a slot."""
    ends = {
        number
        for face in faces
        if face.kind == "cylinder" and not face.outward and face.part_of not in found
        for number in face.edges
    }
    if not ends:
        return []
    return [f for f in faces if f.kind == "plane" and f.part_of in found and not ends.isdisjoint(f.edges)]


def _in_metal(walls: Sequence[Face], numbers: Ints, runs: Bools, places: Floats, outline: Outline) -> set[int]:
    """Return which planes are walls of a slot that lies along the bar: they stand square in the metal of the section.

    Args:
        walls: planes along the bar.
        numbers: of edges.
        runs: which of these run along the bar.
        places: where in the section they do, (n, 2).
        outline: of the section.
    """
    wall = outline.section.wall if isinstance(outline.section, SquareTube) else math.inf
    at = dict(zip(numbers[runs].tolist(), places[runs].tolist(), strict=True))
    slots = set()
    for face in walls:
        those = [at[number] for number in face.edges if number in at]
        (a, b), (c, d) = ((min(row), max(row)) for row in zip(*those, strict=True))
        if min(b - a, d - c) < RUNS_ALONG:  # not a chamfer
            deep = min(outline.inward - abs(a + b) / 2.0, outline.across - abs(c + d) / 2.0)
            if RUNS_ALONG < deep < wall - RUNS_ALONG:
                slots.add(face.part_of)
    return slots


def _along(flat: Floats, here: Bools, starts: Ints, reach: float, asked: Bools | None = None) -> Bools:
    """Tell which edges keep their place in the section.

    Args:
        flat: samples of all edges on the straightened bar, (n, 3).
        here: which samples lie beside the part that they were measured from, (n,).
        starts: where each edge begins among them.
        reach: square of how far from the middle the section reaches, mm2.
        asked: edges that are asked for; None for all.
    """
    across, up = flat[:, 1], flat[:, 2]
    inside: Bools = np.logical_and.reduceat(here & (across * across + up * up < reach), starts)
    if asked is not None:
        inside &= asked
    if inside.any():
        wide = np.maximum.reduceat(flat, starts) - np.minimum.reduceat(flat, starts)
        inside &= (wide[:, 0] > RUNS_ALONG) & (wide[:, 1] < RUNS_ALONG) & (wide[:, 2] < RUNS_ALONG)
    return inside
