"""Papers of small parts: at 1:1, all on the page, the right way round."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from bentwork.fastening.threads import METRIC
from bentwork.parts.cope import Cope, round_cope
from bentwork.parts.cope_unrolled import seam_of
from bentwork.parts.meeting import Limb
from bentwork.parts.outline import Outline
from bentwork.parts.tab import Plan, tab_on
from bentwork.sheets.cope_template import FLAP, cope_templates
from bentwork.sheets.drawing import HEAVY, Drawing, Label, Stroke
from bentwork.sheets.parts_pages import parts_pages
from bentwork.sheets.parts_subject import PartsSubject, PartText, TabCard, Wrap
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.sheets.tab_card import tab_card, tab_outline
from bentwork.sheets.template_strips import GLUE
from bentwork.stock.section import Round
from bentwork.units import Ruler

COPE = round_cope(25.0, 21.0, 30.0, 60.0, 2.0)
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
    (drawn,) = cope_templates(WRAP, Ruler(), 180.0, 220.0)
    points = heavy(drawn.items)
    assert drawn.width == pytest.approx(math.pi * 25.0 + FLAP)
    assert points[0][0] == 0.0
    assert points[-1][0] == pytest.approx(math.pi * 25.0)
    for x, y in points:  # the end of the bar is up: farther out is higher on the page
        assert y == pytest.approx(COPE.outer(x + seam_of(COPE)) - COPE.longest, abs=1e-9)
    assert min(y for _, y in points) == pytest.approx(0.0)
    assert max(y for _, y in points) == pytest.approx(COPE.depth)


def test_a_wrap_that_is_wider_than_the_page_comes_in_parts() -> None:
    wide = replace(WRAP, cope=round_cope(100.0, 90.0, 120.0, 90.0))
    parts = cope_templates(wide, Ruler(), 186.0, 220.0)
    assert len(parts) == 2
    assert all(part.width <= 186.0 for part in parts)
    ends = [heavy(part.items) for part in parts]
    assert ends[0][-1][1] == pytest.approx(ends[1][0][1])  # they meet


def test_top_and_the_line_from_the_other_end_stand_where_they_belong() -> None:
    (drawn,) = cope_templates(WRAP, Ruler(), 180.0, 220.0)
    (top,) = (one for one in drawn.items if isinstance(one, Label) and one.text == "TOP")
    assert top.at[0] == pytest.approx(0.25 * math.pi * 25.0)  # the seam is opposite line 0
    (line,) = (one for one in drawn.items if isinstance(one, Label) and one.text == "other end")
    assert line.at[0] == pytest.approx(0.0, abs=1.5)


def test_the_base_is_told_and_lies_there() -> None:
    for units, step in (("mm", 5.0), ("in", 6.35)):
        (drawn,) = cope_templates(WRAP, Ruler("in" if units == "in" else "mm"), 180.0, 220.0)
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


def square(angle: float) -> Wrap:
    cope = Cope(Outline(15.0, 10.0, 4.0), Outline(13.0, 8.0, 2.0), Outline(12.5, 12.5, 12.5), angle)
    return Wrap("beam", "A", 1, cope, "rail", 0.0, None)


def test_a_wrap_of_square_tube_has_its_fold_lines_at_the_corners() -> None:
    wrap = square(90.0)
    (drawn,) = cope_templates(wrap, Ruler(), 180.0, 220.0)
    around = 2 * (30 + 20) - (8 - 2 * math.pi) * 4
    assert drawn.width == pytest.approx(around + FLAP)
    folds = [one.at[0] for one in drawn.items if isinstance(one, Label) and one.text == "fold"]
    # from the middle of one broad side: half of it less the corner, and half the corner's arc
    first = 6.0 + math.pi
    assert sorted(folds) == pytest.approx([first, around / 2 - first, around / 2 + first, around - first])


def test_what_passes_beside_is_dotted() -> None:
    cope = round_cope(25.0, 21.0, 25.0, 90.0, 14.0)
    (drawn,) = cope_templates(replace(WRAP, cope=cope), Ruler(), 180.0, 220.0)
    dotted = [one for one in drawn.items if isinstance(one, Stroke) and one.dash == "dot"]
    wide = sum(one.points[-1][0] - one.points[0][0] for one in dotted)
    assert wide == pytest.approx(sum(high - low for low, high in cope.passing), abs=0.01)
    assert heavy(drawn.items)


@pytest.mark.parametrize(
    "cope", [round_cope(16.0, 13.0, 25.0, 3.0), square(4.0).cope, round_cope(60.0, 56.0, 60.0, 6.0)]
)
def test_a_template_longer_than_the_page_comes_in_strips_that_meet(cope: Cope) -> None:
    wrap = replace(WRAP, cope=cope)
    (whole,) = cope_templates(wrap, Ruler(), 500.0, 5000.0)
    parts = cope_templates(wrap, Ruler(), 500.0, 200.0)
    assert len(parts) == math.ceil(whole.height / (200.0 - GLUE))
    assert all(part.height <= 200.0 and part.width <= whole.width + 10.0 for part in parts)
    assert sum(part.height for part in parts) == pytest.approx(whole.height + (len(parts) - 1) * GLUE)
    for upper, lower in itertools.pairwise(parts):
        joint = upper.height - GLUE
        ends = [(x, y) for x, y in heavy(upper.items) if abs(y - joint) < 1e-6]
        begins = [(x, y) for x, y in heavy(lower.items) if abs(y) < 1e-6]
        assert len(ends) == len(begins) >= 2
        # the same places round the bar, seen from one of them: strips are as narrow as what is on them
        gaps = [sorted(x - min(x for x, _ in of) for x, _ in of) for of in (ends, begins)]
        assert gaps[0] == pytest.approx(gaps[1], abs=1e-6)
        below, above = _marks(upper, joint, min(ends)[0]), _marks(lower, 0.0, min(begins)[0])
        assert len(below) == 2
        assert below == pytest.approx(above)
    # nothing of the curve is lost
    assert sum(map(_length, parts)) == pytest.approx(_length(whole), rel=1e-6)


def _marks(strip: Drawing, joint: float, first: float) -> list[float]:
    """Where the triangles at a joint stand, from where the curve first crosses it."""
    lines = [one.points for one in strip.items if isinstance(one, Stroke) and len(one.points) == 3]
    return sorted(points[1][0] - first for points in lines if abs(points[0][1] - joint) < 1e-6)


def _length(drawn: Drawing) -> float:
    strokes = [one for one in drawn.items if isinstance(one, Stroke) and abs(one.weight - HEAVY * 0.7) < 1e-9]
    return sum(math.dist(a, b) for stroke in strokes for a, b in itertools.pairwise(stroke.points))


def test_strips_and_folds_stay_on_the_page() -> None:
    wraps = (replace(WRAP, cope=round_cope(16.0, 13.0, 25.0, 2.0)), square(3.0), square(90.0))
    for paper, units in ((A4, "mm"), (LETTER, "in")):
        pages = parts_pages(subject(units, wraps=wraps), paper)
        for page in pages:
            for item in page.items:
                points = item.points if isinstance(item, Stroke) else (item.at,)
                assert all(-0.1 <= x <= paper.width + 0.1 and -0.1 <= y <= paper.height + 0.1 for x, y in points)
        assert any("diamonds" in one.text for page in pages for one in page.items if isinstance(one, Label))


@pytest.mark.parametrize("lines", range(4, 14))
def test_the_caution_does_not_stand_alone_on_a_page(lines: int) -> None:
    """Whatever is above it: for some of these it had a page of its own."""
    text = PartText("rung", "make 3", tuple(f"line {n}" for n in range(lines)))
    for many in range(2, 9):
        listed = subject(texts=(text,) * many, tabs=(TAB,), cautions=("Clamp tabs.", "Deburr."))
        for page in parts_pages(listed, A4):
            words = [item.text for item in page.items if isinstance(item, Label)]
            assert "Caution" not in words or "rung" in words
