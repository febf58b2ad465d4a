"""What bending another bar would ask for: force at the lever, springback, whether the bender bends it, the price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

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
    plans: Sequence[PiecePlan], own: Stock, one: Variant, test_bends: Sequence[TestBend]
) -> tuple[AtTheBender, tuple[Finding, ...]]:
    """Return what bending a variant asks for, and what there is to say to it.

    Test bends of the maker count for whatever bar they were made with; other bars go by the handbook.

    Args:
        plans: of the pieces that change.
        own: the stock that they are of now.
        one: the variant.
        test_bends: of the maker.
    """
    found: list[Finding] = []
    force: float | None = None
    spring: float | None = None
    source: Source = "handbook"
    for what, bends in _on_benders(plans, own, one, test_bends):
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
    price = _price(plans, own) if is_same(one, own) else None
    told = by_weight({finding.code: finding for finding in reversed(found)}.values())
    # Another die is another matter than a bar that the bender cannot bend.
    stopped = has_stop(one for one in found if one.code != "groove-does-not-fit")
    bends_it = None if not found and force is None and spring is None else not stopped
    return AtTheBender(bends_it, force, spring, source, price), told


def _on_benders(
    plans: Sequence[PiecePlan], own: Stock, one: Variant, test_bends: Sequence[TestBend]
) -> Iterator[tuple[Known, tuple[Bend, ...]]]:
    """Every bender with all the bends that are made on it, the bar of the variant on it.

    The springback that a job gives a bender is that of its own bar there, and of no other.
    """
    made: dict[tuple[Bender, str], list[Bend]] = {}
    for plan in plans:
        if plan.bender is not None and plan.table is not None and plan.table.bends:
            made.setdefault((plan.bender, plan.spec.way), []).extend(plan.table.bends)
    for (bender, way), bends in made.items():
        die = bender if one.radius is None else replace(bender, radius=one.radius)
        if one.radius is not None or not is_same(one, own):
            die = replace(die, springback=None)
        set_up = SetUp(one.section, one.material, die, "hard" if way == "hard" else "easy")
        yield known(set_up, test_bends), _angles(bends)


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


def _price(plans: Sequence[PiecePlan], own: Stock) -> float | None:
    """Price of the bar that all these pieces take, offcuts not counted; None where it is not known."""
    if own.price_per_metre is None:
        return None
    return own.price_per_metre * sum(plan.cut_length * plan.makes for plan in plans) / 1000.0
