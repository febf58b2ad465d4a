"""From a result to what its buying list is about."""

from __future__ import annotations

from bentwork.jobs.buying import buying
from bentwork.jobs.buying_words import (
    amount_words,
    good_words,
    mass_words,
    money,
    plan_words,
    sum_words,
    title_of,
    why_words,
)
from bentwork.jobs.work import Result
from bentwork.sheets.buying_sheet import BuyingLine, BuyingSubject, StockCut

__all__ = ["buying_subject"]


def buying_subject(result: Result, date: str) -> BuyingSubject | None:
    """Return the buying list of a job; None where nothing can be bought for it."""
    bought = buying(result)
    if not bought.sawn:
        return None
    job, ruler = result.job, result.job.ruler
    return BuyingSubject(
        job=job.name,
        version=job.version,
        date=date,
        ruler=ruler,
        lines=tuple(
            BuyingLine(
                amount_words(good, ruler),
                good_words(good, bought),
                why_words(good, ruler),
                mass_words(good, ruler),
                money(good.price),
            )
            for good in bought.goods
        ),
        sum=tuple(sum_words(bought)),
        stocks=tuple(StockCut(title_of(one, ruler), one.plan, plan_words(one, ruler)) for one in bought.sawn),
        notes=tuple(" ".join(part for part in finding.told(ruler)[:2] if part) for finding in bought.findings),
    )
