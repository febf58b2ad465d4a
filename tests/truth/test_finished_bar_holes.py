"""Holes drilled into bars: from the job into STEP, read back by the kernel and the take-off, and into a job again.

Independent truth: what two round bars have in common that cross square, by numerical integration (scipy), as in
``test_finished_bent_ends``; places along and round the bar worked out here by vectors.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.parts_papers import parts_subject
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import work
from bentwork.space import Vec, cross, dot, rotate
from bentwork.takeoff.bar import Bar, Hole
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.take import take_off
from tests.truth.test_finished_bent_ends import common
from tests.truth.test_finished_models import exported, of_job, only
from tests.truth.test_finished_own_ends import AREA, HOOP, LENGTH, SECTIONS, STRAIGHT, job, taken, worked
from tests.truth.test_step_models import volume

ARC = 30.0 * math.pi


def drilled_from(bar: Bar, hole: Hole) -> tuple[Vec, Vec]:
    """Where a hole meets the middle line, and the way that it is drilled in from, as vectors in space."""
    line, inside = bar.line, bar.line.start.inward
    for run in line.runs:
        if run.bend and run.station < hole.at:
            inside = rotate(inside, run.start.axis, math.degrees(min(run.length, hole.at - run.station) / run.radius))
    pose = line.pose(hole.at)
    return pose.origin, rotate(inside, pose.tangent, hole.round)


def through(radius: float, drill: float) -> float:
    """What a drill right through a round bar of this radius takes."""
    return 2.0 * common(drill / 2.0, radius)


HOLES = """trim = 10
holes = [
    { along = 100, diameter = "M6", round = 90 },
    { side = 2, along = 200, diameter = 8, walls = "one", round = 30 },
    { side = 3, along = 150, diameter = 5, round = -90 },
]"""


def test_holes_are_where_the_job_has_them(tmp_path: Path) -> None:
    """The line inside the first bend looks to +x on the upright, to -z on the level, and is below on the last leg."""
    assert of_job(tmp_path, job(HOLES)) == []
    both = [through(12.5, size) - through(10.5, size) for size in (6.6, 5.0)]
    one = (through(12.5, 8.0) - through(10.5, 8.0)) / 2.0
    assert volume(only(tmp_path / "hoop.step")) == pytest.approx(AREA * LENGTH - sum(both) - one, rel=1e-7)
    bar = taken(tmp_path / "hoop.step")
    found = {hole.diameter: (hole, *drilled_from(bar, hole)) for hole in bar.holes}
    wide, single, thin = (
        next(one for size, one in found.items() if size == pytest.approx(wanted, abs=1e-6))
        for wanted in (6.6, 8.0, 5.0)
    )
    assert (wide[0].through, single[0].through, thin[0].through) == (True, False, True)
    # 90 round by the right hand, thumb up, from +x: +y. The first corner lies at (0, 0, 300), the second at x = 400.
    assert wide[1] == pytest.approx((0.0, 0.0, 100.0), abs=1e-6)
    assert abs(dot(wide[2], (0.0, 1.0, 0.0))) == pytest.approx(1.0, abs=1e-9)
    assert single[1] == pytest.approx((200.0, 0.0, 300.0), abs=1e-6)
    down, aside = (0.0, 0.0, -1.0), cross((1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    turned = [math.cos(math.pi / 6.0) * d + 0.5 * a for d, a in zip(down, aside, strict=True)]
    assert single[2] == pytest.approx(turned, abs=1e-8)
    assert thin[1] == pytest.approx((400.0, 150.0, 300.0), abs=1e-6)
    assert abs(dot(thin[2], (1.0, 0.0, 0.0))) == pytest.approx(1.0, abs=1e-9)


def test_on_the_straight_bar_they_are_told_with_the_trim() -> None:
    (told,) = parts_subject(worked(job(HOLES)), "").texts
    assert told.lines[0] == (
        "Hole 1: 6.6 mm for M6 through both walls, 110 mm from end A of the straight bar, 90° (19.6 mm on the skin) "
        "clockwise from the line along the inside of the first bend, as you look from A to B."
    )
    # Side 2 begins at the first corner: 240 of straight, the arc, and 200 less the setback of 60 from there on.
    along = 10.0 + 240.0 + ARC + 140.0
    assert [hole.on_bar for hole in small_parts(worked(job(HOLES))).own[0].holes][1] == pytest.approx(along, abs=1e-9)


def test_the_opposite_hand_is_drilled_the_other_way_round(tmp_path: Path) -> None:
    more = '\nmirror = true\nmirror_in = { axis = "y", at = 300 }'
    assert of_job(tmp_path, job(HOLES + more)) == []
    left, right = take_off(tmp_path / "frame.step").solids
    assert right.mirror_of == left.index
    one, other = ((solid.bars[0], next(h for h in solid.bars[0].holes if not h.through)) for solid in (left, right))
    (place, way), (image, back) = drilled_from(*one), drilled_from(*other)
    assert image == pytest.approx((place[0], 600.0 - place[1], place[2]), abs=1e-6)
    assert back == pytest.approx((way[0], -way[1], way[2]), abs=1e-8)


@pytest.mark.parametrize(
    "text",
    [
        job(HOLES + '\nmirror = true\nmirror_in = { axis = "y", at = 300 }\nend_b = { flattened = 40, hole = 6.5 }'),
        job("holes = [{ along = 30, diameter = 5, round = -20 }, { along = 250, diameter = 4 }]", STRAIGHT, "round"),
        job(
            'end_a = { cut = 45, round = 15 }\nholes = [{ along = 40, diameter = 5, walls = "one", round = 170 }]',
            STRAIGHT,
        ),
    ],
    ids=["a bent pair", "solid bar", "tube with a slanting end"],
)
def test_there_and_back_the_holes_are_the_same(tmp_path: Path, text: str) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
    assert of_job(first, text) == []
    before = take_off(first / "frame.step").solids
    back = job_of(take_off(first / "frame.step"))
    assert exported(second, work(parse_job(back.encode(), "again.toml"))) == []
    after = take_off(second / "frame.step").solids
    assert sum(len(solid.bars[0].holes) for solid in before) >= 1
    for one, other in zip(before, after, strict=True):
        pairs = list(zip(_placed(one.bars[0]), _placed(other.bars[0]), strict=True))
        for (hole, place, way), (again, there, looks) in pairs:
            assert again.diameter == pytest.approx(hole.diameter, abs=1e-6)
            assert again.through == hole.through
            assert there == pytest.approx(place, abs=1e-6)
            assert (abs(dot(looks, way)) if hole.through else dot(looks, way)) == pytest.approx(1.0, abs=1e-9)


def _placed(bar: Bar) -> list[tuple[Hole, Vec, Vec]]:
    return sorted(
        ((hole, *drilled_from(bar, hole)) for hole in bar.holes), key=lambda one: [round(c, 3) for c in one[1]]
    )


# ------------------------------------------------------------------------------------------------ what has sides

SIDED = {
    "rectangular tube": ('section = "square-tube"\nwidth = 30\nheight = 20\nwall = 2\ncorner_radius = 3', "easy"),
    "rectangular tube on edge": ('section = "square-tube"\nwidth = 30\nheight = 20\nwall = 2', "hard"),
    "square bar": ('section = "square"\nwidth = 16\nheight = 16', "easy"),
    "rectangular bar": ('section = "square"\nwidth = 30\nheight = 20', "easy"),
    "flat on edge": ('section = "flat"\nwidth = 30\nheight = 8', "hard"),
}
SQUARE_HOLES = [(100.0, 5.0, 0.0, 0.0), (150.0, 4.0, 90.0, 1.5), (400.0, 3.0, 180.0, -2.0), (600.0, 2.5, -90.0, 1.0)]
"""Along, diameter, round, across."""


def sided(section: str, walls: str = "both", more: str = "") -> str:
    told, way = SIDED[section]
    one = ', walls = "one"' if walls == "one" else ""
    rows = [
        f"{{ along = {at}, diameter = {size}, round = {turn}, across = {off}{one} }},"
        for at, size, turn, off in SQUARE_HOLES
    ]
    return job(f'way = "{way}"\nholes = [{" ".join(rows)}]\n{more}').replace(SECTIONS["tube"][0], told)


@pytest.mark.parametrize(
    ("section", "walls"), [*((one, "both") for one in SIDED), *((one, "one") for one in SIDED if "tube" in one)]
)
def test_a_bar_with_sides_is_drilled_square_to_them(tmp_path: Path, section: str, walls: str) -> None:
    """The drill takes a cylinder as long as the metal is thick there: places and ways by vectors along the hoop."""
    assert of_job(tmp_path, sided(section, walls)) == []
    plain = tmp_path / "plain"
    plain.mkdir()
    assert of_job(plain, sided(section).split("holes =")[0] + "\n") == []
    wide, high, wall = {
        "rectangular tube": (30.0, 20.0, 2.0),
        "rectangular tube on edge": (20.0, 30.0, 2.0),
        "square bar": (16.0, 16.0, 0.0),
        "rectangular bar": (30.0, 20.0, 0.0),
        "flat on edge": (8.0, 30.0, 0.0),
    }[section]
    thick = {0.0: high, 180.0: high, 90.0: wide, -90.0: wide}
    metal = [(1.0 if walls == "one" else 2.0) * wall if wall else thick[turn] for _, _, turn, _ in SQUARE_HOLES]
    gone = sum(math.pi / 4.0 * size**2 * m for (_, size, _, _), m in zip(SQUARE_HOLES, metal, strict=True))
    lost = volume(only(plain / "hoop.step")) - volume(only(tmp_path / "hoop.step"))
    assert lost == pytest.approx(gone, rel=1e-6)
    bar = taken(tmp_path / "hoop.step")
    found = {round(hole.diameter, 6): (hole, *drilled_from(bar, hole)) for hole in bar.holes}
    # Up the upright the inside of the first bend is at +x; along the level at -z; by the right hand, thumb ahead.
    first = 240.0 + ARC
    level = ((60.0, 0.0, 300.0), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    upright = ((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    last = ((400.0, 60.0, 300.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0))
    for at, size, turn, off in SQUARE_HOLES:
        start, ahead, inside = upright if at < 240.0 else level if at < first + 280.0 else last
        begins = 0.0 if at < 240.0 else first if at < first + 280.0 else first + 280.0 + ARC
        towards = rotate(inside, ahead, turn)
        left = cross(towards, ahead)  # up, ahead: left of who looks ahead
        hole, place, way = found[size]
        wanted = [s + (at - begins) * a + off * e for s, a, e in zip(start, ahead, left, strict=True)]
        middle = [p + c for p, c in zip(place, _beside(bar, hole), strict=True)]
        assert middle == pytest.approx(wanted, abs=1e-6)
        assert hole.through == (walls == "both")
        assert (abs(dot(way, towards)) if hole.through else dot(way, towards)) == pytest.approx(1.0, abs=1e-9)


def _beside(bar: Bar, hole: Hole) -> Vec:
    """From the middle line to the axis of a hole."""
    _, way = drilled_from(bar, hole)
    x, y, z = cross(way, bar.line.pose(hole.at).tangent)
    return (hole.off_middle * x, hole.off_middle * y, hole.off_middle * z)


@pytest.mark.parametrize("section", list(SIDED))
def test_there_and_back_holes_square_to_sides_are_the_same(tmp_path: Path, section: str) -> None:
    more = 'mirror = true\nmirror_in = { axis = "y", at = 300 }'
    text = sided(section, "one" if "tube" in section else "both", more)
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
    assert of_job(first, text) == []
    back = job_of(take_off(first / "frame.step"))
    assert exported(second, work(parse_job(back.encode(), "again.toml"))) == []
    one, other = (take_off(folder / "frame.step").solids for folder in (first, second))
    assert [solid.kind for solid in one] == [solid.kind for solid in other] == ["piece", "piece"]
    for a, b in zip(one, other, strict=True):
        pairs = list(zip(_placed(a.bars[0]), _placed(b.bars[0]), strict=True))
        assert len(pairs) == len(SQUARE_HOLES)
        for (hole, place, way), (again, there, looks) in pairs:
            sizes = [(h.at, h.diameter) for h in (hole, again)]
            assert sizes[0] == pytest.approx(sizes[1], abs=1e-6)
            assert there == pytest.approx(place, abs=1e-6)
            assert _beside(b.bars[0], again) == pytest.approx(_beside(a.bars[0], hole), abs=1e-6)
            assert (abs(dot(looks, way)) if hole.through else dot(looks, way)) == pytest.approx(1.0, abs=1e-9)


def test_which_side_is_told() -> None:
    (told,) = parts_subject(worked(sided("square bar")), "").texts
    line = "the line along the inside of the first bend"
    assert [words.split("straight bar, ")[1] for words in told.lines] == [
        f"in from the side with {line}.",
        f"in from the side 90° clockwise from {line}, as you look from A to B, 1.5 mm left of its middle.",
        f"in from the side opposite {line}, 2 mm right of its middle, as you look from A to B.",
        f"in from the side 90° anticlockwise from {line}, as you look from A to B, 1 mm left of its middle; "
        "drill it AFTER bending.",  # on the last leg, 6 from the bend
    ]


def test_over_a_rounded_corner_the_drill_runs_off() -> None:
    """Sides of 30 and 20 with corners of 3: level for 12 and 7 either way from the middle."""
    text = sided("rectangular tube").split("holes =")[0]
    near, over = (f"holes = [{{ along = 100, diameter = 4, across = {at} }}]" for at in ("9.9", "10.1"))
    told = [[one.code for one in small_parts(worked(text + line)).findings] for line in (near, over)]
    assert told == [[], ["hole-over-corner"]]


# -------------------------------------------------------------------------------------------------- what is wrong


def faults_of(hole: str, section: str = "tube") -> list[tuple[str, str]]:
    with pytest.raises(InputError) as found:
        worked(job(f"holes = [{{ along = 30, {hole} }}]", section=section))
    return [(fault.where, fault.wanted) for fault in found.value.faults]


@pytest.mark.parametrize(
    ("hole", "section", "key", "wanted"),
    [
        ("diameter = 25", "tube", "diameter", "less than the bar, 25 mm"),
        ('diameter = 5, walls = "one"', "round", "walls", '"both"'),
        ("diameter = 5, across = 3", "tube", "across", "no across in a hole of round bar and tube"),
        ("diameter = 5, slot = 9", "tube", "slot", "no slot"),
        ('thread = "M5"', "tube", "thread", "no thread"),
        ("diameter = 5, round = 90", "flat", "round", "no round in a hole of flat bar bent the easy way"),
        ("diameter = 20", "square", "diameter", "less than the side that it is drilled into, 20 mm"),
        ("diameter = 6, across = -7", "square", "across", "less than 7 mm beside the middle"),
        ("diameter = 6, round = 45", "square", "round", "0, 90, 180 or -90"),
        ('diameter = 6, walls = "one"', "square", "walls", '"both"'),
        ("diameter = 6, slot = 9", "square", "slot", "no slot in a hole of square bar and tube"),
        ('diameter = 5, walls = "both"', "flat", "walls", "no walls"),
        ('diameter = 5, walls = "two"', "tube", "walls", '"both" or "one"'),
    ],
)
def test_what_cannot_be_is_a_fault(hole: str, section: str, key: str, wanted: str) -> None:
    ((where, words),) = faults_of(hole, section)
    assert where == f"piece.hoop.holes[1].{key}"
    assert wanted in words


def codes(holes: str, more: str = "") -> dict[str, str]:
    return {one.code: one.level for one in small_parts(worked(job(f"holes = [{holes}]\n{more}"))).findings}


def test_holes_in_a_bend_beside_the_bar_and_in_a_flat_are_told() -> None:
    """The first bend begins 240 along, and the last straight ends at the whole length."""
    assert codes("{ along = 100, diameter = 2 }") == {}
    assert codes("{ along = 239.5, diameter = 2 }") == {"hole-in-bend": "watch"}
    assert codes(f"{{ along = {LENGTH}, diameter = 2 }}") == {"hole-off-piece": "stop"}
    assert codes(f"{{ along = {LENGTH - 30.0}, diameter = 2 }}", "end_b = { flattened = 40 }") == {
        "hole-off-piece": "stop"
    }


def test_how_much_a_hole_leaves_is_told() -> None:
    """A thin tube of 23 bent so that the drill's holes lie farthest out: both arcs of 2 a with sin a = 8 / 23 are gone,
    and with them (2 a + sin 2 a) / pi of the integral of cos squared round the tube."""
    (told,) = small_parts(worked(job("holes = [{ along = 100, diameter = 8 }]"))).findings
    a = 2.0 * math.asin(8.0 / 23.0)
    left = 1.0 - (a + math.sin(a)) / math.pi
    assert told.code == "hole-weakens-bar"
    share = int(told.says.split("%")[0].split()[-1])
    assert share / 100.0 == pytest.approx(left, abs=0.02)


def test_hoop_is_the_same_with_and_without_holes() -> None:
    """Marks, cut length and mass are those of the bar: a hole moves nothing."""
    (plain,), (bored,) = worked(job("trim = 10")).pieces, worked(job(HOLES)).pieces
    assert HOOP in job(HOLES)
    assert (bored.marks, bored.cut_length, bored.mass) == (plain.marks, plain.cut_length, plain.mass)
