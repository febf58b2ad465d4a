"""The buying list and the cuts as CSV for a spreadsheet, in the job's units, each unit in its heading."""

from __future__ import annotations

from bentwork.files.tables_csv import csv_bytes
from bentwork.jobs.buying import Buying

__all__ = ["buying_csv", "cuts_csv"]


def buying_csv(bought: Buying) -> bytes:
    """Return what to buy, a line a row; a price that is not known is left empty."""
    ruler = bought.job.ruler
    heads = ("sort", "name", "amount", "unit", "length, U", f"mass, {ruler.mass_unit}", "price")
    rows = [
        [
            good.sort,
            good.name,
            round(good.amount, 4),
            good.unit,
            ruler.number(good.length) if good.length else None,
            None if good.mass is None else round(ruler.in_mass_unit(good.mass), 4),
            None if good.price is None else round(good.price, 2),
        ]
        for good in bought.goods
    ]
    return csv_bytes(heads, rows, ruler)


def cuts_csv(bought: Buying) -> bytes:
    """Return how the bars are cut, a piece a row."""
    ruler = bought.job.ruler
    heads = ("stock", "bar", "bar length, U", "offcut", "cut alike", "piece", "length, U", "rest of the bar, U")
    rows = [
        [
            one.wanted.stock.name,
            number,
            ruler.number(bar.length),
            "yes" if bar.offcut else "no",
            bar.times,
            name,
            ruler.number(length),
            ruler.number(bar.rest),
        ]
        for one in bought.sawn
        for number, bar in enumerate(one.plan.bars if one.plan else (), 1)
        for name, length in bar.cuts
    ]
    return csv_bytes(heads, rows, ruler)
