"""What is not quite a plain bar: lost solids, other sections, notches, slanting and countersunk holes, broken corners.

The truth beside each is the vector arithmetic that it was made with; sections and places are written out.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import OCP.collections as stores
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer, BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeSphere
from OCP.GeomAPI import GeomAPI_PointsToBSpline
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, along, cross, rotate, scale
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.alike import mirrored_bar, reversed_bar
from bentwork.takeoff.bar import Bar, End, Solid, TakeOff
from bentwork.takeoff.document import bar_from, solid_document
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.recognise import Verdict, recognise
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases, solids
from tests.takeoff_models.curves import nearest, one_curve, pipe_along
from tests.takeoff_models.files import rounded, write_step

HOOK = Centreline(BendTable((100.0, 120.0), (Bend(50.0, 90.0),)))
STRAIGHT = Centreline(BendTable((300.0,)))


def box(x: float, y: float, z: float, dx: float, dy: float, dz: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakeBox(gp_Pnt(x, y, z), dx, dy, dz).Shape()


def seen(shape: TopoDS_Shape) -> Verdict:
    return recognise(shape_of(shape))


def bar_of(shape: TopoDS_Shape) -> Bar:
    verdict = seen(shape)
    assert verdict.kind == "piece", verdict.reason
    return verdict.bars[0]


def drawn_out(points: Sequence[tuple[float, float]], length: float) -> TopoDS_Shape:
    made = BRepBuilderAPI_MakePolygon()
    for y, z in points:
        made.Add(gp_Pnt(0.0, y, z))
    made.Close()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(made.Wire(), True).Face(), gp_Vec(length, 0.0, 0.0)).Shape()


@pytest.mark.parametrize("lost", ["CLOSED_SHELL", "PRODUCT_DEFINITION_SHAPE"])
def test_a_solid_of_which_the_kernel_makes_nothing_is_told(tmp_path: Path, lost: str) -> None:
    bars = [(f"bar {k}", solids.swept(HOOK, Round(8.0 + k))) for k in range(3)]
    path = write_step(tmp_path / "a.step", bars)
    text = path.read_text()
    first = re.search(rf"#\d+ ?= ?{lost}\(.*?;\n", text, re.DOTALL)
    assert first is not None
    path.write_text(text.replace(first[0], ""))
    found = take_off(path).solids
    assert [solid.kind for solid in found] == ["piece", "piece", "other"]
    assert "makes nothing of it" in (found[-1].reason or "")
    assert [solid.index for solid in found] == [1, 2, 3]


L_SECTION = ((0, 0), (40, 0), (40, 4), (4, 4), (4, 40), (0, 40))
CHANNEL = ((0, 0), (40, 0), (40, 4), (4, 4), (4, 36), (40, 36), (40, 40), (0, 40))
TRIANGLE = ((0, 0), (60, 0), (0, 50))


@pytest.mark.parametrize(
    ("points", "length", "says"),
    [
        (L_SECTION, 300.0, "a straight bar, 300 mm long, of another section: 40 × 40 mm over all"),
        (CHANNEL, 600.0, "a straight bar, 600 mm long, of another section: 40 × 40 mm over all"),
        (TRIANGLE, 5.0, "a plate cut to shape, 5 mm thick, 60 × 50 mm over all"),
    ],
)
def test_what_is_drawn_out_of_another_outline(
    points: tuple[tuple[float, float], ...], length: float, says: str
) -> None:
    verdict = seen(drawn_out(points, length))
    assert (verdict.kind, verdict.reason) == ("other", says)


def test_a_nut_is_neither_a_bar_nor_a_plate() -> None:
    corners = [(7.5 * math.cos(k * math.pi / 3), 7.5 * math.sin(k * math.pi / 3)) for k in range(6)]
    nut = solids.without(drawn_out(corners, 6.5), solids.cylinder((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), 3.4, 9.0))
    assert seen(nut).reason == "its 9 faces follow no bar of one section"


@pytest.mark.parametrize(
    "tool",
    [
        box(-1.0, 8.0, -3.0, 400.0, 10.0, 6.0),  # a keyway
        box(-1.0, 8.0, -30.0, 400.0, 30.0, 60.0),  # a flat all along
        box(-1.0, -5.0, -5.0, 400.0, 10.0, 10.0),  # a square bore
        solids.cylinder((-1.0, 5.0, 0.0), (1.0, 0.0, 0.0), 3.0, 400.0),  # a bore beside the middle
    ],
)
def test_a_bar_that_is_cut_from_end_to_end_has_another_section(tool: TopoDS_Shape) -> None:
    verdict = seen(solids.without(solids.swept(STRAIGHT, Round(24.0)), tool))
    assert verdict.kind == "other"
    assert verdict.reason == "its section is not 24 mm round: a groove, a flat or a bore runs along all of it"


@pytest.mark.parametrize(
    ("tool", "where"),
    [
        (box(40.0, 2.0, -50.0, 10.0, 50.0, 100.0), ((40.0, 50.0),)),
        (box(-1.0, 3.5, -50.0, 31.0, 50.0, 100.0), ((0.0, 30.0),)),
        (solids.drill(HOOK.pose(60.0), (0.0, 0.0, 1.0), 4.0), ()),
    ],
)
@pytest.mark.parametrize("section", [Round(12.0), Tube(12.0, 1.5)])
def test_a_notch_is_told_with_its_place(
    section: Round | Tube, tool: TopoDS_Shape, where: tuple[tuple[float, float], ...]
) -> None:
    bar = bar_of(solids.without(solids.swept(HOOK, section), tool))
    assert bar.line.table.straights == pytest.approx((100.0, 120.0), abs=0.01)
    assert [pytest.approx(one, abs=0.01) for one in where] == list(bar.cut_into)
    length = bar.length
    turned = [(length - high, length - low) for low, high in where]
    assert [pytest.approx(one, abs=0.01) for one in turned] == list(reversed_bar(bar).cut_into)
    assert mirrored_bar(bar).cut_into == bar.cut_into


def test_a_notch_with_a_floor_along_the_bar_is_told_from_wall_to_wall() -> None:
    bar = solids.built(Centreline(BendTable((300.0,))), Square(16.0, 16.0))
    side, other = box(94.0, -20.0, 4.0, 12.0, 40.0, 20.0), box(94.0, -20.0, -24.0, 12.0, 40.0, 20.0)
    end = box(280.0, -20.0, -2.0, 40.0, 40.0, 4.0)
    for tools, wanted in (
        ([side], ((94.0, 106.0),)),
        ([side, other], ((94.0, 106.0),)),
        ([end], ((280.0, 300.0),)),
        ([side, end], ((94.0, 106.0), (280.0, 300.0))),
    ):
        found = bar_of(solids.without(bar, *tools))
        told = found.cut_into if found.line.start.origin[0] < 1.0 else _turned(found)
        assert np.array(told) == pytest.approx(np.array(wanted), abs=1e-6)


def _turned(bar: Bar) -> tuple[tuple[float, float], ...]:
    return tuple((bar.length - high, bar.length - low) for low, high in reversed(bar.cut_into))


def stacked(*steps: tuple[float, float]) -> TopoDS_Shape:
    """Cylinders one behind the other, each with its diameter and its length, as one solid."""
    parts, at = [], 0.0
    for diameter, length in steps:
        parts.append(solids.cylinder((at, 0.0, 0.0), (1.0, 0.0, 0.0), diameter / 2.0, length))
        at += length
    return solids.fused(parts)


@pytest.mark.parametrize(
    ("steps", "where"),
    [
        (((20.0, 99.0), (18.0, 1.5), (20.0, 199.5)), ((99.0, 100.5),)),
        (((20.0, 50.0), (18.0, 1.5), (20.0, 98.5), (18.5, 10.0), (20.0, 140.0)), ((50.0, 51.5), (150.0, 160.0))),
        (((18.0, 80.0), (20.0, 140.0), (18.5, 80.0)), ((0.0, 80.0), (220.0, 300.0))),
        (((19.9, 100.0), (20.0, 100.0), (19.9, 100.0)), ((0.0, 100.0), (200.0, 300.0))),
        (((20.0, 130.0), (18.0, 170.0)), ((130.0, 300.0),)),
    ],
)
def test_a_round_bar_that_is_turned_down_is_as_long_as_all_of_it(
    steps: tuple[tuple[float, float], ...], where: tuple[tuple[float, float], ...]
) -> None:
    whole = stacked(*steps)
    for shape in (whole, solids.as_splines(whole)):
        bar = bar_of(shape)
        assert bar.section == Round(20.0)
        assert bar.length == pytest.approx(300.0, abs=1e-6)
        assert not bar.line.table.bends
        told = bar.cut_into if bar.line.start.origin[0] < 1.0 else _turned(bar)
        assert np.array(told) == pytest.approx(np.array(where), abs=1e-6)


@pytest.mark.parametrize("section", [Round(20.0), Square(20.0, 20.0), Flat(20.0, 6.0)], ids=lambda one: one.kind)
def test_a_hole_in_an_end_is_told_as_far_as_it_goes(section: Section) -> None:
    """Drilled along the middle, flat at its bottom or with the point of a drill."""
    line = Centreline(BendTable((300.0,)))
    whole = solids.swept(line, section) if isinstance(section, Round) else solids.built(line, section)
    hole = solids.cylinder((270.0, 0.0, 0.0), (1.0, 0.0, 0.0), 2.5, 40.0)
    tip = BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(270.0, 0.0, 0.0), gp_Dir(-1.0, 0.0, 0.0)), 2.5, 0.0, 1.5).Shape()
    for tool, begins in ((hole, 270.0), (solids.fused([hole, tip]), 268.5)):
        bar = bar_of(solids.without(whole, tool))
        told = bar.cut_into if bar.line.start.origin[0] < 1.0 else _turned(bar)
        assert np.array(told) == pytest.approx(np.array([(begins, 300.0)]), abs=1e-6)


def test_bars_that_are_cut_into_differently_at_one_place_are_not_the_same(tmp_path: Path) -> None:
    whole = solids.swept(Centreline(BendTable((300.0,))), Round(20.0))
    drilled, again = (
        solids.without(whole, solids.cylinder((270.0, 0.0, 0.0), (1.0, 0.0, 0.0), 4.0, 40.0)) for _ in range(2)
    )
    tongue = solids.without(whole, *(box(270.0, y, -15.0, 40.0, 20.0, 30.0) for y in (5.0, -25.0)))
    shapes = (drilled, stacked((20.0, 270.0), (17.0, 30.0)), tongue, again)
    found = take_off(write_step(tmp_path / "bars.step", [(str(k), shape) for k, shape in enumerate(shapes)])).solids
    assert [len(solid.bars[0].cut_into) for solid in found] == [1, 1, 1, 1]
    assert [solid.same_as for solid in found] == [None, None, None, 1]


@pytest.mark.parametrize("off", [0.0, 4.0])
@pytest.mark.parametrize(
    "section", [Flat(40.0, 8.0), Square(20.0, 20.0), Round(20.0), Tube(30.0, 2.0)], ids=lambda one: one.kind
)
def test_an_end_that_is_pointed_from_both_sides_is_no_mitre(section: Section, off: float) -> None:
    """Pickets: their tip may be beside the middle."""
    line = Centreline(BendTable((300.0,)))
    whole = solids.swept(line, section) if isinstance(section, Round | Tube) else solids.built(line, section, "hard")
    lean = math.sqrt(0.5)
    tip, slopes = (300.0, off, 0.0), ((lean, lean, 0.0), (lean, -lean, 0.0))
    pointed = bar_of(solids.without(whole, *(solids.block_beyond(tip, slope) for slope in slopes)))
    assert sorted(end.cut for end in pointed.ends) == ["shaped", "square"]
    assert pointed.length == pytest.approx(300.0, abs=1e-6)
    mitre = bar_of(solids.without(whole, solids.block_beyond((270.0, 0.0, 0.0), slopes[0])))
    assert sorted(end.cut for end in mitre.ends) == ["mitred", "square"]


@pytest.mark.parametrize("radius", [7.0, 8.0, 10.0])
@pytest.mark.parametrize("axis", [(1.0, 0.0, 0.0), (0.0, 0.0, 1.0)])
def test_a_ball_on_a_lever_is_no_end_pressed_flat(radius: float, axis: tuple[float, float, float]) -> None:
    """The bar ends where its rim comes to the ball."""
    beyond = round(math.sqrt(radius**2 - 36.0), 2)
    ball = BRepPrimAPI_MakeSphere(gp_Ax2(gp_Pnt(-beyond, 0.0, 0.0), gp_Dir(*axis)), radius).Shape()
    lever = solids.fused([solids.cylinder((-beyond, 0.0, 0.0), (1.0, 0.0, 0.0), 6.0, 150.0 + beyond), ball])
    verdict = seen(lever)
    assert verdict.kind != "piece"


@pytest.mark.parametrize("hole", [110.0, 101.5], ids=["beside it", "through it"])
def test_a_groove_is_as_wide_as_it_is_whatever_hole_is_near(hole: float) -> None:
    bar = stacked((20.0, 100.0), (18.0, 3.0), (20.0, 197.0))
    found = bar_of(solids.without(bar, solids.cylinder((hole, 0.0, -20.0), (0.0, 0.0, 1.0), 3.0, 40.0)))
    assert len(found.holes) == 1
    told = found.cut_into if found.line.start.origin[0] < 1.0 else _turned(found)
    assert np.array(told) == pytest.approx(np.array([(100.0, 103.0)]), abs=1e-6)


def test_grooves_near_the_ends_do_not_go_to_them() -> None:
    found = bar_of(stacked((20.0, 4.0), (18.4, 1.3), (20.0, 288.7), (18.4, 1.3), (20.0, 4.7)))
    told = found.cut_into if found.line.start.origin[0] < 1.0 else _turned(found)
    assert np.array(told) == pytest.approx(np.array([(4.0, 5.3), (294.0, 295.3)]), abs=1e-6)


def test_a_keyhole_is_cut_into_as_far_as_its_slot_goes() -> None:
    flat = solids.built(Centreline(BendTable((400.0,))), Flat(40.0, 8.0), "hard")
    hole = solids.cylinder((100.0, 0.0, -20.0), (0.0, 0.0, 1.0), 8.0, 40.0)
    found = bar_of(solids.without(flat, hole, box(100.0, -3.0, -20.0, 20.0, 6.0, 40.0)))
    told = found.cut_into if found.line.start.origin[0] < 1.0 else _turned(found)
    assert np.array(told) == pytest.approx(np.array([(100.0 + math.sqrt(55.0), 120.0)]), abs=1e-6)


@pytest.mark.parametrize("length", [10.0, 16.0, 25.0, 40.0, 100.0])
def test_no_screw_is_a_bar_that_is_turned_down(length: float) -> None:
    """A cylinder screw M10: its head is 16 mm thick and 10 mm high (ISO 4762, from memory)."""
    assert seen(stacked((16.0, 10.0), (10.0, length))).kind == "other"


def test_tubes_that_are_put_into_one_another_are_no_tube_that_is_turned_down() -> None:
    wide, narrow = (((0.0, 15.0), (0.0, 13.0)), ((150.0, 12.5), (150.0, 10.0)))
    outer, inner = (
        solids.without(*(solids.cylinder((at, 0.0, 0.0), (1.0, 0.0, 0.0), radius, 200.0) for at, radius in both))
        for both in (wide, narrow)
    )
    sleeve = solids.without(*(solids.cylinder((150.0, 0.0, 0.0), (1.0, 0.0, 0.0), r, 50.0) for r in (13.0, 12.5)))
    assert seen(solids.fused([outer, inner, sleeve])).kind in ("joined", "other")


@pytest.mark.parametrize("section", [Tube(25.0, 2.0), SquareTube(30.0, 30.0, 2.0)], ids=lambda one: one.kind)
@pytest.mark.parametrize("turned", [0.0, 90.0, 40.0])
def test_a_hole_aslant_whose_wall_is_two_halves(section: Tube | SquareTube, turned: float) -> None:
    """Many programs draw every hole as two halves; of one aslant each lies elsewhere along its axis."""
    line = Centreline(BendTable((200.0, 150.0), (Bend(75.0, 70.0),)))
    whole = solids.swept(line, section) if isinstance(section, Tube) else solids.built(line, section)
    pose = line.pose(70.0)
    way = rotate(pose.inward, pose.axis, 30.0)
    plane = rotate(cross(way, pose.axis), way, turned)
    half = solids.cylinder(along(pose.origin, way, -60.0), way, 3.0, 120.0)
    pieces = [solids.without(half, solids.block_beyond(pose.origin, normal)) for normal in (plane, scale(plane, -1.0))]
    bar = bar_of(solids.without(whole, *pieces))
    (hole,) = bar.holes
    at = min(hole.at, bar.length - hole.at)
    assert (at, hole.diameter, hole.slant) == pytest.approx((70.0, 6.0, 30.0), abs=0.01)
    assert hole.through


def test_plain_bars_are_not_cut_into() -> None:
    for make in (cases.round_cases, cases.rectangular_cases, cases.end_cases, cases.hole_cases, cases.slot_cases):
        for name, shape, _ in make():
            assert [(name, bar.cut_into) for bar in seen(shape).bars] == [(name, ())]


@pytest.mark.parametrize("lean", [0.0, 20.0, 30.0])
@pytest.mark.parametrize("section", [Round(12.0), Tube(25.0, 2.0)])
def test_a_hole_aslant_says_so(section: Round | Tube, lean: float) -> None:
    pose = HOOK.pose(60.0)
    way = rotate(pose.inward, pose.axis, lean)
    (hole,) = bar_of(solids.without(solids.swept(HOOK, section), solids.drill(pose, way, 4.0))).holes
    assert (hole.at, hole.round % 180.0, hole.diameter) == pytest.approx((60.0, 0.0, 4.0), abs=0.01)
    assert hole.through
    assert hole.slant == pytest.approx(lean, abs=0.01)


def test_of_a_hole_that_is_countersunk_through_one_wall_both_walls_are_drilled() -> None:
    # The countersink is 3 mm deep, the wall 2 mm: of that wall nothing but the cone is left.
    cone = BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(60.0, 12.51, 0.0), gp_Dir(0.0, -1.0, 0.0)), 5.0, 2.0, 3.0).Shape()
    tube = solids.swept(HOOK, Tube(25.0, 2.0))
    drilled = solids.without(tube, solids.drill(HOOK.pose(60.0), (0.0, 1.0, 0.0), 4.0), cone)
    (hole,) = bar_of(drilled).holes
    assert (hole.at, hole.round, hole.diameter) == pytest.approx((60.0, 0.0, 4.0), abs=0.01)
    assert hole.through


def test_a_countersink_is_told_and_a_hole_that_a_job_has_not_is_not_lost() -> None:
    bar = box(0.0, 0.0, 0.0, 300.0, 30.0, 6.0)
    sink = BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(60.0, 15.0, 6.0), gp_Dir(0.0, 0.0, -1.0)), 5.5, 2.5, 3.0).Shape()
    beside = BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(200.0, 15.0, 6.0), gp_Dir(0.0, 0.0, -1.0)), 4.0, 2.0, 2.0).Shape()
    plain = solids.cylinder((120.0, 15.0, -1.0), (0.0, 0.0, 1.0), 3.0, 20.0)
    leaning = solids.cylinder((240.0, 15.0, 3.0), (math.sin(0.5), 0.0, math.cos(0.5)), 2.0, 20.0)
    other_way = solids.cylinder((240.0, 15.0, 3.0), (-math.sin(0.5), 0.0, -math.cos(0.5)), 2.0, 20.0)
    drills = [solids.cylinder((x, 15.0, -1.0), (0.0, 0.0, 1.0), r, 20.0) for x, r in ((60.0, 2.5), (200.0, 2.0))]
    drilled = solids.without(bar, sink, beside, plain, leaning, other_way, *drills)
    holes = bar_of(drilled).holes
    assert [round(hole.sunk, 4) for hole in holes] == [11.0, 0.0, 8.0, 0.0]
    result = TakeOff("bar.step", "mm", (Solid(1, "bar", "piece", (bar_of(drilled),)),))
    job = job_of(result)
    assert [(hole["along"], hole["diameter"]) for hole in tomllib.loads(job)["piece"]["bar"]["holes"]] == [
        (pytest.approx(at, abs=1e-5), pytest.approx(wide, abs=1e-5)) for at, wide in ((60, 5), (120, 6), (200, 4))
    ]
    assert [line.split("#")[1].strip() for line in job.splitlines() if "#" in line][-3:] == [
        "the model countersinks it to ø11",
        "the model countersinks it to ø8",
        "not written, for a job has no such hole: at 240 mm ø4, aslant by 28.65°",
    ]


@pytest.mark.parametrize(("wall", "lean"), [(1.0, 20.0), (1.0, 40.0), (2.0, 40.0)])
def test_a_hole_aslant_through_a_thin_tube_wide_enough_that_half_its_wall_is_gone(wall: float, lean: float) -> None:
    pose = HOOK.pose(60.0)
    way = rotate(pose.inward, pose.axis, lean)
    bar = bar_of(solids.without(solids.swept(HOOK, Tube(25.0, wall)), solids.drill(pose, way, 8.0)))
    (hole,) = bar.holes
    assert (hole.at, hole.round % 180.0, hole.diameter) == pytest.approx((60.0, 0.0, 8.0), abs=0.01)
    assert hole.through
    assert hole.slant == pytest.approx(lean, abs=0.01)


@pytest.mark.parametrize(("outer", "wall", "long"), [(12.0, 1.0, 20.0), (25.0, 2.0, 30.0), (40.0, 3.0, 25.0)])
def test_a_sleeve_of_thin_tube_is_no_strip_rolled_to_a_ring(outer: float, wall: float, long: float) -> None:
    tube = solids.cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), outer / 2.0, long)
    bore = solids.cylinder((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), outer / 2.0 - wall, long + 2.0)
    verdict = seen(solids.without(tube, bore))
    assert (verdict.kind, verdict.bars) == ("other", ())
    assert "bush" in (verdict.reason or "")


@pytest.mark.parametrize("radius", [4.0, 6.0])
def test_a_quick_integral_that_misses_by_a_hundredth_is_asked_again(radius: float) -> None:
    line = Centreline(BendTable((150.0, 200.0), (Bend(60.0, 90.0),)))
    bar = bar_of(pipe_along(one_curve(line), radius))
    assert bar.length == pytest.approx(line.table.length, abs=0.01)
    assert bar.line.table.bends[0].angle == pytest.approx(90.0, abs=0.01)


def along_x(edge: TopoDS_Shape) -> bool:
    points: list[tuple[float, float, float]] = []
    corners = TopExp_Explorer(edge, TopAbs_ShapeEnum.TopAbs_VERTEX)
    while corners.More():
        points.append(BRep_Tool.Pnt_s(TopoDS.Vertex(corners.Current())).Coord())
        corners.Next()
    return abs(points[0][0] - points[-1][0]) > 100.0


def with_broken_corners(shape: TopoDS_Shape, size: float) -> TopoDS_Shape:
    edges = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.MapShapes_s(shape, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    tool = BRepFilletAPI_MakeChamfer(shape)
    for k in range(1, edges.Extent() + 1):
        if along_x(edges.FindKey(k)):
            tool.Add(size, TopoDS.Edge(edges.FindKey(k)))
    return solids.solid_of(tool.Shape())


@pytest.mark.parametrize("size", [0.3, 0.5, 1.0])
@pytest.mark.parametrize("section", [Square(12.0, 12.0), Flat(30.0, 6.0)])
def test_corners_broken_from_end_to_end(section: Square | Flat, size: float) -> None:
    bar = bar_of(with_broken_corners(box(0.0, 0.0, 0.0, 300.0, section.width, section.height), size))
    assert bar.section == section
    assert bar.length == pytest.approx(300.0, abs=0.01)


def test_an_eight_sided_bar_is_not_square() -> None:
    corners = [(10.0 * math.cos(k * math.pi / 4), 10.0 * math.sin(k * math.pi / 4)) for k in range(8)]
    assert seen(drawn_out(corners, 600.0)).kind == "other"


@pytest.mark.parametrize("section", [Square(12.0, 12.0), Flat(30.0, 6.0)])
def test_a_bend_across_a_corner_is_told(section: Square | Flat) -> None:
    table = BendTable((100.0, 80.0, 90.0), (Bend(60.0, 70.0), Bend(50.0, 40.0, 35.0)))
    bar = solids.built(Centreline(table), section)
    for verdict in (seen(bar), seen(solids.as_splines(bar))):
        assert verdict.kind == "other"
        assert (verdict.reason or "").startswith("a bend across a corner of its section, 35° from flat")


def test_bars_with_a_plate_between_them() -> None:
    rail = solids.cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 6.0, 300.0)
    post = solids.cylinder((150.0, 0.0, 0.0), (0.0, 1.0, 0.0), 6.0, 200.0)
    gusset = box(150.0, 0.0, -2.0, 40.0, 40.0, 4.0)
    verdict = seen(solids.fused([rail, post, gusset]))
    assert verdict.kind == "joined"
    assert "something else in it" in (verdict.reason or "")
    assert sorted(bar.length for bar in verdict.bars) == pytest.approx([200.0, 300.0], abs=1e-3)


@pytest.mark.parametrize("through_a_file", [False, True])
def test_square_bars_laid_across_one_another(tmp_path: Path, through_a_file: bool) -> None:
    # In a file the edges come in another order, and the long one may be looked at before those across it.
    fused = solids.fused([box(0, -10, -10, 300, 20, 20), box(140, -100, 10, 20, 200, 20)])
    if through_a_file:
        (solid,) = take_off(write_step(tmp_path / "a.step", [("cross", fused)])).solids
        kind, bars = solid.kind, solid.bars
    else:
        verdict = seen(fused)
        kind, bars = verdict.kind, verdict.bars
    assert kind == "joined"
    assert sorted(bar.length for bar in bars) == pytest.approx([200.0, 300.0], abs=0.01)


def test_what_is_new_goes_through_the_document(tmp_path: Path) -> None:
    tools = (box(20.0, 2.0, -50.0, 10.0, 50.0, 100.0), solids.drill(HOOK.pose(60.0), (0.6, 0.8, 0.0), 4.0))
    path = write_step(tmp_path / "a.step", [("bar", solids.without(solids.swept(HOOK, Round(12.0)), *tools))])
    (solid,) = take_off(path).solids
    (bar,) = solid.bars
    assert bar.holes[0].slant == pytest.approx(math.degrees(math.asin(0.6)), abs=0.01)
    assert bar.cut_into[0] == pytest.approx((20.0, 30.0), abs=0.01)
    told = bar_from(solid_document(solid))
    assert (told.holes, told.cut_into) == (bar.holes, bar.cut_into)


def test_a_wire_with_a_free_curve_is_the_nearest_arcs(tmp_path: Path) -> None:
    points = stores.Array1_gp_Pnt(1, 4)
    for k, point in enumerate(((0.0, 0.0, 0.0), (60.0, 20.0, 10.0), (110.0, 60.0, -20.0), (180.0, 60.0, 0.0)), 1):
        points.SetValue(k, gp_Pnt(*point))
    curve = GeomAPI_PointsToBSpline(points).Curve()
    free = BRepBuilderAPI_MakeEdge(curve).Edge()
    straight = BRepBuilderAPI_MakeEdge(gp_Pnt(180.0, 60.0, 0.0), gp_Pnt(180.0, 300.0, 0.0)).Edge()
    named = [("curve", free), ("kinked", BRepBuilderAPI_MakeWire(free, straight).Wire())]
    one, other = take_off(write_step(tmp_path / "a.step", named)).solids
    assert one.kind == "curve"
    first, last = curve.FirstParameter(), curve.LastParameter()
    along = [curve.Value(first + k / 60.0 * (last - first)).Coord() for k in range(61)]
    off = nearest(np.array(along), one.bars[0].line.sample(0.0005))
    assert off < 0.25
    assert one.bars[0].deviation == pytest.approx(off, abs=0.02)
    # Nothing of it may go without a word.
    assert (other.kind, other.bars) == ("other", ())
    assert "kinks" in (other.reason or "")


@pytest.mark.parametrize("gap", [-2.0, -0.5, 0.5, 4.0])
@pytest.mark.parametrize("angle", [230.0, 270.0, 300.0])
def test_an_eye_whose_end_points_at_its_own_leg_is_clear_as_far_as_it_is(gap: float, angle: float) -> None:
    """The rim of the end comes so near to the leg; the truth is plane trigonometry."""
    radius, half = 40.0, 10.0
    turn = math.radians(angle)
    # The first leg lies along x up to 0; the end runs on from the arc until its nearer rim comes to the leg's side.
    end = np.array([radius * math.sin(turn), radius * (1.0 - math.cos(turn))])
    way, across = np.array([math.cos(turn), math.sin(turn)]), np.array([-math.sin(turn), math.cos(turn)])
    lowest = end[1] - half * abs(across[1])
    length = (lowest - half - gap) / -way[1]
    line = Centreline(
        BendTable((250.0, length), (Bend(radius, angle),)), Pose((-250.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    )
    told = no_bar(Bar(line, Round(2.0 * half), None, (End("square"), End("square"))))
    assert (told is None) == (gap > 0.0), told


@pytest.mark.parametrize("section", [Square(16.0, 16.0), Flat(30.0, 6.0), SquareTube(30.0, 30.0, 2.0)], ids=str)
def test_a_ring_in_quarters_is_a_bar_however_it_stands(section: Section) -> None:
    """Where its pieces begin is not told alike of every edge: that goes by the last digit."""
    quarter = Centreline(BendTable((0.0,) * 5, (Bend(100.0, 90.0, 0.0),) * 4, closed=True))
    ring = solids.built(quarter, section)
    for seed in range(8):
        bar = bar_of(solids.placed(ring, solids.some_place(seed)))
        assert bar.line.table.closed
        assert bar.length == pytest.approx(200.0 * math.pi, abs=1e-6)


@pytest.mark.parametrize("thread", [20.0, 40.0, 60.0])
@pytest.mark.parametrize("legs", [(80.0, 80.0), (150.0, 20.0)])
def test_a_bow_with_threaded_ends_is_one_bar(thread: float, legs: tuple[float, float]) -> None:
    """Threads are drawn as turned down to 8.5 mm (the core of M10, from memory)."""
    line = Centreline(BendTable(legs, (Bend(30.0, 180.0),)), cases.PLACE)
    ends = [(line.start, 1.0)] if min(legs) < thread else [(line.start, 1.0), (line.end, -1.0)]
    rings = []
    for pose, way in ends:
        ahead = scale(pose.tangent, way)
        ring = solids.without(
            solids.cylinder(pose.origin, ahead, 20.0, thread), solids.cylinder(pose.origin, ahead, 4.25, thread)
        )
        rings.append(ring)
    bar = bar_of(solids.without(solids.swept(line, Round(10.0)), *rings))
    assert bar.section == Round(10.0)
    assert bar.length == pytest.approx(line.table.length, abs=1e-6)
    assert [high - low for low, high in bar.cut_into] == pytest.approx([thread] * len(ends), abs=1e-6)


@pytest.mark.parametrize("angle", [20.0, 40.0, 60.0, 90.0])
def test_a_leg_behind_a_tight_bend_is_no_end_pressed_flat(angle: float) -> None:
    section = SquareTube(30.0, 20.0, 2.0)
    line = Centreline(BendTable((62.71, 39.97), (Bend(13.0, angle),)))
    for seed in range(4):
        bar = bar_of(solids.placed(solids.built(line, section), solids.some_place(seed)))
        assert [bend.angle for bend in bar.line.table.bends] == pytest.approx([angle], abs=1e-6)
        assert sorted(bar.line.table.straights) == pytest.approx([39.97, 62.71], abs=1e-6)


def test_a_rounded_shoulder_in_splines_is_no_bore(tmp_path: Path) -> None:
    whole = stacked((20.0, 260.0), (16.0, 40.0))
    made, edges = BRepFilletAPI_MakeFillet(whole), TopExp_Explorer(whole, TopAbs_ShapeEnum.TopAbs_EDGE)
    while edges.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge(edges.Current()))
        ends = [
            curve.Value(u) for u in (curve.FirstParameter(), (curve.FirstParameter() + curve.LastParameter()) / 2.0)
        ]
        if all(abs(end.X() - 260.0) < 1e-6 and math.hypot(end.Y(), end.Z()) < 8.1 for end in ends):
            made.Add(1.5, TopoDS.Edge(edges.Current()))
            break
        edges.Next()
    path = write_step(tmp_path / "shoulder.step", [("bar", solids.as_splines(solids.solid_of(made.Shape())))])
    for file in (path, rounded(path)):
        (bar,) = take_off(file).solids[0].bars
        assert isinstance(bar.section, Round)
        assert bar.section.diameter == pytest.approx(20.0, abs=0.01)
        assert bar.length == pytest.approx(300.0, abs=0.01)


def test_what_is_bored_right_through_in_steps_is_no_round_bar() -> None:
    bores = (solids.cylinder((at, 0.0, 0.0), (1.0, 0.0, 0.0), r, 41.0) for at, r in ((-1.0, 5.0), (40.0, 4.0)))
    verdict = seen(solids.without(solids.cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 10.0, 80.0), *bores))
    assert verdict.kind == "other"
