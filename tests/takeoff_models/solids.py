"""Solids of bent bars made with the CAD kernel from its own primitives: extruded, revolved, sewn, fused, cut."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import OCP.collections as stores
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_NurbsConvert,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer, BRepFilletAPI_MakeFillet
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe, BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.ShapeFix import ShapeFix_Solid
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Pose, Vec, add, along, cross, rotate, scale, unit
from bentwork.stock.section import Round, Section, SquareTube, Tube


def pnt(p: Vec) -> gp_Pnt:
    return gp_Pnt(*p)


def wire_along(line: Centreline) -> TopoDS_Wire:
    made = BRepBuilderAPI_MakeWire()
    for run in line.runs:
        if run.length > 1e-9:
            made.Add(_edge(run))
    return made.Wire()


def _edge(run: Run) -> TopoDS_Shape:
    a, m, b = (pnt(run.pose(run.length * f).origin) for f in (0.0, 0.5, 1.0))
    if run.bend == 0:
        return BRepBuilderAPI_MakeEdge(a, b).Edge()
    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(a, m, b).Value()).Edge()


def _circle(pose: Pose, radius: float) -> TopoDS_Wire:
    axes = gp_Ax2(pnt(pose.origin), gp_Dir(*pose.tangent))
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(axes, radius)).Edge()).Wire()


def _rectangle(pose: Pose, x: Vec, y: Vec, width: float, height: float, radius: float) -> TopoDS_Wire:
    """Wire of a rectangle with width along x and height along y."""
    made = BRepBuilderAPI_MakeWire()
    w, h = width / 2.0, height / 2.0
    corners = [(w, h), (-w, h), (-w, -h), (w, -h)]

    def at(a: float, b: float) -> Vec:
        return along(along(pose.origin, x, a), y, b)

    inner = [(math.copysign(w - radius, a), math.copysign(h - radius, b)) for a, b in corners]
    for k in range(4):
        angle = math.radians(45.0 + 90.0 * k)
        (ca, cb), (na, nb) = inner[k], inner[(k + 1) % 4]
        last = (ca + radius * math.cos(angle + math.pi / 4), cb + radius * math.sin(angle + math.pi / 4))
        following = (na + radius * math.cos(angle + math.pi / 4), nb + radius * math.sin(angle + math.pi / 4))
        if radius > 0.0:
            first = (ca + radius * math.cos(angle - math.pi / 4), cb + radius * math.sin(angle - math.pi / 4))
            middle = (ca + radius * math.cos(angle), cb + radius * math.sin(angle))
            arc = GC_MakeArcOfCircle(pnt(at(*first)), pnt(at(*middle)), pnt(at(*last))).Value()
            made.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
        made.Add(BRepBuilderAPI_MakeEdge(pnt(at(*last)), pnt(at(*following))).Edge())
    return made.Wire()


def profile(section: Section, pose: Pose, thick: Vec) -> TopoDS_Face:
    """Face of a section at a pose; the height of a rectangle runs along ``thick``."""
    wide = cross(pose.tangent, thick)
    holes: list[TopoDS_Wire] = []
    if isinstance(section, Round | Tube):
        outer = _circle(pose, section.diameter / 2.0)
        if isinstance(section, Tube):
            holes.append(_circle(pose, section.bore / 2.0))
    else:
        radius = section.corner_radius if isinstance(section, SquareTube) else 0.0
        outer = _rectangle(pose, wide, thick, section.width, section.height, radius)
        if isinstance(section, SquareTube):
            w, h = section.width - 2 * section.wall, section.height - 2 * section.wall
            holes.append(_rectangle(pose, wide, thick, w, h, section.inside_radius))
    made = BRepBuilderAPI_MakeFace(outer, True)
    for hole in holes:
        made.Add(TopoDS.Wire(hole.Reversed()))
    return made.Face()


def swept(line: Centreline, section: Section) -> TopoDS_Shape:
    """Round section carried along in one go: cylinders and tori."""
    face = profile(section, line.start, line.start.inward)
    return BRepOffsetAPI_MakePipe(wire_along(line), face).Shape()


def built(
    line: Centreline,
    section: Section,
    way: str = "easy",
    *,
    merged: bool = False,
    profile: Callable[[Section, Pose, Vec], TopoDS_Face] = profile,
) -> TopoDS_Shape:
    """Any section, run by run: extruded along straights, revolved round bends, sewn together.

    The first bend is made the easy way (height towards the inside) or the hard way; later ones as their rotation says.
    ``profile`` gives the face that is carried along, where the section does not say all of it.
    """
    sewing = BRepBuilderAPI_Sewing(1e-6)
    total = 0.0
    runs = [run for run in line.runs if run.length > 1e-9]
    for number, run in enumerate(runs):
        if run.bend > 1:
            total = sum(b.rotation for b in line.table.bends[: run.bend])
        inward = rotate(run.start.inward, run.start.tangent, -total)
        thick = inward if way == "easy" else cross(run.start.tangent, inward)
        face = profile(section, run.start, thick)
        made: BRepPrimAPI_MakePrism | BRepPrimAPI_MakeRevol
        if run.bend == 0:
            made = BRepPrimAPI_MakePrism(face, gp_Vec(*scale(run.start.tangent, run.length)))
        else:
            centre = along(run.start.origin, run.start.inward, run.radius)
            axis = gp_Ax1(pnt(centre), gp_Dir(*run.start.axis))
            made = BRepPrimAPI_MakeRevol(face, axis, math.radians(run.angle))
        caps = []
        if number or line.table.closed:
            caps.append(made.FirstShape())
        if number < len(runs) - 1 or line.table.closed:
            caps.append(made.LastShape())
        explorer = TopExp_Explorer(made.Shape(), TopAbs_ShapeEnum.TopAbs_FACE)
        while explorer.More():
            if not any(explorer.Current().IsSame(cap) for cap in caps):
                sewing.Add(explorer.Current())
            explorer.Next()
    sewing.Perform()
    shells = TopExp_Explorer(sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_SHELL)
    joined = BRepBuilderAPI_MakeSolid()
    while shells.More():
        joined.Add(TopoDS.Shell(shells.Current()))
        shells.Next()
    fixed = ShapeFix_Solid(joined.Solid())
    fixed.Perform()
    shape = fixed.Solid()
    return unified(shape) if merged else solid_of(shape)


def unified(shape: TopoDS_Shape) -> TopoDS_Shape:
    """The same solid with faces put together that lie in one plane or on one cylinder."""
    unify = ShapeUpgrade_UnifySameDomain(shape, True, True, False)
    unify.Build()
    return solid_of(unify.Shape())


def fused(parts: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    if len(parts) == 1:
        return solid_of(parts[0])
    first, rest = stores.List_TopoDS_Shape(), stores.List_TopoDS_Shape()
    first.Append(parts[0])
    for part in parts[1:]:
        rest.Append(part)
    fuse = BRepAlgoAPI_Fuse()
    fuse.SetArguments(first)
    fuse.SetTools(rest)
    fuse.Build()
    shape = fuse.Shape()
    return solid_of(shape)


def solid_of(shape: TopoDS_Shape) -> TopoDS_Shape:
    """The one solid in a shape."""
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    assert explorer.More(), "there is no solid in it"
    found = explorer.Current()
    explorer.Next()
    assert not explorer.More(), "there are several solids in it"
    return found


def without(shape: TopoDS_Shape, *tools: TopoDS_Shape) -> TopoDS_Shape:
    for tool in tools:
        shape = BRepAlgoAPI_Cut(shape, tool).Shape()
    return solid_of(shape)


def cylinder(origin: Vec, axis: Vec, radius: float, length: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakeCylinder(gp_Ax2(pnt(origin), gp_Dir(*axis)), radius, length).Shape()


def drill(pose: Pose, way: Vec, diameter: float, *, blind: float = 0.0) -> TopoDS_Shape:
    """Drill through the middle of a bar at a pose; ``blind``: only from outside to this depth short of the middle."""
    start = along(pose.origin, way, -blind if blind else -200.0)
    return cylinder(start, way, diameter / 2.0, 400.0)


def slot(
    pose: Pose, way: Vec, along_slot: Vec, width: float, length: float, *, blind: float = 0.0
) -> list[TopoDS_Shape]:
    """Tools for a slot about a pose: two drills, and what is between them; ``length`` from drill to drill."""
    places = [Pose(along(pose.origin, along_slot, k * length / 2.0), pose.tangent, pose.axis) for k in (-1.0, 1.0)]
    beside = cross(way, along_slot)
    corner = along(along(places[0].origin, beside, -width / 2.0), way, -blind if blind else -200.0)
    box = BRepPrimAPI_MakeBox(gp_Ax2(pnt(corner), gp_Dir(*way), gp_Dir(*along_slot)), length, width, 400.0).Shape()
    return [*(drill(place, way, width, blind=blind) for place in places), box]


def block_beyond(point: Vec, normal: Vec, size: float = 400.0) -> TopoDS_Shape:
    """Everything near that lies beyond a plane."""
    axes = gp_Ax2(pnt(point), gp_Dir(*normal))
    x = axes.XDirection().Coord()
    y = axes.YDirection().Coord()
    corner = along(along(point, x, -size / 2.0), y, -size / 2.0)
    moved = gp_Ax2(pnt(corner), gp_Dir(*normal), gp_Dir(*x))
    return BRepPrimAPI_MakeBox(moved, size, size, size).Shape()


def mitre_normal(pose: Pose, outward: float, lean: float) -> Vec:
    """Normal of a cut that leans by so many degrees about the bend axis."""
    return rotate(scale(pose.tangent, outward), pose.axis, lean)


def eased(shape: TopoDS_Shape, point: Vec, size: float, *, rounded: bool) -> TopoDS_Shape:
    """Chamfer or round the edges of the end face that holds a point."""
    tool = BRepFilletAPI_MakeFillet(shape) if rounded else BRepFilletAPI_MakeChamfer(shape)
    faces = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.MapShapes_s(shape, TopAbs_ShapeEnum.TopAbs_EDGE, faces)
    from OCP.BRepAdaptor import BRepAdaptor_Curve

    count = 0
    for k in range(1, faces.Extent() + 1):
        edge = TopoDS.Edge(faces.FindKey(k))
        curve = BRepAdaptor_Curve(edge)
        places = [curve.FirstParameter() + f * (curve.LastParameter() - curve.FirstParameter()) for f in (0, 0.37, 1)]
        ends = [curve.Value(u).Coord() for u in places]
        if all(abs(sum((e[i] - point[i]) * TOWARDS[i] for i in range(3))) < 1e-6 for e in ends):
            tool.Add(size, edge)
            count += 1
    assert count
    return solid_of(tool.Shape())


TOWARDS: Vec = (1.0, 0.0, 0.0)
"""Eased ends look along x."""


def flattened_tail(pose: Pose, diameter: float, length: float, tab: float, thickness: float) -> list[TopoDS_Shape]:
    """A loft from the round to a flat tab, and the tab; both continue the bar at a pose."""
    width = math.pi / 2.0 * diameter * 0.95
    loft = BRepOffsetAPI_ThruSections(True, True)
    loft.AddWire(_rounded_square_circle(pose, diameter / 2.0))
    far = Pose(along(pose.origin, pose.tangent, length), pose.tangent, pose.axis)
    wire = _rectangle(far, pose.axis, pose.inward, width, thickness, 0.0)
    loft.AddWire(wire)
    loft.Build()
    face = BRepBuilderAPI_MakeFace(wire, True).Face()
    slab = BRepPrimAPI_MakePrism(face, gp_Vec(*scale(pose.tangent, tab))).Shape()
    return [loft.Shape(), slab]


def _rounded_square_circle(pose: Pose, radius: float) -> TopoDS_Wire:
    """A circle in four quarters, so that a loft to a rectangle is not twisted."""
    made = BRepBuilderAPI_MakeWire()
    x, y = pose.axis, pose.inward

    def at(angle: float) -> gp_Pnt:
        turned = add(scale(x, radius * math.cos(angle)), scale(y, radius * math.sin(angle)))
        return pnt(add(pose.origin, turned))

    for k in range(4):
        a = math.pi / 4 + k * math.pi / 2
        arc = GC_MakeArcOfCircle(at(a), at(a + math.pi / 4), at(a + math.pi / 2)).Value()
        made.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    return made.Wire()


def as_splines(shape: TopoDS_Shape) -> TopoDS_Shape:
    return solid_of(BRepBuilderAPI_NurbsConvert(shape, True).Shape())


def mirrored(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Mirror image in the plane y = 0."""
    trsf = gp_Trsf()
    trsf.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
    return solid_of(BRepBuilderAPI_Transform(shape, trsf, True).Shape())


def placed(shape: TopoDS_Shape, trsf: gp_Trsf) -> TopoDS_Shape:
    return solid_of(BRepBuilderAPI_Transform(shape, trsf, True).Shape())


def some_place(seed: int) -> gp_Trsf:
    """A turn and a shift that are nothing in particular."""
    axis = unit((math.sin(seed * 1.3 + 0.2), math.cos(seed * 2.1), math.sin(seed * 0.7) + 0.3))
    turn, shift = gp_Trsf(), gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(*axis)), 0.4 + seed)
    shift.SetTranslation(gp_Vec(seed * 137.0 % 900.0, seed * -53.0 % 700.0, seed * 311.0 % 500.0))
    return shift.Multiplied(turn)
