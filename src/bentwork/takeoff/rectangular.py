"""Square, rectangular and flat bar, solid and hollow, out of the edges of a solid."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, along, cross, distance, unit
from bentwork.stock.section import Flat, SquareTube
from bentwork.takeoff.bar import WayBent
from bentwork.takeoff.bars import MOST_VOLUME, Doubt, Tried, rests_of, try_bar
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.formal import formal_edges
from bentwork.takeoff.long_edges import Strip, bent_strips
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.runs import Arc, Straight, centreline_of, chained
from bentwork.takeoff.shape import Face, Floats, Shape
from bentwork.takeoff.straight_edges import straight_strips
from bentwork.takeoff.unbend import beside, runs_of, unbent

__all__ = ["LongEdges", "rectangular_bars", "why_too_small"]

Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]

RUNS_ALONG = 0.01
"""An edge that keeps its place in the section to within this runs along the bar, mm."""


def rectangular_bars(shape: Shape, faces: Sequence[Face], along: LongEdges, volume: float) -> Iterator[Tried | Doubt]:
    """Try every chain of long edges as the one bar of a solid, but for those that are too small to be all of it."""
    for line, outline, way in along.lines(in_haste=True):
        if outline.area * line.table.length < 0.3 * volume:
            continue
        if along.too_small(line, outline, volume):
            along.small.append((line, outline, way))
        else:
            yield _tried(shape, faces, along, (line, outline, way), volume)


def why_too_small(shape: Shape, faces: Sequence[Face], along: LongEdges, volume: float) -> Iterator[Doubt]:
    """Try what ``rectangular_bars`` did not, for the reason alone."""
    for one in along.small:
        found = _tried(shape, faces, along, one, volume)
        if isinstance(found, Doubt):
            yield found


def _tried(shape: Shape, faces: Sequence[Face], along: LongEdges, one: _Line, volume: float) -> Tried | Doubt:
    line, outline, way = one
    rests = rests_of(shape, faces, along.sides(line, outline))
    splined = any(face.kind == "free" for face in shape.faces)
    return try_bar(line, [outline], rests, volume, splined=splined, way=way)


_Line: TypeAlias = tuple[Centreline, Outline, WayBent | None]
"""A centreline with its section, and which way it is bent."""


@dataclass(frozen=True)
class LongEdges:
    """The edges of a solid as what runs along bars; the straight ones are looked at once, whoever asks.

    Args:
        shape: the solid.
        faces: of it, those without formula taken apart.
        small: bars that were not tried, because they are too small to be all of the solid.
    """

    shape: Shape
    faces: Sequence[Face]
    small: list[_Line] = field(default_factory=list, init=False, repr=False)
    # With each line, so that no other takes its place in memory.
    _sides: dict[int, tuple[Centreline, set[int]]] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def edges(self) -> Edges:
        """Lines and circles, what is without formula cut into them."""
        return formal_edges(self.shape.read_edges())

    @cached_property
    def straight(self) -> list[tuple[Centreline, Outline]]:
        """Straight bars, the longest first."""
        found = []
        for strip in straight_strips(self.edges, self.faces):
            one = strip.parts[0]
            assert isinstance(one, Straight) and strip.thick is not None
            tangent = one.tangents[0]
            x, y, z = (float(c) for c in strip.thick)
            axis = unit(cross(tangent, (x, y, z)))
            found.append((Centreline(BendTable((one.length,)), Pose(one.a, tangent, axis)), strip.outline))
        return found

    @cached_property
    def _points(self) -> _Points:
        return _points_of(self.shape.read_edges())

    @cached_property
    def _borders(self) -> _Borders:
        return _borders_of(self.faces, self.shape.read_edges().count)

    def sides(self, line: Centreline, outline: Outline) -> set[int]:
        """Return the numbers of the faces along a bar; asked again for the same one it is not looked for again."""
        known = self._sides.get(id(line))
        if known is None:
            known = self._sides[id(line)] = line, _long_sides(self._points, self._borders, self.faces, line, outline)
        return known[1]

    def too_small(self, line: Centreline, outline: Outline, volume: float) -> bool:
        """Tell whether a straight bar is less than the solid even if it went from end to end of it."""
        if line.table.bends:
            return False
        along = self._points.points @ np.array(line.start.tangent)
        longest = float(along.max() - along.min()) + 2.0 * outline.largest  # ends may be domed
        return volume > MOST_VOLUME * outline.area * longest

    def lines(self, *, in_haste: bool) -> Iterator[_Line]:
        """Return centrelines with their sections, the longest first; straight ones after all that are bent.

        Args:
            in_haste: the likeliest first; a line may then come twice, the first time perhaps only in part.
        """
        for strip in bent_strips(self.edges, in_haste=in_haste):
            chains = chained(strip.parts)
            for chain, closed in sorted(chains, key=lambda pair: -sum(part.length for part in pair[0])):
                arcs = [part for part in chain if isinstance(part, Arc)]
                if not arcs:
                    continue
                line = centreline_of(chain, closed)
                if line is not None:
                    yield (line, *_seen(line, strip))
        for line, outline in self.straight:
            yield line, outline, None


def _seen(line: Centreline, strip: Strip) -> tuple[Outline, WayBent | None]:
    """Return the outline as the first bend of a centreline sees it, and which way its bends are made."""
    deep = []
    for run in line.runs:
        if run.bend:
            centre = along(run.start.origin, run.start.inward, run.radius)
            deep.append(min(strip.bends, key=lambda bend: distance(bend[0].centre, centre))[1])
    first, section = deep[0], strip.outline.section
    if not isinstance(section, Flat | SquareTube) or abs(section.width - section.height) < 0.01:
        return first, None
    ways = {one.inward < one.across for one in deep}
    return first, "both" if len(ways) > 1 else "easy" if True in ways else "hard"


class _Points(NamedTuple):
    """What tells where all of an edge runs: the numbers of edges, points, and where those of each begin among them."""

    numbers: Ints
    points: Floats
    starts: Ints


def _points_of(edges: Edges) -> _Points:
    others = [(number, edge.points) for number, edge in edges.others.items() if len(edge.points)]
    numbers = np.array([*edges.line_numbers, *edges.circle_numbers, *(number for number, _ in others)], dtype=np.intp)
    # Three different points of a circle tell where all of it runs; where it closes the ends are one.
    lines, rounds = 2 * len(edges.ends), 4 * len(edges.arcs)
    first, last = edges.starts[:-1], edges.starts[1:] - 1
    third = (last - first) // 3
    arcs = edges.points[np.column_stack((first, first + third, last - third, last)).ravel()]
    points = np.concatenate((edges.ends.reshape(-1, 3), arcs, *(some for _, some in others)))
    begun = np.cumsum([lines + rounds, *(len(some) for _, some in others)])[:-1]
    starts = np.concatenate((np.arange(0, lines, 2), np.arange(lines, lines + rounds, 4), begun))
    return _Points(numbers, points, starts)


class _Borders(NamedTuple):
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


def _borders_of(faces: Sequence[Face], marks: int) -> _Borders:
    some = [face for face in faces if len(face.edges) > 1]
    edges = np.array([number for face in some for number in face.edges], dtype=np.intp)
    starts = np.cumsum([0, *(len(face.edges) for face in some)])[:-1]
    return _Borders(edges, starts, np.array([face.part_of for face in some], dtype=np.intp), marks)


def _long_sides(
    seen: _Points, borders: _Borders, faces: Sequence[Face], line: Centreline, outline: Outline
) -> set[int]:
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
    # What turns less does not come back to itself; and the last two faces of a bar that is open are its ends.
    ends = 0 if line.table.closed else 2
    if sum(bend.angle for bend in line.table.bends) <= 180.0 or len({f.part_of for f in faces} - found) <= ends:
        return found
    for flat, off, _ in (beside(line, number, points) for number in runs_of(line)):
        here = (np.abs(off) < RUNS_ALONG) & (flat[:, 0] > -outline.largest) & (flat[:, 0] < longest)
        runs |= _along(flat, here, starts, reach, ~runs)
    return borders.with_two(numbers[runs]) - slots


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
