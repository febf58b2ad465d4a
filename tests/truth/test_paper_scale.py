"""Papers at 1:1, measured on what a printer would print: 600 dots to the inch, so a pixel is 0.042 mm.

The places to look at come from the layout, within 1.5 mm; the distances measured there are compared with the piece
itself, never with the layout.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from bentwork.parts.cope import round_cope
from bentwork.parts.cope_unrolled import seam_of
from bentwork.sheets.angle_gauge import angle_gauges, laid_out
from bentwork.sheets.drawing import Drawing, Stroke
from bentwork.sheets.full_size import full_size, laid_on
from bentwork.sheets.full_size_lines import tangent_points
from bentwork.sheets.gauge_shapes import card_for, gauges_for
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.page_parts import MARGIN
from bentwork.sheets.parts_pages import parts_pages
from bentwork.sheets.parts_subject import PartsSubject, PartText, Wrap
from bentwork.sheets.strip_rows import OVERLAP, Row, lay_rows, strip_height
from bentwork.sheets.subject import A4, LETTER, Paper, Subject
from bentwork.units import INCH, Ruler
from tests.make import a_bender, a_round, a_subject, a_tube, paper_subject
from tests.measure import MM, Print, printed, shrunk

SCALE = 0.1
"""mm in 100 mm: what a maker sees on a steel rule, and half of what a tape shows."""

PAPERS = {"strip": marking_strip, "gauges": angle_gauges, "full size": full_size}


def a_u(width: float = 120.0, height: float = 90.0, radius: float = 20.0) -> Subject:
    points = [(0, height, 0), (0, 0, 0), (width, 0, 0), (width, height, 0)]
    return a_subject(points, radius, stock=a_round(8), bender=a_bender(radius), piece="u")


def check_bars(page: Drawing, length: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Left end of the bar across and upper end of the bar down, as the layout has them."""
    lines = [item.points for item in page.items if isinstance(item, Stroke) and len(item.points) == 2]
    across = [a for a, b in lines if abs(b[0] - a[0] - length) < 1.3 and a[1] == b[1] and a[1] > page.height - 20]
    down = [a for a, b in lines if abs(b[1] - a[1] - length) < 1.3 and a[0] == b[0] and a[0] > page.width - 20]
    return across[0], down[0]


def measured_bars(page: Drawing, paper: Print, length: float, by: float = 1.0) -> tuple[float, float]:
    """Lengths of both check bars on paper; ``by``: how much smaller the page was printed."""

    def at(point: tuple[float, float]) -> tuple[float, float]:
        middle = (page.width / 2.0, page.height / 2.0)
        return (middle[0] + (point[0] - middle[0]) * by, middle[1] + (point[1] - middle[1]) * by)

    (x, y), (u, v) = check_bars(page, length)
    ends = [paper.line_across(at((a, y))[0], at((a, y))[1] - 2.7, at((a, y))[1] - 1.3) for a in (x, x + length)]
    tops = [paper.line_down(at((u, b))[1], at((u, b))[0] - 2.7, at((u, b))[0] - 1.3) for b in (v, v + length)]
    return ends[1] - ends[0], tops[1] - tops[0]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("kind", list(PAPERS))
def test_check_bars_measure_100_mm(kind: str, paper: Paper, tmp_path: Path) -> None:
    for page in {0: PAPERS[kind](a_u(), paper)[0], 1: PAPERS[kind](a_u(), paper)[-1]}.values():
        across, down = measured_bars(page, printed(page, tmp_path), 100.0)
        assert across == pytest.approx(100.0, abs=SCALE)
        assert down == pytest.approx(100.0, abs=SCALE)


def test_check_bars_measure_4_inches_too(tmp_path: Path) -> None:
    page = marking_strip(paper_subject("inches"), A4)[0]
    for length in (100.0, 4 * INCH):
        across, down = measured_bars(page, printed(page, tmp_path), length)
        assert across == pytest.approx(length, abs=SCALE)
        assert down == pytest.approx(length, abs=SCALE)


def test_a_page_printed_too_small_is_found_out(tmp_path: Path) -> None:
    page = marking_strip(a_u(), A4)[0]
    across, down = measured_bars(page, printed(shrunk(page, 0.99, 0.99), tmp_path), 100.0, by=0.99)
    assert across == pytest.approx(99.0, abs=SCALE)
    assert down == pytest.approx(99.0, abs=SCALE)


def rows_of(subject: Subject, paper: Paper) -> list[tuple[int, Row]]:
    """Rows of the strip, with the page each is on."""
    height = strip_height(subject.stock.section)
    pages = lay_rows(subject.cut_length, height, subject.ruler, paper.sideways)
    return [(number, row) for number, rows in enumerate(pages) for row in rows]


def test_the_scale_is_a_tape_measure(tmp_path: Path) -> None:
    subject = a_u(200.0, 250.0)
    paper = printed(marking_strip(subject, A4)[0], tmp_path)
    row = rows_of(subject, A4)[0][1]
    # Only the centimetre ticks reach this far down; end A itself is the tick at 0.
    found = [paper.line_across(row.x(s), row.top + 3.9, row.top + 4.6) for s in (0.0, 100.0, 200.0)]
    assert found[1] - found[0] == pytest.approx(100.0, abs=SCALE)
    assert found[2] - found[0] == pytest.approx(200.0, abs=SCALE)


def test_the_scale_in_inches_is_a_tape_measure(tmp_path: Path) -> None:
    subject = paper_subject("inches")
    paper = printed(marking_strip(subject, LETTER)[0], tmp_path)
    row = rows_of(subject, LETTER)[0][1]
    found = [paper.line_across(row.x(s * INCH), row.top + 3.9, row.top + 4.6) for s in (0, 3, 6.5 - 0.5)]
    assert found[1] - found[0] == pytest.approx(3 * INCH, abs=SCALE)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_marks_lie_where_they_belong_over_the_joint(paper: Paper, tmp_path: Path) -> None:
    """Row by row: from its own edge, or the dashed line that the next row's edge is laid on, to the mark."""
    subject = a_u(300.0, 170.0, 30.0)
    pages = [printed(page, tmp_path) for page in marking_strip(subject, paper)]
    rows = rows_of(subject, paper)
    assert len(rows) > 1
    for mark in subject.marks:
        reached = 0.0
        for number, row in rows:
            ys = (row.box.bottom - 4.6, row.box.bottom - 1.2)  # below letters and words
            edge = pages[number].line_across(row.left, *ys)
            joint = row.stop - OVERLAP
            if row.number == row.rows or mark.start < joint:
                reached += pages[number].line_across(row.x(mark.start), *ys) - edge
                break
            reached += pages[number].line_across(row.x(joint), *ys) - edge
        assert reached == pytest.approx(mark.start, abs=SCALE)


@pytest.mark.parametrize("diameter", [6.0, 12.0, 25.0])
def test_the_strip_goes_once_round(diameter: float, tmp_path: Path) -> None:
    subject = a_subject([(0, 0, 0), (150, 0, 0)], stock=a_tube(diameter, 1.0), bender=a_bender())
    paper = printed(marking_strip(subject, A4)[0], tmp_path)
    row = rows_of(subject, A4)[0][1]
    between = (row.x(120.2), row.x(120.8))  # between two ticks
    upper = paper.line_down(row.top, *between)
    lower = paper.line_down(row.box.bottom, *between)
    assert lower - upper == pytest.approx(math.pi * diameter, abs=SCALE)


def wedge_angle(paper: Print, page: list[tuple[float, float]], legs: int) -> float:
    """Angle between the two edges of a card: a straight line laid through where each is found, row by row."""
    slopes = []
    for (x0, y0), (x1, y1) in (page[:2], page[2:]):
        ys = np.linspace(min(y0, y1) + 4.0, max(y0, y1) - 4.0, legs)
        xs = [paper.line_across(x0 + (y - y0) / (y1 - y0) * (x1 - x0), y - 0.05, y + 0.05) for y in ys]
        slopes.append(math.degrees(math.atan(np.polyfit(ys, xs, 1)[0])))
    return slopes[1] - slopes[0]


@pytest.mark.parametrize("angle", [60.0, 90.0, 135.0])
@pytest.mark.parametrize("squeezed", [1.0, 0.99], ids=["true", "squeezed"])
def test_wedges_have_the_angle_that_they_say(angle: float, squeezed: float, tmp_path: Path) -> None:
    turn = math.radians(angle)
    points = [(0, 0, 0), (200, 0, 0), (200 + 200 * math.cos(turn), 200 * math.sin(turn), 0)]
    subject = a_subject(points, 40.0, bender=a_bender(40, springback=1.04))
    page = angle_gauges(subject, A4)[0]
    if squeezed != 1.0:
        page = shrunk(page, squeezed, 1.0)
    paper = printed(page, tmp_path)
    for gauge, (left, top, _) in zip(gauges_for(subject), laid_out(subject, A4)[0], strict=True):
        card = card_for(gauge)
        x, y = left + card.half_width, top - card.near[1]
        edges = [(x - card.near[0], y + card.near[1]), (x - card.far[0], y + card.far[1])]
        edges += [(x + card.near[0], y + card.near[1]), (x + card.far[0], y + card.far[1])]
        edges = [(A4.width / 2 + (u - A4.width / 2) * squeezed, v) for u, v in edges]
        off = abs(wedge_angle(paper, edges, 40) - (180.0 - gauge.angle))
        assert off < 0.1 if squeezed == 1.0 else off > 0.3


def tile_and_place(subject: Subject, paper: Paper, name: str) -> tuple[int, float, float]:
    """Number of the page that a tangent point is on, and where on it."""
    layout, grid = laid_on(subject, paper)
    point = next(point for point in tangent_points(subject.line, layout.lay) if point.name == name)
    x, y = point.place[0], -point.place[1]
    for number, tile in enumerate(grid.tiles):
        box = tile.box
        if box.left + OVERLAP < x < box.right - OVERLAP and box.top + OVERLAP < y < box.bottom - OVERLAP:
            return number, x - box.left + MARGIN, y - box.top + MARGIN
    raise AssertionError(f"{name} lies in an overlap")


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_tangent_points_on_one_page(paper: Paper, tmp_path: Path) -> None:
    subject = a_u()
    first, x1, y = tile_and_place(subject, paper, "E1")
    second, x2, _ = tile_and_place(subject, paper, "S2")
    assert first == second
    page = printed(full_size(subject, paper)[1 + first], tmp_path)
    below = (y + 4.6, y + 6.6)  # past the edge of the bar, on the side away from the corner lines
    found = page.line_across(x2, *below) - page.line_across(x1, *below)
    assert found == pytest.approx(subject.line.table.straights[1], abs=SCALE)


def test_tangent_points_over_two_pages(tmp_path: Path) -> None:
    """From the tangent point to the register cross on one page, and on from the same cross on the next."""
    subject = a_u(300.0, 100.0, 25.0)
    _, grid = laid_on(subject, A4)
    first, x1, y = tile_and_place(subject, A4, "E1")
    second, x2, _ = tile_and_place(subject, A4, "S2")
    assert first != second
    pages = full_size(subject, A4)
    crosses = [dict(grid.crosses(grid.tiles[number])) for number in (first, second)]
    shared = sorted(set(crosses[0]) & set(crosses[1]))[0]
    total, sign = 0.0, -1.0
    for number, x, cross in ((first, x1, crosses[0][shared]), (second, x2, crosses[1][shared])):
        paper = printed(pages[1 + number], tmp_path)
        box = grid.tiles[number].box
        cx, cy = cross[0] - box.left + MARGIN, cross[1] - box.top + MARGIN
        total += sign * (paper.line_across(x, y + 4.6, y + 6.6) - paper.line_across(cx, cy + 1.0, cy + 3.5))
        sign = -sign
    assert total == pytest.approx(subject.line.table.straights[1], abs=0.15)


def test_the_edges_of_the_bar_are_its_width_apart(tmp_path: Path) -> None:
    subject = a_u()
    number, x, y = tile_and_place(subject, A4, "E1")
    page = printed(full_size(subject, A4)[1 + number], tmp_path)
    where = (x + 8.0, x + 12.0)
    edges = [page.line_down(y + side * 4.0, *where, reach=1.0) for side in (-1.0, 1.0)]
    assert edges[1] - edges[0] == pytest.approx(8.0, abs=SCALE)


def test_inch_rows_join_true(tmp_path: Path) -> None:
    subject = a_subject(
        [(0, 0, 0), (20 * INCH, 0, 0), (20 * INCH, 10 * INCH, 0)],
        2 * INCH,
        stock=a_tube(40.0, 2.0),
        bender=a_bender(2 * INCH),
        ruler=Ruler("in"),
    )
    rows = rows_of(subject, A4)
    assert all(math.isclose(row.start / INCH, round(row.start / INCH), abs_tol=1e-9) for _, row in rows)
    paper = printed(marking_strip(subject, A4)[0], tmp_path)
    row = rows[0][1]
    ys = (row.box.bottom - 4.0, row.box.bottom - 1.0)
    joint = paper.line_across(row.x(row.stop - OVERLAP), *ys) - paper.line_across(row.left, *ys)
    assert joint == pytest.approx(rows[1][1].start, abs=SCALE)


def test_the_wrap_of_a_cope_is_as_wide_as_its_bar_is_round(tmp_path: Path) -> None:
    cope = round_cope(25.0, 21.0, 30.0, 60.0, 2.0)
    text = PartText("rung", "make 1", ("End A: on loop.",))
    about = PartsSubject(
        "Rack", "abc123", "1 May 2031", Ruler(), (text,), (Wrap("rung", "A", 1, cope, "loop", None, None),)
    )
    page = parts_pages(about, A4)[1]
    paper = printed(page, tmp_path)
    across, down = measured_bars(page, paper, 100.0)
    assert across == pytest.approx(100.0, abs=SCALE)
    assert down == pytest.approx(100.0, abs=SCALE)
    edges = next(one for one in page.items if isinstance(one, Stroke) and len(one.points) == 4 and one.dash == "full")
    (left, top), (_, base), (right, _), (_, other) = edges.points
    sides = [paper.line_across(x, max(top, other) + 9.0, base - 6.0) for x in (left, right)]
    assert sides[1] - sides[0] == pytest.approx(math.pi * 25.0, abs=SCALE)
    # a column on the quarter lines: the heavy line lies as deep as the formula of the section has it
    for turn in (60.0, 200.0, 300.0):  # the seam is opposite line 0
        x = left + (turn - 180.0) % 360.0 / 360.0 * math.pi * 25.0
        depth = paper.line_down(base, x - 1.0, x + 1.0) - _heavy(paper, x, base - 5.0)
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        reach = (math.sqrt(15.0**2 - (2.0 + 12.5 * s) ** 2) - 12.5 * c * 0.5) / math.sqrt(0.75)
        drawn = (base - top) - (reach - cope.outer(seam_of(cope)))
        assert depth == pytest.approx(drawn, abs=0.15)


def _heavy(paper: Print, x: float, below: float) -> float:
    """y of the middle of the topmost heavy line in a column, mm."""
    column = paper.grey[: round(below / MM), round(x / MM)] < 128
    rows = np.flatnonzero(column[round(20.0 / MM) :]) + round(20.0 / MM)  # below the head
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    first = next(run for run in runs if len(run) * MM > 0.5)
    return float(first.mean()) * MM
