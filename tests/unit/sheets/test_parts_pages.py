"""Papers of small parts: at 1:1, all on the page, the right way round."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.fastening.threads import METRIC
from bentwork.parts.cope import Cope
from bentwork.parts.meeting import Limb
from bentwork.parts.tab import Plan, tab_on
from bentwork.sheets.cope_template import FLAP, cope_templates
from bentwork.sheets.drawing import HEAVY, Label, Stroke
from bentwork.sheets.parts_pages import parts_pages
from bentwork.sheets.parts_subject import PartsSubject, PartText, TabCard, Wrap
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.sheets.tab_card import tab_card, tab_outline
from bentwork.stock.section import Round
from bentwork.units import Ruler

COPE = Cope(25.0, 21.0, 30.0, 60.0, 2.0)
WRAP = Wrap("rung", "B", 3, COPE, "loop", 270.0, 180.0)
BAR = Limb((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), Round(12.0))
MADE = tab_on(BAR, (0.0, 0.0, -30.0), (0.0, 1.0, 0.0), Plan(5.0, 20.0, 6.6))
assert MADE is not None
TAB = TabCard("foot", MADE, METRIC[6.0].drill, ("Make 2.", "Drill it."))


def subject(units: str = "mm", **more: object) -> PartsSubject:
    text = PartText("rung", "make 3", ("End A: on loop.",))
    whole = PartsSubject("Rack", "abc123", "1 May 2031", Ruler("in" if units == "in" else "mm"), (text,))
    return replace(whole, **more)  # type: ignore[arg-type]


def heavy(items: tuple[object, ...]) -> list[tuple[float, float]]:
    strokes = [one for one in items if isinstance(one, Stroke) and abs(one.weight - HEAVY * 0.7) < 1e-9]
    return [point for stroke in strokes for point in stroke.points]


def test_the_wrap_is_as_wide_as_the_bar_is_round_and_its_edge_is_the_curve() -> None:
    (drawn,) = cope_templates(WRAP, Ruler(), 180.0)
    points = heavy(drawn.items)
    assert drawn.width == pytest.approx(math.pi * 25.0 + FLAP)
    assert points[0][0] == 0.0
    assert points[-1][0] == pytest.approx(math.pi * 25.0)
    for x, y in points:  # the end of the bar is up: farther out is higher on the page
        assert y == pytest.approx(COPE.outer(x / (math.pi * 25.0) * 360.0) - COPE.longest, abs=1e-9)
    assert min(y for _, y in points) == pytest.approx(0.0)
    assert max(y for _, y in points) == pytest.approx(COPE.depth)


def test_a_wrap_that_is_wider_than_the_page_comes_in_parts() -> None:
    wide = replace(WRAP, cope=Cope(100.0, 90.0, 120.0, 90.0))
    parts = cope_templates(wide, Ruler(), 186.0)
    assert len(parts) == 2
    assert all(part.width <= 186.0 for part in parts)
    ends = [heavy(part.items) for part in parts]
    assert ends[0][-1][1] == pytest.approx(ends[1][0][1])  # they meet


def test_top_and_the_line_from_the_other_end_stand_where_they_belong() -> None:
    (drawn,) = cope_templates(WRAP, Ruler(), 180.0)
    (top,) = (one for one in drawn.items if isinstance(one, Label) and one.text == "TOP")
    assert top.at[0] == pytest.approx(0.75 * math.pi * 25.0)
    (line,) = (one for one in drawn.items if isinstance(one, Label) and one.text == "other end")
    assert line.at[0] == pytest.approx(0.5 * math.pi * 25.0, abs=1.5)


def test_the_base_is_told_and_lies_there() -> None:
    for units, step in (("mm", 5.0), ("in", 6.35)):
        (drawn,) = cope_templates(WRAP, Ruler("in" if units == "in" else "mm"), 180.0)
        edges = next(
            one for one in drawn.items if isinstance(one, Stroke) and len(one.points) == 4 and one.dash == "full"
        )
        base = edges.points[1][1]
        assert base / step == pytest.approx(round(base / step))
        told = " ".join(one.text for one in drawn.items if isinstance(one, Label))
        assert f"base {Ruler('in' if units == 'in' else 'mm').length(base)} from the longest point" in told


def test_a_tab_is_drawn_at_its_size() -> None:
    outline = tab_outline(TAB.tab)
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    length, width, _ = TAB.tab.blank
    assert max(xs) - min(xs) == pytest.approx(length, abs=0.01)
    assert max(ys) - min(ys) == pytest.approx(width)
    drawn = tab_card(TAB, Ruler(), 186.0)
    circles = [one for one in drawn.items if isinstance(one, Stroke) and len(one.points) == 48]
    sizes = sorted(max(x for x, _ in one.points) - min(x for x, _ in one.points) for one in circles)
    assert sizes == pytest.approx([5.0, 6.6])


@pytest.mark.parametrize(("paper", "units"), [(A4, "mm"), (LETTER, "in")])
def test_everything_stays_on_the_page(paper: Paper, units: str) -> None:
    about = subject(
        units, wraps=(WRAP,) * 5, tabs=(TAB,) * 4, texts=(PartText("rung", "make 3", ("Do it. " * 40,)),) * 9
    )
    pages = parts_pages(about, paper)
    assert len(pages) > 2
    for page in pages:
        for item in page.items:
            points = item.points if isinstance(item, Stroke) else (item.at,)
            assert all(-0.1 <= x <= paper.width + 0.1 and -0.1 <= y <= paper.height + 0.1 for x, y in points)


def test_nothing_to_make_is_no_page() -> None:
    assert parts_pages(subject(texts=()), A4) == ()
    assert len(parts_pages(subject(), A4)) == 1
