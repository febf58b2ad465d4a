"""What bending another bar would ask for: force at the lever, springback, whether the bender bends it, the price."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from bentwork.bending.handbook import handbooks
from bentwork.bending.known import Known, Source, known
from bentwork.bending.set_up import SetUp
from bentwork.bending.test_bend import TestBend
from bentwork.carry.sweep import AtTheBender, Variant
from bentwork.findings import Finding, by_weight, has_stop
from bentwork.jobs.work import PiecePlan
from bentwork.piece.bend import Bend
from bentwork.planning.metal import tool_findings
from bentwork.stock.bar import Stock
from bentwork.tooling.bender import Bender

__all__ = ["at_the_bender", "is_same"]


def at_the_bender(
    plans: Sequence[PiecePlan],
    own: Stock,
    variants: Sequence[Variant],
    test_bends: Sequence[TestBend],
    stocks: Iterable[Stock] = (),
) -> tuple[tuple[AtTheBender, tuple[Finding, ...]], ...]:
    """Return what bending each variant asks for, and what there is to say to it.

    Test bends of the maker count for whatever bar they were made with; other bars go by the handbook.

    Args:
        plans: of the pieces that change.
        own: the stock that they are of now.
        variants: to be bent.
        test_bends: of the maker.
        stocks: bars whose prices are known, besides their own.
    """
    made: dict[tuple[Bender, str], list[Bend]] = {}
    for plan in plans:
        if plan.bender is not None and plan.table is not None and plan.table.bends:
            made.setdefault((plan.bender, plan.spec.way), []).extend(plan.table.bends)
    angles = [_angles(bends) for bends in made.values()]
    set_ups = [_set_up(bender, way, own, one) for one in variants for bender, way in made]
    fitting = [one for one in set_ups if one.fits]
    books = dict(zip(map(id, fitting), handbooks(fitting), strict=True))
    each, long = len(made), sum(plan.cut_length * plan.makes for plan in plans) / 1000.0
    prices = {(one.section, one.material): one.price_per_metre for one in (*stocks, own)}
    found = []
    for number, one in enumerate(variants):
        every = [known(what, test_bends, books.get(id(what))) for what in set_ups[number * each : (number + 1) * each]]
        answer, told = _asked(list(zip(every, angles, strict=True)), own)
        metre = prices.get((one.section, one.material))
        found.append((answer if metre is None else replace(answer, price=metre * long), told))  # offcuts not counted
    return tuple(found)


def _asked(every: Sequence[tuple[Known, tuple[Bend, ...]]], own: Stock) -> tuple[AtTheBender, tuple[Finding, ...]]:
    """What the benders say to a variant, each with all the bends that are made on it."""
    found: list[Finding] = []
    force: float | None = None
    spring: float | None = None
    source: Source = "handbook"
    for what, bends in every:
        found += tool_findings(what, bends, ())
        found += _made_for_another(what, own)
        for bend in bends:
            asked = what.loads(bend.angle)
            if asked is not None and asked.hand is not None:
                force = max(force or 0.0, asked.hand)
        most = max(bend.angle for bend in bends)
        opens = what.bend_to(most) - most
        if spring is None or opens > spring:
            spring, source = opens, what.source
    told = by_weight({finding.code: finding for finding in reversed(found)}.values())
    # Another die is another matter than a bar that the bender cannot bend.
    stopped = has_stop(one for one in found if one.code != "groove-does-not-fit")
    bends_it = None if not found and force is None and spring is None else not stopped
    return AtTheBender(bends_it, force, spring, source), told


def _set_up(bender: Bender, way: str, own: Stock, one: Variant) -> SetUp:
    """The bar of a variant on a bender.

    The springback that a job gives a bender is that of its own bar there, and of no other.
    """
    die = bender if one.radius is None else replace(bender, radius=one.radius)
    if one.radius is not None or not is_same(one, own):
        die = replace(die, springback=None)
    return SetUp(one.section, one.material, die, "hard" if way == "hard" else "easy")


def _angles(bends: Sequence[Bend]) -> tuple[Bend, ...]:
    """One bend of every angle: equal ones ask for the same."""
    return tuple({round(bend.angle, 1): bend for bend in bends}.values())


def _made_for_another(what: Known, own: Stock) -> Iterator[Finding]:
    """Say that the die of a grooved bender is made for the bar that the job has now."""
    die, section = what.set_up.bender.die, what.set_up.section
    if die is None or abs(section.breadth(what.set_up.way) - own.section.breadth(what.set_up.way)) < 0.3:
        return
    yield Finding(
        "watch",
        "groove-does-not-fit",
        f"The die of {what.set_up.bender.name} is made for another bar.",
        "Its groove is for a bar {own} wide, this one is {size}.",
        "It takes another die.",
        lengths={"own": own.section.breadth(what.set_up.way), "size": section.breadth(what.set_up.way)},
    )


def is_same(one: Variant, own: Stock) -> bool:
    """Tell whether a variant is of the bar that there is now, whatever its bends."""
    return (one.section, one.material) == (own.section, own.material)
