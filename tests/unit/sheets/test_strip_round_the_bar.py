"""Where round the bar each bend goes, on strips that are wrapped and on strips that are not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.planning.marks import Mark
from bentwork.sheets.drawing import HEAVY, Drawing, Label, Stroke
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.placing import Room, box_of
from bentwork.sheets.strip_bends import round_lines, turn_words
from bentwork.sheets.strip_rows import Row, base_line, lay_rows, round_at, strip_height
from bentwork.sheets.subject import A4, Paper, Subject
from bentwork.space import rotate
from tests.make import a_bender, a_round, a_subject, a_tube


def rows_of(subject: Subject, paper: Paper = A4) -> list[tuple[Drawing, Row]]:
    pages = marking_strip(subject, paper)
    laid = lay_rows(subject.cut_length, strip_height(subject.stock.section), subject.ruler, paper.sideways)
    assert len(pages) == len(laid)
    return [(page, row) for page, rows in zip(pages, laid, strict=True) for row in rows]


def texts(page: Drawing, row: Row) -> list[str]:
    """Words inside one row."""
    return [item.text for item in page.items if isinstance(item, Label) and row.box.grown(0.5).holds(box_of(item))]


def test_the_right_hand_rule_runs_down_the_paper() -> None:
    """Bar along x, end A left, printed side out: from above (y) towards the eye (z) is down the paper."""
    assert rotate((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), 90.0) == pytest.approx((0.0, 0.0, 1.0))
    assert round_at(0.0, 40.0, 12.0) == 12.0
    assert round_at(90.0, 40.0, 12.0) == pytest.approx(22.0)
    assert round_at(-90.0, 40.0, 12.0) == pytest.approx(2.0)
    assert round_at(180.0, 40.0, 12.0) == pytest.approx(32.0)
    assert round_at(-150.0, 40.0, 12.0) == pytest.approx(40.0 - 4.0 - 2 / 3)  # over the edge, to the other one


def test_the_inside_of_each_bend_is_where_it_belongs() -> None:
    """A bend that is rotated by 90 degrees lies a quarter of the way round below the base line, on its own mark."""
    subject = a_subject([(0, 0, 0), (120, 0, 0), (120, 100, 0), (120, 100, 90)], 20.0, stock=a_round(12))
    assert [mark.direction for mark in subject.marks] == pytest.approx([0.0, 90.0])
    height = math.pi * 12
    rows = rows_of(subject)
    heavy = [
        (
            row.start + item.points[0][0] - row.left,
            row.start + item.points[1][0] - row.left,
            item.points[0][1] - row.top,
        )
        for page, row in rows
        for item in page.items
        if isinstance(item, Stroke) and item.weight == HEAVY and item.points[0][1] == item.points[1][1]
        if row.top < item.points[0][1] < row.box.bottom
    ]
    assert len(heavy) == 2
    for mark, (left, right, _) in zip(subject.marks, heavy, strict=True):
        assert (left + right) / 2.0 == pytest.approx(mark.start)
    assert heavy[1][2] - heavy[0][2] == pytest.approx(height / 4.0)
    assert {"inside of bend 1", "inside of bend 2"} <= {text for page, row in rows for text in texts(page, row)}


def a_mark(direction: float) -> Mark:
    return Mark(1, 10.0, 20.0, 10.0, 0.0, direction, None)


@given(st.lists(st.floats(-180.0, 180.0), max_size=6), st.floats(12.0, 80.0))
def test_the_base_line_is_never_on_the_cut_edge(directions: list[float], height: float) -> None:
    base = base_line(height, [a_mark(direction) for direction in directions], height / 4.0)
    assert 0.25 * height - 1e-9 <= base <= 0.65 * height + 1e-9


@pytest.mark.parametrize(
    "directions", [(0,), (0, 180), (0, 90), (0, -90), (0, 90, 180, -90), (0, 45, -45), (0, 120, -120)]
)
def test_the_usual_directions_are_clear_of_the_edges(directions: tuple[int, ...]) -> None:
    height = math.pi * 12
    marks = [a_mark(direction) for direction in directions]
    base = base_line(height, marks, 9.0)
    assert all(1.5 < round_at(mark.direction, height, base) < height - 1.5 for mark in marks)


def test_a_line_on_the_edge_is_half_on_each() -> None:
    subject = a_subject([(0, 0, 0), (120, 0, 0), (120, 100, 0)], 20.0, stock=a_round(12))
    base, height = 12.0, math.pi * 12
    on_edge = replace(subject, marks=(replace(subject.marks[0], direction=-base / height * 360.0),))
    row = rows_of(subject)[0][1]
    lines = [item for item in round_lines(row, on_edge, base, Room(row.box)) if isinstance(item, Stroke)][1:]
    assert [line.weight for line in lines] == pytest.approx([HEAVY / 2.0, HEAVY / 2.0])
    ys = sorted(line.points[0][1] - row.top for line in lines)
    assert ys == pytest.approx([HEAVY / 4.0, height - HEAVY / 4.0])


def test_rotation_is_said_in_words_where_nothing_is_wrapped() -> None:
    subject = a_subject(
        [(0, 0, 0), (120, 0, 0), (120, 100, 0), (120, 100, 90)], 20.0, stock=a_tube(40.0, 2.0), bender=a_bender(20)
    )
    said = [text for page, row in rows_of(subject) for text in texts(page, row)]
    assert "90° clockwise from" in said
    assert "bend 1, seen from end A" in said
    assert not any("inside of" in text for text in said)
    assert turn_words(0.0) == ("to the same side", "as bend 1")
    assert turn_words(180.0) == ("to the other side", "from bend 1")
    assert turn_words(-32.5)[0] == "32.5° anticlockwise from"
