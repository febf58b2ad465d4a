"""Edges of a body of the CAD kernel as plain data: asked one by one, sampled all at once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import chain, pairwise
from math import ceil, pi

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GeomAbs import GeomAbs_CurveType as Curves
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape

from bentwork.space import Vec, cross
from bentwork.takeoff.edges import Edges, sampled_arcs
from bentwork.takeoff.shape import Edge, Floats
from bentwork.takeoff.splines import Splines, points_on

Ints = NDArray[np.intp]

__all__ = ["MOST_SPANS", "SAMPLES", "edges_of", "elliptic", "sampled_splines", "spline_edge", "stations"]

MOST_SPANS = 160
"""Knot spans sampled across a face or along an edge; above that neighbours are taken together."""
SAMPLES = 4
"""Samples in a knot span: a circle through three, and one to check it by."""
_LINE, _CIRCLE, _SPLINE = (int(k) for k in (Curves.GeomAbs_Line, Curves.GeomAbs_Circle, Curves.GeomAbs_BSplineCurve))
_CONICS = {int(k) for k in (Curves.GeomAbs_Ellipse, Curves.GeomAbs_Hyperbola, Curves.GeomAbs_Parabola)}


def edges_of(seen: Sequence[TopoDS_Shape]) -> Edges:
    """Return edges of the kernel as plain ones, in their order."""
    lines: dict[int, tuple[Vec, Vec]] = {}
    circles: dict[int, tuple[float, ...]] = {}
    others: dict[int, Edge] = {}
    for number, edge in enumerate(seen):
        if BRep_Tool.Degenerated_s(edge):
            others[number] = Edge("free", np.zeros((0, 3)))
            continue
        curve = BRepAdaptor_Curve(edge)
        kind = int(curve.GetType())
        first, last = curve.FirstParameter(), curve.LastParameter()
        if kind == _LINE or (kind == _SPLINE and curve.Degree() == 1 and curve.NbPoles() == 2):
            lines[number] = (curve.Value(first).Coord(), curve.Value(last).Coord())
        elif kind == _CIRCLE:
            circle = curve.Circle()
            frame = circle.Position()
            axis, x = frame.Direction().Coord(), frame.XDirection().Coord()
            row = (*frame.Location().Coord(), *axis, *x, *cross(axis, x), circle.Radius(), first, last)
            circles[number] = row
        elif kind in _CONICS:
            # No part of an ellipse is an arc: nothing of it is looked for between knots.
            others[number] = _sampled(curve, _even(first, last, _conic_parts(last - first)), arcs=False)
        else:
            others[number] = _sampled(curve, _knots(curve) if kind == _SPLINE else _even(first, last, 12))
    arcs = np.array(list(circles.values())).reshape(-1, 15)
    ends = np.array(list(lines.values())).reshape(-1, 2, 3)
    straight, bent = np.array(list(lines), dtype=np.intp), np.array(list(circles), dtype=np.intp)
    return Edges(len(seen), straight, ends, bent, arcs, *sampled_arcs(arcs), others)


def spline_edge(edge: TopoDS_Shape) -> Edge:
    """Return an edge that is a spline."""
    curve = BRepAdaptor_Curve(edge)
    return _sampled(curve, _knots(curve))


def sampled_splines(splines: Splines, ends: Floats) -> list[Floats]:
    """Return samples of splines as of those that are asked for, (m, 3) each.

    Args:
        splines: all of them.
        ends: first and last parameter of each, (s, 2).
    """
    if len(ends) == 0:
        return []
    knots, after = splines.knots.tolist(), splines.knot_counts.cumsum().tolist()
    rows = zip([0, *after[:-1]], after, splines.degrees.tolist(), ends.tolist(), strict=True)
    told = [_spans(first, last, _parted(knots[a:b], degree)) for a, b, degree, (first, last) in rows]
    borders, sizes = np.array(list(chain.from_iterable(told))), np.array([len(some) for some in told])
    counts = SAMPLES * (sizes - 1) + 1
    lasts = counts.cumsum() - 1
    values = np.empty(lasts[-1] + 1)
    within, starts = np.ones(len(values), dtype=bool), np.ones(len(borders), dtype=bool)
    within[lasts] = starts[sizes.cumsum() - 1] = False
    begins = starts.nonzero()[0]
    low = borders.take(begins)[:, None]
    steps = (borders.take(begins + 1)[:, None] - low) * np.arange(SAMPLES) / SAMPLES
    values[within], values[lasts] = (low + steps).ravel(), borders[~starts]
    points = points_on(splines, values, counts)
    return [points[last + 1 - count : last + 1] for count, last in zip(counts.tolist(), lasts.tolist(), strict=True)]


def elliptic(rows: Floats) -> list[Edge]:
    """Return parts of ellipses, sampled as those that are asked for.

    Args:
        rows: centre, axis, directions of the first and second radius, both radii, first and last angle, (n, 16).
    """
    if len(rows) == 0:
        return []
    sweeps = rows[:, 15] - rows[:, 14]
    sizes = [SAMPLES * _conic_parts(sweep) + 1 for sweep in sweeps.tolist()]
    counts = np.array(sizes)
    ends = counts.cumsum()
    starts = ends - counts
    each = np.arange(len(rows)).repeat(counts)
    own = rows.take(each, axis=0)
    angles = own[:, 14] + (np.arange(len(each)) - starts.take(each)) * (sweeps / (counts - 1.0)).take(each)
    x, y = _radii(own)
    points = own[:, :3] + np.cos(angles)[:, None] * x + np.sin(angles)[:, None] * y

    spans = zip(sizes, starts.tolist(), ends.tolist(), strict=True)
    return [
        Edge("free", points[a:b], finer=partial(_finer, rows, k, (count - 1) // SAMPLES))
        for k, (count, a, b) in enumerate(spans)
    ]


def _finer(rows: Floats, k: int, parts: int, count: int) -> tuple[Floats, Floats]:
    row = rows[k]
    angles = np.linspace(row[14], row[15], parts * max(SAMPLES, ceil(count / parts)) + 1)
    (x, y), cosines, sines = _radii(row[None]), np.cos(angles)[:, None], np.sin(angles)[:, None]
    ways = cosines * y - sines * x
    return row[:3] + cosines * x + sines * y, ways / np.linalg.norm(ways, axis=1, keepdims=True)


def _radii(rows: Floats) -> tuple[Floats, Floats]:
    """Return where the angle is 0 on ellipses, and where it is a quarter turn, from their centres, (n, 3) each."""
    return rows[:, 12, None] * rows[:, 6:9], rows[:, 13, None] * rows[:, 9:12]


def _conic_parts(sweep: float) -> int:
    return min(12, ceil(6.0 * sweep / pi))


def _sampled(curve: BRepAdaptor_Curve, knots: list[float], *, arcs: bool = True) -> Edge:
    """Return a curve by its samples; ``arcs`` of it are looked for between knots."""
    first, last = curve.FirstParameter(), curve.LastParameter()
    values, places = stations(first, last, knots)

    def finer(count: int) -> tuple[Floats, Floats]:
        dense = stations(first, last, knots, max(SAMPLES, ceil(count / max(1, len(places) - 1))))[0]
        point, way = gp_Pnt(), gp_Vec()
        rows = []
        for value in dense:
            curve.D1(value, point, way)
            rows.append((*point.Coord(), *way.Coord()))
        table = np.array(rows)
        ways = table[:, 3:]
        return table[:, :3].copy(), ways / np.maximum(np.linalg.norm(ways, axis=1, keepdims=True), 1e-30)

    point = gp_Pnt()
    row: list[float] = []  # one after the other: turned into an array in half the time
    to, told = curve.D0, point.Coord
    for value in values:
        to(value, point)
        row += told()
    return Edge("free", np.array(row).reshape(-1, 3), tuple(places) if arcs else (), finer=finer)


def stations(first: float, last: float, knots: list[float], samples: int = SAMPLES) -> tuple[list[float], list[int]]:
    """Return parameters with every knot among them, and the places of the knots."""
    ends = _spans(first, last, knots)
    steps = range(samples)
    values = [a + (b - a) * i / samples for a, b in pairwise(ends) for i in steps]
    values.append(last)
    return values, list(range(0, len(values), samples))


def _spans(first: float, last: float, knots: list[float]) -> list[float]:
    """Return where spans begin and end, from a first to a last parameter."""
    low, high = first + 1e-9 * (last - first), last - 1e-9 * (last - first)
    ends = [first, *[k for k in knots if low < k < high], last]
    if len(ends) - 1 > MOST_SPANS:
        step = ceil((len(ends) - 1) / MOST_SPANS)
        ends = [*ends[:-1:step], last]
    return ends


def _knots(curve: BRepAdaptor_Curve) -> list[float]:
    """Return the knots of a spline, and what a short one is sampled by between them."""
    spline = curve.BSpline()
    return _parted([spline.Knot(k) for k in range(1, spline.NbKnots() + 1)], spline.Degree())


def _parted(knots: list[float], degree: int) -> list[float]:
    if len(knots) >= 6 or degree <= 2:
        return knots
    # A span of the second degree is part of a conic and turns less than half a turn. A short spline of a higher
    # degree may wind a good deal: its ends are looked for among the samples.
    return [a + (b - a) * i / 4.0 for a, b in pairwise(knots) for i in range(4)]


def _even(first: float, last: float, parts: int) -> list[float]:
    """Return what is between even parts."""
    return [first + (last - first) * i / parts for i in range(1, parts)]
