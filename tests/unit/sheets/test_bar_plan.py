"""Bars and their cuts, drawn to one scale."""

from __future__ import annotations

import pytest

from bentwork.parts.cutting import BarCut, BarOnSale, CuttingPlan, Length, Offcut, Saw
from bentwork.parts.cutting_plan import cut_plan
from bentwork.sheets.bar_plan import bar_heading, bar_rows, cut_words
from bentwork.sheets.buying_sheet import BuyingLine, BuyingSubject, StockCut, buying_sheet
from bentwork.sheets.drawing import Label, Stroke
from bentwork.sheets.subject import A4
from bentwork.units import Ruler

WIDE = 186.0


def a_plan() -> CuttingPlan:
    lengths = [Length("loop", 1923.0), Length("rung", 288.0, 3), Length("pin", 20.0, 2)]
    plan = cut_plan(lengths, [BarOnSale(3000.0, 14.5)], [Offcut(600.0)], Saw(2.5, 6.0))
    assert plan is not None
    return plan


def test_every_bar_is_drawn_to_one_scale() -> None:
    plan = a_plan()
    for bar, row in zip(plan.bars, bar_rows(plan, Ruler(), WIDE), strict=True):
        frame = max(
            (item for item in row.items if isinstance(item, Stroke) and item.closed),
            key=lambda stroke: max(x for x, _ in stroke.points),
        )
        assert max(x for x, _ in frame.points) == pytest.approx(bar.length * WIDE / 3000.0)


def test_where_to_saw_is_on_a_tape_from_the_sawn_end() -> None:
    bar = BarCut(3000.0, 14.5, False, (("loop", 1923.0), ("rung", 288.0)), 1, Saw(2.5, 6.0))
    (row,) = bar_rows(CuttingPlan((bar,), 14.5, 14.5, True, True), Ruler(), WIDE)
    words = [item.text for item in row.items if isinstance(item, Label)]
    assert "1923" in words
    assert "2213.5" in words  # 1923 + 2.5 + 288
    assert cut_words(bar, Ruler()) == "1 × loop 1923 mm, 1 × rung 288 mm; 778 mm left"
    assert bar_heading(bar, Ruler("in")) == "1 bar of 118 7/64 in"


def test_a_piece_too_narrow_for_words_has_none() -> None:
    bar = BarCut(3000.0, 14.5, False, (("pin", 20.0),), 1, Saw())
    (row,) = bar_rows(CuttingPlan((bar,), 14.5, 14.5, True, True), Ruler(), WIDE)
    assert "pin" not in [item.text for item in row.items if isinstance(item, Label)]


def test_long_lists_go_on_another_page_and_stay_on_the_paper() -> None:
    lines = tuple(BuyingLine(f"{k} × 3000 mm", f"round {k} mm", "of " * 30, "1.00", "9.00") for k in range(30))
    stocks = tuple(StockCut(f"round {k} mm", a_plan(), "Nothing cheaper is possible.") for k in range(6))
    subject = BuyingSubject("Rack", "3f2a", "1 March 2026", Ruler(), lines, ("in all 3.00",), stocks, ("A note.",))
    pages = buying_sheet(subject, A4)
    assert len(pages) > 2
    for page in pages:
        for item in page.items:
            points = [item.at] if isinstance(item, Label) else item.points
            assert all(0.0 <= x <= A4.width and 0.0 <= y <= A4.height for x, y in points)
