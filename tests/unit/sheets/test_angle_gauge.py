from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.sheets.angle_gauge import angle_gauges, laid_out
from bentwork.sheets.angle_picture import angle_picture
from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.gauge_shapes import LEG, Gauge, card_for, gauges_for, listed
from bentwork.sheets.placing import box_of
from bentwork.sheets.subject import A4, LETTER, Paper, Subject
from tests.make import PAPER_EXAMPLES, a_bender, a_flat, a_placed_subject, a_round, a_subject, a_tube, paper_subject


def a_bent(*bends: tuple[float, float], straight: float = 100.0, springback: float | None = 1.04) -> Subject:
    """A piece with these (radius, angle), all in one plane, to and fro."""
    made = tuple(Bend(radius, angle, 180.0 if k else 0.0) for k, (radius, angle) in enumerate(bends))
    table = BendTable((straight,) * (len(bends) + 1), made)
    return a_placed_subject(table, bender=a_bender(bends[0][0], springback=springback))


def said(pages: tuple[Drawing, ...]) -> str:
    return " ".join(item.text for page in pages for item in page.items if isinstance(item, Label))


def test_one_gauge_to_pull_to_and_one_to_be_left() -> None:
    gauges = gauges_for(a_bent((50.0, 90.0)))
    assert [(gauge.purpose, gauge.bends) for gauge in gauges] == [("pull", (1,)), ("left", (1,))]
    assert gauges[0].angle == pytest.approx(93.6)
    assert gauges[1].angle == 90.0
    assert all(gauge.inside == pytest.approx(44.0) for gauge in gauges)


def test_without_springback_one_gauge_serves() -> None:
    subject = a_bent((50.0, 90.0), springback=1.0)
    assert [gauge.purpose for gauge in gauges_for(subject)] == ["left"]


def test_a_gauge_from_the_handbook_says_that_it_is() -> None:
    subject = a_bent((50.0, 90.0), springback=None)
    assert [gauge.purpose for gauge in gauges_for(subject)] == ["pull", "left"]
    assert "By the handbook only" in said(angle_gauges(subject, A4))
    assert "By the handbook only" not in said(angle_gauges(a_bent((50.0, 90.0)), A4))


def test_alike_bends_share_a_gauge() -> None:
    gauges = gauges_for(a_bent((50.0, 90.0), (50.0, 90.04), (50.0, 90.2), (40.0, 90.0), (50.0, 89.97)))
    assert [gauge.bends for gauge in gauges if gauge.purpose == "left"] == [(1, 2, 5), (3,), (4,)]


def test_without_steps_the_bender_says_how_far_to_pull() -> None:
    subject = replace(a_bent((50.0, 90.0)), steps=())
    assert gauges_for(subject)[0].angle == pytest.approx(93.6)
    assert [gauge.purpose for gauge in gauges_for(replace(subject, bender=None, what=None))] == ["left"]


def test_the_inside_radius_depends_on_the_way_of_bending() -> None:
    flat = a_subject([(0, 0, 0), (200, 0, 0), (200, 200, 0)], 30.0, stock=a_flat(25, 3))
    assert gauges_for(flat)[0].inside == pytest.approx(28.5)
    assert gauges_for(replace(flat, way="hard"))[0].inside == pytest.approx(17.5)


def test_legs_are_no_longer_than_the_straights() -> None:
    assert gauges_for(a_bent((50.0, 90.0), (50.0, 90.0)))[0].leg == LEG
    assert gauges_for(a_bent((50.0, 90.0), (50.0, 90.0), straight=40.0))[0].leg == pytest.approx(36.0)
    assert gauges_for(a_bent((50.0, 90.0), straight=40.0))[0].leg == LEG  # both straights run out to the ends


@given(st.floats(0.5, 340.0), st.floats(3.0, 200.0), st.floats(15.0, 80.0))
def test_a_card_touches_both_legs_and_clears_the_bend(angle: float, inside: float, leg: float) -> None:
    """Checked against the bend itself: legs along the tangents of its inside arc, the middle of the bend at 0, 0."""
    card = card_for(Gauge("left", angle, inside, leg, (1,)))
    half = math.radians(angle) / 2.0
    tangent = (inside * math.sin(half), -inside * math.cos(half))
    along = (math.cos(half), math.sin(half))
    for point in (card.near, card.far):
        off = (point[0] - tangent[0], point[1] - tangent[1])
        assert off[0] * along[1] - off[1] * along[0] == pytest.approx(0.0, abs=1e-9)
        assert off[0] * along[0] + off[1] * along[1] > 0.0
    # Legs that come together cross where the line of the one meets the middle of the card.
    meets = -tangent[0] / along[0] if angle > 180.0 else math.inf
    assert math.dist(card.near, card.far) <= min(leg, meets) + 1e-9
    assert math.dist(card.near, card.far) == pytest.approx(leg) or meets < leg + 3.0 + 3.0 / abs(along[0])
    # The tip of the card is a straight line; what it must clear is the arc above it.
    assert card.near[1] > -inside * (1.0 - 1e-12)
    turned = 180.0 - 2.0 * math.degrees(math.atan2(card.far[1] - card.near[1], card.far[0] - card.near[0]))
    assert turned == pytest.approx(180.0 - angle)


@pytest.mark.parametrize(("angle", "radius", "diameter"), [(180.0, 50.0, 12.0), (180.0, 36.0, 10.0)])
def test_a_return_gets_a_block_as_wide_as_the_room_in_it(angle: float, radius: float, diameter: float) -> None:
    table = BendTable((150.0, 150.0), (Bend(radius, angle),))
    subject = a_placed_subject(table, stock=a_round(diameter), bender=a_bender(radius, springback=1.0))
    gauge = gauges_for(subject)[0]
    assert gauge.is_block
    card = card_for(gauge)
    assert 2.0 * card.near[0] == pytest.approx(2.0 * radius - diameter)
    assert 2.0 * card.far[0] == pytest.approx(2.0 * radius - diameter)
    assert f"{2 * radius - diameter:g} mm where the bend ends, and all along" in said(angle_gauges(subject, A4))
    assert "protractor" not in said(angle_gauges(subject, A4))


@given(st.floats(181.0, 350.0), st.floats(1.0, 100.0), st.floats(15.0, 80.0))
def test_the_outline_of_a_card_never_crosses_itself(angle: float, inside: float, leg: float) -> None:
    """Its right half stays right of its middle line all the way down, and the left one is the mirror image."""
    card = card_for(Gauge("left", angle, inside, leg, (1,)))
    assert card.near[0] > card.far[0] > 0.0
    assert 0.0 < card.foot <= card.far[0]
    assert card.near[1] < card.far[1] <= card.bottom


def test_a_card_for_three_quarters_of_a_turn() -> None:
    """By hand: at 270 degrees the insides of the legs cross at the radius from the tangent points; 50 mm here."""
    card = card_for(Gauge("left", 270.0, 50.0, 80.0, (1,)))
    assert math.dist(card.near, card.far) < 50.0 - 3.0
    assert card.far[0] == pytest.approx(3.0)  # the thinnest there is
    assert card.gauge.leg == pytest.approx(math.dist(card.near, card.far))


def test_a_block_for_more_than_a_return_tapers() -> None:
    card = card_for(Gauge("pull", 186.0, 44.0, 80.0, (1,)))
    assert card.far[0] < card.near[0]
    assert card.foot < card.far[0]
    assert Gauge("pull", 186.0, 44.0, 80.0, (1,)).width_at(0.0) == pytest.approx(2 * card.near[0], abs=0.4)


def test_a_hoop_too_wide_for_the_page_is_told_in_numbers() -> None:
    words = said(angle_gauges(paper_subject("hoop"), A4))
    assert "cut a stick 575 mm long" in words
    assert "must be left: 180°" in words


def test_a_bend_too_large_for_the_page_is_gauged_on_straight_edges() -> None:
    subject = a_subject([(0, 0, 0), (900, 0, 0), (900, 900, 0)], 300.0, stock=a_tube(25), bender=a_bender(300))
    assert "hold a straight-edge along each leg" in said(angle_gauges(subject, A4))
    outlines = cards(angle_gauges(subject, A4))
    assert all(outline.points[0] == pytest.approx(outline.points[1], abs=1e-6) for outline in outlines)  # a sharp tip


def cards(pages: tuple[Drawing, ...]) -> list[Stroke]:
    """Outlines of the gauges: closed, wider than any arrow head."""
    return [
        item
        for page in pages
        for item in page.items
        if isinstance(item, Stroke) and item.closed and item.fill == "none"
        if max(x for x, _ in item.points) - min(x for x, _ in item.points) > 15.0
    ]


def test_what_is_said_on_a_gauge() -> None:
    words = said(angle_gauges(a_bent((50.0, 90.0), (50.0, 90.0), (50.0, 90.0)), A4))
    assert "pull to 93.6°" in words
    assert "must be left: 90°" in words
    assert "bends 1–3" in words
    assert "A protractor set in the corner reads 86.4°." in words
    assert "A protractor set in the corner reads 90°." in words


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_gauges_lie_clear_of_each_other_and_of_all_else(name: str, paper: Paper) -> None:
    subject = paper_subject(name)
    for page, cells in zip(angle_gauges(subject, paper), laid_out(subject, paper), strict=True):
        boxes = [(x, y, x + cell.width, y + cell.height) for x, y, cell in cells]
        for index, (left, top, right, bottom) in enumerate(boxes):
            for x0, y0, x1, y1 in boxes[index + 1 :]:
                assert right < x0 or x1 < left or bottom < y0 or y1 < top
            assert left >= 7.0
            assert right <= paper.width - 7.0 - 10.0
        inside = {label for x, y, cell in cells for label in cell.moved(x, y) if isinstance(label, Label)}
        for item in page.items:
            if isinstance(item, Label) and item not in inside:
                box = box_of(item)
                for left, top, right, bottom in boxes:
                    assert box.right <= left or box.left >= right or box.bottom <= top or box.top >= bottom, item


@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_words_stay_inside_their_card(name: str) -> None:
    for cells in laid_out(paper_subject(name), A4):
        for _, _, cell in cells:
            for item in cell.items:
                if isinstance(item, Label):
                    box = box_of(item)
                    assert box.left >= -1e-9
                    assert box.right <= cell.width + 1e-9
                    assert box.top >= -1e-9
                    assert box.bottom <= cell.height + 1e-9


def test_a_straight_piece_needs_no_gauge() -> None:
    assert angle_gauges(paper_subject("stay"), A4) == ()


@pytest.mark.parametrize("angle", [1.0, 10.0, 45.0, 90.0, 135.0, 165.0, 180.0, 186.0, 220.0])
def test_the_picture_turns_as_far_as_it_says(angle: float) -> None:
    picture = angle_picture(angle)
    bar = max((item for item in picture.items if isinstance(item, Stroke)), key=lambda item: item.weight)
    (x0, y0), (x1, y1) = bar.points[0], bar.points[1]
    (x2, y2), (x3, y3) = bar.points[-2], bar.points[-1]
    first, last = math.atan2(y1 - y0, x1 - x0), math.atan2(y3 - y2, x3 - x2)
    assert math.degrees(last - first) % 360.0 == pytest.approx(angle, abs=0.01)
    assert picture.width < 50.0
    assert picture.height < 32.0


def test_lists_of_bends() -> None:
    assert listed((2,)) == "bend 2"
    assert listed((1, 3)) == "bends 1, 3"
    assert listed((1, 2)) == "bends 1, 2"
    assert listed((1, 2, 3, 4, 7)) == "bends 1–4, 7"
