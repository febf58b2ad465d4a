"""Mitred frames fused into one solid, bars that run through themselves, solids that share an edge."""

from __future__ import annotations

import math
from collections.abc import Iterator

from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, distance, dot, scale, sub, unit
from bentwork.stock.section import Flat, Round, Section, Tube
from tests.takeoff_models import cases
from tests.takeoff_models import solids as make
from tests.takeoff_models.truth import Expected, Truth

RECTANGLE: tuple[Vec, ...] = ((0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0))
KITE: tuple[Vec, ...] = ((0, 0, 0), (400, 50, 0), (500, 400, 0), (50, 300, 0))


def sides(points: tuple[Vec, ...], section: Section) -> tuple[list[TopoDS_Shape], tuple[Truth, ...]]:
    """The bars of a closed frame in the plane z = 0, each cut at both ends in the plane that halves the corner."""
    parts, truths = [], []
    for k, start in enumerate(points):
        end, before, after = points[(k + 1) % len(points)], points[k - 1], points[(k + 2) % len(points)]
        way = unit(sub(end, start))
        length = distance(start, end)
        long = Centreline(BendTable((length + 200.0,)), Pose(along(start, way, -100.0), way, (0.0, 0.0, 1.0)))
        shape = make.swept(long, section) if isinstance(section, Round | Tube) else make.built(long, section)
        leans = []
        for corner, other, own in ((start, before, way), (end, after, scale(way, -1.0))):
            beside = unit(sub(other, corner))
            shape = make.without(shape, make.block_beyond(corner, unit(sub(beside, own))))
            leans.append(90.0 - math.degrees(math.acos(dot(own, beside))) / 2.0)
        parts.append(shape)
        ends = (("mitred", leans[0]), ("mitred", leans[1]))
        truths.append(Truth(Centreline(BendTable((length,)), Pose(start, way, (0.0, 0.0, 1.0))), section, ends=ends))
    return parts, tuple(truths)


def mitred_cases() -> Iterator[cases.Case]:
    """Mitred frames as a CAD program fuses them: with the seams left, and with faces in one plane made one."""
    sections: dict[str, Section] = {"sharp tube": cases.SHARP, "rounded tube": cases.ROUNDED, "square": cases.BAR}
    round_ones: dict[str, Section] = {"rod": cases.ROD, "tube": cases.TUBE}
    for name, section in {**sections, **round_ones, "flat": Flat(30.0, 4.0)}.items():
        for shape, points in (("rectangle", RECTANGLE), ("kite", KITE)):
            parts, truths = sides(points, section)
            frame = make.fused(parts)
            expected = Expected("joined", truths, says="4 bars")
            yield f"{shape} of {name}", frame, expected
            if name not in round_ones:  # they share no plane
                yield f"{shape} of {name}, seams gone", make.unified(frame), expected


def impossible_cases() -> Iterator[cases.Case]:
    """Solids whose faces are those of bars, and that no bar can be."""
    loop = BendTable((300.0, 100.0, 100.0, 300.0), (Bend(50.0, 90.0),) * 3)
    for name, section in (("rod", cases.ROD), ("tube", cases.TUBE)):
        crossed = make.swept(Centreline(loop), section)
        yield f"{name} through itself", crossed, Expected("other", says="runs through itself")
    yield "square tube through itself", make.built(Centreline(loop), cases.SHARP), Expected("other", says="itself")
    beside = BendTable((300.0, 100.0, 100.0, 300.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 5.0), Bend(50.0, 90.0, 5.0)))
    line = Centreline(beside)
    yield cases.piece("rod past itself", make.swept(line, cases.ROD), line, cases.ROD)


def one_edge() -> TopoDS_Shape:
    """Two long blocks that have one edge in common, as one solid: four faces meet there."""
    first = BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), gp_Pnt(12, 12, 300)).Solid()
    second = BRepPrimAPI_MakeBox(gp_Pnt(12, 12, 0), gp_Pnt(24, 24, 300)).Solid()
    builder, shell, solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    faces = TopExp_Explorer(BRepAlgoAPI_Fuse(first, second).Shape(), TopAbs_ShapeEnum.TopAbs_FACE)
    while faces.More():
        builder.Add(shell, faces.Current())
        faces.Next()
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid
