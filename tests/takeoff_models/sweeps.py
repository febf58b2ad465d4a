"""Square, rectangular and flat section carried along free curves, with the points of their true middle beside."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe, BRepOffsetAPI_MakePipeShell, BRepOffsetAPI_ThruSections
from OCP.Geom import Geom_BSplineCurve
from OCP.gp import gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME, Pose, Vec, along, cross, rotate, unit
from bentwork.stock.section import Flat, Section, Square, SquareTube
from tests.takeoff_models.curves import helix, one_curve, through, wave
from tests.takeoff_models.solids import block_beyond, profile, solid_of, without
from tests.takeoff_models.truth import Expected, Truth

IN_PLANE = BendTable((100.0, 80.0, 120.0), (Bend(60.0, 70.0), Bend(50.0, 50.0, 180.0)))


def swept(curve: Geom_BSplineCurve, section: Section, thick: Vec) -> TopoDS_Shape:
    """A section carried along a curve; its height runs along ``thick`` at the beginning, made square to the curve."""
    start = _start(curve)
    across = unit(along(thick, start.tangent, -sum(a * b for a, b in zip(thick, start.tangent, strict=True))))
    wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire()
    return solid_of(BRepOffsetAPI_MakePipe(wire, profile(section, start, across)).Shape())


def upright(curve: Geom_BSplineCurve, section: Section, up: Vec) -> TopoDS_Shape:
    """A section carried along a curve, its height always level: on a slope it turns about the bar."""
    start = _start(curve)
    made = BRepOffsetAPI_MakePipeShell(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire())
    made.SetMode(gp_Dir(*up))
    made.Add(_outline(section, start, unit(cross(start.tangent, up))))
    made.Build()
    made.MakeSolid()
    return solid_of(made.Shape())


def lofted(sizes: tuple[tuple[float, float], ...], turn: float, length: float) -> TopoDS_Shape:
    """Squares of these sizes one after the other, each turned by so much against the one before."""
    made = BRepOffsetAPI_ThruSections(True, False)
    for k, (width, height) in enumerate(sizes):
        pose = Pose((length * k / (len(sizes) - 1), 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
        made.AddWire(_outline(Flat(width, height), pose, rotate((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), turn * k)))
    made.Build()
    return solid_of(made.Shape())


def _outline(section: Section, pose: Pose, thick: Vec) -> TopoDS_Shape:
    from OCP.BRepTools import BRepTools

    return BRepTools.OuterWire_s(TopoDS.Face(profile(section, pose, thick)))


def _start(curve: Geom_BSplineCurve) -> Pose:
    point, way = gp_Pnt(), gp_Vec()
    curve.D1(curve.FirstParameter(), point, way)
    tangent = unit(way.Coord())
    side = unit(cross(tangent, (0.3, 0.5, 0.8)))
    return Pose(point.Coord(), tangent, side)


def stair(count: int = 300) -> np.ndarray:
    """The handrail of a winding stair: up a slope that grows, round a bend that tightens."""
    t = np.linspace(0.0, 1.0, count)
    angle, radius = t + 1.2 * t * t, 400.0 - 150.0 * t
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle), 120.0 * t + 180.0 * t * t))


SPRING, ARCH, RAIL = helix(60.0, 40.0, 3.0, 600), wave(), stair()
OUT, SIDE, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
SWEPT: dict[str, tuple[Section, str | None, np.ndarray]] = {
    "square spring": (Square(8.0, 8.0), None, helix(60.0, 40.0, 3.0, 4000)),
    "flat spring": (Flat(20.0, 4.0), "easy", helix(60.0, 40.0, 3.0, 4000)),
    "flat arch, easy": (Flat(25.0, 6.0), "easy", wave(3000)),
    "flat arch, hard": (Flat(25.0, 6.0), "hard", wave(3000)),
    "oblong tube arch": (SquareTube(30.0, 20.0, 2.0, 3.0), "hard", wave(3000)),
    "square tube rail": (SquareTube(25.0, 25.0, 2.0), None, stair(3000)),
    "rounded tube rail": (SquareTube(25.0, 25.0, 2.0, 4.0), None, stair(3000)),
    "arch cut aslant": (Square(12.0, 12.0), None, wave(3000)[200:]),
}
"""Section, which way it is bent, and points of the middle of every sweep."""


def sweep_cases() -> Iterator[tuple[str, TopoDS_Shape, Expected]]:
    """Springs and sweeps; then what is made the same way and is no bar, or one of straights and arcs."""
    curve = Expected("curve", (), 0.5, "free curve")
    thick = {"easy": UP, "hard": SIDE, None: UP}
    for name, (section, way, _) in SWEPT.items():
        if name == "square spring":
            yield name, swept(through(SPRING), section, OUT), curve
        elif name == "flat spring":
            # Level everywhere on a slope that turns: the section turns about the bar.
            yield name, upright(through(SPRING), section, UP), Expected("curve", (), 0.5, "must be twisted")
        elif "rail" in name:
            yield name, swept(through(RAIL), section, UP), curve
        elif name == "arch cut aslant":
            shape = swept(through(ARCH), section, UP)
            yield name, without(shape, block_beyond((600.0 * 200 / 2999, 0.0, 0.0), (-1.0, 0.0, 0.0))), curve
        else:
            yield name, swept(through(ARCH), section, thick[way]), curve
    line = Centreline(IN_PLANE, HOME)
    for section in (Square(12.0, 12.0), Flat(20.0, 5.0)):
        made = swept(one_curve(line), section, line.start.inward)
        way = "easy" if isinstance(section, Flat) else None
        yield f"{section.kind} in one spline", made, Expected("piece", (Truth(line, section, way),), 0.02)
    yield "twisted square bar", lofted(((10.0, 10.0),) * 7, 15.0, 300.0), Expected("other", says="twisted bar")
    yield "tapered bar", lofted(((20.0, 20.0), (10.0, 10.0)), 0.0, 300.0), Expected("other")
    bulged = lofted(((20.0, 10.0), (26.0, 10.0), (20.0, 10.0)), 0.0, 300.0)
    yield "bulged bar", bulged, Expected("other", says="changes along it")
    # The same on a slope that grows: cut across the bar it is thinner where it is steeper.
    yield "level handrail", upright(through(RAIL), Flat(30.0, 8.0), UP), Expected("other", says="changes along it")
    wide = swept(through(ARCH), Flat(200.0, 4.0), UP)
    yield "curved plate", wide, Expected("other", says="plate")
