"""The models that every take-off must manage: one solid each, with what it was made from beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.space import HOME, Pose, Vec, along, rotate
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from tests.takeoff_models import solids as make
from tests.takeoff_models.truth import Expected, Truth

Case = tuple[str, TopoDS_Shape, Expected]

ROD, TUBE = Round(12.0), Tube(25.0, 2.0)
SHARP, ROUNDED = SquareTube(30.0, 30.0, 2.0), SquareTube(30.0, 30.0, 2.0, 4.0)
OBLONG = SquareTube(40.0, 20.0, 2.0, 3.0)
FLAT, BAR = Flat(30.0, 4.0), Square(12.0, 12.0)

L = BendTable((120.0, 90.0), (Bend(50.0, 90.0),))
U = BendTable((150.0, 200.0, 150.0), (Bend(50.0, 90.0), Bend(50.0, 90.0)))
TWISTED = BendTable((100.0, 80.0, 60.0, 110.0), (Bend(48.0, 75.0), Bend(48.0, 40.0, 90.0), Bend(60.0, 120.0, -35.0)))
STEPPED = BendTable((90.0, 60.0, 90.0), (Bend(40.0, 45.0), Bend(40.0, 45.0, 180.0)))
CROSSED = BendTable((90.0, 80.0, 90.0), (Bend(40.0, 90.0), Bend(60.0, 60.0, 90.0)))
BACK = BendTable((200.0, 180.0), (Bend(60.0, 180.0),))
KISSING = BendTable((80.0, 0.0, 80.0), (Bend(50.0, 60.0), Bend(50.0, 60.0, 120.0)))
ENDS_BENT = BendTable((0.0, 70.0, 0.0), (Bend(50.0, 90.0), Bend(50.0, 45.0, 30.0)))
MANY = BendTable(
    tuple(60.0 + 7.0 * k for k in range(13)),
    tuple(Bend(40.0, 30.0 + 9.0 * k, 0.0 if k == 0 else (k * 67.0) % 340.0 - 170.0) for k in range(12)),
)
JOINED = (("joined", 0.0), ("joined", 0.0))
PLACE = Pose((120.0, -340.0, 77.0), (0.36, 0.48, 0.8), (0.8, -0.6, 0.0))
RECTANGLE = Corners(((0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0)), (50.0,) * 4, True).centreline()
UPTURNED = Corners(
    (
        *((0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (475.0, 0.0, 129.904), (475.0, 300.0, 129.904), (400.0, 300.0, 0.0)),
        *((0.0, 300.0, 0.0), (-75.0, 300.0, 129.904), (-75.0, 0.0, 129.904)),
    ),
    (36.0,) * 8,
    True,
).centreline()


def line_of(table: BendTable, start: Pose = HOME) -> Centreline:
    return Centreline(table, start)


def piece(name: str, shape: TopoDS_Shape, line: Centreline, section: Section, **more: object) -> Case:
    return name, shape, Expected("piece", (replace(Truth(line, section), **more),))  # type: ignore[arg-type]


def round_cases() -> Iterator[Case]:
    tables = {"l": L, "u": U, "twisted": TWISTED, "back": BACK, "kissing": KISSING, "ends bent": ENDS_BENT}
    for name, table in {**tables, "many": MANY, "stepped": STEPPED}.items():
        for section in (ROD, TUBE):
            line = line_of(table, PLACE)
            yield piece(f"{section.kind} {name}", make.swept(line, section), line, section)
    for section in (ROD, TUBE):
        line = line_of(BendTable((300.0,)), PLACE)
        yield piece(f"{section.kind} straight", make.swept(line, section), line, section)
    line = line_of(TWISTED)
    yield piece("rod in runs", make.built(line, ROD), line, ROD)
    yield piece("tube in runs", make.built(line, TUBE), line, TUBE)
    far = line_of(TWISTED, Pose((1e5, -8e4, 3e4), (0.36, 0.48, 0.8), (0.8, -0.6, 0.0)))
    yield piece("tube far away", make.swept(far, TUBE), far, TUBE)
    left = line_of(TWISTED, PLACE)
    yield piece("tube mirrored", make.mirrored(make.swept(left, TUBE)), left.mirrored(1), TUBE)


def rectangular_cases() -> Iterator[Case]:
    sections: dict[str, Section] = {"sharp tube": SHARP, "rounded tube": ROUNDED, "square bar": BAR}
    for name, section in sections.items():
        for shape, table in {"u": U, "stepped": STEPPED, "crossed": CROSSED, "back": BACK}.items():
            line = line_of(table, PLACE)
            yield piece(f"{name} {shape}", make.built(line, section), line, section)
        line = line_of(BendTable((260.0,)), PLACE)
        yield piece(f"{name} straight", make.built(line, section), line, section)
    oblique = BendTable((100.0, 90.0, 80.0), (Bend(60.0, 50.0), Bend(70.0, 35.0, 90.0)))
    for way in ("easy", "hard"):
        rows: tuple[tuple[str, Section, BendTable], ...] = (
            ("flat", FLAT, U),
            ("flat stepped", FLAT, STEPPED),
            ("oblong tube", OBLONG, U),
        )
        for name, section, table in rows:
            line = line_of(table, PLACE)
            yield piece(f"{name} {way}", make.built(line, section, way), line, section, way=way)
            yield piece(f"{name} {way} merged", make.built(line, section, way, merged=True), line, section, way=way)
        line = line_of(oblique)
        yield piece(f"flat both, {way} first", make.built(line, FLAT, way), line, FLAT, way="both")
    straights: dict[str, Section] = {"flat straight": FLAT, "oblong straight": OBLONG}
    for name, straight in straights.items():
        line = line_of(BendTable((340.0,)), PLACE)
        yield piece(name, make.built(line, straight), line, straight)
    line = line_of(CROSSED, PLACE)
    yield piece("rounded tube merged", make.built(line, ROUNDED, merged=True), line, ROUNDED)
    yield piece("rounded tube mirrored", make.mirrored(make.built(line, ROUNDED)), line.mirrored(1), ROUNDED)


def closed_cases() -> Iterator[Case]:
    yield piece("rod loop", make.swept(RECTANGLE, ROD), RECTANGLE, ROD)
    yield piece("rod upturned loop", make.swept(UPTURNED, ROD), UPTURNED, ROD)
    yield piece("tube upturned loop", make.swept(UPTURNED, Tube(12.0, 1.5)), UPTURNED, Tube(12.0, 1.5))
    yield piece("square loop", make.built(RECTANGLE, BAR), RECTANGLE, BAR)
    yield piece("rounded tube loop merged", make.built(RECTANGLE, ROUNDED, merged=True), RECTANGLE, ROUNDED)
    ring = Centreline(BendTable((0.0, 0.0, 0.0), (Bend(150.0, 180.0), Bend(150.0, 180.0)), True))
    # The ring of the table runs round (0, 150, 0).
    torus = BRepPrimAPI_MakeTorus(gp_Ax2(gp_Pnt(0, 150, 0), gp_Dir(0, 0, 1)), 150.0, 6.0).Solid()
    yield piece("rod ring", torus, ring, ROD)
    hoop = make.without(
        make.cylinder((0, 150, -15), (0, 0, 1), 152.0, 30.0), make.cylinder((0, 150, -20), (0, 0, 1), 148.0, 40.0)
    )
    yield piece("flat hoop", hoop, ring, FLAT, way="easy")


def end_cases() -> Iterator[Case]:
    line = line_of(L)
    for section, name in ((ROD, "rod"), (TUBE, "tube"), (BAR, "square bar"), (ROUNDED, "rounded tube")):
        long = line_of(BendTable((170.0, 140.0), L.bends), Pose((-50, 0, 0), (1, 0, 0), (0, 0, 1)))
        shape = make.built(long, section)
        a = make.block_beyond((0, 0, 0), make.mitre_normal(line.start, -1.0, 30.0))
        end = line.end
        b = make.block_beyond(end.origin, rotate(make.mitre_normal(end, 1.0, 0.0), end.inward, 22.5))
        yield piece(
            f"{name} mitred", make.without(shape, a, b), line, section, ends=(("mitred", 30.0), ("mitred", 22.5))
        )
    for section, name in ((ROD, "rod"), (TUBE, "tube")):
        size = section.diameter / 2.0
        for angle in (90.0, 60.0):
            saddle = make.cylinder(along((0, 0, 0), _saddle(angle), -200.0), _saddle(angle), size, 400.0)
            long = line_of(BendTable((150.0, 90.0), L.bends), Pose((-30, 0, 0), (1, 0, 0), (0, 0, 1)))
            shape = make.without(make.swept(long, section), saddle, make.block_beyond((0, 0, 0), (-1, 0, 0)))
            yield piece(f"{name} coped at {angle:g}", shape, line, section, ends=(("coped", angle), ("square", 0.0)))
    eased: tuple[tuple[Section, float], ...] = ((ROD, 1.5), (TUBE, 0.6), (BAR, 1.5))
    for bar, by in eased:
        for rounded in (False, True):
            what = "rounded" if rounded else "chamfered"
            yield piece(
                f"{bar.kind} {what}", make.eased(make.built(line, bar), (0, 0, 0), by, rounded=rounded), line, bar
            )
    start = line_of(BendTable((120.0, 160.0), L.bends), Pose((30, 0, 0), (1, 0, 0), (0, 0, 1)))
    tail = Pose(start.start.origin, (-1, 0, 0), (0, 0, -1))
    parts = [make.swept(start, TUBE), *make.flattened_tail(tail, 25.0, 20.0, 25.0, 4.5)]
    whole = line_of(BendTable((165.0, 160.0), L.bends), Pose((-15, 0, 0), (1, 0, 0), (0, 0, 1)))
    hole = make.drill(Pose((-3.0, 0, 0), (1, 0, 0), (0, 0, 1)), (0, 1, 0), 8.0)
    yield piece(
        "tube flattened and drilled",
        make.without(make.fused(parts), hole),
        whole,
        TUBE,
        ends=(("flattened", 0.0), ("square", 0.0)),
        holes=((12.0, 0.0, 8.0, True),),
    )


def _saddle(angle: float) -> Vec:
    return (math.cos(math.radians(angle)), 0.0, math.sin(math.radians(angle)))


def hole_cases() -> Iterator[Case]:
    line = line_of(TWISTED, PLACE)
    for section, name in ((ROD, "rod"), (TUBE, "tube")):
        shape, holes = make.swept(line, section), []
        for station, turn in ((30.0, 0.0), (130.0, 70.0), (210.0, 25.0), (line.table.length - 40.0, 110.0)):
            pose = line.pose(station)
            # Where round the straight bar: the bends before it have turned the bar's own mark away.
            total = 0.0
            for k, (first, _) in enumerate(line.table.spans):
                if station >= first:
                    total = sum(b.rotation for b in line.table.bends[: k + 1])
            way = rotate(pose.inward, pose.tangent, turn - total)
            shape = make.without(shape, make.drill(pose, way, 5.0))
            holes.append((station, turn, 5.0, True))
        yield piece(f"{name} drilled", shape, line, section, holes=tuple(holes))
    line = line_of(U)
    angular: tuple[Section, ...] = (BAR, ROUNDED, Flat(30.0, 6.0))
    for bar in angular:
        pose = line.pose(60.0)
        shape = make.without(make.built(line, bar), make.drill(pose, pose.inward, 6.0))
        easy = "easy" if isinstance(bar, Flat) else None
        yield piece(f"{bar.kind} drilled", shape, line, bar, holes=((60.0, 0.0, 6.0, True),), way=easy)
    pose = line.pose(40.0)
    way_in = rotate(pose.inward, pose.tangent, 40.0)
    shape = make.without(make.swept(line, ROD), make.drill(pose, way_in, 5.0, blind=2.0))
    yield piece("rod drilled blind", shape, line, ROD, holes=((40.0, 40.0, 5.0, False),))
    shape = make.without(make.swept(line, TUBE), make.drill(pose, way_in, 6.0, blind=1.0))
    yield piece("tube drilled on one side", shape, line, TUBE, holes=((40.0, 40.0, 6.0, False),))


SLOTS = {"rod slotted": (20.0, 0.0), "tube slotted": (14.0, 0.0), "flat slotted across": (12.0, 90.0),
         "tube slotted blind": (16.0, 0.0), "flat slotted aslant": (15.0, 30.0)}  # fmt: skip
"""Slots by model: how far the middles of their round ends are apart, and how they lean to the bar."""


def slot_cases() -> Iterator[Case]:
    line = line_of(U, PLACE)
    rows: tuple[tuple[str, Section, float, float, float], ...] = (
        ("rod slotted", ROD, 5.0, 35.0, 0.0),
        ("tube slotted", TUBE, 6.0, 110.0, 0.0),
        ("tube slotted blind", TUBE, 6.0, 40.0, 1.0),
        ("flat slotted across", Flat(30.0, 6.0), 7.0, 0.0, 0.0),
        ("flat slotted aslant", Flat(30.0, 6.0), 7.0, 0.0, 0.0),
    )
    for name, section, width, turn, blind in rows:
        length, lean = SLOTS[name]
        pose = line.pose(62.0)
        way = rotate(pose.inward, pose.tangent, turn)
        along_slot = rotate(pose.tangent, way, lean)
        shape = make.swept(line, section) if isinstance(section, Round | Tube) else make.built(line, section)
        shape = make.without(shape, *make.slot(pose, way, along_slot, width, length, blind=blind))
        easy = "easy" if isinstance(section, Flat) else None
        yield piece(name, shape, line, section, holes=((62.0, turn, width, not blind),), way=easy)


def spline_cases() -> Iterator[Case]:
    line = line_of(TWISTED, PLACE)
    yield piece("rod as splines", make.as_splines(make.swept(line, ROD)), line, ROD)
    yield piece("tube as splines", make.as_splines(make.swept(line, TUBE)), line, TUBE)
    flat = line_of(CROSSED, PLACE)
    yield piece("rounded tube as splines", make.as_splines(make.built(flat, ROUNDED)), flat, ROUNDED)
    yield piece("flat as splines", make.as_splines(make.built(flat, FLAT)), flat, FLAT, way="both")
    yield piece("rod loop as splines", make.as_splines(make.swept(UPTURNED, ROD)), UPTURNED, ROD)
    pose = line.pose(50.0)
    shape = make.without(make.swept(line, TUBE), make.drill(pose, pose.inward, 5.0))
    yield piece("tube drilled, as splines", make.as_splines(shape), line, TUBE, holes=((50.0, 0.0, 5.0, True),))


def other_cases() -> Iterator[Case]:
    def other(name: str, shape: TopoDS_Shape, says: str = "") -> Case:
        return name, shape, Expected("other", says=says)

    yield other("plate", BRepPrimAPI_MakeBox(200.0, 120.0, 8.0).Solid(), "plate")
    plate = BRepPrimAPI_MakeBox(200.0, 120.0, 8.0).Solid()
    yield other("drilled plate", make.without(plate, make.cylinder((30, 30, -1), (0, 0, 1), 5.0, 20.0)), "plate")
    washer = make.without(
        make.cylinder((0, 0, 0), (0, 0, 1), 12.0, 2.5), make.cylinder((0, 0, -1), (0, 0, 1), 6.5, 9.0)
    )
    yield other("washer", washer, "washer")
    head = make.cylinder((0, 0, -8.0), (0, 0, 1), 6.5, 8.0)
    yield other("bolt", make.fused([head, make.cylinder((0, 0, 0), (0, 0, 1), 4.0, 50.0)]), "stands out")
    yield other("pin", make.cylinder((0, 0, 0), (0, 0, 1), 6.0, 14.0), "short")
    yield other("ball", BRepPrimAPI_MakeSphere(20.0).Solid())
    yield other("block", BRepPrimAPI_MakeBox(60.0, 50.0, 40.0).Solid())
    wide = line_of(BendTable((20.0, 20.0), (Bend(10.0, 90.0),)))
    yield other("bent plate", make.built(wide, Flat(200.0, 3.0)), "plate")
    stepped = make.fused(
        [make.cylinder((0, 0, 0), (0, 0, 1), 10.0, 60.0), make.cylinder((0, 0, 60), (0, 0, 1), 7.0, 60.0)]
    )
    yield other("turned shaft", stepped)
    yield other("hexagon bar", _hexagon_bar())


def _hexagon_bar() -> TopoDS_Shape:
    """A hexagonal bar: no section of ours."""
    shape = make.cylinder((0, 0, 0), (0, 0, 1), 12.0, 100.0)
    for k in range(6):
        normal = (math.cos(k * math.pi / 3), math.sin(k * math.pi / 3), 0.0)
        shape = make.without(shape, make.block_beyond(along((0, 0, 50), normal, 9.0), normal))
    return shape


def joined_cases() -> Iterator[Case]:
    rail = line_of(U)
    bar_a, bar_b = rail.pose(60.0).origin, rail.pose(rail.table.length - 60.0).origin
    rung = Round(8.0)
    end_a = along(bar_a, (0.0, 1.0, 0.0), math.sqrt(6.0**2 - 4.0**2))
    end_b = along(bar_b, (0.0, -1.0, 0.0), math.sqrt(6.0**2 - 4.0**2))
    straight = line_of(BendTable((bar_b[1] - bar_a[1],)), Pose(bar_a, (0, 1, 0), (0, 0, 1)))
    shape = make.fused([make.swept(rail, ROD), make.swept(straight, rung)])
    seen = line_of(BendTable((end_b[1] - end_a[1],)), Pose(end_a, (0, 1, 0), (0, 0, 1)))
    members = (Truth(rail, ROD), Truth(seen, rung, ends=JOINED))
    yield "rods fused", shape, Expected("joined", members, says="2 bars")
    frame = []
    truths = []
    posts = [line_of(BendTable((300.0,)), Pose((x, 0, 0), (0, 0, 1), (1, 0, 0))) for x in (0.0, 400.0)]
    rails = [line_of(BendTable((370.0,)), Pose((15.0, 0, z), (1, 0, 0), (0, 0, 1))) for z in (60.0, 240.0)]
    for line in (*posts, *rails):
        frame.append(make.built(line, Square(30.0, 30.0)))
        truths.append(Truth(line, Square(30.0, 30.0), ends=JOINED if line in rails else (("square", 0.0),) * 2))
    yield "square frame fused", make.fused(frame), Expected("joined", tuple(truths), says="4 bars")


def all_cases() -> Iterator[Case]:
    for cases in (round_cases, rectangular_cases, closed_cases, end_cases, hole_cases, slot_cases, spline_cases):
        yield from cases()
    yield from other_cases()
    yield from joined_cases()
