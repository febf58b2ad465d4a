"""Bars along free curves, and bars that a program has approximated."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import OCP.collections as stores
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
from OCP.GC import GC_MakeArcOfCircle, GC_MakeSegment
from OCP.Geom import Geom_BSplineCurve
from OCP.GeomAbs import GeomAbs_Shape
from OCP.GeomAPI import GeomAPI_PointsToBSpline
from OCP.GeomConvert import GeomConvert_CompCurveToBSplineCurve
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Round
from tests.takeoff_models.solids import solid_of
from tests.takeoff_models.truth import Expected, Truth

SINGLE = BendTable((100.0, 80.0, 120.0), (Bend(60.0, 70.0), Bend(50.0, 50.0, 65.0)))


def helix(radius: float, pitch: float, turns: float, count: int = 400) -> np.ndarray:
    angle = np.linspace(0.0, 2.0 * math.pi * turns, count)
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle), pitch * angle / (2.0 * math.pi)))


def wave(count: int = 200) -> np.ndarray:
    """An arch that no arc makes: half a wave of a sine, 600 long and 90 high."""
    x = np.linspace(0.0, 600.0, count)
    return np.column_stack((x, np.zeros(count), 90.0 * np.sin(math.pi * x / 600.0)))


def through(points: np.ndarray, tolerance: float = 1e-5) -> Geom_BSplineCurve:
    table = stores.Array1_gp_Pnt(1, len(points))
    for k, (x, y, z) in enumerate(points.tolist(), 1):
        table.SetValue(k, gp_Pnt(x, y, z))
    return GeomAPI_PointsToBSpline(table, 3, 8, GeomAbs_Shape.GeomAbs_C2, tolerance).Curve()


def pipe_along(curve: Geom_BSplineCurve, radius: float) -> TopoDS_Shape:
    """A round section carried along a free curve."""
    face = BRepBuilderAPI_MakeFace(_circle(curve, radius)).Face()
    wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire()
    return solid_of(BRepOffsetAPI_MakePipe(wire, face).Shape())


def skin_along(curve: Geom_BSplineCurve, radius: float) -> TopoDS_Face:
    """The one face of a circle carried along a free curve, without its ends."""
    wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire()
    shell = BRepOffsetAPI_MakePipe(wire, _circle(curve, radius)).Shape()
    return TopoDS.Face(TopExp_Explorer(shell, TopAbs_ShapeEnum.TopAbs_FACE).Current())


def _circle(curve: Geom_BSplineCurve, radius: float) -> TopoDS_Wire:
    start, way = gp_Pnt(), gp_Vec()
    curve.D1(curve.FirstParameter(), start, way)
    circle = gp_Circ(gp_Ax2(start, gp_Dir(way)), radius)
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()


def one_curve(line: Centreline) -> Geom_BSplineCurve:
    """The whole centreline as one spline."""
    made = GeomConvert_CompCurveToBSplineCurve()
    for run in (run for run in line.runs if run.length):
        a, m, b = (gp_Pnt(*run.pose(run.length * f).origin) for f in (0.0, 0.5, 1.0))
        made.Add(GC_MakeArcOfCircle(a, m, b).Value() if run.bend else GC_MakeSegment(a, b).Value(), 1e-6, True)
    return made.BSplineCurve()


def curve_cases() -> Iterator[tuple[str, TopoDS_Shape, Expected]]:
    """Springs and sweeps with the points of their true middle; straights and arcs in one face."""
    line = Centreline(SINGLE)
    yield "one spline face", pipe_along(one_curve(line), 6.0), Expected("piece", (Truth(line, Round(12.0)),), 0.02)
    yield "spring", pipe_along(through(helix(30.0, 12.0, 4.0)), 2.0), Expected("curve", (), 0.5, "free curve")
    yield "sine arch", pipe_along(through(wave()), 6.0), Expected("curve", (), 0.5, "free curve")


MIDDLES = {"spring": helix(30.0, 12.0, 4.0, 3000), "sine arch": wave(3000)}


def nearest(points: np.ndarray, chord: np.ndarray) -> float:
    """How far points lie from a polyline at most."""
    a, b = chord[:-1], chord[1:]
    along = b - a
    sizes = np.einsum("ij,ij->i", along, along)
    worst = 0.0
    for point in points:
        share = np.clip(np.einsum("ij,ij->i", point - a, along) / sizes, 0.0, 1.0)
        worst = max(worst, float(np.linalg.norm(point - a - share[:, None] * along, axis=1).min()))
    return worst
