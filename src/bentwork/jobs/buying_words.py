"""Buying in words: what every face says alike. Lengths are in the maker's units, prices in the maker's money."""

from __future__ import annotations

from collections.abc import Iterator

from bentwork.jobs.buying import Buying, Sawn
from bentwork.jobs.goods import Good
from bentwork.parts.weigh_in import WeighIn
from bentwork.sheets.stock_words import section_words, stock_words
from bentwork.units import Ruler

__all__ = [
    "amount_words",
    "good_words",
    "mass_words",
    "money",
    "plan_words",
    "sum_words",
    "weigh_in_words",
    "why_words",
]


_COATS = {"paint": "paint", "powder": "powder", "galvanised": "zinc"}


def money(price: float | None) -> str:
    """Return a price; empty where none is known."""
    return "" if price is None else f"{price:.2f}"


def amount_words(good: Good, ruler: Ruler) -> str:
    """Return how much of it: ``2 × 3000 mm``, ``22 g``, ``0.14 l``, ``3``."""
    if good.unit == "bars":
        return f"{good.amount:g} × {ruler.length(good.length)}"
    if good.unit == "kg":
        return ruler.small_mass(good.amount)
    if good.unit == "l":
        return ruler.liquid(good.amount)
    if good.unit == "m²":
        return ruler.surface(good.amount)
    return f"{good.amount:g}"


def good_words(good: Good, bought: Buying) -> str:
    """Return what it is, as it is asked for over the counter."""
    stock = bought.job.stocks.get(good.name) if good.sort == "bar" else None
    return good.name if stock is None else f"{stock_words(stock, bought.job.ruler)} ({good.name})"


def why_words(good: Good, ruler: Ruler) -> str:
    """Return where the amount is from."""
    if good.sort == "bar":
        return ""
    return good.why.format(length=ruler.about(good.length))


def mass_words(good: Good, ruler: Ruler) -> str:
    """Return its mass as a bare number, in ``ruler.mass_unit``; empty where it does not count."""
    return "" if good.mass is None else f"{ruler.in_mass_unit(good.mass):.2f}"


def sum_words(bought: Buying) -> Iterator[str]:
    """Yield what everything comes to: price, mass to carry home, mass of the frame."""
    missing = len(bought.without_price)
    left_out = f", {missing} line{'s' if missing > 1 else ''} without a price left out" if missing else ""
    if any(good.price is not None for good in bought.goods):
        yield f"in all {bought.price:.2f}{left_out}"
    else:
        yield "no price is known"
    ruler = bought.job.ruler
    home = f"{ruler.mass(bought.mass_to_carry)} of bars to carry home; " if bought.mass_to_carry else ""
    coat = _COATS.get(bought.job.finish.system)
    more = f"about {ruler.small_mass(bought.paint_mass)} more with {coat}, " if coat else ""
    yield f"{home}the finished frame weighs {ruler.mass(bought.mass)}, {more}bolts not counted"


def plan_words(sawn: Sawn, ruler: Ruler) -> str:
    """Return how good the plan of a stock is."""
    plan = sawn.plan
    if plan is None:
        total = ruler.length(sawn.wanted.total)
        return f"No length on sale is known. In all {total} are wanted, saw cuts not counted."
    if not plan.bars:
        return "Nothing of it can be cut."
    if not plan.bought:
        return "The offcuts in the workshop are enough."
    least = "Nothing cheaper is possible" if plan.by_price else "No less bar is possible"
    if not plan.proven:
        least = f"At most {plan.gap:.1%} could be saved by another plan"
    rest = f"the longest rest is {ruler.tape(plan.longest_rest)} {ruler.units}"
    return f"{least}; {rest}{', and none of this cost is longer' if plan.rest_proven else ''}."


def weigh_in_words(found: WeighIn, ruler: Ruler) -> Iterator[str]:
    """Yield what the scales say against what was reckoned."""
    sign = "more" if found.difference > 0.0 else "less"
    yield (
        f"weighed {ruler.mass(found.weighed)}, reckoned {ruler.mass(found.reckoned)}: "
        f"{ruler.mass(abs(found.difference))} {sign} ({found.share:+.1%})"
    )
    if found.agrees:
        yield "that is as it should be: bars differ by some 4 % from their sizes, paint or zinc comes on top"
        return
    yield "what it may mean, the likeliest first:"
    yield from (f"- {one}" for one in found.meanings)


def title_of(sawn: Sawn, ruler: Ruler) -> str:
    """Return a stock with its name, as the heading of its cuts."""
    return f"{section_words(sawn.wanted.stock.section, ruler)} ({sawn.wanted.stock.name})"
