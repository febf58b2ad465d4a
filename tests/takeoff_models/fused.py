"""Bars fused with others that lie flush with them or close together, and with weld seams, gussets and tabs."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator

import OCP.collections as stores
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakePrism
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, cross
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube
from tests.takeoff_models import cases
from tests.takeoff_models import solids as make
from tests.takeoff_models.truth import Expected, Truth

SIZE, LONG, DEEP = 25.0, 400.0, 300.0
"""Of the bars of a deck's frame; the deck over all."""
SLAT = Flat(25.0, 4.0)
PLACES = {"flush": SIZE - SLAT.height, "inset": 8.0, "on top": SIZE}
SQUARE = (("square", 0.0), ("square", 0.0))
JOINED = (("joined", 0.0), ("joined", 0.0))
MITRED = (("mitred", 45.0), ("mitred", 45.0))
AND_MORE = "something else in it"
SECTIONS: dict[str, Section] = {
    "bar": Square(SIZE, SIZE),
    "sharp tube": SquareTube(SIZE, SIZE, 2.0, 0.0),
    "rounded tube": SquareTube(SIZE, SIZE, 2.0, 3.0),
}


def straight(start: Vec, way: Vec, length: float, thick: Vec = (0.0, 0.0, 1.0)) -> Centreline:
    """A straight middle; the smaller size of a flat lies along ``thick``."""
    return Centreline(BendTable((length,)), Pose(start, way, cross(way, thick)))


def prism(points: list[Vec], way: Vec) -> TopoDS_Shape:
    """A flat outline drawn out."""
    outline = BRepBuilderAPI_MakePolygon()
    for point in points:
        outline.Add(gp_Pnt(*point))
    outline.Close()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(outline.Wire()).Face(), gp_Vec(*way)).Shape()


def deck(section: Section, count: int, place: str, *, seams: bool) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """A frame of two rails with two posts between them, and slats between or on the rails, evenly apart."""
    half, z = SIZE / 2.0, PLACES[place]
    rails = [straight((0.0, y, half), (1.0, 0.0, 0.0), LONG) for y in (half, DEEP - half)]
    posts = [straight((x, SIZE, half), (0.0, 1.0, 0.0), DEEP - 2.0 * SIZE) for x in (half, LONG - half)]
    gap = (LONG - 2.0 * SIZE - count * SLAT.width) / (count + 1)
    begin, length = (0.0, DEEP) if place == "on top" else (SIZE, DEEP - 2.0 * SIZE)
    middles = [SIZE + gap + SLAT.width / 2.0 + k * (SLAT.width + gap) for k in range(count)]
    slats = [straight((x, begin, z + SLAT.height / 2.0), (0.0, 1.0, 0.0), length) for x in middles]
    shape = make.fused([make.built(line, section) for line in (*rails, *posts)] + [make.built(s, SLAT) for s in slats])
    rounded = isinstance(section, SquareTube) and section.corner_radius > 0.0
    by_themselves = place == "on top" and (seams or rounded)
    truths = [Truth(slat, SLAT, ends=SQUARE if by_themselves else JOINED) for slat in slats]
    if seams or rounded:
        # Out of a rounded tube the rail is seen through the open end, which is square.
        truths += [Truth(post, section, ends=SQUARE if rounded else JOINED) for post in posts]
        truths += [Truth(rail, section, ends=SQUARE if seams else JOINED) for rail in rails]
        return (shape if seams else make.unified(shape)), tuple(truths)
    # Where the seams are gone nothing tells a bar laid against another from a mitre.
    rails = [straight((half, y, half), (1.0, 0.0, 0.0), LONG - SIZE) for y in (half, DEEP - half)]
    posts = [straight((x, half, half), (0.0, 1.0, 0.0), DEEP - SIZE) for x in (half, LONG - half)]
    return make.unified(shape), (*truths, *(Truth(line, section, ends=MITRED) for line in (*rails, *posts)))


def rounded_where(shape: TopoDS_Shape, radius: float, where: Callable[[Vec], bool]) -> TopoDS_Shape:
    """A solid with the edges rounded whose middles lie there."""
    rounding = BRepFilletAPI_MakeFillet(shape)
    edges = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.MapShapes_s(shape, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    for k in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge(edges.FindKey(k))
        curve = BRepAdaptor_Curve(edge)
        middle = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2.0)
        if where((middle.X(), middle.Y(), middle.Z())):
            rounding.Add(radius, edge)
    rounding.Build()
    return make.solid_of(rounding.Shape())


def welded_rung(seam: float) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """A bent rail with a thinner rung between its legs; a seam as a rounded inside corner round both its ends."""
    rail, section = Centreline(BendTable((150.0, 300.0, 150.0), (Bend(60.0, 90.0), Bend(60.0, 90.0)))), Round(20.0)
    rung = Round(12.0)
    a, b = rail.pose(80.0).origin, rail.pose(rail.table.length - 80.0).origin
    shape = make.fused([make.swept(rail, section), make.swept(straight(a, (0, 1, 0), b[1] - a[1]), rung)])
    if seam:
        reach = section.diameter / 2.0 + 1.0

        def at_an_end(p: Vec) -> bool:
            return abs(p[0] - a[0]) < reach and any(1e-6 < abs(p[1] - end[1]) < reach for end in (a, b))

        shape = rounded_where(shape, seam, at_an_end)
    sunk = math.sqrt((section.diameter / 2.0) ** 2 - (rung.diameter / 2.0) ** 2)
    seen = straight((a[0], a[1] + sunk, a[2]), (0, 1, 0), b[1] - a[1] - 2.0 * sunk)
    return shape, (Truth(rail, section), Truth(seen, rung, ends=JOINED))


def ladder(section: Section, more: list[TopoDS_Shape]) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """Two rails with two rungs between them, and more in the same solid."""
    half = SIZE / 2.0
    rails = [straight((0.0, y, 0.0), (1.0, 0.0, 0.0), LONG) for y in (0.0, DEEP)]
    rungs = [straight((x, half, 0.0), (0.0, 1.0, 0.0), DEEP - SIZE) for x in RUNGS]
    shape = make.fused([*(make.built(line, section) for line in (*rails, *rungs)), *more])
    # Out of a rounded tube the rail is seen through the open end, which is square.
    rounded = isinstance(section, SquareTube) and section.corner_radius > 0.0
    ends = SQUARE if rounded else JOINED
    return shape, (*(Truth(rail, section) for rail in rails), *(Truth(rung, section, ends=ends) for rung in rungs))


RUNGS = (80.0, 280.0)


def seams(leg: float, half_height: float) -> list[TopoDS_Shape]:
    """Fillet welds of three corners at both sides of every end of a ladder's rungs."""
    half = SIZE / 2.0
    found = []
    for x in RUNGS:
        for y, way in ((half, 1.0), (DEEP - half, -1.0)):
            for side in (-1.0, 1.0):
                corner, low = (x + side * half, y), -half_height
                points = [(*corner, low), (corner[0] + side * leg, y, low), (corner[0], y + way * leg, low)]
                found.append(prism(points, (0.0, 0.0, 2.0 * half_height)))
    return found


def gusset(size: float) -> TopoDS_Shape:
    """A plate of three corners in the first corner of a ladder."""
    x, y = RUNGS[0] + SIZE / 2.0, SIZE / 2.0
    return prism([(x, y, -2.0), (x + size, y, -2.0), (x, y + size, -2.0)], (0.0, 0.0, 4.0))


def tab() -> TopoDS_Shape:
    """A plate on a rail of a ladder."""
    return BRepPrimAPI_MakeBox(gp_Pnt(150.0, -SIZE / 2.0, SIZE / 2.0), 60.0, 20.0, 30.0).Shape()


def fused_cases() -> Iterator[cases.Case]:
    """Decks, and frames with something else in the same solid."""
    for name, section in SECTIONS.items():
        for place in PLACES:
            if name == "rounded tube" and place == "flush":
                continue  # beside a rounded edge nothing is flush
            for count in (3, 8):
                for left in (True, False):
                    shape, truths = deck(section, count, place, seams=left)
                    title = f"deck of {name}, {count} slats {place}" + ("" if left else ", seams gone")
                    yield title, shape, Expected("joined", truths, says=f"{4 + count} bars")
    for seam in (0.0, 2.0, 5.0):
        shape, truths = welded_rung(seam)
        yield f"rung, seam {seam:g}", shape, Expected("joined", truths, says=AND_MORE if seam else "2 bars")
    for name, section in SECTIONS.items():
        height = 9.0 if name == "rounded tube" else SIZE / 2.0
        for what, more in {"seams": seams(4.0, height), "gusset": [gusset(60.0)], "tab": [tab()]}.items():
            shape, truths = ladder(section, more)
            yield f"ladder of {name}, {what}", shape, Expected("joined", truths, says=AND_MORE)


def random_frame(chance: random.Random) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """Two rails with bars between them or laid on them, of any sections, as close as they come; some with a tab.

    What ends on a rail ends square on a flat side of it, or lies on it: where its metal ends is plain. Ends are not in
    the truth.
    """
    width, height, wall = chance.choice((20.0, 25.0, 30.0)), chance.choice((20.0, 25.0, 40.0)), 2.0
    tube = SquareTube(max(width, height), min(width, height), wall, chance.choice((0.0, 3.0)))
    rail = chance.choice((Square(width, width), Flat(40.0, 8.0), tube))
    deep, tall = chance.sample((rail.width, rail.height), 2)
    corner = rail.corner_radius if isinstance(rail, SquareTube) else 0.0
    long, apart = chance.uniform(300.0, 900.0), chance.uniform(200.0, 700.0)
    thick = (0.0, 0.0, 1.0) if tall == rail.height else (0.0, 1.0, 0.0)
    truths = [Truth(straight((0.0, y, 0.0), (1.0, 0.0, 0.0), long, thick), rail) for y in (0.0, apart)]
    place = chance.uniform(5.0, 40.0)
    while place < long - 50.0 and len(truths) < 10:
        section = chance.choice((Flat(22.0, 4.0), Square(8.0, 8.0), Round(8.0), SquareTube(12.0, 12.0, 1.0, 2.0)))
        high = section.diameter if isinstance(section, Round) else section.height
        wide = section.diameter if isinstance(section, Round) else section.width
        room = tall / 2.0 - corner - high / 2.0
        x, end = place + wide / 2.0, apart - deep
        if chance.random() < 0.3 and not isinstance(section, Round):
            over = chance.choice((0.0, chance.uniform(1.0, 30.0)))
            begin, z, end = -deep / 2.0 - over, tall / 2.0 + high / 2.0, apart + deep + 2.0 * over
        elif room > 0.5:
            flush = corner == 0.0 and not isinstance(section, Round) and chance.random() < 0.3
            begin, z = deep / 2.0, chance.choice((-room, room)) if flush else chance.uniform(0.1 - room, room - 0.1)
        else:
            place += 10.0
            continue
        truths.append(Truth(straight((x, begin, z), (0.0, 1.0, 0.0), end), section))
        place += wide + chance.choice((chance.uniform(2.0, 10.0), chance.uniform(10.0, 120.0)))
    parts = [
        make.swept(one.line, one.section) if isinstance(one.section, Round) else make.built(one.line, one.section)
        for one in truths
    ]
    if chance.random() < 0.3:
        corner_at = gp_Pnt(long * 0.4, -deep / 2.0, -tall / 2.0 - 40.0)
        parts.append(BRepPrimAPI_MakeBox(corner_at, 50.0, 5.0, 40.0).Shape())
    shape = make.fused(parts)
    return (make.unified(shape) if chance.random() < 0.5 else shape), tuple(truths)
