"""Frames fused into one solid at random, and what looks like one and is none.

The truth beside each is the vector arithmetic that it was made with; the take-off sees the STEP file alone.
"""

from __future__ import annotations

import gc
import math
import random
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS_Shape

from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.recognise import Verdict, recognise
from bentwork.takeoff.take import take_off
from tests.takeoff_models import solids as make
from tests.takeoff_models.bent_frames import bar, bent_frame, hoops
from tests.takeoff_models.cases import JOINED
from tests.takeoff_models.files import rounded, write_step
from tests.takeoff_models.fused import AND_MORE, SECTIONS, deck, prism, random_frame, straight
from tests.takeoff_models.through_frames import Made as Model
from tests.takeoff_models.through_frames import crossed_hoops, filled, round_frame, square_frame, without
from tests.takeoff_models.truth import Truth, differences
from tests.takeoff_models.welded_on import bar_with_more
from tests.truth.test_finished_models import exported
from tests.truth.test_step_models import middle, solids, volume

SEEDS = range(40)


Made = list[tuple[str, TopoDS_Shape, tuple[Truth, ...]]]


def missed(path: Path, made: Made) -> dict[str, list[str]]:
    """What the take-off of a file tells otherwise than it was made, by the names of the solids."""
    found = {}
    for (name, _, truths), solid in zip(made, take_off(path).solids, strict=True):
        left = list(solid.bars)
        wrong = [] if len(left) == len(truths) else [f"{solid.kind}, {len(left)} bars, not {len(truths)}"]
        for truth in truths if not wrong else ():
            # How an end is told, square or joined, depends on what is seen through it.
            told = {id(bar): [one for one in differences(bar, truth) if not one.startswith("end End")] for bar in left}
            bar = min(left, key=lambda bar: len(told[id(bar)]))
            left.remove(bar)
            wrong += told[id(bar)]
        if wrong:
            found[name] = wrong
    return found


def test_frames_at_random(tmp_path: Path) -> None:
    made: Made = [(f"frame {seed}", *random_frame(random.Random(seed))) for seed in SEEDS]
    path = write_step(tmp_path / "frames.step", [(name, shape) for name, shape, _ in made])
    assert missed(path, made) == {}


def test_frames_with_a_bent_bar_at_random_also_with_three_decimals(tmp_path: Path) -> None:
    made: Made = [(f"bent frame {seed}", *bent_frame(random.Random(seed))) for seed in SEEDS]
    path = write_step(tmp_path / "frames.step", [(name, shape) for name, shape, _ in made])
    assert missed(path, made) == {}
    assert missed(rounded(path), made) == {}


def test_bars_bent_alike_above_one_another_also_with_three_decimals(tmp_path: Path) -> None:
    made: Made = [(f"hoops {seed}", *hoops(random.Random(seed))) for seed in SEEDS]
    path = write_step(tmp_path / "frames.step", [(name, shape) for name, shape, _ in made])
    assert missed(path, made) == {}
    assert missed(rounded(path), made) == {}


@pytest.mark.parametrize("frame", [round_frame, square_frame, crossed_hoops])
def test_bars_through_others_and_on_both_sides_of_them(tmp_path: Path, frame: Callable[[random.Random], Model]) -> None:
    made: Made = [(f"frame {seed}", *frame(random.Random(seed))) for seed in SEEDS]
    path = write_step(tmp_path / "frames.step", [(name, shape) for name, shape, _ in made])
    assert missed(path, made) == {}
    assert missed(rounded(path), made) == {}


def test_a_bent_bar_with_plates_and_tabs_also_with_three_decimals(tmp_path: Path) -> None:
    made: Made = [(f"bar {seed}", *bar_with_more(random.Random(seed))) for seed in SEEDS]
    path = write_step(tmp_path / "bars.step", [(name, shape) for name, shape, _ in made])
    for file in (path, rounded(path)):
        assert missed(file, made) == {}
        for solid, (_, _, (truth,)) in zip(take_off(file).solids, made, strict=True):
            assert (solid.reason or "").startswith("one bar, and something else in its solid")
            assert sorted(end.cut for end in solid.bars[0].ends) == sorted(cut for cut, _ in truth.ends)


def test_a_left_and_a_right_one_with_a_tab_are_a_pair_in_the_job(tmp_path: Path) -> None:
    table = BendTable((150.0, 120.0, 150.0), (Bend(50.0, 70.0), Bend(50.0, 40.0, 90.0)))
    bent = Centreline(table, Pose((0.0, 100.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    left = make.fused([make.swept(bent, Round(16.0)), box(40.0, 106.0, -20.0, 50.0, 5.0, 40.0)])
    path = write_step(tmp_path / "pair.step", [("left", left), ("right", make.mirrored(left))])
    one, two = take_off(path).solids
    assert [one.kind, two.kind, two.mirror_of] == ["joined", "joined", 1]
    job = tomllib.loads(job_of(take_off(path)))
    assert [(name, piece["mirror"]) for name, piece in job["piece"].items()] == [("left", True)]


@pytest.mark.parametrize(
    ("rail", "rung"), [((25.0, 2.0), (25.0, 2.0)), ((33.7, 2.6), (33.7, 2.6)), ((25.0, 2.0), (24.9, 2.0))]
)
def test_a_tube_on_one_as_thick_standing_askew(
    tmp_path: Path, rail: tuple[float, float], rung: tuple[float, float]
) -> None:
    """It ends where the farthest of its metal does: at its flanks, the root of R2 - r2 before the rail's middle."""
    one, other = straight((-250.0, 0.0, 0.0), (1.0, 0.0, 0.0), 600.0), straight((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 300.0)
    bores = [filled(line, Round(size[0] - 2.0 * size[1])) for line, size in ((one, rail), (other, rung))]
    whole = make.fused([filled(one, Tube(*rail)), filled(other, Tube(*rung))])
    tee = make.without(whole, bores[0], without(bores[1], filled(one, Tube(*rail))))
    sunk = math.sqrt(rail[0] ** 2 - rung[0] ** 2) / 2.0
    there = straight((0.0, sunk, 0.0), (0.0, 1.0, 0.0), 300.0 - sunk)
    made: Made = []
    for number in range(6):
        trsf = make.some_place(number)
        truths = [Truth(moved(line, trsf), Tube(*size)) for line, size in ((one, rail), (there, rung))]
        made.append((f"tee {number}", make.placed(tee, trsf), tuple(truths)))
    path = write_step(tmp_path / "tees.step", [(name, shape) for name, shape, _ in made])
    assert missed(path, made) == {}


def moved(line: Centreline, trsf: gp_Trsf) -> Centreline:
    """A centreline that was moved with its solid."""
    start = line.start
    ways = [gp_Vec(*way).Transformed(trsf).Coord() for way in (start.tangent, start.axis)]
    return Centreline(line.table, Pose(gp_Pnt(*start.origin).Transformed(trsf).Coord(), ways[0], ways[1]))


def test_two_tubes_side_by_side_in_a_frame_are_not_one_wide_one() -> None:
    tube = SquareTube(30.0, 30.0, 3.0, 0.0)
    rails = [straight((0.0, y, 0.0), (1.0, 0.0, 0.0), 600.0) for y in (0.0, 30.0, 400.0)]
    posts = [straight((x, 45.0, 0.0), (0.0, 1.0, 0.0), 340.0) for x in (15.0, 585.0)]
    verdict = seen(make.fused([bar(line, tube) for line in (*rails, *posts)]))
    assert not any(one.section == SquareTube(60.0, 30.0, 3.0, 0.0) for one in verdict.bars)
    assert verdict.kind == "other"
    assert "Two that lie along one another are not told apart" in (verdict.reason or "")


def test_hoops_that_only_a_plate_holds_together() -> None:
    hoop = BendTable((120.0, 200.0, 120.0), (Bend(50.0, 90.0), Bend(50.0, 90.0)))
    lines = [Centreline(hoop, Pose((0.0, y, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))) for y in (40.0, 160.0)]
    plate = box(-20.0, 0.0, -2.0, 340.0, 200.0, 2.0)
    verdict = seen(make.fused([plate, *(make.swept(line, Round(16.0)) for line in lines)]))
    assert verdict.kind == "joined", verdict.reason
    bars = sorted(verdict.bars, key=lambda bar: bar.line.start.origin[1])
    for found, line in zip(bars, lines, strict=True):
        assert differences(found, Truth(line, Round(16.0), ends=JOINED)) == []
    assert "something else in it" in (verdict.reason or "")


@pytest.mark.parametrize("count", [1, 2, 4])
def test_straight_posts_on_a_plate_are_no_frame(count: int) -> None:
    """Nor are a bolt, a hinge, a part with spigots."""
    posts = [make.cylinder((40.0 * k, 0.0, 0.0), (0.0, 0.0, 1.0), 8.0, 400.0) for k in range(count)]
    verdict = seen(make.fused([box(-20.0, -30.0, -5.0, 40.0 * count, 60.0, 5.0), *posts]))
    assert (verdict.kind, verdict.bars) == ("other", ())


RUNGS: tuple[tuple[Section, Section], ...] = (
    *((Round(14.0), Round(8.0)), (Square(14.0, 14.0), Square(8.0, 8.0)), (Square(14.0, 14.0), Round(8.0))),
    *((Tube(25.0, 2.0), Tube(12.0, 1.5)), (SquareTube(25.0, 25.0, 2.0, 3.0), SquareTube(12.0, 12.0, 1.0, 2.0))),
)


@pytest.mark.parametrize(("rail", "rung"), RUNGS)
def test_in_one_line_is_one_bar_through_what_is_solid_or_drilled_and_two_bars_on_what_is_hollow(
    rail: Section, rung: Section
) -> None:
    along, across = (
        straight((-150.0, 0.0, 0.0), (1.0, 0.0, 0.0), 300.0),
        straight((0.0, -150.0, 0.0), (0.0, 1.0, 0.0), 300.0),
    )
    through = (
        make.without(bar(along, rail), filled(across, rung))
        if isinstance(rail, Tube | SquareTube)
        else bar(along, rail)
    )
    verdict = seen(make.fused([through, bar(across, rung)]))
    assert sorted(one.length for one in verdict.bars) == pytest.approx([300.0, 300.0], abs=1e-6)
    assert {one.section for one in verdict.bars} == {rail, rung}
    assert not any(one.holes for one in verdict.bars)
    pieces = without(bar(across, rung), filled(along, rail))
    verdict = seen(make.fused([bar(along, rail), pieces]))
    assert len(verdict.bars) == (3 if isinstance(rail, Tube | SquareTube) else 2)
    assert not any(one.holes for one in verdict.bars)


def test_a_frame_of_tube_is_no_solid_bar_that_weighs_as_much() -> None:
    # By chance all of it has the volume of its bent bar to within what ends and holes may take away, were that solid,
    # and its other bars go from leg to leg: the rims of their sides are all on it.
    shape, truths = round_frame(random.Random(108))
    assert truths[0].section == Tube(14.0, 2.0)
    verdict = seen(shape)
    assert verdict.kind == "joined"
    assert len(verdict.bars) == len(truths) == 3


BENT = BendTable((100.0, 80.0, 100.0), (Bend(20.0, 90.0, 0.0), Bend(20.0, 90.0, 0.0)))


def hoop(section: Flat | SquareTube, height: float) -> Truth:
    """Bent flat on the table, or so much above it."""
    line = Centreline(BENT, Pose((0.0, 0.0, height), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    return Truth(line, section, "easy" if section.width != section.height else None)


def test_hoops_of_unlike_sections_above_one_another(tmp_path: Path) -> None:
    hoops_of = (hoop(Flat(20.0, 4.0), 0.0), hoop(SquareTube(25.0, 25.0, 2.0, 3.0), 120.0))
    posts = [
        Truth(Centreline(BendTable((97.5,)), Pose((50.0, y, 10.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))), Flat(10.0, 2.5))
        for y in (0.0, 120.0)
    ]
    shape = make.fused([bar(one.line, one.section) for one in (*hoops_of, *posts)])
    made: Made = [("hoops", shape, (*hoops_of, *posts))]
    assert missed(write_step(tmp_path / "hoops.step", [("hoops", shape)]), made) == {}


@pytest.mark.parametrize("count", [2, 3, 4])
def test_a_flat_whose_faces_are_in_strips_is_one_bar(count: int) -> None:
    wide = 40.0 / count
    strips = [hoop(Flat(wide, 4.0), (k + 0.5) * wide) for k in range(count)]
    verdict = seen(make.fused([bar(one.line, one.section) for one in strips]))
    assert verdict.kind == "piece"
    assert verdict.bars[0].section == Flat(40.0, 4.0)


def test_bent_bars_turned_anyhow_with_three_decimals(tmp_path: Path) -> None:
    rails = [bent_frame(random.Random(1000 + seed))[1][0] for seed in SEEDS]
    made: Made = [(f"bar {k}", bar(one.line, one.section, one.way or "easy"), (one,)) for k, one in enumerate(rails)]
    path = rounded(write_step(tmp_path / "bars.step", [(name, shape) for name, shape, _ in made]))
    assert missed(path, made) == {}
    assert {solid.kind for solid in take_off(path).solids} == {"piece"}


def strap(legs: float) -> TopoDS_Shape:
    """A flat bent round three sides of a square tube with rounded corners, close on these."""
    tube = Centreline(BendTable((400.0,)), Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    table = BendTable((legs, 19.0, legs), (Bend(4.0, 90.0, 0.0), Bend(4.0, 90.0, 0.0)))
    round_it = Centreline(table, Pose((200.0, -13.5, 9.5 - legs), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)))
    return make.fused([bar(tube, SquareTube(25.0, 25.0, 2.0, 3.0)), bar(round_it, Flat(20.0, 2.0))])


@pytest.mark.parametrize("legs", [49.5, 100.0])
def test_a_strap_close_round_a_bar_is_not_left_out_without_a_word(legs: float) -> None:
    verdict = seen(make.unified(strap(legs)))
    assert verdict.kind == "other" or AND_MORE in (verdict.reason or "")


def test_equal_bars_of_a_frame_are_counted_and_stand_where_they_stood(tmp_path: Path) -> None:
    shape, truths = deck(SECTIONS["bar"], 8, "on top", seams=True)
    found = take_off(write_step(tmp_path / "deck.step", [("deck", shape)]))
    text = job_of(found)
    assert sorted(len(one["at"]) for one in tomllib.loads(text)["piece"].values()) == [2, 2, 8]
    assert exported(tmp_path, work(parse_job(text.encode(), "again.toml"))) == []
    bars = solids(tmp_path / "frame.step")
    assert len(bars) == len(truths)
    assert sum(volume(bar) for bar in bars) == pytest.approx(volume(shape), rel=1e-6)
    places = sorted(middle(bar) for bar in bars)
    wanted = sorted(one.line.pose(one.line.table.length / 2.0).origin for one in truths)
    assert np.array(places) == pytest.approx(np.array(wanted), abs=1e-4)


def box(*sizes: float) -> TopoDS_Shape:
    x, y, z, dx, dy, dz = sizes
    return BRepPrimAPI_MakeBox(gp_Pnt(x, y, z), dx, dy, dz).Shape()


def seen(shape: TopoDS_Shape) -> Verdict:
    return recognise(shape_of(shape))


def perforated() -> TopoDS_Shape:
    windows = [box(10.0 + 60.0 * i, 10.0 + 60.0 * k, -1.0, 50.0, 50.0, 8.0) for i in range(5) for k in range(4)]
    return make.without(box(0.0, 0.0, 0.0, 310.0, 250.0, 6.0), *windows)


PLATES = {
    "one window": lambda: make.without(box(0, 0, 0, 200, 150, 6), box(20, 20, -1, 160, 110, 8)),
    "two windows": lambda: make.without(
        box(0, 0, 0, 400, 150, 6), box(20, 20, -1, 160, 110, 8), box(220, 20, -1, 160, 110, 8)
    ),
    "twenty windows": perforated,
}


@pytest.mark.parametrize("name", PLATES)
def test_a_plate_with_windows_is_no_frame(name: str) -> None:
    verdict = seen(PLATES[name]())
    assert (verdict.kind, verdict.bars) == ("other", ())
    assert (verdict.reason or "").startswith("a plate cut to shape, 6 mm thick")


TEE: tuple[tuple[float, float], ...] = (
    (-20, 0), (20, 0), (20, 5), (2.5, 5), (2.5, 40), (-2.5, 40), (-2.5, 5), (-20, 5),
)  # fmt: skip
AITCH: tuple[tuple[float, float], ...] = (
    (-20, 0), (20, 0), (20, 4), (2, 4), (2, 36), (20, 36), (20, 40), (-20, 40), (-20, 36), (-2, 36), (-2, 4), (-20, 4),
)  # fmt: skip
ANGLE: tuple[tuple[float, float], ...] = ((0, 0), (40, 0), (40, 5), (5, 5), (5, 40), (0, 40))
CHANNEL: tuple[tuple[float, float], ...] = (
    (0, 0), (50, 0), (50, 25), (45, 25), (45, 5), (5, 5), (5, 25), (0, 25),
)  # fmt: skip


@pytest.mark.parametrize("outline", [TEE, AITCH, ANGLE, CHANNEL])
def test_flats_across_bars_of_another_section(outline: tuple[tuple[float, float], ...]) -> None:
    def upright(x: float) -> TopoDS_Shape:
        points: list[Vec] = [(a + x, b, 0.0) for a, b in outline]
        return prism(points, (0.0, 0.0, 400.0))

    across = [box(-40.0, -5.0, z, 390.0, 5.0, 30.0) for z in (100.0, 300.0)]
    assert seen(make.fused([upright(0.0), upright(300.0), *across])).kind == "other"
    alone = seen(upright(0.0))
    assert alone.kind == "other"
    assert "of another section" in (alone.reason or "")


def test_bolts_on_a_plate_are_no_bars() -> None:
    plate = box(0.0, 0.0, 0.0, 80.0, 40.0, 6.0)
    bolts = [make.cylinder((x, 20.0, 6.0), (0.0, 0.0, 1.0), 8.0, 300.0) for x in (20.0, 60.0)]
    verdict = seen(make.fused([plate, *bolts]))
    assert (verdict.kind, verdict.bars) == ("other", ())


def test_more_bars_in_one_solid_than_can_be_told_are_said_to_be_too_many() -> None:
    count = 205
    pins = [box(20.0 * k, 0.0, 0.0, 8.0, 8.0, 40.0) for k in range(count)]
    verdict = seen(make.fused([box(0.0, 0.0, 0.0, 20.0 * count, 8.0, 8.0), *pins]))
    assert (verdict.kind, verdict.bars) == ("other", ())
    assert "more than 200 bars in one solid" in (verdict.reason or "")


@pytest.mark.parametrize(
    "model", [random_frame, bent_frame, hoops, round_frame, square_frame, crossed_hoops, bar_with_more]
)
def test_nothing_is_left_that_holds_itself(model: Callable[[random.Random], tuple[TopoDS_Shape, object]]) -> None:
    """The reader looks for no such rings: of a file with many frames they would fill its memory."""
    shape = shape_of(model(random.Random(2))[0])
    recognise(shape)
    gc.collect()
    gc.disable()
    try:
        recognise(shape)
        assert gc.collect() == 0
    finally:
        gc.enable()
