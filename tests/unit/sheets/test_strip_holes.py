"""Holes on a marking strip: where the drill goes in and comes out, on the paper that is wrapped round the bar."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.sheets.drawing import Label, Stroke
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.placing import Box
from bentwork.sheets.strip_rows import base_line, lay_rows, round_at
from bentwork.sheets.strip_scale import scale_height
from bentwork.sheets.subject import A4, DrilledHole, Subject
from bentwork.stock.section import SquareTube, Tube
from tests.make import a_round, a_subject

POINTS = [(0.0, 0.0, 0.0), (0.0, 0.0, 300.0), (300.0, 0.0, 300.0)]


def drilled(*holes: DrilledHole) -> Subject:
    stock = replace(a_round(), section=Tube(25.0, 2.0))
    return replace(a_subject(POINTS, 60.0, stock=stock), drilled=holes)


def strokes(subject: Subject, less: Subject) -> list[Stroke]:
    """What the holes add to the strip."""
    before = {item for page in marking_strip(less, A4) for item in page.items if isinstance(item, Stroke)}
    return [
        item
        for page in marking_strip(subject, A4)
        for item in page.items
        if isinstance(item, Stroke) and item not in before and len(item.points) > 2
    ]


def box(lines: list[Stroke]) -> Box:
    xs, ys = zip(*(point for line in lines for point in line.points), strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


@pytest.mark.parametrize("turn", [0.0, 90.0, -30.0, 200.0])
def test_a_hole_is_drawn_where_the_drill_goes_in(turn: float) -> None:
    """The skin of a bore of d in a bar of D, laid flat, is d long and D asin(d / D) round."""
    subject = drilled(DrilledHole(1, 100.0, 10.0, (turn,), False))
    row = lay_rows(subject.cut_length, math.pi * 25.0, subject.ruler, A4.sideways)[0][0]
    y = row.top + round_at(turn, row.height, base_line(row.height, subject.marks, scale_height(row.height)))
    seen = box(strokes(subject, drilled()))
    assert (seen.left + seen.right) / 2.0 == pytest.approx(row.x(100.0))
    assert (seen.top + seen.bottom) / 2.0 == pytest.approx(y)
    assert seen.right - seen.left == pytest.approx(10.0)
    assert seen.bottom - seen.top == pytest.approx(25.0 * math.asin(0.4), abs=1e-6)


def test_a_hole_on_the_seam_of_the_paper_is_drawn_at_both_edges() -> None:
    subject = drilled()
    height = math.pi * 25.0
    base = base_line(height, subject.marks, scale_height(height))
    on_edge = -base / height * 360.0
    lines = strokes(drilled(DrilledHole(1, 100.0, 10.0, (on_edge,), True)), subject)
    row = lay_rows(subject.cut_length, height, subject.ruler, A4.sideways)[0][0]
    seen = box(lines)
    assert seen.top == pytest.approx(row.top, abs=0.3) and seen.bottom == pytest.approx(row.box.bottom, abs=0.3)
    assert all(row.top - 1e-9 <= y <= row.box.bottom + 1e-9 for line in lines for _, y in line.points)
    assert {line.dash for line in lines} == {"dash", "full"}  # the rim of one drilled after bending, and its cross


def test_every_hole_is_named_and_the_foot_says_what_the_circles_are() -> None:
    holes = [DrilledHole(1, 60.0, 6.6, (0.0, 180.0), False), DrilledHole(2, 110.0, 8.0, (90.0,), True)]
    said = [item.text for page in marking_strip(drilled(*holes), A4) for item in page.items if isinstance(item, Label)]
    assert "hole 1, 6.6 mm" in said and "hole 2, 8 mm" in said and "AFTER" in said
    assert "Circles are holes" in " ".join(said)


def test_on_bar_with_sides_a_line_shows_how_far_along() -> None:
    stock = replace(a_round(), section=SquareTube(25.0, 25.0, 2.0))
    plain = a_subject(POINTS, 60.0, stock=stock)
    subject = replace(plain, drilled=(DrilledHole(1, 100.0, 6.0, (90.0,), False),))
    (page,) = marking_strip(subject, A4)
    row = lay_rows(subject.cut_length, 24.0, subject.ruler, A4.sideways)[0][0]
    lines = [item.points for item in page.items if isinstance(item, Stroke) and item.dash == "chain"]
    assert lines == [((row.x(100.0), row.top), (row.x(100.0), row.box.bottom))]
