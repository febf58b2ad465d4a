"""STEP files of bent pieces with their ends mitred, coped or pressed flat, read back by the kernel and the take-off.

Independent truth: area times length (a mitre through the middle of its end, and a tube pressed flat without stretching
its wall, leave the metal as it was), what two round bars have in common by numerical integration (scipy), the kernel's
own volume (eps 1e-10), distance and common volume, planes and places worked out here by vectors.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.integrate import quad

from bentwork.files.job_file import parse_job
from bentwork.jobs.fit_round import fit_round
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import Result, work
from bentwork.takeoff.bar import Bar
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.take import take_off
from tests.truth.test_finished_models import FULL, apart, exported, frame, of_job, only, overlap, pin
from tests.truth.test_step_models import box, volume

EPS = 1e-7
"""Share by which the kernel's integral over faces that are cut at a slant may differ from the closed form."""

TUBE25 = 'section = "tube"\ndiameter = 25\nwall = 2'
TUBE18 = 'section = "tube"\ndiameter = 18\nwall = 1.5'
ROUND12 = 'section = "round"\ndiameter = 12'
SQUARE20 = 'section = "square"\nwidth = 20\nheight = 20'
BOX = 'section = "square-tube"\nwidth = 30\nheight = 20\nwall = 2\ncorner_radius = 3'
FLAT = 'section = "flat"\nwidth = 30\nheight = 4'
AREAS = {
    TUBE25: math.pi * (12.5**2 - 10.5**2),
    ROUND12: math.pi * 36.0,
    SQUARE20: 400.0,
    FLAT: 120.0,
}

CART = """\
format = 1
name = "Hand cart"

[stock.rail]
{rail}
material = "S235"

[stock.bar]
{bar}
material = "S235"

[bender.lever]
kind = "wrap"
radius = 60

[piece.left]
stock = "rail"
points = [[0, -100, {low}], [0, 100, {low}]]

[piece.right]
stock = "rail"
points = [[500, -100, {low}], [500, 100, {low}]]

[piece.hoop]
stock = "bar"
bender = "lever"
points = {points}
{more}
"""
SLANTED = "[[0, 0, 0], [100, 0, 300], [400, 0, 300], [500, 0, 0]]"
UPRIGHT = "[[0, 0, 0], [0, 0, 300], [500, 0, 300], [500, 0, 0]]"
LEAN = math.degrees(math.atan2(100.0, 300.0))


def cart(rail: str, bar: str, points: str = SLANTED, low: float = 0.0, more: str = "") -> str:
    return CART.format(rail=rail, bar=bar, points=points, low=low, more=more)


def worked(text: str) -> Result:
    return work(parse_job(text.encode(), "cart.toml"))


def taken(path: Path) -> Bar:
    (solid,) = take_off(path).solids
    assert solid.kind == "piece", solid.reason
    return solid.bars[0]


def length_of_hoop() -> float:
    """The way round corners of these angles: each loses two setbacks and gains an arc of 60."""
    turn = math.pi / 2.0 - math.atan2(100.0, 300.0)
    return 2.0 * math.hypot(100.0, 300.0) + 300.0 + 2.0 * (60.0 * turn - 2.0 * 60.0 * math.tan(turn / 2.0))


# ------------------------------------------------------------------------------------------------------------ mitred


@pytest.mark.parametrize("bar", [TUBE25, ROUND12, SQUARE20, FLAT])
def test_legs_that_stand_on_a_face_at_a_slant_are_mitred_where_they_are_drawn(tmp_path: Path, bar: str) -> None:
    assert of_job(tmp_path, cart(SQUARE20, bar, low=-10.0, more="trim = 10")) == []
    shape = only(tmp_path / "hoop.step")
    assert volume(shape) == pytest.approx(AREAS[bar] * length_of_hoop(), rel=EPS)
    # Both ends lie in the upper faces of the rails, z = 0: nothing below, and each touches its rail without entering.
    assert box(shape)[2] == pytest.approx(0.0, abs=1e-6)
    found = frame(tmp_path)
    for onto in ("left", "right"):
        assert apart(found["hoop"], found[onto]) < 1e-6
        assert overlap(found["hoop"], found[onto]) < 1e-6
    read = taken(tmp_path / "hoop.step")
    assert [end.cut for end in read.ends] == ["mitred", "mitred"]
    assert [end.angle for end in read.ends] == pytest.approx([LEAN, LEAN], abs=1e-6)
    assert read.length == pytest.approx(length_of_hoop(), abs=1e-6)
    assert [bend.radius for bend in read.line.table.bends] == pytest.approx([60.0, 60.0], abs=1e-6)
    assert [bend.angle for bend in read.line.table.bends] == pytest.approx([90.0 - LEAN] * 2, abs=1e-6)
    places = sorted([read.line.start.origin, read.line.end.origin])
    assert places[0] == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)
    assert places[1] == pytest.approx((500.0, 0.0, 0.0), abs=1e-6)


def test_the_other_hand_is_mitred_too(tmp_path: Path) -> None:
    """The rails are level from y = -100 to 100; mirrored at y = 40 the hoop stands on them at y = 80."""
    more = 'trim = 10\nmirror = true\nmirror_in = { axis = "y", at = 40 }'
    assert of_job(tmp_path, cart(SQUARE20, TUBE25, low=-10.0, more=more)) == []
    for name, y in (("hoop-left", 0.0), ("hoop-right", 80.0)):
        shape = only(tmp_path / f"{name}.step")
        assert volume(shape) == pytest.approx(AREAS[TUBE25] * length_of_hoop(), rel=EPS)
        low, high = box(shape)[1:3], box(shape)[4]
        assert (low[0], high, low[1]) == pytest.approx((y - 12.5, y + 12.5, 0.0), abs=1e-6)


def test_a_hole_near_a_mitred_end_is_where_the_job_has_it(tmp_path: Path) -> None:
    holes = 'way = "easy"\ntrim = 5\nholes = [{ along = 14, diameter = 6, across = 5 }]'
    assert of_job(tmp_path, cart(SQUARE20, FLAT, low=-10.0, more=holes)) == []
    read = taken(tmp_path / "hoop.step")
    (hole,) = read.holes
    first = read.line.start.origin[0] < 250.0  # either end may have been taken for A
    assert (hole.at if first else read.length - hole.at) == pytest.approx(14.0, abs=1e-6)
    assert (hole.diameter, abs(hole.off_middle)) == pytest.approx((6.0, 5.0), abs=1e-6)
    middle = read.line.pose(hole.at).origin
    away = math.hypot(100.0, 300.0)
    assert middle == pytest.approx((14.0 * 100.0 / away, 0.0, 14.0 * 300.0 / away), abs=1e-6)
    assert volume(only(tmp_path / "hoop.step")) == pytest.approx(
        AREAS[FLAT] * length_of_hoop() - 4.0 * math.pi * 9.0, rel=EPS
    )


# ------------------------------------------------------------------------------------------------------------- coped


def common(one: float, other: float) -> float:
    """Half of what round bars of these radii have in common that cross square, the first the thinner one."""
    slice_of = lambda y: math.sqrt(other**2 - y * y) * 2.0 * math.sqrt(max(0.0, one**2 - y * y))  # noqa: E731
    return float(quad(slice_of, -one, one)[0])


def test_coped_legs_have_the_metal_that_the_integral_gives(tmp_path: Path) -> None:
    """Drawn to the middle of the rails, which lets only a cope in: the job need not say so."""
    assert of_job(tmp_path, cart(TUBE25, TUBE18, UPRIGHT)) == []
    length = 300.0 * 2.0 + 500.0 - 4.0 * 60.0 + 2.0 * 60.0 * math.pi / 2.0
    wanted = math.pi * (81.0 - 56.25) * length - 2.0 * (common(9.0, 12.5) - common(7.5, 12.5))
    assert volume(only(tmp_path / "hoop.step")) == pytest.approx(wanted, rel=1e-7)
    read = taken(tmp_path / "hoop.step")
    for end in read.ends:
        assert end.cut == "coped"
        assert (end.angle, end.diameter) == pytest.approx((90.0, 25.0), abs=1e-4)
    # From longest point to longest point: beside the middle by 9 mm the rail is 12.5^2 - 9^2 high.
    assert read.length == pytest.approx(length - 2.0 * math.sqrt(12.5**2 - 81.0), abs=1e-6)


COPED = [
    (TUBE25, TUBE18, SLANTED),
    (TUBE25, ROUND12, "[[0, 40, 0], [100, 0, 300], [400, 0, 300], [500, -30, 0]]"),
    (TUBE25, SQUARE20, SLANTED),
    (BOX, TUBE18, SLANTED),
    (BOX, FLAT, SLANTED),
]


@pytest.mark.parametrize(("rail", "bar", "points"), COPED)
def test_coped_legs_sit_on_the_rails_and_not_in_them(tmp_path: Path, rail: str, bar: str, points: str) -> None:
    assert of_job(tmp_path, cart(rail, bar, points, more='ends = "coped"')) == []
    found = frame(tmp_path)
    for onto in ("left", "right"):
        assert apart(found["hoop"], found[onto]) < 1e-6, onto
        assert overlap(found["hoop"], found[onto]) < 1e-4, onto


HOOK = """\
format = 1
name = "Rowing-boat"

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[bender.lever]
kind = "wrap"
radius = 60

[piece.high]
stock = "tube"
points = [[0, -100, 200], [0, 100, 200]]

[piece.hook]
stock = "tube"
bender = "lever"
points = [[0, 0, 200], [0, 0, 320], [300, 0, 320], [300, 0, 0]]
"""


def test_only_the_end_is_cut_and_not_the_leg_that_reaches_further(tmp_path: Path) -> None:
    """The second leg runs through the height at which the first is coped, and ends in the air."""
    assert of_job(tmp_path, HOOK) == []
    length = 120.0 + 300.0 + 320.0 - 4.0 * 60.0 + 2.0 * 60.0 * math.pi / 2.0
    wanted = AREAS[TUBE25] * length - (common(12.5, 12.5) - common(10.5, 12.5))
    assert volume(only(tmp_path / "hook.step")) == pytest.approx(wanted, rel=1e-7)
    assert sorted(end.cut for end in taken(tmp_path / "hook.step").ends) == ["coped", "square"]


# ------------------------------------------------------------------------------------------------------ pressed flat

STAYED = """\
format = 1
name = "Rowing-boat"

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[piece.post]
stock = "tube"
points = [[0, -60, -100], [0, -60, 100]]

[stay.brace]
stock = "tube"
piece = "post"
from = [0, 0, 0]
to = [400, 0, 0]
ends = ["drilled", "flattened"]
hole = 6.5
end = 13
axes = [[0, 0, 1], [0, 0, 1]]
{more}
"""
BENT = """\
radius = 60

[keepout.locker]
shape = "box"
x = [180, 220]
y = [-40, 20]
z = [-200, 200]
clearance = 5
"""
FLAT_LONG = 13.0 + 1.5 * 6.5
WIDE = math.pi * 21.0 / 2.0 + 4.0
"""The bore of 21 laid flat, and a wall at either fold."""


def drilled(radius: float) -> float:
    """What two round bars that cross square have in common: one of this radius and a drill of 3.25."""
    return 2.0 * common(3.25, radius)


@pytest.mark.parametrize("more", ["", BENT], ids=["straight", "bent"])
def test_a_tube_pressed_flat_has_its_metal_its_flat_and_its_hole(tmp_path: Path, more: str) -> None:
    assert of_job(tmp_path, STAYED.format(more=more)) == []
    shape = only(tmp_path / "brace.step")
    read = taken(tmp_path / "brace.step")
    assert bool(read.line.table.bends) == bool(more)
    plans = {plan.spec.name: plan for plan in worked(STAYED.format(more=more)).pieces}
    table = plans["brace"].table
    assert table is not None
    first = read.ends[0].cut != "flattened"
    straights = read.line.table.straights if first else read.line.table.straights[::-1]
    assert straights == pytest.approx(table.straights, abs=1e-6)
    assert [read.ends[0].cut, read.ends[1].cut] == (["square", "flattened"] if first else ["flattened", "square"])
    holes = drilled(12.5) - drilled(10.5) + 4.0 * math.pi * 3.25**2
    assert volume(shape) == pytest.approx(AREAS[TUBE25] * table.length - holes, rel=EPS)
    places = sorted(hole.at if first else read.length - hole.at for hole in read.holes)
    # The corners that a way round has are rounded to a thousandth.
    assert places == pytest.approx([13.0, table.length - 13.0], abs=5e-4 if more else 1e-6)
    # The tip is 13 beyond the bolt at x = 400. The bolt stands upright, and the stay is level.
    end, sign = (read.line.end, 1.0) if first else (read.line.start, -1.0)
    out = tuple(sign * c for c in end.tangent)
    assert out[2] == pytest.approx(0.0, abs=1e-9)
    tip = (400.0 + 13.0 * out[0], 13.0 * out[1], 0.0)
    assert end.origin == pytest.approx(tip, abs=1e-3 if more else 1e-6)
    # As wide as the bore laid flat, two walls thick: a pin in the metal beside the hole, another over the edge.
    for beside, metal in ((10.0, FULL), (WIDE / 2.0 + 2.1, 0.0)):
        for side in (1.0, -1.0):
            place = 400.0 - side * beside * out[1], side * beside * out[0]
            assert overlap(shape, pin(*place)) == pytest.approx(metal, abs=1e-6)
    if not more:
        assert (box(shape)[1], box(shape)[4]) == pytest.approx((-WIDE / 2.0, WIDE / 2.0), abs=1e-6)


def test_the_other_hand_of_a_bent_stay_is_pressed_too(tmp_path: Path) -> None:
    text = STAYED.format(more='mirror_in = { axis = "y", at = 50 }\n' + BENT)
    assert of_job(tmp_path, text) == []
    left, right = (only(path) for path in sorted(tmp_path.glob("brace*.step")))
    assert volume(left) == pytest.approx(volume(right), rel=EPS)
    one, other = box(left), box(right)
    assert (other[1], other[4]) == pytest.approx((100.0 - one[4], 100.0 - one[1]), abs=1e-6)
    assert [one[k] for k in (0, 2, 3, 5)] == pytest.approx([other[k] for k in (0, 2, 3, 5)], abs=1e-6)


def test_a_flat_that_is_to_be_bent_to_its_bolt_is_drawn_straight_and_told(tmp_path: Path) -> None:
    text = STAYED.format(more="").replace(", [0, 0, 1]]", ", [1, 0, 2]]")
    lean = math.degrees(math.atan2(1.0, 2.0))
    assert of_job(tmp_path, text) == [
        f"brace: in STEP the flat of end B is drawn straight: it is bent {lean:.1f}° to lie to its bolt"
    ]
    assert sorted(end.cut for end in taken(tmp_path / "brace.step").ends) == ["flattened", "square"]


# --------------------------------------------------------------------------------------------------- there and back


@pytest.mark.parametrize(
    ("rail", "bar", "low", "more"),
    [
        (SQUARE20, TUBE25, -10.0, "trim = 10"),
        (TUBE25, TUBE18, 0.0, ""),
        (BOX, FLAT, 0.0, 'ends = "coped"'),
    ],
    ids=["mitred", "coped", "flat coped onto a face"],
)
def test_a_frame_taken_off_its_model_is_cut_again_as_it_was(
    tmp_path: Path, rail: str, bar: str, low: float, more: str
) -> None:
    """Job to STEP to job to STEP: the same bend table, places and metal, and the same ends."""
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
    of_job(first, cart(rail, bar, low=low, more=more))
    text = job_of(take_off(first / "frame.step"))
    again = worked(text)
    assert exported(second, again) == []
    one, other = taken(first / "hoop.step"), taken(second / "hoop.step")
    assert [end.cut for end in other.ends] == [end.cut for end in one.ends]
    assert [end.angle for end in other.ends] == pytest.approx([end.angle for end in one.ends], abs=1e-6)
    assert other.line.table.straights == pytest.approx(one.line.table.straights, abs=1e-6)
    for a, b in zip(other.line.table.bends, one.line.table.bends, strict=True):
        assert (a.radius, a.angle, a.rotation) == pytest.approx((b.radius, b.angle, b.rotation), abs=1e-6)
    assert other.line.start.origin == pytest.approx(one.line.start.origin, abs=1e-6)
    assert volume(only(second / "hoop.step")) == pytest.approx(volume(only(first / "hoop.step")), rel=1e-7)
    (plan,) = (plan for plan in again.pieces if plan.spec.name == "hoop")
    assert plan.length == pytest.approx(one.length, abs=1e-6)


# ---------------------------------------------------------------------------------------------------- what is wrong


def test_a_cut_that_would_reach_into_the_bend_is_told_and_left_square(tmp_path: Path) -> None:
    """The corner turns by 50° and takes 60 tan 25° off the leg, of which 3 are left; the mitre takes 12.5 tan 40°."""
    leg = 60.0 * math.tan(math.radians(25.0)) + 3.0
    turn = math.radians(50.0)
    points = f"[[0, 0, 0], [{leg * math.cos(turn)}, 0, {leg * math.sin(turn)}], [400, 0, {leg * math.sin(turn)}]]"
    text = cart(SQUARE20, TUBE25, points, low=-10.0, more="trim = 15")
    assert of_job(tmp_path, text) == [
        "hoop: in STEP end A is square: cut to sit on left it would reach into the bend before it"
    ]
    assert [end.cut for end in taken(tmp_path / "hoop.step").ends] == ["square", "square"]
    (told,) = [one for one in small_parts(worked(text)).findings if one.code == "cut-reaches-bend"]
    assert (told.level, told.piece, told.bend) == ("watch", "hoop", 1)
    assert told.says == "End A of hoop is cut to sit on left, and the cut reaches into bend 1."
    wanted = {"room": 3.0, "back": 12.5 * math.tan(math.radians(40.0))}
    assert told.lengths == pytest.approx(wanted, abs=1e-6)
    assert "longer" in told.do


def test_ends_that_need_more_than_the_trim_are_told() -> None:
    """The long point of a mitre lies half a bar times the tangent of its lean beyond the middle."""
    beyond = 12.5 * math.tan(math.radians(LEAN))
    found = small_parts(worked(cart(SQUARE20, TUBE25, low=-10.0, more="trim = 3"))).findings
    (told,) = [one for one in found if one.code == "end-needs-trim"]
    assert (told.level, told.piece) == ("watch", "hoop")
    assert told.lengths == pytest.approx({"short": beyond, "trim": 3.0}, abs=1e-6)
    enough = small_parts(worked(cart(SQUARE20, TUBE25, low=-10.0, more="trim = 4.2"))).findings
    assert not [one for one in enough if one.code == "end-needs-trim"]


@pytest.mark.parametrize(
    ("to", "level", "says"),
    [(60, "watch", "reaches into the other end"), (20, "stop", "reaches into the other end")],
)
def test_a_flat_longer_than_its_straight_is_told_and_left_round(tmp_path: Path, to: int, level: str, says: str) -> None:
    """Both flats and what they run out in take 2 x (22.75 + 25); the stay is ``to`` and 2 x 13 long."""
    text = STAYED.format(more="").replace('"drilled"', '"flattened"').replace("to = [400,", f"to = [{to},")
    said = of_job(tmp_path, text)
    assert [words for words in said if "drawn round" in words] == [
        f"brace: in STEP end {end} is drawn round and without its hole: the bar is shorter than its flats and what it "
        "takes to be round again"
        for end in "AB"
    ]
    found = [one for one in fit_round(worked(text)).findings if one.code == "flat-reaches-bend"]
    assert [one.level for one in found] == [level, level]
    assert all(says in one.says for one in found)
    room = to + 26.0 - FLAT_LONG - 25.0
    assert [one.lengths["room"] for one in found] == pytest.approx([room, room], abs=1e-9)
    assert volume(only(tmp_path / "brace.step")) == pytest.approx(AREAS[TUBE25] * (to + 26.0), rel=1e-9)
