"""Edges of a body of the CAD kernel as plain data: asked one by one, sampled all at once."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GeomAbs import GeomAbs_CurveType as Curves
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape

from bentwork.space import Vec, cross
from bentwork.takeoff.edge_samples import SAMPLES, conic_parts, even, parted, stations
from bentwork.takeoff.edges import Edge, Edges, Floats, sampled_arcs

__all__ = ["edges_of", "spline_edge"]

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
            others[number] = _sampled(curve, even(first, last, conic_parts(last - first)), arcs=False)
        else:
            others[number] = _sampled(curve, _knots(curve) if kind == _SPLINE else even(first, last, 12))
    arcs = np.array(list(circles.values())).reshape(-1, 15)
    ends = np.array(list(lines.values())).reshape(-1, 2, 3)
    straight, bent = np.array(list(lines), dtype=np.intp), np.array(list(circles), dtype=np.intp)
    return Edges(len(seen), straight, ends, bent, arcs, *sampled_arcs(arcs), others)


def spline_edge(edge: TopoDS_Shape) -> Edge:
    """Return an edge that is a spline."""
    curve = BRepAdaptor_Curve(edge)
    return _sampled(curve, _knots(curve))


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


def _knots(curve: BRepAdaptor_Curve) -> list[float]:
    """Return the knots of a spline, and what a short one is sampled by between them."""
    spline = curve.BSpline()
    return parted([spline.Knot(k) for k in range(1, spline.NbKnots() + 1)], spline.Degree())
