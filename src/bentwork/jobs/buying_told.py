"""What there is to say about buying: bars too short or not on sale, prices that are missing, a plan unproven."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from bentwork.findings import Finding
from bentwork.jobs.cut_list import Wanted
from bentwork.jobs.goods import Good
from bentwork.jobs.job import Job
from bentwork.parts.cutting import CuttingPlan

__all__ = ["cutting_findings", "price_findings"]


def cutting_findings(wanted: Wanted, plan: CuttingPlan | None) -> Iterator[Finding]:
    """Tell what keeps a stock from being cut, and what is not known of it."""
    stock = wanted.stock
    if plan is None:
        yield Finding(
            "note",
            "no-bar-on-sale",
            f"How many bars of {stock.name} to buy cannot be told: no length on sale is known.",
            "{total} of it are wanted in all, saw cuts not counted.",
            f"Say it: bar_length = … and price = … in [stock.{stock.name}].",
            lengths={"total": wanted.total},
        )
        return
    for length in plan.too_long:
        yield Finding(
            "stop",
            "bar-too-short",
            f"No bar of {stock.name} is long enough for {length.name}.",
            "It takes {cut}; the longest bar is {bar}, ends and all.",
            "Buy a longer bar, leave less trim, or make it of two pieces joined in a straight.",
            lengths={"cut": length.length, "bar": stock.longest_bar or 0.0},
        )
    if not plan.proven:
        yield Finding(
            "note",
            "cutting-unproven",
            f"A cheaper way to cut {stock.name} may exist.",
            f"The search was stopped; none can be cheaper by more than {plan.gap:.1%}.",
            "What is planned can be cut as it is.",
        )


def price_findings(goods: Iterable[Good], job: Job) -> Iterator[Finding]:
    """Tell what has no price, and what is not known of the saw."""
    missing = [good.name for good in goods if good.price is None and good.sort == "bar"]
    others = [good.name for good in goods if good.price is None and good.sort != "bar"]
    for stock in job.stocks.values():
        priced = [length for length, price in stock.on_sale if price is not None]
        left_out = [length for length, price in stock.on_sale if price is None]
        if priced and left_out:
            yield Finding(
                "note",
                "price-not-known",
                f"Bars of {stock.name} of {{left_out}} are left out: they have no price.",
                "",
                "Give every length on sale its price, or take them out.",
                lengths={"left_out": max(left_out)},
            )
    if missing:
        yield Finding(
            "note",
            "price-not-known",
            f"No price is known for {', '.join(dict.fromkeys(missing))}: as little length as can be is bought.",
            "",
            "Say it: price = … in its [stock].",
        )
    if others:
        yield Finding(
            "note",
            "price-not-known",
            "What is used up has no price here, or not all of it, and is not in the sum.",
            f"Without a price: {', '.join(others)}.",
            "Say it: filler_price and disc_price in [shop], price in [paint.NAME]. The sum is what has a price.",
        )
    if not job.shop.said:
        yield Finding(
            "note",
            "kerf-not-said",
            "The width of the saw cut is not known and is taken as nothing.",
            "A band saw takes about <1 mm|1/32 to 1/16 in>, a hacksaw <1 to 1.5|about 1/16>, a "
            "cut-off disc <1 to 3|1/32 to 1/8>.",
            'Measure a cut, and say it: kerf = <1.5|"1/16"> in [shop].',
        )
