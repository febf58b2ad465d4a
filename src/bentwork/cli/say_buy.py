"""Buying on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from bentwork.cli import say
from bentwork.cli.say_table import columns
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
from bentwork.parts.weigh_in import WeighIn
from bentwork.sheets.bar_plan import bar_heading, cut_words
from bentwork.units import Ruler

__all__ = ["show"]


def show(bought: Buying, scales: WeighIn | None, out: Console) -> None:
    """Print what to buy, how the bars are cut, and what the scales say."""
    ruler = bought.job.ruler
    out.print(Text(f"{bought.job.name}, version {bought.job.version}", style="bold"))
    if not bought.goods:
        out.print("Nothing can be bought for it: no piece of it fits; bentwork check says why.")
    else:
        out.print(_list(bought))
        for line in sum_words(bought):
            out.print(Text(line))
    for one in bought.sawn:
        out.print()
        out.print(Text(f"saw {title_of(one, ruler)}", style="bold"))
        _cuts(one, ruler, out)
    if scales is not None:
        out.print()
        for line in weigh_in_words(scales, ruler):
            out.print(Text(line))
    if bought.findings:
        out.print()
        say.findings(bought.findings, ruler, out)


def _list(bought: Buying) -> Table:
    ruler = bought.job.ruler
    goods = columns("buy", "what", "from", ruler.mass_unit, "price", left=("what", "from"))
    for good in bought.goods:
        goods.add_row(
            amount_words(good, ruler),
            good_words(good, bought),
            why_words(good, ruler),
            mass_words(good, ruler),
            money(good.price) or "?",
        )
    return goods


def _cuts(one: Sawn, ruler: Ruler, out: Console) -> None:
    for bar in one.plan.bars if one.plan is not None else ():
        out.print(Text(f"  {bar_heading(bar, ruler)}: {cut_words(bar, ruler)}"))
    out.print(Text(f"  {plan_words(one, ruler)}"))
