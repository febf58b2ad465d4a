"""The edges of a solid in tables, so that all of them are reckoned with at once. Lengths in mm, angles in radians."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import pi
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.space import Vec

__all__ = [
    "Edge",
    "EdgeKind",
    "Edges",
    "Floats",
    "Ints",
    "crossed",
    "edges_in_tables",
    "edges_together",
    "sampled_arcs",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
EdgeKind = Literal["line", "circle", "free"]

SAMPLED = pi / 8.0
"""Samples of an arc are no further apart, rad: 22.5 degrees."""


class Edge(NamedTuple):
    """An edge of a solid; a named tuple, because a solid may have tens of thousands.

    Args:
        kind: of curve.
        points: (n, 3) in order; a line has its two ends, every other kind samples with every knot among them.
        knots: places in ``points`` where one span ends and the next begins.
        centre: of a circle.
        axis: of a circle; it runs from first to last point round it by the right-hand rule.
        radius: of a circle, mm.
        sweep: of a circle, rad.
        finer: of a free edge, gives points and unit directions, (n, 3) each, at least as many as are asked for.
    """

    kind: EdgeKind
    points: Floats
    knots: tuple[int, ...] = ()
    centre: Vec = (0.0, 0.0, 0.0)
    axis: Vec = (0.0, 0.0, 1.0)
    radius: float = 0.0
    sweep: float = 0.0
    finer: Callable[[int], tuple[Floats, Floats]] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """Lines, circles and what is neither.

    Args:
        count: of the solid's edges; one that was cut into lines and circles counts once.
        line_numbers: number of the edge that each line is, or is part of, in order.
        ends: of the lines, (k, 2, 3).
        circle_numbers: the same of the circles.
        arcs: centre, axis, where the angle is 0, where it is a quarter turn, radius, first and last angle, (c, 15).
        points: samples of all arcs, the ends among them, (m, 3).
        starts: where those of each arc begin, and where the last ones end, (c + 1,).
        others: edges that are neither, by number; points without length among them.
    """

    count: int
    line_numbers: Ints
    ends: Floats
    circle_numbers: Ints
    arcs: Floats
    points: Floats
    starts: Ints
    others: Mapping[int, Edge]

    def spread(self) -> tuple[Floats, Ints, Ints]:
        """Return samples of all edges, (n, 3), and of each where its own begin and how many there are.

        Of an edge that was cut these are those of its last part.
        """
        firsts, counts = np.zeros(self.count, dtype=np.intp), np.zeros(self.count, dtype=np.intp)
        lines, others = 2 * len(self.ends), [edge.points for edge in self.others.values()]
        firsts[self.line_numbers], counts[self.line_numbers] = np.arange(0, lines, 2), 2
        firsts[self.circle_numbers] = lines + self.starts[:-1]
        counts[self.circle_numbers] = self.starts[1:] - self.starts[:-1]
        if others:
            numbers, sizes = np.array(list(self.others)), np.array([len(points) for points in others])
            firsts[numbers] = lines + len(self.points) + sizes.cumsum() - sizes
            counts[numbers] = sizes
        return np.concatenate((self.ends.reshape(-1, 3), self.points, *others)), firsts, counts

    def each(self) -> Iterator[tuple[int, Edge]]:
        """Yield edges one by one, with their numbers: lines, circles, and the others."""
        for number, ends in zip(self.line_numbers.tolist(), self.ends, strict=True):
            yield number, Edge("line", ends)
        starts = self.starts.tolist()
        for k, (number, row) in enumerate(zip(self.circle_numbers.tolist(), self.arcs.tolist(), strict=True)):
            cx, cy, cz, nx, ny, nz, *_, radius, first, last = row
            points = self.points[starts[k] : starts[k + 1]]
            yield number, Edge("circle", points, (), (cx, cy, cz), (nx, ny, nz), radius, last - first)
        yield from self.others.items()


def edges_together(some: Sequence[Edges]) -> tuple[Edges, Ints]:
    """Return the edges of several solids in one table, and by how much the numbers of each are more there."""
    counts = np.array([edges.count for edges in some])
    shifts = counts.cumsum() - counts

    def moved(numbers: Sequence[Ints]) -> Ints:
        found: Ints = np.concatenate(numbers) + shifts.repeat([len(own) for own in numbers])
        return found

    arcs = np.concatenate([edges.arcs for edges in some])
    samples = [len(edges.points) for edges in some]
    starts = [
        edges.starts[:-1] + after - size for edges, after, size in zip(some, accumulate(samples), samples, strict=True)
    ]
    together = Edges(
        int(counts.sum()),
        moved([edges.line_numbers for edges in some]),
        np.concatenate([edges.ends for edges in some]),
        moved([edges.circle_numbers for edges in some]),
        arcs,
        np.concatenate([edges.points for edges in some]),
        np.concatenate((*starts, (sum(samples),))),
        {n + by: edge for edges, by in zip(some, shifts.tolist(), strict=True) for n, edge in edges.others.items()},
    )
    return together, shifts


def edges_in_tables(count: int, edges: Iterable[tuple[int, Edge]]) -> Edges:
    """Return edges with their numbers in tables."""
    some = sorted(edges, key=lambda pair: pair[0])
    lines = [(number, edge.points) for number, edge in some if edge.kind == "line"]
    circles = [(number, edge) for number, edge in some if edge.kind == "circle"]
    arcs = np.zeros((len(circles), 15))
    for row, (_, edge) in zip(arcs, circles, strict=True):
        row[:3], row[3:6] = edge.centre, edge.axis
        row[6:9] = (edge.points[0] - row[:3]) / edge.radius
        row[12:] = edge.radius, 0.0, edge.sweep
    arcs[:, 9:12] = crossed(arcs[:, 3:6], arcs[:, 6:9])
    return Edges(
        count,
        np.array([number for number, _ in lines], dtype=np.intp),
        np.array([ends for _, ends in lines]).reshape(-1, 2, 3),
        np.array([number for number, _ in circles], dtype=np.intp),
        arcs,
        np.concatenate([edge.points for _, edge in circles]) if circles else np.zeros((0, 3)),
        np.cumsum([0, *(len(edge.points) for _, edge in circles)]),
        {number: edge for number, edge in some if edge.kind == "free"},
    )


def sampled_arcs(arcs: Floats) -> tuple[Floats, Ints]:
    """Return samples of arcs (rows as in ``Edges``), (m, 3), and where those of each begin, (n + 1,)."""
    if len(arcs) == 0:
        return np.zeros((0, 3)), np.zeros(1, dtype=np.intp)
    sweeps = arcs[:, 14] - arcs[:, 13]
    counts = np.maximum(2, np.ceil(sweeps / SAMPLED).astype(np.intp) + 1)
    starts = np.zeros(len(arcs) + 1, dtype=np.intp)
    np.add.accumulate(counts, out=starts[1:])
    each = np.arange(len(arcs)).repeat(counts)
    steps = np.arange(len(each)) - starts.take(each)
    angles = arcs[:, 13].take(each) + steps * (sweeps / (counts - 1)).take(each)
    centres, radii = arcs[:, :3].take(each, axis=0), (arcs[:, 12:13] * arcs[:, 6:12]).take(each, axis=0)
    return centres + np.cos(angles)[:, None] * radii[:, :3] + np.sin(angles)[:, None] * radii[:, 3:], starts


def crossed(a: Floats, b: Floats) -> Floats:
    """Return a x b along the last axis of two arrays of one shape; several times faster than numpy's own."""
    found = np.empty(a.shape)
    a0, a1, a2 = a[..., 0], a[..., 1], a[..., 2]
    b0, b1, b2 = b[..., 0], b[..., 1], b[..., 2]
    found[..., 0] = a1 * b2 - a2 * b1
    found[..., 1] = a2 * b0 - a0 * b2
    found[..., 2] = a0 * b1 - a1 * b0
    return found
