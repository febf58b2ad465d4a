"""Ends that are made by themselves, ``end_a`` and ``end_b``: into STEP, out of it by the kernel and by the take-off.

Independent truth: area times length (a cut through the middle of its end, and a tube pressed flat without stretching
its wall, leave the metal as it was), the kernel's own volume and box, places worked out here by vectors.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from bentwork.files.job_file import parse_job
from bentwork.jobs.buying import buying
from bentwork.jobs.parts_papers import parts_subject
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import Result, work
from bentwork.space import Vec, along, cross, dot, rotate, scale
from bentwork.takeoff.alike import reversed_bar
from bentwork.takeoff.bar import Bar
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.take import take_off
from tests.truth.test_finished_models import apart, exported, frame, of_job, only, overlap, pin
from tests.truth.test_step_models import box, solids, volume

EPS = 1e-7
AREA = math.pi * (12.5**2 - 10.5**2)
WIDE = math.pi * 21.0 / 2.0 + 4.0
"""The bore of 21 laid flat, and a wall at either fold."""

SECTIONS = {
    "tube": ('section = "tube"\ndiameter = 25\nwall = 2', AREA),
    "round": ('section = "round"\ndiameter = 12', math.pi * 36.0),
    "square": ('section = "square"\nwidth = 20\nheight = 20', 400.0),
    "flat": ('section = "flat"\nwidth = 30\nheight = 4', 120.0),
}

JOB = """\
format = 1
name = "Rowing-boat"

[stock.bar]
{section}
material = "S235"
bar_length = 6000

[bender.lever]
kind = "wrap"
radius = 60

[piece.hoop]
stock = "bar"
bender = "lever"
points = {points}
{more}
"""
HOOP = "[[0, 0, 0], [0, 0, 300], [400, 0, 300], [400, 200, 300]]"
LENGTH = 240.0 + 280.0 + 140.0 + 60.0 * math.pi
"""Of the hoop: two right angles of radius 60 between 300, 400 and 200."""
STRAIGHT = "[[0, 0, 0], [300, 0, 0]]"


def job(more: str, points: str = HOOP, section: str = "tube") -> str:
    text = JOB.format(section=SECTIONS[section][0], points=points, more=more)
    return text if points == HOOP else text.replace('bender = "lever"\npoints', "points")


def worked(text: str) -> Result:
    return work(parse_job(text.encode(), "boat.toml"))


def taken(path: Path) -> Bar:
    (solid,) = take_off(path).solids
    assert solid.kind == "piece", solid.reason
    return solid.bars[0]


def looks(bar: Bar, side: int) -> Vec:
    """Where the long point of an end lies, or its flat looks, as a vector in space."""
    end, line = bar.ends[side], bar.line
    assert end.round is not None
    tangent = line.end.tangent if side else line.start.tangent
    inside = line.start.inward
    for run in line.runs if side else ():
        if run.bend:
            inside = rotate(inside, run.start.axis, run.angle)
    return rotate(inside, tangent, end.round)


def ends_at(bar: Bar, place: Vec) -> int:
    """Which end of a bar is at a place: either may have been taken for A."""
    return int(math.dist(bar.line.end.origin, place) < math.dist(bar.line.start.origin, place))


# ------------------------------------------------------------------------------------------------------------- sawn


@pytest.mark.parametrize("section", list(SECTIONS))
def test_a_slanting_end_has_its_longest_point_where_the_job_says(tmp_path: Path, section: str) -> None:
    """End A looks down, the hoop goes up and bends to +x: 90 degrees round by the right hand, thumb up, is +y."""
    assert of_job(tmp_path, job("trim = 10\nend_a = { cut = 30, round = 90 }", section=section)) == []
    shape = only(tmp_path / "hoop.step")
    assert volume(shape) == pytest.approx(SECTIONS[section][1] * LENGTH, rel=EPS)
    half = {"tube": 12.5, "round": 6.0, "square": 10.0, "flat": 15.0}[section]
    assert box(shape)[2] == pytest.approx(-half * math.tan(math.radians(30.0)), abs=1e-6)
    # At y = +half it goes down to there, at y = -half it ends as far above the drawn end.
    for y, metal in ((half - 2.5, True), (2.5 - half, False)):
        low = -y * math.tan(math.radians(30.0))
        there = overlap(shape, pin(0.0, y, low + (5.5 if metal else -5.5)))
        assert (there > 1.0) is metal
    read = taken(tmp_path / "hoop.step")
    side = ends_at(read, (0.0, 0.0, 0.0))
    assert read.length == pytest.approx(LENGTH, abs=1e-6)
    assert (read.ends[side].cut, read.ends[1 - side].cut) == ("mitred", "square")
    assert read.ends[side].angle == pytest.approx(30.0, abs=1e-6)
    assert looks(read, side) == pytest.approx((0.0, 1.0, 0.0), abs=1e-8)


def test_at_end_b_the_line_has_gone_round_the_bends(tmp_path: Path) -> None:
    """The line inside the first bend looks to +x at A, to -z on the level, and lies below at B, where it runs to +y."""
    assert of_job(tmp_path, job("trim = 20\nend_b = { cut = 45, round = 90 }")) == []
    read = taken(tmp_path / "hoop.step")
    side = ends_at(read, (400.0, 200.0, 300.0))
    assert read.ends[side].angle == pytest.approx(45.0, abs=1e-6)
    # 90 degrees round from -z, thumb along +y: -z turns to -x.
    assert looks(read, side) == pytest.approx(cross((0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), abs=1e-8)
    assert box(only(tmp_path / "hoop.step"))[4] == pytest.approx(212.5, abs=1e-6)


def test_the_opposite_hand_is_cut_the_other_way_round(tmp_path: Path) -> None:
    more = 'trim = 10\nend_a = { cut = 30, round = 90 }\nmirror = true\nmirror_in = { axis = "y", at = 50 }'
    assert of_job(tmp_path, job(more)) == []
    left, right = take_off(tmp_path / "frame.step").solids
    assert right.mirror_of == left.index
    (bar,) = right.bars
    assert looks(bar, ends_at(bar, (0.0, 100.0, 0.0))) == pytest.approx((0.0, -1.0, 0.0), abs=1e-8)


def test_a_straight_bar_is_sawn_from_longest_point_to_longest_point(tmp_path: Path) -> None:
    """By points its line 0 is its underside."""
    text = job("end_a = { cut = 45 }\nend_b = { cut = 20, round = 180 }", STRAIGHT)
    assert of_job(tmp_path, text) == []
    shape = only(tmp_path / "hoop.step")
    longest = 300.0 + 12.5 + 12.5 * math.tan(math.radians(20.0))
    assert box(shape)[3] - box(shape)[0] == pytest.approx(longest, abs=1e-6)
    assert volume(shape) == pytest.approx(AREA * 300.0, rel=EPS)
    result = worked(text)
    (plan,) = result.pieces
    assert plan.cut_length == pytest.approx(longest, abs=1e-9)
    assert plan.mass == pytest.approx(AREA * 300.0 * 7850e-9, rel=1e-3)  # steel, EN 1991-1-1: 7850 kg/m3
    assert [one.length for one in buying(result).sawn[0].wanted.lengths] == pytest.approx([longest], abs=1e-9)
    (told,) = parts_subject(result, "").texts
    assert told.facts.endswith("cut 317 mm")
    assert told.lines == (
        "End A: sawn 45° off square, its longest point 12.5 mm beyond the middle of the cut and on its underside.",
        "End B: sawn 20° off square, its longest point 4.5 mm beyond the middle of the cut and opposite its underside.",
    )


RAILED = """
[piece.rail]
stock = "bar"
points = [[0, -100, -12.5], [0, 100, -12.5]]
"""


def test_an_end_that_is_made_by_itself_is_not_cut_to_what_it_meets(tmp_path: Path) -> None:
    """The upright stands on a rail: without end_a it is butted square on it."""
    upright = "[[0, 0, 0], [0, 0, 300]]"
    for more, cut in (("", "square"), ("end_a = { cut = 30, round = 0 }", "mitred")):
        text = job(more, upright) + RAILED
        folder = tmp_path / cut
        folder.mkdir()
        assert of_job(folder, text) == []
        found = {one.name: one.bars[0] for one in take_off(folder / "frame.step").solids}
        assert sorted(end.cut for end in found["hoop"].ends) == sorted([cut, "square"])
        assert bool(small_parts(worked(text)).ended) == (cut == "square")


def test_one_end_by_itself_and_one_on_a_bar(tmp_path: Path) -> None:
    """Drawn to the middle of the rail its foot is coped; what is sawn reaches from the cope to the long point."""
    text = job("end_b = { cut = 30 }", "[[0, 0, -12.5], [0, 0, 300]]") + RAILED
    assert of_job(tmp_path, text) == []
    found = frame(tmp_path)
    # Tubes of one size: where they cross the longest points of the cope lie beside the rail, level with its middle.
    assert apart(found["hoop"], found["rail"]) < 1e-6
    (group,) = small_parts(worked(text)).crossbars
    assert group.first.cut_length == pytest.approx(312.5 + 12.5 * math.tan(math.radians(30.0)), abs=1e-5)
    lengths = [one.length for one in buying(worked(text)).sawn[0].wanted.lengths]
    assert lengths[0] == pytest.approx(group.first.cut_length, abs=1e-9)


# ----------------------------------------------------------------------------------------------------- pressed flat


def test_a_tube_is_pressed_flat_for_as_long_as_the_job_says(tmp_path: Path) -> None:
    """At B the line of the first bend is below: the flat looks to -z, and lies level."""
    assert of_job(tmp_path, job("end_b = { flattened = 40, hole = 6.5 }")) == []
    shape = only(tmp_path / "hoop.step")
    assert volume(shape) == pytest.approx(AREA * LENGTH - 4.0 * math.pi * 3.25**2, rel=EPS)
    read = taken(tmp_path / "hoop.step")
    side = ends_at(read, (400.0, 200.0, 300.0))
    end = read.ends[side]
    assert end.cut == "flattened"
    assert end.flat == pytest.approx(40.0, abs=1e-6)
    assert abs(dot(looks(read, side), (0.0, 0.0, 1.0))) == pytest.approx(1.0, abs=1e-9)
    (hole,) = read.holes
    # Twice the hole from the end (common practice), as of a stay.
    assert (read.length - hole.at if side else hole.at) == pytest.approx(13.0, abs=1e-6)
    assert read.length == pytest.approx(LENGTH, abs=1e-6)
    # The tip is as wide as the bore laid flat and two walls, and two walls thick.
    for x, metal in ((400.0 + WIDE / 2.0 - 2.5, True), (400.0 + WIDE / 2.0 + 2.1, False)):
        assert (overlap(shape, pin(x, 195.0, 300.0)) > 1.0) is metal


def test_two_flats_may_lie_across_one_another(tmp_path: Path) -> None:
    more = "end_a = { flattened = 30 }\nend_b = { flattened = 25, round = 90, hole = 5, end = 12 }"
    assert of_job(tmp_path, job(more, STRAIGHT)) == []
    shape = only(tmp_path / "hoop.step")
    assert volume(shape) == pytest.approx(AREA * 300.0 - 4.0 * math.pi * 2.5**2, rel=EPS)
    read = taken(tmp_path / "hoop.step")
    one, other = (looks(read, side) for side in (0, 1))
    assert dot(one, other) == pytest.approx(0.0, abs=1e-9)


# ------------------------------------------------------------------------------------------------------ there and back

PIECES = {
    "both ends of a bent tube": (
        "tube",
        HOOP,
        "trim = 10\nend_a = { cut = 30, round = 77 }\nend_b = { flattened = 40, round = 20, hole = 6.5 }",
    ),
    "two cuts": ("tube", STRAIGHT, "end_a = { cut = 45, round = 10 }\nend_b = { cut = 20, round = -125.5 }"),
    "a square bar across its corner": ("square", HOOP, "trim = 9\nend_a = { cut = 25, round = 33 }"),
    "flat bent the hard way": ("flat", HOOP, 'way = "hard"\ntrim = 20\nend_b = { cut = 40, round = 90 }'),
    "a straight flat": (
        "flat",
        STRAIGHT,
        "end_a = { cut = 30, round = 90 }\nend_b = { cut = 12 }\n"
        "holes = [{ along = 40, across = 5, diameter = 6 }, { along = 90, diameter = 5, slot = 14 }]",
    ),
    "two flats": (
        "tube",
        STRAIGHT,
        "end_a = { flattened = 30 }\nend_b = { flattened = 25, round = 90, hole = 5, end = 12 }",
    ),
    "a pair": (
        "round",
        HOOP,
        'trim = 10\nend_a = { cut = 30, round = 77 }\nmirror = true\nmirror_in = { axis = "y", at = 2450 }',
    ),
    "three, shifted": (
        "round",
        STRAIGHT,
        "end_a = { cut = 30, round = 77 }\nat = [[0, 0, 0], [0, 60, 0], [0, 120, 5]]",
    ),
}


def the_frame() -> str:
    """All those pieces in one job, 300 mm apart."""
    text = 'format = 1\nname = "Rowing-boat"\n\n[bender.lever]\nkind = "wrap"\nradius = 60\n'
    for name, (section, _) in SECTIONS.items():
        text += f'\n[stock.{name}]\n{section}\nmaterial = "S235"\n'
    for number, (name, (stock, points, more)) in enumerate(PIECES.items()):
        rows = [[x, y + 300.0 * number, z] for x, y, z in json.loads(points)]
        text += f'\n[piece."{name.replace(",", "")}"]\nstock = "{stock}"\nbender = "lever"\npoints = {rows}\n{more}\n'
    return text


def test_a_job_taken_off_its_model_has_its_ends_again(tmp_path: Path) -> None:
    """Job to STEP to job to STEP: the same bend tables, places, ends, holes and metal, to a millionth."""
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
    assert of_job(first, the_frame()) == []
    before = take_off(first / "frame.step")
    again = work(parse_job(job_of(before).encode(), "again.toml"))
    assert {one.code for one in small_parts(again).findings} == set()
    assert exported(second, again) == []
    after = take_off(second / "frame.step")
    assert len(after.solids) == len(before.solids) == len(PIECES) + 3
    assert sum(len(one.bars[0].holes) for one in before.solids) == 4
    for one, other in zip(before.solids, after.solids, strict=True):
        _same_bar(one.bars[0], other.bars[0])
    shapes = [[volume(shape) for shape in solids(folder / "frame.step")] for folder in (first, second)]
    assert sorted(shapes[1]) == pytest.approx(sorted(shapes[0]), rel=1e-7)


def _same_bar(a: Bar, b: Bar) -> None:
    if math.dist(b.line.start.origin, a.line.start.origin) > 1.0:
        b = reversed_bar(b)  # a straight bar may be read from either end
    assert b.line.table.straights == pytest.approx(a.line.table.straights, abs=1e-6)
    for x, y in zip(a.line.table.bends, b.line.table.bends, strict=True):
        assert (y.radius, y.angle, y.rotation) == pytest.approx((x.radius, x.angle, x.rotation), abs=1e-6)
    assert b.line.start.origin == pytest.approx(a.line.start.origin, abs=1e-6)
    for side, (one, other) in enumerate(zip(a.ends, b.ends, strict=True)):
        assert other.cut == one.cut
        assert (other.angle, other.beyond) == pytest.approx((one.angle, one.beyond), abs=1e-6)
        assert other.flat == pytest.approx(one.flat, abs=1e-6)
        if one.round is not None:
            here, there = looks(a, side), looks(b, side)
            sign = 1.0 if one.cut == "mitred" else math.copysign(1.0, dot(here, there))
            assert scale(there, sign) == pytest.approx(here, abs=1e-7)
    for hole, again in zip(a.holes, b.holes, strict=True):
        assert (again.at, again.diameter, again.slot) == pytest.approx((hole.at, hole.diameter, hole.slot), abs=1e-6)
        assert abs(again.off_middle) == pytest.approx(abs(hole.off_middle), abs=1e-6)


def test_a_mitre_that_lies_on_a_bar_is_left_to_the_bar(tmp_path: Path) -> None:
    """The hoop's foot stands slanting on a level face; its other end is cut at a slant in the air."""
    rails = '\n[stock.rail]\nsection = "square"\nwidth = 20\nheight = 20\nmaterial = "S235"\n'
    rails += '\n[piece.rail]\nstock = "rail"\npoints = [[0, -100, -10], [0, 100, -10]]\n'
    slanted = "[[0, 0, 0], [100, 0, 300], [400, 0, 300], [500, 0, 0]]"
    text = job("trim = 10\nend_b = { cut = 30 }", HOOP).replace(HOOP, slanted) + rails
    assert of_job(tmp_path, text) == []
    back = job_of(take_off(tmp_path / "frame.step"))
    assert back.count("cut = ") == 1
    assert "cut = 30" in back


# -------------------------------------------------------------------------------------------------- what is wrong


def codes(text: str) -> dict[str, str]:
    return {one.code: one.level for one in small_parts(worked(text)).findings}


def test_a_bent_bar_wants_the_long_point_in_its_trim() -> None:
    beyond = 12.5 * math.tan(math.radians(30.0))
    found = small_parts(worked(job("trim = 3\nend_a = { cut = 30 }"))).findings
    (told,) = [one for one in found if one.code == "end-needs-trim"]
    assert (told.level, told.piece) == ("watch", "hoop")
    assert told.lengths == pytest.approx({"short": beyond, "trim": 3.0}, abs=1e-9)
    assert "end-needs-trim" not in codes(job("trim = 7.3\nend_a = { cut = 30 }"))
    # The bar is sawn so much longer, and the marks move by the trim: those of a bent bar are its plan's.
    (plan,) = worked(job("trim = 7.3\nend_a = { cut = 30 }")).pieces
    assert plan.cut_length == pytest.approx(LENGTH + 2 * 7.3, abs=1e-9)
    assert plan.marks[0].start == pytest.approx(240.0 + 7.3, abs=1e-9)


def test_a_cut_that_reaches_into_the_bend_is_told_and_left_square(tmp_path: Path) -> None:
    """The leg is 65 high, of which the bend takes 60; the cut reaches 12.5 tan 30 back."""
    low = HOOP.replace("[0, 0, 0]", "[0, 0, 235]")
    text = job("trim = 10\nend_a = { cut = 30 }").replace(HOOP, low)
    assert of_job(tmp_path, text) == ["hoop: in STEP end A is square: its cut would reach into bend 1"]
    (told,) = [one for one in small_parts(worked(text)).findings if one.code == "cut-reaches-bend"]
    assert (told.level, told.bend) == ("watch", 1)
    wanted = {"back": 12.5 * math.tan(math.radians(30.0)), "room": 5.0}
    assert told.lengths == pytest.approx(wanted, abs=1e-9)


def test_two_cuts_that_cross_are_a_stop() -> None:
    assert codes(job("end_a = { cut = 60 }\nend_b = { cut = 60 }", "[[0, 0, 0], [40, 0, 0]]")) == {
        "cut-reaches-bend": "stop"
    }


def test_a_flat_longer_than_its_straight_is_told_and_left_round(tmp_path: Path) -> None:
    """A straight of 140 at B: 120 and the 25 that it takes to be round again do not go into it, 150 not at all."""
    for flat, level in ((120, "watch"), (150, "stop")):
        text = job(f"end_b = {{ flattened = {flat}, hole = 6.5 }}")
        assert codes(text) == {"flat-reaches-bend": level}
    assert of_job(tmp_path, text) == [
        "hoop: in STEP end B is drawn round and without its hole: the flat and what it takes to be round again would "
        "reach into bend 2"
    ]
    assert volume(only(tmp_path / "hoop.step")) == pytest.approx(AREA * LENGTH, rel=EPS)


def test_a_hole_too_wide_for_its_flat_is_told() -> None:
    """The flat is 37 wide: a hole of 32 leaves 18.5 from its middle, and 1.2 times the hole is wanted."""
    assert codes(job("end_b = { flattened = 90, hole = 32, end = 40 }")) == {"hole-close-to-edge": "watch"}


def test_along_is_what_the_words_say() -> None:
    """The skin of 25 from the line to 90 degrees round: a quarter of its way round."""
    (told,) = parts_subject(worked(job("trim = 10\nend_a = { cut = 30, round = -90 }")), "").texts
    assert told.facts.endswith("make its ends after bending")
    assert told.lines == (
        "End A: sawn 30° off square, its longest point 7.2 mm beyond the middle of the cut and 90° "
        "(19.6 mm on the skin) anticlockwise from the line along the inside of the first bend, as you look from A to "
        "B.",
    )
    assert along((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), math.pi * 25.0 / 4.0)[0] == pytest.approx(19.6, abs=0.05)
