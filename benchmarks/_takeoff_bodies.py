"""Bodies for the take-off's benchmarks: bars as a CAD program makes them, from sizes drawn by chance."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

import OCP.collections as stores
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_NurbsConvert,
)
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
from OCP.GC import GC_MakeArcOfCircle
from OCP.Geom import Geom_BSplineCurve
from OCP.GeomAPI import GeomAPI_PointsToBSpline
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.Standard import Standard_DomainError
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross

__all__ = ["as_splines", "bars", "flat_bars", "rod", "springs", "sweeps", "tube", "write"]

RADIUS = 6.0
SIDE, WALL, CORNER = 30.0, 2.0, 4.0


def bars(count: int, seed: int = 1) -> list[Centreline]:
    """Bars of up to six bends, in space."""
    rng = random.Random(seed)
    found = []
    for _ in range(count):
        bends = rng.randint(0, 6)
        table = BendTable(
            tuple(rng.uniform(20.0, 200.0) for _ in range(bends + 1)),
            tuple(
                Bend(50.0, rng.uniform(20.0, 120.0), 0.0 if k == 0 else rng.uniform(-170.0, 170.0))
                for k in range(bends)
            ),
        )
        found.append(Centreline(table))
    return found


def flat_bars(count: int, seed: int = 2) -> list[Centreline]:
    """Bars of two bends in planes or at right angles, each where no other stands."""
    rng = random.Random(seed)
    found = []
    for k in range(count):
        bends = (Bend(60.0, rng.uniform(30, 120)), Bend(60.0, rng.uniform(30, 120), rng.choice((0.0, 90.0, 180.0))))
        table = BendTable(tuple(rng.uniform(60.0, 300.0) for _ in range(3)), bends)
        place: Vec = (k % 20 * 900.0, k // 20 * 900.0, 0.0)
        found.append(Centreline(table, Pose(place, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))))
    return found


def rod(line: Centreline) -> TopoDS_Shape:
    """Solid round bar along a centreline."""
    circle = gp_Circ(gp_Ax2(gp_Pnt(*line.start.origin), gp_Dir(*line.start.tangent)), RADIUS)
    face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()).Face()
    return BRepOffsetAPI_MakePipe(_path(line), face).Shape()


def tube(line: Centreline) -> TopoDS_Shape:
    """Square tube with rounded corners along a centreline."""
    return BRepOffsetAPI_MakePipe(_path(line), _section(line.start)).Shape()


def springs(count: int) -> Iterator[TopoDS_Shape]:
    """Springs of round wire, each of one spline face and its ends."""
    for k in range(count):
        angles = [2.0 * math.pi * 4.0 * i / 400 for i in range(401)]
        pitch = 12.0 + 0.1 * k
        table = stores.Array1_gp_Pnt(1, len(angles))
        for n, a in enumerate(angles, 1):
            table.SetValue(n, gp_Pnt(30.0 * math.cos(a), 30.0 * math.sin(a), pitch * a / (2.0 * math.pi)))
        curve = GeomAPI_PointsToBSpline(table).Curve()
        start, way = _start(curve)
        circle = gp_Circ(gp_Ax2(start, gp_Dir(way)), 2.0)
        face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()).Face()
        wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire()
        yield BRepOffsetAPI_MakePipe(wire, face).Shape()


def sweeps(count: int) -> Iterator[TopoDS_Shape]:
    """Square tubes with rounded corners along half a wave of a sine, 18 faces each."""
    for k in range(count):
        table = stores.Array1_gp_Pnt(1, 200)
        for n in range(200):
            table.SetValue(n + 1, gp_Pnt(4.0 * n, 0.0, (90.0 + k) * math.sin(math.pi * n / 199)))
        curve = GeomAPI_PointsToBSpline(table).Curve()
        start, way = _start(curve)
        face = _section(Pose(start.Coord(), gp_Dir(way).Coord(), (0.0, 1.0, 0.0)))
        wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire()
        yield BRepOffsetAPI_MakePipe(wire, face).Shape()


def as_splines(shapes: Sequence[TopoDS_Shape], most: int) -> list[TopoDS_Shape]:
    """The first shapes with every face made a spline; the kernel cannot do it for every torus."""
    found: list[TopoDS_Shape] = []
    for shape in shapes:
        with suppress(Standard_DomainError):
            found.append(BRepBuilderAPI_NurbsConvert(shape, True).Shape())
        if len(found) == most:
            break
    return found


def write(path: Path, shapes: Sequence[TopoDS_Shape]) -> None:
    """Write solids into one file. What the kernel prints meanwhile is its own affair."""
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    writer = STEPControl_Writer()
    writer.Transfer(whole, STEPControl_StepModelType.STEPControl_AsIs)
    writer.Write(str(path))


def _start(curve: Geom_BSplineCurve) -> tuple[gp_Pnt, gp_Vec]:
    start, way = gp_Pnt(), gp_Vec()
    curve.D1(curve.FirstParameter(), start, way)
    return start, way


def _path(line: Centreline) -> TopoDS_Wire:
    wire = BRepBuilderAPI_MakeWire()
    for run in line.runs:
        a, m, b = (gp_Pnt(*run.pose(run.length * f).origin) for f in (0.0, 0.5, 1.0))
        curve = GC_MakeArcOfCircle(a, m, b).Value() if run.bend else None
        wire.Add((BRepBuilderAPI_MakeEdge(curve) if curve else BRepBuilderAPI_MakeEdge(a, b)).Edge())
    return wire.Wire()


def _section(start: Pose) -> TopoDS_Face:
    inner = TopoDS.Wire(_rounded(start, SIDE / 2.0 - WALL, CORNER - WALL).Reversed())
    return BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeFace(_rounded(start, SIDE / 2.0, CORNER)).Face(), inner).Face()


def _rounded(start: Pose, half: float, radius: float) -> TopoDS_Wire:
    x, y = cross(start.axis, start.tangent), start.axis

    def at(u: float, v: float) -> gp_Pnt:
        return gp_Pnt(*along(along(start.origin, x, u), y, v))

    wire = BRepBuilderAPI_MakeWire()
    near, bow = half - radius, half - radius + radius * math.sqrt(0.5)
    for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1)):  # a side, and the corner behind it, turned by quarters

        def turned(u: float, v: float, c: int = c, s: int = s) -> gp_Pnt:
            return at(c * u - s * v, s * u + c * v)

        wire.Add(BRepBuilderAPI_MakeEdge(turned(half, -near), turned(half, near)).Edge())
        corner = GC_MakeArcOfCircle(turned(half, near), turned(bow, bow), turned(near, half)).Value()
        wire.Add(BRepBuilderAPI_MakeEdge(corner).Edge())
    return wire.Wire()
