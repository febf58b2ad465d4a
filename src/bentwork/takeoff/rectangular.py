"""Square, rectangular and flat bar, solid and hollow, out of the edges of a solid."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, along, cross, distance, unit
from bentwork.stock.section import Flat, SquareTube
from bentwork.takeoff.bar import WayBent
from bentwork.takeoff.bars import Doubt, Tried, rests_of, try_bar
from bentwork.takeoff.formal import Spine, formal_edges
from bentwork.takeoff.long_edges import Strip, bent_strips
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.runs import Arc, Straight, centreline_of, chained
from bentwork.takeoff.shape import Edge, Face, Shape
from bentwork.takeoff.straight_edges import straight_strips
from bentwork.takeoff.unbend import along_runs, unbent

__all__ = ["long_sides", "rectangular_bars", "rectangular_lines"]

RUNS_ALONG = 0.01
"""An edge that keeps its place in the section to within this runs along the bar, mm."""


def rectangular_bars(
    shape: Shape, faces: Sequence[Face], spines: Sequence[Spine], volume: float
) -> Iterator[Tried | Doubt]:
    """Try every chain of long edges as the one bar of a solid."""
    edges = formal_edges(shape.read_edge(k) for k in range(shape.edge_count))
    splined = any(face.kind == "free" for face in shape.faces)
    for line, outline, way in rectangular_lines(edges, faces):
        if outline.area * line.table.length < 0.3 * volume:
            continue
        sides = long_sides(shape, faces, line, outline)
        rests = rests_of(shape, faces, sides)
        yield try_bar(line, [outline], rests, volume, splined=splined, way=way)


def rectangular_lines(
    edges: Sequence[tuple[int, Edge]], faces: Sequence[Face]
) -> Iterator[tuple[Centreline, Outline, WayBent | None]]:
    """Return centrelines with their sections, the longest first; straight ones where nothing is bent."""
    for strip in bent_strips([edge for _, edge in edges]):
        chains = chained(strip.parts)
        for chain, closed in sorted(chains, key=lambda pair: -sum(part.length for part in pair[0])):
            arcs = [part for part in chain if isinstance(part, Arc)]
            if not arcs:
                continue
            line = centreline_of(chain, closed)
            if line is not None:
                yield (line, *_seen(line, strip))
    for strip in straight_strips(edges, faces):
        straight = strip.parts[0]
        assert isinstance(straight, Straight) and strip.thick is not None
        tangent = straight.tangents[0]
        x, y, z = (float(c) for c in strip.thick)
        axis = unit(cross(tangent, (x, y, z)))
        yield Centreline(BendTable((straight.length,)), Pose(straight.a, tangent, axis)), strip.outline, None


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


def long_sides(shape: Shape, faces: Sequence[Face], line: Centreline, outline: Outline) -> set[int]:
    """Return the numbers of the faces that run along a bar: two of their edges, or more, keep their place in it."""
    samples = [shape.read_edge(number).points for number in range(shape.edge_count)]
    sizes = np.array([len(points) for points in samples])
    numbers = np.flatnonzero(sizes > 1)
    if len(numbers) == 0:
        return set()
    points = np.vstack([samples[number] for number in numbers])
    starts = np.concatenate(([0], np.cumsum(sizes[numbers])[:-1]))
    runs = np.zeros(len(numbers), dtype=bool)
    # By the nearest part for edges that go on round several; by each part for where the bar runs past itself.
    measured = [(unbent(line, points), np.zeros(len(points))), *along_runs(line, points)]
    for flat, off in measured:
        lows, highs = np.minimum.reduceat(flat, starts), np.maximum.reduceat(flat, starts)
        spread = highs - lows
        reach = np.hypot(*np.maximum(np.abs(lows[:, 1:]), np.abs(highs[:, 1:])).T)
        inside = reach < math.hypot(outline.inward, outline.across) + RUNS_ALONG
        inside &= np.maximum.reduceat(np.abs(off), starts) < RUNS_ALONG
        runs |= (spread[:, 0] > RUNS_ALONG) & (spread[:, 1:].max(axis=1) < RUNS_ALONG) & inside
    along = set(numbers[runs].tolist())
    return {face.part_of for face in faces if sum(number in along for number in face.edges) >= 2}
