from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.sheets.drawing import THIN, Drawing, Label, Stroke
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.page_parts import hatch
from bentwork.sheets.placing import Box, box_of
from bentwork.sheets.strip_bends import MARK
from bentwork.sheets.strip_rows import FLAG_HEIGHT, OVERLAP, Row, lay_rows, strip_height, wraps
from bentwork.sheets.subject import A4, LETTER, Paper, Subject
from bentwork.stock.section import Flat, Round, SquareTube, Tube
from bentwork.units import INCH, Ruler
from tests.make import PAPER_EXAMPLES, a_bender, a_round, a_subject, paper_subject


def rows_of(subject: Subject, paper: Paper = A4) -> list[tuple[Drawing, Row]]:
    pages = marking_strip(subject, paper)
    laid = lay_rows(subject.cut_length, strip_height(subject.stock.section), subject.ruler, paper.sideways)
    assert len(pages) == len(laid)
    return [(page, row) for page, rows in zip(pages, laid, strict=True) for row in rows]


def uprights(page: Drawing, row: Row, x: float, weight: float) -> list[Stroke]:
    """Lines across the whole strip at this x."""
    ends = ((x, row.top), (x, row.box.bottom))
    return [
        item
        for item in page.items
        if isinstance(item, Stroke)
        and item.weight == weight
        and len(item.points) == 2
        and all(math.dist(p, q) < 1e-6 for p, q in zip(item.points, ends, strict=True))
    ]


def texts(page: Drawing, row: Row) -> list[str]:
    """Words inside one row."""
    return [item.text for item in page.items if isinstance(item, Label) and row.box.grown(0.5).holds(box_of(item))]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_rows_cover_the_bar_once_with_their_overlap(name: str, paper: Paper) -> None:
    subject = paper_subject(name)
    rows = [row for _, row in rows_of(subject, paper)]
    assert rows[0].start == 0.0
    assert rows[-1].stop == pytest.approx(subject.cut_length)
    for row, following in pairwise(rows):
        assert row.stop - following.start == pytest.approx(OVERLAP)
        assert row.letter_after == following.letter_before
    assert rows[0].letter_before is None
    assert rows[-1].letter_after is None
    letters = [row.letter_after for row in rows[:-1]]
    assert len(set(letters)) == len(letters)
    assert not {"A", "B", "C", "E", "S"} & set(letters)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_rows_lie_on_the_page_and_clear_of_each_other(name: str, paper: Paper) -> None:
    for page in lay_rows(
        paper_subject(name).cut_length, strip_height(paper_subject(name).stock.section), Ruler(), paper.sideways
    ):
        for row in page:
            assert Box(6.0, 6.0, paper.height - 14.0, paper.width - 18.0).holds(row.box)
        for row, below in pairwise(page):
            assert below.top - row.box.bottom > 4.0


@given(
    cut=st.floats(1.0, 12000.0),
    height=st.floats(12.0, 80.0),
    units=st.sampled_from(["mm", "in"]),
    paper=st.sampled_from([A4, LETTER]),
)
def test_any_length_is_laid_out(cut: float, height: float, units: str, paper: Paper) -> None:
    ruler = Ruler("in") if units == "in" else Ruler()
    rows = [row for page in lay_rows(cut, height, ruler, paper.sideways) for row in page]
    assert rows[0].start == 0.0
    assert rows[-1].stop == pytest.approx(cut)
    whole = INCH if units == "in" else 10.0
    for row in rows:
        assert row.stop > row.start
        assert row.start / whole == pytest.approx(round(row.start / whole))
        assert row.box.right <= paper.height - 14.0
        assert row.box.bottom <= paper.width - 18.0


@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_every_mark_is_on_one_row_and_in_overlaps_on_both(name: str) -> None:
    subject = paper_subject(name)
    rows = rows_of(subject)
    for mark in subject.marks:
        for station in (mark.start, mark.end):
            weight = MARK if station == subject.lined_up(mark) else THIN
            own = 0
            for page, row in rows:
                drawn = uprights(page, row, row.x(station), weight)
                assert bool(drawn) == row.holds(station)
                own += bool(drawn) and (row.number == row.rows or station < row.stop - OVERLAP - 1e-9)
                own += bool(drawn) and row.number == row.rows and station < row.start - 1e-9
            assert own == 1


@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_every_bend_has_its_tape_number_beside_its_heavy_line(name: str) -> None:
    subject = paper_subject(name)
    for mark in subject.marks:
        station = subject.lined_up(mark)
        number = subject.ruler.tape(station)
        near = [
            label
            for page, row in rows_of(subject)
            if row.holds(station)
            for label in page.items
            if isinstance(label, Label) and label.text == number and label.size >= 14.0 and label.bold
            if row.box.grown(0.5).holds(box_of(label))
            if min(abs(box_of(label).left - row.x(station)), abs(box_of(label).right - row.x(station))) < 22.0
        ]
        assert near


def test_the_mark_that_goes_on_the_tool_is_heavy() -> None:
    points = [(0, 0, 0), (200, 0, 0), (200, 150, 0)]
    start = a_subject(points)
    mark = start.marks[0]
    assert start.lined_up(mark) == mark.start
    held_at_b = replace(start, steps=tuple(replace(step, held="B", mark=mark.end) for step in start.steps))
    assert held_at_b.lined_up(mark) == mark.end
    page, row = rows_of(held_at_b)[1]
    assert uprights(page, row, row.x(mark.end), MARK)
    assert not uprights(page, row, row.x(mark.start), MARK)
    centre = a_subject(points, bender=a_bender(50, "ram"))
    assert centre.lined_up(mark) == mark.centre
    pairs = [(page, row) for page, row in rows_of(centre) if row.holds(mark.centre)]
    assert all(uprights(page, row, row.x(mark.centre), MARK) for page, row in pairs)
    assert any("C1" in texts(page, row) for page, row in pairs)
    assert not any("C1" in texts(page, row) for page, row in rows_of(start))


def test_without_a_plan_the_benders_habit_counts() -> None:
    subject = replace(a_subject([(0, 0, 0), (200, 0, 0), (200, 150, 0)]), steps=())
    assert subject.lined_up(subject.marks[0]) == subject.marks[0].start
    assert marking_strip(replace(subject, bender=None), A4)


def test_ends_and_trim_are_named() -> None:
    subject = a_subject([(0, 0, 0), (400, 0, 0), (400, 300, 0)], trim=25.0)
    rows = rows_of(subject)
    first, last = texts(*rows[0]), texts(*rows[-1])
    assert {"END A", "notch this end with a file", "trim:", "cut off last"} <= set(first)
    assert {"END B", "trim:", "cut off last"} <= set(last)
    assert "END B" not in first
    assert "trim:" not in texts(*rows_of(replace(subject, trim=0.0))[0])
    page, row = rows[0]
    assert any(
        isinstance(item, Stroke) and item.dash == "dash" and item.points[0] == pytest.approx((row.x(25.0), row.top))
        for item in page.items
    )


@pytest.mark.parametrize(
    ("section", "wrapped", "height"),
    [
        (Round(12), True, math.pi * 12),
        (Tube(25, 2), True, math.pi * 25),
        (Tube(25.4, 2), True, math.pi * 25.4),
        (Round(4), True, math.pi * 4),
        (Round(26), False, FLAG_HEIGHT),
        (Round(3), False, FLAG_HEIGHT),
        (Flat(25, 3), False, FLAG_HEIGHT),
        (SquareTube(20, 20, 2), False, FLAG_HEIGHT),
    ],
)
def test_what_is_wrapped_round(section: Round | Tube | Flat | SquareTube, wrapped: bool, height: float) -> None:
    assert wraps(section) is wrapped
    assert strip_height(section) == pytest.approx(height)


def test_the_scale_in_millimetres() -> None:
    subject = a_subject([(0, 0, 0), (95, 0, 0)], stock=a_round(12))
    page, row = rows_of(subject)[0]
    ticks = [
        item.points[1][1] - item.points[0][1]
        for item in page.items
        if isinstance(item, Stroke) and len(item.points) == 2 and item.points[0][0] == item.points[1][0]
        if item.points[0][1] == row.top and item.points[1][1] < row.top + 6.0
    ]
    lengths = sorted(Counter(round(tick, 3) for tick in ticks).items())
    assert [count for _, count in lengths] == [76, 10, 10]  # 96 ticks from 0 to 95: tens, fives, and the rest
    assert {str(n) for n in range(0, 91, 10)} <= set(texts(page, row))


def test_the_scale_in_inches() -> None:
    page, row = rows_of(paper_subject("inches"))[0]
    ticks = [
        item.points[1][1] - item.points[0][1]
        for item in page.items
        if isinstance(item, Stroke) and len(item.points) == 2 and item.points[0][0] == item.points[1][0]
        if item.points[0][1] == row.top and item.points[1][1] < row.top + 6.0
    ]
    sixteenths = math.floor(row.stop / INCH * 16) + 1
    assert len(ticks) == sixteenths
    assert len({round(tick, 3) for tick in ticks}) == 5
    assert {"1", "2", "3", "8"} <= set(texts(page, row))


def test_a_row_inside_one_long_bend_says_so() -> None:
    said = [text for page, row in rows_of(paper_subject("hoop")) for text in texts(page, row)]
    assert said.count("inside bend 1: bend it all along") >= 2


@pytest.mark.parametrize("name", ["loop", "leg", "hoop", "inches", "hook", "rail", "stay", "ring", "arches"])
def test_no_words_lie_on_others(name: str) -> None:
    for page in marking_strip(paper_subject(name), A4):
        boxes = [(box_of(item), item.text) for item in page.items if isinstance(item, Label)]
        for index, (box, text) in enumerate(boxes):
            for other, said in boxes[index + 1 :]:
                assert box.grown(-0.2).overlap(other) == 0.0, (text, said)


def test_hatch_fills_its_box_and_nothing_else() -> None:
    box = Box(10.0, 20.0, 32.0, 26.0)
    for rising in (True, False):
        lines = hatch(box, 3.0, rising)
        assert len(lines) >= 7
        for line in lines:
            for x, y in line.points:
                assert 10.0 - 1e-9 <= x <= 32.0 + 1e-9
                assert 20.0 - 1e-9 <= y <= 26.0 + 1e-9
            (x0, y0), (x1, y1) = line.points
            assert abs(x1 - x0) == pytest.approx(abs(y1 - y0))
    assert hatch(Box(5.0, 5.0, 5.0, 9.0), 3.0) == ()


def test_a_mark_apart_from_its_bend_has_a_line_of_its_own() -> None:
    subject = a_subject([(0, 0, 0), (200, 0, 0), (200, 150, 0)])
    (mark,) = subject.marks
    behind = replace(mark, behind=-42.0)
    steps = (replace(subject.steps[0], mark=mark.start + 42.0),)
    apart = replace(subject, marks=(behind,), steps=steps)
    said = [label.text for page in marking_strip(apart, A4) for label in page.items if isinstance(label, Label)]
    assert {"S1", "E1", "M1"} <= set(said)
    assert "M what you line up" in " ".join(said)
    plain = [label.text for page in marking_strip(subject, A4) for label in page.items if isinstance(label, Label)]
    assert "M1" not in plain
