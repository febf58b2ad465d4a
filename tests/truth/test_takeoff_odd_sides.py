"""Sides that are not one face for every straight and bend: one spline over all of them, or in pieces lengthwise.

The truth is the bend table that the CAD kernel was given; how exact its splines are it says itself, 1e-3 mm and less.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepFill import BRepFill
from OCP.Geom import Geom_BSplineSurface
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.ShapeFix import ShapeFix_Solid
from OCP.Standard import Standard_DomainError
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Shell, TopoDS_Wire

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.space import Pose, Vec, along, rotate, unit
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.bar import Solid
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases
from tests.takeoff_models.curves import one_curve, skin_along, through, wave
from tests.takeoff_models.files import rounded, write_step
from tests.takeoff_models.solids import as_splines, block_beyond, built, drill, fused, mitre_normal, solid_of, without
from tests.takeoff_models.solids import swept as swept_round
from tests.takeoff_models.sweeps import swept
from tests.takeoff_models.truth import Expected, Truth, differences
from tests.truth.test_takeoff_models import HOME_POSES, keeps_clear, wrong_with

SECTIONS = (Square(16.0, 16.0), Flat(25.0, 5.0), SquareTube(30.0, 30.0, 2.0), SquareTube(40.0, 20.0, 2.0, 4.0))


def bar(chance: random.Random, depth: float, least: float = 5.0) -> Centreline:
    """Up to six bends of so many degrees at least, each turned about the bar from the one before; some touch it."""
    while True:
        bends = tuple(
            Bend(
                chance.uniform(2.5, 8.0) * depth,
                chance.uniform(least, 150.0),
                chance.choice((90.0, -90.0, 180.0)) if k else 0.0,
            )
            for k in range(chance.randint(2, 6))
        )
        inner = (0.0 if chance.random() < 0.3 else chance.uniform(20.0, 250.0) for _ in bends[1:])
        ends = (chance.uniform(3.0 * depth, 300.0) for _ in range(2))
        line = Centreline(BendTable((next(ends), *inner, next(ends)), bends), chance.choice(HOME_POSES))
        if keeps_clear(line, depth):
            return line


def way_of(line: Centreline, section: Section) -> str | None:
    if getattr(section, "width", 0.0) == getattr(section, "height", 0.0):
        return None
    turned = {abs(direction) == 90.0 for direction in line.table.directions}
    return "both" if len(turned) > 1 else "easy"


def wrong(lines: Sequence[Centreline], section: Section, found: Sequence[Solid]) -> dict[str, list[str]]:
    """What is wrong with bars of a section that were made along lines."""
    told = {
        solid.name: wrong_with(Expected("piece", (Truth(line, section, way_of(line, section)),), 5e-3), solid)
        for line, solid in zip(lines, found, strict=True)
    }
    return {name: some for name, some in told.items() if some}


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_every_side_one_spline(section: Section, tmp_path: Path) -> None:
    chance = random.Random(section.depth())
    lines = [bar(chance, section.depth("hard")) for _ in range(6)]
    gentle = Centreline(BendTable((300.0, 400.0), (Bend(90.0, 10.0),)), cases.PLACE)
    opposite = Centreline(BendTable((200.0, 0.0, 300.0), (Bend(200.0, 30.0), Bend(200.0, 12.0, 180.0))), cases.PLACE)
    lines += [gentle, opposite]
    made = [(str(k), swept(one_curve(line), section, line.start.inward)) for k, line in enumerate(lines)]
    found = take_off(write_step(tmp_path / "sides.step", made)).solids
    assert wrong(lines, section, found) == {}


@pytest.mark.parametrize("section", (*SECTIONS, Round(16.0), Tube(25.0, 2.0), Tube(33.7, 1.0)), ids=str)
def test_turned_into_splines_and_rounded(section: Section, tmp_path: Path) -> None:
    """Three decimals leave the radius of a slight bend open, a round one's the more: it has 20° at least, or 45°."""
    is_round = isinstance(section, Round | Tube)
    depth = section.depth() if is_round else section.depth("hard")
    chance = random.Random(7.0 + section.depth())
    lines, made = list[Centreline](), list[tuple[str, TopoDS_Shape]]()
    while len(made) < (12 if is_round else 6):
        line = bar(chance, depth, 45.0 if is_round else 20.0)
        shape = swept_round(line, section) if is_round else built(line, section)
        try:
            made.append((str(len(made)), as_splines(shape)))
        except Standard_DomainError:
            continue  # there are tori that the kernel cannot turn into splines
        lines.append(line)
    found = take_off(rounded(write_step(tmp_path / "rounded.step", made))).solids
    assert wrong(lines, section, found) == {}


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_holes_and_mitres_in_bars_of_which_every_side_is_one_spline(section: Section, tmp_path: Path) -> None:
    line = Centreline(BendTable((120.0, 90.0, 150.0), (Bend(90.0, 70.0), Bend(80.0, 50.0, 90.0))), cases.PLACE)
    whole = swept(one_curve(line), section, line.start.inward)
    at = line.pose(50.0)
    lean = mitre_normal(line.end, 1.0, 30.0)
    shape = without(whole, drill(at, at.inward, 6.0), block_beyond(along(line.end.origin, lean, -40.0), lean))
    found = take_off(write_step(tmp_path / "worked.step", [("bar", shape)])).solids[0]
    short = 40.0 / math.cos(math.radians(30.0))
    cut = Centreline(BendTable((120.0, 90.0, 150.0 - short), line.table.bends), line.start)
    truth = Truth(cut, section, way_of(line, section), (("square", 0.0), ("mitred", 30.0)), ((50.0, 0.0, 6.0, True),))
    assert wrong_with(Expected("piece", (truth,), 5e-3), found) == []


@pytest.mark.parametrize("decimals", [None, 3])
@pytest.mark.parametrize("section", (*SECTIONS, Round(16.0), Tube(25.0, 2.0)), ids=str)
def test_sides_in_pieces_lengthwise(section: Section, decimals: int | None, tmp_path: Path) -> None:
    """A plane along the first straight cuts the bar in two, and they are put together again with a face each side."""
    is_round = isinstance(section, Round | Tube)
    depth = section.depth() if is_round else section.depth("hard")
    chance = random.Random(f"{section}{decimals}")
    made = list[tuple[str, TopoDS_Shape]]()
    truths = list[Truth]()
    while len(made) < 6:
        line = bar(chance, depth, 20.0)
        whole = swept_round(line, section) if is_round else built(line, section)
        start, turned, aside = line.start, chance.choice((0.0, 0.0, 90.0, 45.0, 17.3)), chance.choice((0.0, 0.0, -0.3))
        way = rotate(start.axis, start.tangent, turned)
        beyond = block_beyond(along(start.origin, way, aside * depth), way, 8000.0)
        pieces = [cut(whole, beyond).Shape() for cut in (BRepAlgoAPI_Cut, BRepAlgoAPI_Common)]
        made.append((f"{len(made)}, {turned:g}° {aside * depth:g}", fused(pieces)))
        truths.append(Truth(line, section, None if is_round else way_of(line, section)))
    path = write_step(tmp_path / "pieces.step", made)
    found = take_off(rounded(path, decimals) if decimals else path).solids
    wrong = {}
    for truth, solid in zip(truths, found, strict=True):
        told = wrong_with(Expected("piece", (truth,)), solid)
        if told or solid.bars[0].cut_into:
            wrong[solid.name] = told or [f"cut into {solid.bars[0].cut_into}"]
    assert wrong == {}


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_no_slight_bend_is_lost(section: Section, tmp_path: Path) -> None:
    """Splines of three decimals tell a bend of a few degrees roughly: it may not be taken for an end pressed flat."""
    size = 2.5 * section.depth("hard")
    lines = [
        Centreline(BendTable((55.0 + size, 65.0), (Bend(size, angle),)), pose)
        for angle in (5.0, 10.0, 15.0, 20.0)
        for pose in (cases.PLACE, Pose((-403.0, 31.0, 94.0), unit((0.56, 0.573, 0.598)), unit((0.573, -0.56, 0.0))))
    ]
    made = [(str(k), as_splines(built(line, section))) for k, line in enumerate(lines)]
    found = take_off(rounded(write_step(tmp_path / "slight.step", made))).solids
    for line, solid in zip(lines, found, strict=True):
        assert solid.kind == "piece", solid.reason
        (bend,) = solid.bars[0].line.table.bends
        assert bend.angle == pytest.approx(line.table.bends[0].angle, abs=0.01)
        assert solid.bars[0].length == pytest.approx(line.table.length, abs=0.01)


@pytest.mark.parametrize("decimals", [None, 3])
@pytest.mark.parametrize("angle", [0.8, 1.5, 2.5, 3.5])
def test_a_bend_too_slight_for_samples_to_tell_it_from_the_straights_beside_it(
    angle: float, decimals: int | None, tmp_path: Path
) -> None:
    """What three decimals leave open is its radius, and by the angle where along the bar it is."""
    section, radius = Square(30.0, 30.0), 57.0
    table = BendTable((150.0, 112.0, 160.0, 95.0), (Bend(radius, 99.0), Bend(radius, angle, 180.0), Bend(radius, 31.0)))
    line = Centreline(table, Pose((31.0, -44.0, 250.0), unit((0.56, 0.573, 0.598)), unit((0.573, -0.56, 0.0))))
    shapes = [
        ("a side", swept(one_curve(line), section, line.start.inward)),
        ("pieces", as_splines(built(line, section))),
    ]
    path = write_step(tmp_path / "slight.step", shapes)
    for solid in take_off(rounded(path, decimals) if decimals else path).solids:
        assert solid.kind == "piece", solid.reason
        found = solid.bars[0].line.table
        turned = found.bends[0].angle < 90.0
        bends = found.bends[::-1] if turned else found.bends
        straights = np.array(found.straights[::-1] if turned else found.straights)
        assert [bend.angle for bend in bends] == pytest.approx([99.0, angle, 31.0], abs=0.01)
        slack = 0.01 + 1.5e-3 / math.radians(angle) if decimals else 0.01
        assert straights[[0, 3]] == pytest.approx(np.array([150.0, 95.0]), abs=0.01)
        assert straights[1:3] == pytest.approx(np.array([112.0, 160.0]), abs=slack)
        assert solid.bars[0].length == pytest.approx(table.length, abs=0.01)


@pytest.mark.parametrize(("angle", "radius"), [(1.5, 25.0), (1.5, 150.0), (0.8, 300.0), (2.5, 100.0)])
def test_a_slight_bend_has_a_radius_of_its_own_where_the_file_is_exact(
    angle: float, radius: float, tmp_path: Path
) -> None:
    section = Square(30.0, 30.0)
    table = BendTable((150.0, 112.0, 160.0, 95.0), (Bend(57.0, 99.0), Bend(radius, angle, 180.0), Bend(57.0, 31.0)))
    line = Centreline(table, cases.PLACE)
    solid = take_off(write_step(tmp_path / "slight.step", [("bar", ruled(line, 30.0, 30.0))])).solids[0]
    assert wrong_with(Expected("piece", (Truth(line, section),), 5e-3), solid) == []


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_closed_bars_of_splines_and_three_decimals(section: Section, tmp_path: Path) -> None:
    frame = cases.RECTANGLE.table
    start = Pose((31.0, -44.0, 250.0), unit((0.56, 0.573, 0.598)), unit((0.573, -0.56, 0.0)))
    first, *inner, last = frame.straights
    larger = BendTable(
        (first + 20.0, *(one + 40.0 for one in inner), last + 20.0),
        tuple(Bend(80.0, bend.angle, bend.rotation) for bend in frame.bends),
        closed=True,
    )
    line = Centreline(larger, start)
    made = [("converted", as_splines(built(line, section))), ("a side", swept(one_curve(line), section, start.inward))]
    path = write_step(tmp_path / "frames.step", made)
    truth = Truth(line, section, way_of(line, section))
    for solid in (*take_off(path).solids, *take_off(rounded(path)).solids):
        assert wrong_with(Expected("piece", (truth,), 5e-3), solid) == [], solid.name


@pytest.mark.parametrize("section", [Tube(25.0, 1.5), SquareTube(30.0, 30.0, 2.0)], ids=lambda one: one.kind)
def test_a_hole_right_through_thin_walls_is_one_where_they_are_rounded(section: Section, tmp_path: Path) -> None:
    start = Pose((31.0, -44.0, 250.0), unit((0.56, 0.573, 0.598)), unit((0.573, -0.56, 0.0)))
    line = Centreline(BendTable((120.0, 150.0), (Bend(90.0, 70.0),)), start)
    whole = swept_round(line, section) if isinstance(section, Tube) else built(line, section)
    made = list[tuple[str, TopoDS_Shape]]()
    for k, size in enumerate((3.0, 5.0, 8.0)):
        at = line.pose(30.0 + 20.0 * k)
        made.append((f"{size:g}", as_splines(without(whole, drill(at, at.inward, size)))))
    found = take_off(rounded(write_step(tmp_path / "drilled.step", made))).solids
    for k, (solid, size) in enumerate(zip(found, (3.0, 5.0, 8.0), strict=True)):
        assert solid.kind == "piece", solid.reason
        (bar,) = solid.bars
        (hole,) = bar.holes
        assert hole.through
        from_end = min(hole.at, bar.length - hole.at)
        assert (from_end, hole.diameter) == pytest.approx((30.0 + 20.0 * k, size), abs=0.01)


def test_a_free_sweep_turned_into_splines_is_the_same_curve(tmp_path: Path) -> None:
    arch = swept(through(wave()), Flat(25.0, 6.0), (0.0, 0.0, 1.0))
    found = take_off(write_step(tmp_path / "arch.step", [("as it is", arch), ("splines", as_splines(arch))])).solids
    assert [solid.kind for solid in found] == ["curve", "curve"]
    (one,), (two,) = (solid.bars for solid in found)
    assert two.section == one.section
    assert differences(two, Truth(one.line, one.section, one.way)) == []  # type: ignore[arg-type]


def ruled(line: Centreline, deep: float, high: float) -> TopoDS_Shape:
    """A bar bent in one plane, of which each side is one exact spline: ruled from corner to corner.

    Args:
        line: with all its bends in one plane.
        deep: its size across the bends, mm.
        high: the other.
    """
    start = line.start
    edges = []
    for inward, up in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        bends = tuple(
            Bend(bend.radius - math.cos(math.radians(way)) * inward * deep, bend.angle, bend.rotation)
            for bend, way in zip(line.table.bends, line.table.directions, strict=True)
        )
        origin = along(along(start.origin, start.inward, inward * deep), start.axis, up * high)
        corner = Centreline(BendTable(line.table.straights, bends), Pose(origin, start.tangent, start.axis))
        edges.append(BRepBuilderAPI_MakeEdge(one_curve(corner)).Edge())
    sewing = BRepBuilderAPI_Sewing(1e-6)
    for one, two in zip(edges, (*edges[1:], edges[0]), strict=True):
        sewing.Add(BRepFill.Face_s(one, two))
    for pose in (start, line.end):
        plane = gp_Pln(gp_Pnt(*pose.origin), gp_Dir(*pose.tangent))
        sewing.Add(BRepBuilderAPI_MakeFace(plane, outline_of(pose, deep, high), True).Face())
    sewing.Perform()
    mended = ShapeFix_Solid().SolidFromShell(TopoDS.Shell(sewing.SewedShape()))
    return solid_of(mended)


def outline_of(pose: Pose, deep: float, high: float) -> TopoDS_Wire:
    made = BRepBuilderAPI_MakePolygon()
    for inward, up in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        made.Add(gp_Pnt(*along(along(pose.origin, pose.inward, inward * deep), pose.axis, up * high)))
    made.Close()
    return made.Wire()


@pytest.mark.parametrize("angle", [200.0, 240.0, 260.0, 280.0, 295.9])
def test_a_hook_whose_last_leg_points_across_the_first(angle: float, tmp_path: Path) -> None:
    """Where the first leg lies nearer to the last one's line than to its own middle it is still the first leg."""
    wrong = {}
    for deep, high, radius in ((30.0, 6.0, 76.2), (6.0, 30.0, 25.0), (16.0, 16.0, 45.0)):
        line = Centreline(BendTable((0.4 * radius, 0.3 * radius), (Bend(radius, angle),)), cases.PLACE)
        section = Flat(30.0, 6.0) if deep != high else Square(deep, deep)
        path = write_step(tmp_path / f"{deep:g}.step", [("hook", ruled(line, deep, high))])
        way = None if deep == high else "hard" if deep > high else "easy"
        told = wrong_with(Expected("piece", (Truth(line, section, way),)), take_off(path).solids[0])
        if told:
            wrong[f"{deep:g} x {high:g}"] = told
    assert wrong == {}


def test_tight_bends_the_hard_way(tmp_path: Path) -> None:
    """Inside, the radius is a small part of that outside: a plane across turns by more there than it goes on."""
    table = BendTable((60.0, 90.0, 60.0, 50.0), (Bend(23.0, 80.0), Bend(30.0, 150.0), Bend(25.0, 15.0)))
    line, section = Centreline(table, cases.PLACE), Flat(35.0, 5.0)
    path = write_step(tmp_path / "hard.step", [("bar", ruled(line, 35.0, 5.0))])
    for file in (path, rounded(path)):
        told = wrong_with(Expected("piece", (Truth(line, section, "hard"),), 5e-3), take_off(file).solids[0])
        assert told == [], file.name


@pytest.mark.parametrize("decimals", [None, 3])
def test_a_closed_bar_in_space_of_one_face_that_is_twisted_to_meet_itself(decimals: int | None, tmp_path: Path) -> None:
    """A section carried round a closed curve comes back turned; made to meet itself it is not quite round."""
    corners = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 200.0, 30.0), (0.0, 200.0, 0.0))
    line = Corners(corners, (50.0,) * 4, True).centreline()
    surface = BRep_Tool.Surface_s(skin_along(one_curve(line), 10.0))
    assert isinstance(surface, Geom_BSplineSurface)
    last, middle, way = surface.NbVPoles(), gp_Pnt(*line.start.origin), gp_Dir(*line.start.tangent)
    back, begun = (gp_Vec(middle, surface.Pole(1, ring)) for ring in (last, 1))
    comes_back = back.AngleWithRef(begun, gp_Vec(way))
    for k in range(1, surface.NbUPoles() + 1):
        for ring in range(last - 4, last):
            surface.SetPole(k, ring, surface.Pole(k, ring).Rotated(gp_Ax1(middle, way), comes_back))
        surface.SetPole(k, last, surface.Pole(k, 1))
    shell, made = TopoDS_Shell(), BRep_Builder()
    made.MakeShell(shell)
    made.Add(shell, BRepBuilderAPI_MakeFace(surface, 1e-6).Face())
    shell.Closed(True)
    path = write_step(tmp_path / "loop.step", [("loop", BRepBuilderAPI_MakeSolid(shell).Solid())])
    solid = take_off(rounded(path, decimals) if decimals else path).solids[0]
    assert wrong_with(Expected("piece", (Truth(line, Round(20.0)),), 5e-3), solid) == []


def of_two_halves(section: Section, pose: Pose, thick: Vec) -> TopoDS_Face:
    """The profile of round bar as many programs draw it, of two half circles: each carried along is a face."""
    assert isinstance(section, Round)
    circle = gp_Circ(gp_Ax2(gp_Pnt(*pose.origin), gp_Dir(*pose.tangent), gp_Dir(*thick)), section.diameter / 2.0)
    halves = [BRepBuilderAPI_MakeEdge(circle, low, low + math.pi).Edge() for low in (0.0, math.pi)]
    return BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(*halves).Wire(), True).Face()


def test_round_bar_in_halves_that_are_rounded_splines(tmp_path: Path) -> None:
    """By chance one half of a bend still looks like an arc, and the other does not."""
    chance = random.Random(11)
    lines = [bar(chance, 16.0, 45.0) for _ in range(20)]
    section = Round(16.0)
    made = [(str(k), as_splines(built(line, section, profile=of_two_halves))) for k, line in enumerate(lines)]
    found = take_off(rounded(write_step(tmp_path / "halves.step", made))).solids
    assert wrong(lines, section, found) == {}


@pytest.mark.parametrize("decimals", [3, 4])
def test_a_short_straight_of_rounded_splines_is_no_bend_of_a_thousandth_of_a_degree(
    decimals: int, tmp_path: Path
) -> None:
    chance = random.Random(5)
    lines = [
        Centreline(
            BendTable((chance.uniform(50.0, 90.0), 3.0), (Bend(40.0, chance.uniform(40.0, 140.0)),)),
            chance.choice(HOME_POSES),
        )
        for _ in range(12)
    ]
    made = [(str(k), as_splines(built(line, Round(12.0), profile=of_two_halves))) for k, line in enumerate(lines)]
    found = take_off(rounded(write_step(tmp_path / "short.step", made), decimals)).solids
    for line, solid in zip(lines, found, strict=True):
        table = solid.bars[0].line.table
        assert len(table.bends) == 1
        assert sorted(table.straights) == pytest.approx(sorted(line.table.straights), abs=0.01)
        assert [end.cut for end in solid.bars[0].ends] == ["square", "square"]


@pytest.mark.parametrize("angle", [0.8, 1.3, 2.0, 3.5])
def test_what_lies_beyond_a_slight_bend_of_rounded_round_bar_is_not_lost(angle: float, tmp_path: Path) -> None:
    """Where three decimals do not tell such a bend it may be no piece; it is no end pressed flat, and no straight."""
    chance = random.Random(angle)
    lines = [
        Centreline(
            BendTable(
                (100.0, chance.uniform(20.0, 60.0), chance.uniform(20.0, 60.0), 40.0),
                (Bend(50.0, 110.0), Bend(50.0, angle, 40.0), Bend(50.0, 76.0, -70.0)),
            ),
            chance.choice(HOME_POSES),
        )
        for _ in range(8)
    ]
    made = [(str(k), as_splines(built(line, Round(20.0), profile=of_two_halves))) for k, line in enumerate(lines)]
    for line, solid in zip(lines, take_off(rounded(write_step(tmp_path / "slight.step", made))).solids, strict=True):
        if solid.kind == "piece":
            assert len(solid.bars[0].line.table.bends) == 3
            assert solid.bars[0].length == pytest.approx(line.table.length, abs=0.02)
