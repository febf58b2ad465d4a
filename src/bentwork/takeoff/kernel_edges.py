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

from bentwork.space import Vec, cross
from bentwork.takeoff.edges import Edges, sampled_arcs
from bentwork.takeoff.shape import Edge, Floats

__all__ = ["MOST_SPANS", "SAMPLES", "edges_of", "stations"]

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
        else:
            others[number] = _free(curve, first, last)
    arcs = np.array(list(circles.values())).reshape(-1, 15)
    ends = np.array(list(lines.values())).reshape(-1, 2, 3)
    return Edges(len(seen), list(lines), ends, list(circles), arcs, *sampled_arcs(arcs), others)


def _free(curve: BRepAdaptor_Curve, first: float, last: float) -> Edge:
    conic = int(curve.GetType()) in _CONICS
    knots = _even(first, last, ceil(6.0 * (last - first) / pi)) if conic else _knots(curve, first, last)
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

    # No part of an ellipse is an arc: nothing of it is looked for between knots.
    parts = () if conic else tuple(places)
    point, rows = gp_Pnt(), []
    for value in values:
        curve.D0(value, point)
        rows.append(point.Coord())
    return Edge("free", np.array(rows), parts, finer=finer)


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
    return _even(first, last, 12)


def _even(first: float, last: float, parts: int) -> list[float]:
    """Return what is between even parts, twelve at most."""
    parts = min(12, parts)
    return [first + (last - first) * i / parts for i in range(1, parts)]
