"""Bar whose corners are not alike, whose narrow edges are round, or whose bends have no inside radius.

The truth beside each is the vector arithmetic that it was made with; the volume is the kernel's own integral.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from pathlib import Path

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe, BRepOffsetAPI_MakePipeShell
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME, Pose, cross, rotate
from bentwork.stock.section import Flat, Round, Tube
from bentwork.takeoff.bar import Bar, Kind
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.recognise import Verdict, recognise
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases, solids
from tests.takeoff_models import odd_outlines as odd
from tests.takeoff_models.files import rounded, write_step
from tests.takeoff_models.odd_outlines import SHARP, Cornered, Point, broken_by, outline, rounded_by
from tests.takeoff_models.truth import Truth, differences

Made = tuple[str, TopoDS_Shape, Truth]


@pytest.fixture(scope="module")
def made() -> list[Made]:
    return list(chain(odd.cornered_cases(cases.PLACE), odd.folded_cases(cases.PLACE)))


def seen(shape: TopoDS_Shape) -> Verdict:
    return recognise(shape_of(shape))


def wrong(kind: Kind, bars: Sequence[Bar], reason: str | None, truth: Truth) -> list[str]:
    if kind != "piece":
        return [f"{kind}: {reason}"]
    return differences(bars[0], truth) + [f"cut into {where}" for where in bars[0].cut_into]


def wrong_with(shape: TopoDS_Shape, truth: Truth) -> list[str]:
    verdict = seen(shape)
    return wrong(verdict.kind, verdict.bars, verdict.reason, truth)


def integral(shape: TopoDS_Shape) -> float:
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-9)
    return float(props.Mass())


def test_they_come_back_as_they_were_made(made: list[Made]) -> None:
    assert {name: found for name, shape, truth in made if (found := wrong_with(shape, truth))} == {}
    for name, shape, _ in made:
        assert seen(shape).volume == pytest.approx(integral(shape), rel=1e-8), name


def test_their_mirror_images_come_back(made: list[Made]) -> None:
    turned = (
        (name, solids.mirrored(shape), replace(truth, line=truth.line.mirrored(1))) for name, shape, truth in made
    )
    assert {name: found for name, shape, truth in turned if (found := wrong_with(shape, truth))} == {}


@pytest.mark.parametrize("places", [15, 3])
def test_they_come_back_through_a_file(tmp_path: Path, made: list[Made], places: int) -> None:
    # Far from where they were drawn: moved there by the model.
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(700.0, -300.0, 150.0))
    path = write_step(tmp_path / "a.step", [(name, solids.placed(shape, shift)) for name, shape, _ in made])
    found = take_off(rounded(path, places) if places < 15 else path).solids
    assert [solid.name for solid in found] == [name for name, _, _ in made]
    off = {}
    for solid, (name, _, truth) in zip(found, made, strict=True):
        x, y, z = truth.line.start.origin
        start = replace(truth.line.start, origin=(x + 700.0, y - 300.0, z + 150.0))
        moved = replace(truth, line=Centreline(truth.line.table, start))
        off[name] = wrong(solid.kind, solid.bars, solid.reason, moved)
    assert {name: found for name, found in off.items() if found} == {}


def one_hook(made: list[Made]) -> list[Made]:
    """Those that have room for drills and saws: straight, or with one bend."""
    some = [one for one in made if len(one[2].line.table.bends) < 2 and "sharp" not in one[0]]
    assert len(some) > 50
    return some


@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_drilled(made: list[Made], turn: float) -> None:
    off = {}
    for name, shape, truth in one_hook(made):
        pose = truth.line.pose(30.0)
        drilled = solids.without(shape, solids.drill(pose, rotate(pose.inward, pose.tangent, turn), 2.0))
        off[name] = wrong_with(drilled, replace(truth, holes=((30.0, turn, 2.0, True),)))
    assert {name: found for name, found in off.items() if found} == {}


def test_mitred(made: list[Made]) -> None:
    off = {}
    for name, shape, truth in one_hook(made):
        line, table = truth.line, truth.line.table
        a, b = line.pose(30.0), line.pose(table.length - 25.0)
        straights = list(table.straights)
        straights[0] -= 30.0
        straights[-1] -= 25.0
        cut = solids.without(
            shape,
            solids.block_beyond(a.origin, solids.mitre_normal(a, -1.0, 30.0)),
            solids.block_beyond(b.origin, rotate(solids.mitre_normal(b, 1.0, 0.0), b.inward, 22.5)),
        )
        short = Centreline(BendTable(tuple(straights), table.bends), replace(line.start, origin=a.origin))
        off[name] = wrong_with(cut, replace(truth, line=short, ends=(("mitred", 30.0), ("mitred", 22.5))))
    assert {name: found for name, found in off.items() if found} == {}


@pytest.mark.parametrize("way", ["easy", "hard"])
@pytest.mark.parametrize("shell", [False, True])
def test_round_edges_carried_along_in_one_go(way: str, shell: bool) -> None:
    line = Centreline(BendTable((120.0, 60.0, 90.0), (Bend(50.0, 90.0), Bend(30.0, 45.0, 90.0))), cases.PLACE)
    thick = line.start.inward if way == "easy" else cross(line.start.tangent, line.start.inward)
    face = Cornered(rounded_by(3.0))(Flat(30.0, 6.0), line.start, thick)
    if shell:
        pipe = BRepOffsetAPI_MakePipeShell(solids.wire_along(line))
        pipe.Add(BRepTools.OuterWire_s(TopoDS.Face(face)))
        pipe.Build()
        pipe.MakeSolid()
        shape = pipe.Shape()
    else:
        shape = BRepOffsetAPI_MakePipe(solids.wire_along(line), face).Shape()
    assert wrong_with(solids.solid_of(shape), Truth(line, Flat(30.0, 6.0), "both")) == []


@pytest.mark.parametrize("start", [HOME, cases.PLACE, Pose((7.0, 8.0, 9.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))])
@pytest.mark.parametrize("section", [Round(12.0), Tube(12.0, 1.5)])
def test_round_bar_without_an_inside_radius(tmp_path: Path, section: Round | Tube, start: Pose) -> None:
    # The torus of its bend touches its own axis: the kernel writes it as one, or as a surface of revolution.
    line = Centreline(BendTable((120.0, 90.0), (Bend(6.0, 90.0),)), start)
    shapes = [("swept", solids.swept(line, section)), ("in runs", solids.built(line, section))]
    for solid in take_off(write_step(tmp_path / "a.step", shapes)).solids:
        assert wrong(solid.kind, solid.bars, solid.reason, Truth(line, section)) == []


@pytest.mark.parametrize("radius", [3.0, 4.0, 10.0])
@pytest.mark.parametrize("leg", [20.0, 50.0])
def test_a_short_leg_beyond_a_tight_bend_is_no_pressed_end(radius: float, leg: float) -> None:
    line = Centreline(BendTable((leg, 70.0, 60.0), (Bend(radius, 60.0), Bend(40.0, 80.0, 90.0))), cases.PLACE)
    assert wrong_with(solids.built(line, Flat(30.0, 6.0)), Truth(line, Flat(30.0, 6.0), "both")) == []


def test_a_frame_without_inside_radii() -> None:
    line = Centreline(BendTable((100.0, 150.0, 200.0, 150.0, 100.0), (Bend(6.0, 90.0),) * 4, True))
    assert wrong_with(solids.built(line, cases.BAR), Truth(line, cases.BAR)) == []


def test_the_corners_of_a_tube_are_those_that_most_have() -> None:
    line = Centreline(odd.HOOK)
    three = Cornered(*(rounded_by(4.0),) * 3, SHARP)
    (bar,) = seen(solids.built(line, cases.SHARP, profile=three)).bars
    assert bar.section == replace(cases.SHARP, corner_radius=4.0)


def arc(radius: float, first: float, last: float) -> tuple[Point, ...]:
    angles = (math.radians(first), math.radians((first + last) / 2.0), math.radians(last))
    return tuple((radius * math.cos(angle), radius * math.sin(angle)) for angle in angles)


def around(*points: Point) -> list[tuple[Point, ...]]:
    return list(zip(points, (*points[1:], points[0]), strict=True))


def regular(count: int) -> list[tuple[Point, ...]]:
    turns = (2.0 * math.pi * (k + 0.5) / count for k in range(count))
    return around(*((10.0 * math.cos(turn), 10.0 * math.sin(turn)) for turn in turns))


R, C = rounded_by, broken_by
OTHERS: dict[str, list[tuple[Point, ...]]] = {
    "half round": [arc(10.0, 0.0, 180.0), ((-10.0, 0.0), (10.0, 0.0))],
    "more than half round": [arc(10.0, -30.0, 210.0), (arc(10.0, -30.0, 210.0)[2], arc(10.0, -30.0, 210.0)[0])],
    "quarter round": [arc(20.0, 0.0, 90.0), ((0.0, 20.0), (0.0, 0.0)), ((0.0, 0.0), (20.0, 0.0))],
    "arch": outline(12.0, 12.0, (R(6.0), R(6.0), SHARP, SHARP)),
    "wide arch": outline(14.0, 12.0, (R(6.0), R(6.0), SHARP, SHARP)),
    "oval": outline(20.0, 12.0, (R(6.0),) * 4),
    "bulged edges": [
        *(((15.0, -3.0), (17.0, 0.0), (15.0, 3.0)), ((15.0, 3.0), (-15.0, 3.0))),
        *(((-15.0, 3.0), (-17.0, 0.0), (-15.0, -3.0)), ((-15.0, -3.0), (15.0, -3.0))),
    ],
    "triangle": around((0.0, 0.0), (20.0, 0.0), (0.0, 20.0)),
    "pentagon": around((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 20.0), (0.0, 20.0)),
    "wedge": around((0.0, 0.0), (30.0, 0.0), (30.0, 3.0), (0.0, 6.0)),
    "trapezium": around((0.0, 0.0), (30.0, 0.0), (25.0, 5.0), (5.0, 5.0)),
    "hexagon": regular(6),
    "octagon": regular(8),
    "one corner gone": outline(12.0, 12.0, (C(5.0), SHARP, SHARP, SHARP)),
    "one edge sharpened": outline(30.0, 6.0, (C(3.0), SHARP, SHARP, C(3.0))),
    "angle": around((0.0, 0.0), (40.0, 0.0), (40.0, 4.0), (4.0, 4.0), (4.0, 40.0), (0.0, 40.0)),
    "rebated": around((0.0, 0.0), (20.0, 0.0), (20.0, 15.0), (15.0, 15.0), (15.0, 20.0), (0.0, 20.0)),
    "grooved": around(
        *((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (18.0, 10.0)),
        *((18.0, 7.0), (12.0, 7.0), (12.0, 10.0), (0.0, 10.0)),
    ),
}
"""Sections that are none of ours, though some of them have straight sides at right angles."""


@pytest.mark.parametrize("drilled", [False, True])
@pytest.mark.parametrize("name", OTHERS)
def test_other_sections(name: str, drilled: bool) -> None:
    face = odd.face_of(HOME, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), OTHERS[name])
    shape = solids.solid_of(BRepPrimAPI_MakePrism(face, gp_Vec(300.0, 0.0, 0.0)).Shape())
    if drilled:
        shape = solids.without(shape, solids.cylinder((100.0, 2.0, -100.0), (0.0, 0.0, 1.0), 1.5, 200.0))
    assert seen(shape).kind == "other"


@pytest.mark.parametrize(("radius", "length", "angle"), [(50.0, 6.0, 60.0), (50.0, 6.0, 170.0), (10.0, 12.0, 170.0)])
def test_a_slice_of_a_disc_is_no_bend_without_an_inside_radius(radius: float, length: float, angle: float) -> None:
    axes = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
    assert seen(BRepPrimAPI_MakeCylinder(axes, radius, length, math.radians(angle)).Shape()).kind == "other"


def test_an_inside_corner_of_flat_bar_the_hard_way_is_no_bend() -> None:
    # Nobody bends 30 mm of width to nothing on its inside: two bars that meet.
    line = Centreline(BendTable((100.0, 100.0), (Bend(15.0, 90.0),)), Pose((5.0, 6.0, 7.0), (1, 0, 0), (0, 0, 1)))
    assert seen(solids.built(line, Flat(30.0, 6.0), "hard")).kind == "joined"
