"""From what is to be bought to what the page is told."""

from __future__ import annotations

from collections.abc import Mapping

from bentwork.files.plan_json import findings_document
from bentwork.jobs.buying import Buying, Sawn
from bentwork.jobs.buying_words import (
    amount_words,
    good_words,
    mass_words,
    money,
    plan_words,
    sum_words,
    title_of,
    weigh_in_words,
    why_words,
)
from bentwork.parts.cutting import BarCut
from bentwork.parts.weigh_in import WeighIn
from bentwork.sheets.bar_plan import bar_heading, cut_words, saw_at
from bentwork.units import Ruler
from bentwork.web.wire import FindingOut
from bentwork.web.wire_buy import BuyOut, GoodOut, SawnBarOut, SawnPieceOut, StockCutOut

__all__ = ["buy_out"]


def buy_out(at: str, bought: Buying, spares: Mapping[str, int], scales: WeighIn | None) -> BuyOut:
    """Return what the page is told.

    Args:
        at: sum of the job file.
        bought: what is to be bought.
        spares: that are counted.
        scales: what they say; None where nothing was weighed.
    """
    ruler = bought.job.ruler
    return BuyOut(
        sum=at,
        mass_unit=ruler.mass_unit,
        goods=[
            GoodOut(
                amount=amount_words(good, ruler),
                name=good_words(good, bought),
                why=why_words(good, ruler),
                mass=mass_words(good, ruler),
                price=money(good.price),
            )
            for good in bought.goods
        ],
        comes_to=list(sum_words(bought)) if bought.goods else [],
        stocks=[_stock(one, ruler) for one in bought.sawn],
        spares=[f"{count} of {name}" for name, count in spares.items() if count],
        scales=[] if scales is None else list(weigh_in_words(scales, ruler)),
        scales_agree=scales is not None and scales.agrees,
        findings=[FindingOut(**one) for one in findings_document(bought.findings, ruler)],
    )


def _stock(one: Sawn, ruler: Ruler) -> StockCutOut:
    bars = one.plan.bars if one.plan is not None else ()
    return StockCutOut(
        stock=one.wanted.stock.name,
        title=title_of(one, ruler),
        says=plan_words(one, ruler),
        longest_mm=max((bar.length for bar in bars), default=0.0),
        bars=[_bar(bar, ruler) for bar in bars],
    )


def _bar(bar: BarCut, ruler: Ruler) -> SawnBarOut:
    return SawnBarOut(
        says=bar_heading(bar, ruler),
        cuts=cut_words(bar, ruler),
        length_mm=bar.length,
        offcut=bar.offcut,
        spans=[
            SawnPieceOut(
                name=name,
                length=ruler.tape(stop - start),
                from_mm=start,
                to_mm=stop,
                saw_at=saw_at(bar, stop, ruler),
            )
            for name, start, stop in bar.spans
        ],
        rest=ruler.tape(bar.rest),
    )
