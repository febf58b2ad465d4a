"""A bender drawn from its sizes: every size is there, to scale, and no word lies on another."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bentwork.clearance.bodies import bodies_of
from bentwork.sheets.bender_parts import arm_heights, arm_line, from_above, from_the_side
from bentwork.sheets.bender_picture import BenderPicture, bar_at, bender_picture, letters_of
from bentwork.sheets.bender_sheet import BenderSubject, bender_sheet
from bentwork.sheets.drawing import Drawing, Label
from bentwork.sheets.placing import box_of
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.stock.section import Flat, Round, Section
from bentwork.tooling.archetypes import ARCHETYPES, Start
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Needs, Plate
from bentwork.tooling.fittings import Block, Rollers
from bentwork.tooling.sizes import sizes_of
from bentwork.units import Ruler

ROOM = (186.0, 120.0)
BENCH = Bender(  # the sizes of a tool that somebody measured: nothing in proportion, nothing left out
    "lever",
    "wrap",
    36.0,
    die=Die(24.0, 6.0),
    hook=Hook(12.0, 30.0, 16.0, 30.0),
    follower=Follower("roller", 24.0, 22.0, radius=18.0),
    arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
    plate=Plate((-110.0, 90.0), (-90.0, 70.0), 14.0, 10.0),
    needs=Needs(42.0, 35.0, 60.0, 61.0),
)


def preset(name: str, hand: str = "left") -> tuple[Bender, Section]:
    archetype = ARCHETYPES[name]
    right: Literal["left", "right"] = "right" if hand == "right" else "left"
    if archetype.bar == "diameter":
        return archetype.build(Start(12.0, 50.0, hand=right)), Round(12.0)
    return archetype.build(Start(4.0, 10.0, hand=right)), Flat(30.0, 4.0)


def overlaps(page: Drawing) -> list[tuple[str, str]]:
    labels = [item for item in page.items if isinstance(item, Label)]
    boxes = [(label.text, box_of(label)) for label in labels]
    return [(a[0], b[0]) for a, b in itertools.combinations(boxes, 2) if a[1].overlap(b[1]) > 0.0]


def assert_true_to_scale(picture: BenderPicture, bender: Bender) -> None:
    """Every size has one dimension, as long as the size to scale; only a broken arm is shorter."""
    sizes = {size.path: size.value for size in sizes_of(bender)}
    assert set(picture.dimensions) == set(sizes)
    for path, dimension in picture.dimensions.items():
        drawn = math.dist(dimension.start, dimension.end)
        if dimension.broken:
            assert path == ("arm", "length")
            assert drawn < sizes[path] * picture.scale
        else:
            assert drawn == pytest.approx(abs(sizes[path]) * picture.scale, abs=1e-6), path


def assert_lettered(picture: BenderPicture, bender: Bender) -> None:
    words = [item.text for item in picture.drawing.items if isinstance(item, Label)]
    for letter in letters_of(bender).values():
        assert words.count(letter) == 1, letter


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("name", list(ARCHETYPES))
def test_every_size_of_an_archetype_is_drawn_true_and_legible(name: str, hand: str) -> None:
    bender, section = preset(name, hand)
    picture = bender_picture(bender, bar_at(bender, section), ROOM)
    assert_true_to_scale(picture, bender)
    assert_lettered(picture, bender)
    assert overlaps(picture.drawing) == []
    assert picture.drawing.width <= ROOM[0]
    assert picture.drawing.height <= ROOM[1]


@pytest.mark.parametrize(
    "gone", [(), ("die",), ("hook",), ("follower",), ("arm",), ("plate",), ("die", "hook", "plate")]
)
def test_parts_that_are_not_there_are_left_out(gone: tuple[str, ...]) -> None:
    none: Any = dict.fromkeys(gone)
    bender = replace(BENCH, **none)
    picture = bender_picture(bender, bar_at(bender, Round(12.0)), ROOM)
    assert_true_to_scale(picture, bender)
    assert overlaps(picture.drawing) == []
    words = {item.text for item in picture.drawing.items if isinstance(item, Label)}
    assert not words & set(gone)


def test_a_bender_of_which_only_the_radius_is_known() -> None:
    bender = Bender("lever", "wrap", 50.0)
    bar = bar_at(bender, None)
    assert not bar.known
    picture = bender_picture(bender, bar, ROOM)
    assert list(picture.dimensions) == [("radius",)]
    assert_true_to_scale(picture, bender)


def test_where_the_parts_stand() -> None:
    picture = bender_picture(BENCH, bar_at(BENCH, Round(12.0)), ROOM)
    k, (x, y), (_, z) = picture.scale, picture.pivot, picture.middle
    behind = picture.dimensions["hook", "starts_behind"]
    assert sorted((behind.start[0], behind.end[0])) == pytest.approx(sorted((x - 12.0 * k, x)))
    ahead = picture.dimensions["follower", "ahead"]
    assert sorted((ahead.start[0], ahead.end[0])) == pytest.approx(sorted((x, x + 22.0 * k)))
    near = picture.dimensions["plate", "y", 0]
    assert sorted((near.start[1], near.end[1])) == pytest.approx(sorted((y, y + 90.0 * k)))  # the bar's side is below
    gap = picture.dimensions["arm", "gap"]
    assert sorted((gap.start[1], gap.end[1])) == pytest.approx(sorted((z, z - 14.0 * k)))
    plate = picture.dimensions["plate", "gap_below_bar"]
    assert sorted((plate.start[1], plate.end[1])) == pytest.approx(sorted((z, z + 14.0 * k)))


def test_a_right_hand_bender_is_the_mirror_image() -> None:
    plate = Plate((-110.0, 90.0), (-70.0, 90.0), 14.0, 10.0)  # the same plate, its bar now at y above 0
    right = replace(BENCH, hand="right", plate=plate)
    pictures = [bender_picture(one, bar_at(one, Round(12.0)), ROOM) for one in (BENCH, right)]
    assert pictures[0].scale == pictures[1].scale
    ends = []
    for picture in pictures:
        behind = picture.dimensions["hook", "starts_behind"]
        ends.append(sorted(p[0] - picture.pivot[0] for p in (behind.start, behind.end)))
    assert ends[0] == pytest.approx([-12.0 * pictures[0].scale, 0.0])
    assert ends[1] == pytest.approx([0.0, 12.0 * pictures[1].scale])
    near = pictures[1].dimensions["plate", "y", 1]
    assert max(near.start[1], near.end[1]) - pictures[1].pivot[1] == pytest.approx(90.0 * pictures[1].scale)


@pytest.mark.parametrize("name", ["lever-shoe", "plate-roller", "turning-die", "peg-board", "bench"])
def test_what_is_drawn_is_what_is_planned_with(name: str) -> None:
    bender = BENCH if name == "bench" else preset(name)[0]
    solids = {solid.name: solid for solid in bodies_of(bender, None, 12.0)}
    bar = bar_at(bender, Round(12.0))
    above = {part.name: part.points for part in from_above(bender, bar, 5.0)}
    side = {part.name: part.points for part in from_the_side(bender, bar, 5.0)}
    called = {"follower": bender.follower.kind if bender.follower else ""}
    for part, solid in solids.items():
        if part == "arm":
            line = arm_line(bender, 12.0)
            assert solid.turn[0][:2] == pytest.approx(line.way)
            assert bender.arm is not None
            assert solid.heights == pytest.approx(arm_heights(bender.arm))
            continue
        drawn = above[called.get(part, part)]
        for axis in (0, 1):
            low, high = min(p[axis] for p in drawn), max(p[axis] for p in drawn)
            middle, half = solid.middle[axis], solid.half[axis]
            assert (low, high) == pytest.approx((middle - half, middle + half), abs=1e-6), part
        heights = [z for _, z in side[called.get(part, part)]]
        assert (min(heights), max(heights)) == pytest.approx(solid.heights), part


def test_rollers_that_disagree_are_both_drawn() -> None:
    follower = Follower("roller", 24.0, 60.0, radius=18.0)
    bender = Bender("press", "ram", 50.0, die=Die(24.0, 6.0), follower=follower, rollers=Rollers(160.0, 20.0))
    picture = bender_picture(bender, bar_at(bender, Round(12.0)), ROOM)
    assert_true_to_scale(picture, bender)


SIZE = st.floats(3.0, 90.0)


@st.composite
def benders(draw: st.DrawFn) -> Bender:
    """Benders as somebody may have measured them, or mistyped them."""
    shoe = draw(st.booleans())
    follower = Follower(
        "shoe" if shoe else "roller",
        draw(SIZE),
        draw(st.floats(0.0, 80.0)),
        radius=None if shoe else draw(SIZE),
        length=draw(SIZE) if shoe else None,
        width=draw(SIZE) if shoe else None,
    )
    low, high = sorted((draw(st.floats(-200.0, 0.0)), draw(st.floats(1.0, 200.0))))
    parts = {
        "die": Die(draw(SIZE), draw(st.floats(0.0, 8.0))),
        "hook": Hook(draw(st.floats(0.0, 60.0)), draw(SIZE), draw(SIZE), draw(SIZE)),
        "follower": follower,
        "arm": Arm(
            draw(st.sampled_from(["above", "below"])),
            draw(st.floats(0.0, 40.0)),
            draw(SIZE),
            draw(SIZE),
            draw(st.floats(20.0, 900.0)),
        ),
        "plate": Plate((low, high), (low / 2.0, high), draw(st.floats(0.0, 40.0)), draw(SIZE)),
    }
    kept = {name: part for name, part in parts.items() if draw(st.booleans())}
    kind = draw(st.sampled_from(["wrap", "draw"]))
    return Bender("lever", kind, draw(st.floats(12.0, 150.0)), draw(st.sampled_from(["left", "right"])), **kept)  # type: ignore[arg-type]


@settings(max_examples=12)
@given(benders())
def test_any_bender_is_drawn_true_with_every_letter_free(bender: Bender) -> None:
    picture = bender_picture(bender, bar_at(bender, Round(12.0)), ROOM)
    assert_true_to_scale(picture, bender)
    assert overlaps(picture.drawing) == []


@pytest.mark.parametrize(
    ("units", "paper"), [("mm", A4), ("in", LETTER)], ids=lambda value: value if isinstance(value, str) else value.name
)
@pytest.mark.parametrize("name", [*ARCHETYPES, "bench"])
def test_the_page_of_a_bender(name: str, units: str, paper: Paper) -> None:
    bender, section = (BENCH, Round(12.0)) if name == "bench" else preset(name)
    ruler = Ruler("in" if units == "in" else "mm")
    subject = BenderSubject("Crate shelf for a hand cart", "3f2a", "2 November 2025", ruler, bender, section)
    (page,) = bender_sheet(subject, paper)
    assert (page.width, page.height) == (paper.width, paper.height)
    assert overlaps(page) == []
    labels = [item for item in page.items if isinstance(item, Label)]
    words = [label.text for label in labels]
    for size in sizes_of(bender):
        assert words.count(size.key) == 1
        assert ruler.tape(size.value) in words
    for label in labels:
        assert label.size >= 8.0
        box = box_of(label)
        assert box.left >= 7.0, label.text
        assert box.right <= paper.width - 7.0, label.text
        assert box.top >= 7.0, label.text
        assert box.bottom <= paper.height - 7.0, label.text


def test_the_scale_that_is_written_is_the_one_that_is_drawn() -> None:
    subject = BenderSubject("Crate shelf", "", "2 November 2025", Ruler(), BENCH, Round(12.0))
    (page,) = bender_sheet(subject, A4)
    (told,) = [item.text for item in page.items if isinstance(item, Label) and "drawn 1:" in item.text]
    down = float(told.split("drawn 1:")[1].split(",")[0])
    lines = [
        item.points for item in page.items if not isinstance(item, Label) and len(item.points) == 4 and item.closed
    ]
    plates = [max(x for x, _ in points) - min(x for x, _ in points) for points in lines]
    assert any(width == pytest.approx(200.0 / down, abs=1e-6) for width in plates)


def test_a_view_with_nothing_to_measure_is_left_out() -> None:
    bender = Bender("press", "vee", 10.0, block=Block(32.0, 8.0, 2.0))
    picture = bender_picture(bender, bar_at(bender, Flat(30.0, 4.0)), ROOM)
    assert_true_to_scale(picture, bender)
    assert not [item for item in picture.drawing.items if isinstance(item, Label) and "side" in item.text]


def test_letters_go_on_after_z() -> None:
    bender = replace(BENCH, rollers=Rollers(200.0, 10.0))
    letters = list(letters_of(bender).values())
    assert letters[:2] == ["A", "B"]
    assert "I" not in letters
    assert letters[23:26] == ["Z", "AA", "AB"]
    assert len(set(letters)) == len(letters)
