"""Edges of a body of the CAD kernel as plain data: asked one by one, sampled all at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, pi

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GeomAbs import GeomAbs_CurveType as Curves
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape

from bentwork.space import Vec
from bentwork.takeoff.shape import Edge, Floats, crossed

__all__ = ["MOST_SPANS", "SAMPLES", "edges_of", "stations"]

MOST_SPANS = 160
"""Knot spans sampled across a face or along an edge; above that neighbours are taken together."""
SAMPLES = 4
"""Samples in a knot span: a circle through three, and one to check it by."""
_LINE, _CIRCLE, _SPLINE = (int(k) for k in (Curves.GeomAbs_Line, Curves.GeomAbs_Circle, Curves.GeomAbs_BSplineCurve))


def edges_of(seen: Sequence[TopoDS_Shape]) -> tuple[Edge, ...]:
    """Return edges of the kernel as plain ones, in their order."""
    found: list[Edge | None] = [None] * len(seen)
    lines: list[tuple[int, Vec, Vec]] = []
    circles: list[tuple[int, _Circle]] = []
    for number, edge in enumerate(seen):
        if BRep_Tool.Degenerated_s(edge):
            found[number] = Edge("free", np.zeros((0, 3)))
            continue
        curve = BRepAdaptor_Curve(edge)
        kind = int(curve.GetType())
        first, last = curve.FirstParameter(), curve.LastParameter()
        if kind == _LINE or (kind == _SPLINE and curve.Degree() == 1 and curve.NbPoles() == 2):
            lines.append((number, curve.Value(first).Coord(), curve.Value(last).Coord()))
        elif kind == _CIRCLE:
            circle = curve.Circle()
            frame = circle.Position()
            axis, x = frame.Direction().Coord(), frame.XDirection().Coord()
            centre, radius = frame.Location().Coord(), circle.Radius()
            circles.append((number, (centre, axis, x, radius, first, last)))
        else:
            found[number] = _free(curve, first, last)
    ends = np.array([(a, b) for _, a, b in lines])
    for k, (number, _, _) in enumerate(lines):
        found[number] = Edge("line", ends[k])
    for (number, one), points in zip(circles, _round([one for _, one in circles]), strict=True):
        found[number] = Edge("circle", points, (), one[0], one[1], one[3], one[5] - one[4])
    return tuple(edge for edge in found if edge is not None)


_Circle = tuple[Vec, Vec, Vec, float, float, float]
"""Centre, axis, where the angle is 0, radius, first and last angle."""


def _round(circles: Sequence[_Circle]) -> list[Floats]:
    """Return samples of arcs, their ends among them and never more than 22.5 degrees apart."""
    if not circles:
        return []
    counts = [max(2, ceil((last - first) / (pi / 8.0)) + 1) for *_, first, last in circles]
    ends = np.cumsum(counts)
    rows = np.array([(*c, *x, *n, r, a, b - a) for c, n, x, r, a, b in circles])
    rows[:, 6:9] = crossed(rows[:, 6:9], rows[:, 3:6])
    rows[:, 11] /= np.array(counts) - 1
    table = np.repeat(rows, counts, axis=0)
    steps = np.arange(len(table)) - np.repeat(ends - counts, counts)
    angles = table[:, 10] + steps * table[:, 11]
    along_x, along_y = table[:, 9] * np.cos(angles), table[:, 9] * np.sin(angles)
    points = table[:, :3] + along_x[:, None] * table[:, 3:6] + along_y[:, None] * table[:, 6:9]
    return [points[end - count : end] for end, count in zip(ends.tolist(), counts, strict=True)]


def _free(curve: BRepAdaptor_Curve, first: float, last: float) -> Edge:
    knots = _knots(curve, first, last)
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

    return Edge("free", np.array([curve.Value(u).Coord() for u in values]), tuple(places), finer=finer)


def stations(first: float, last: float, knots: list[float], samples: int = SAMPLES) -> tuple[list[float], list[int]]:
    """Return parameters with every knot among them, and the places of the knots."""
    inner = [k for k in knots if first + 1e-9 * (last - first) < k < last - 1e-9 * (last - first)]
    ends = [first, *inner, last]
    if len(ends) - 1 > MOST_SPANS:
        step = ceil((len(ends) - 1) / MOST_SPANS)
        ends = [*ends[:-1:step], last]
    values, places = [ends[0]], [0]
    for a, b in pairwise(ends):
        values += [a + (b - a) * i / samples for i in range(1, samples)] + [b]
        places.append(len(values) - 1)
    return values, places


def _knots(curve: BRepAdaptor_Curve, first: float, last: float) -> list[float]:
    if int(curve.GetType()) == _SPLINE:
        spline = curve.BSpline()
        knots = [float(spline.Knot(k)) for k in range(1, spline.NbKnots() + 1)]
        if len(knots) >= 6 or spline.Degree() <= 2:
            return knots
        # A span of the second degree is part of a conic and turns less than half a turn. A short spline of a higher
        # degree may wind a good deal: its ends are looked for among the samples.
        return [a + (b - a) * i / 4.0 for a, b in pairwise(knots) for i in range(4)]
    return [first + (last - first) * i / 12.0 for i in range(1, 12)]
