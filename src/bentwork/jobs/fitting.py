"""What fit-up knows of one bar before it is bent: what matters of it, what comes of its marks, what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

import numpy as np

from bentwork.bending.known import Known
from bentwork.fitup.by_hand import ByHand, Costs, by_hand_of
from bentwork.fitup.comes_out import ComesOut, comes_out
from bentwork.fitup.controls import Limits, Needed
from bentwork.fitup.hand import Hand
from bentwork.fitup.made import ANGLE, RADIUS, Bar, Floats, LinedUp, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.jobs.work import PiecePlan
from bentwork.tooling.bender import Accuracy, Bender
from bentwork.units import Units

__all__ = ["Chance", "Fitting", "Held", "fitting_of", "left_by", "lined_up"]

Chance: TypeAlias = Callable[[], np.random.Generator]
"""Gives chance anew, from the same beginning each time, so that the same question has the same answer."""

Held: TypeAlias = tuple[int, Literal["A", "B"]]
"""A bend and the end that is held for it."""

_CUT_SHORTER = 20.0
"""Most that is cut off end B of a closed piece itself to meet end A, mm; common practice, no source."""

_USUAL_BAR = Costs().bar


@dataclass(frozen=True, slots=True, eq=False)
class Fitting:
    """One bar, ready to be fitted up. Lengths in mm from end A of the piece, trim not included.

    Args:
        plan: of its piece, of its hand.
        what: is known of the bar on its bender.
        order: the bends in the order in which they are made, each with the end that is held.
        matters: what matters of it.
        tool: what comes of marks and pulls.
        start: what comes of the plan, shape (5, n).
        scatter: about that.
        limits: how far the work may leave the drawing.
        by_hand: what can be done by hand.
        costs: of bar and work.
        hand: the maker's hand, where the log tells of it.
        units: that the maker reads lengths in.
    """

    plan: PiecePlan
    what: Known
    order: tuple[Held, ...]
    matters: Matters
    tool: ComesOut
    start: Floats
    scatter: Scatter
    limits: Limits
    by_hand: ByHand
    costs: Costs
    hand: Hand | None = None
    units: Units = "mm"
    numbers: tuple[int, ...] = field(init=False)
    """The bends in their order."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "numbers", tuple(bend for bend, _ in self.order))

    @property
    def bar(self) -> Bar:
        """The bar as drawn."""
        return self.matters.nominal

    @property
    def accuracy(self) -> Accuracy:
        """How far one bend scatters: by the maker's hand, or what the bender says."""
        return self.what.set_up.bender.scatter if self.hand is None else self.hand.accuracy

    def mark(self, bend: int, place: float) -> float:
        """Return the mark that is set to the tool for a bend to come at a place, mm, trim included."""
        return place - float(self.tool.behind[bend - 1]) + self.plan.spec.trim

    def place(self, bend: int, mark: float) -> float:
        """Return the place at which a bend comes when this mark, trim included, is set to the tool."""
        return mark - self.plan.spec.trim + float(self.tool.behind[bend - 1])


def fitting_of(
    plan: PiecePlan, order: Sequence[Held] = (), hand: Hand | None = None, units: Units = "mm"
) -> Fitting | None:
    """Return a bar ready to be fitted up; None where it is not bent, or nothing is known of its bender.

    Args:
        plan: of the piece, of the hand that is meant.
        order: the bends in the order in which they are made; empty for that of the plan.
        hand: the maker's hand; None for the bender's accuracy.
        units: that the maker reads lengths in.
    """
    table, what = plan.table, plan.what
    chosen = tuple(order) or tuple((step.bend, step.held) for step in plan.steps)
    if table is None or what is None or not table.bends or len(chosen) != len(table.bends):
        return None
    bender, held = what.set_up.bender, dict(chosen)
    words = [lined_up(bender, held[number]) for number in range(1, len(table.bends) + 1)]
    bar = on_the_bar(table, words)
    section = plan.stock.section
    matters = what_matters(
        bar, closed=table.closed, tolerance=plan.spec.tolerance, round_bar=section.kind in ("round", "tube")
    )
    tool = comes_out(what, list(bar.values[ANGLE]), words, list(bar.values[RADIUS]))
    marks = [mark.lined_up(bender, held[mark.bend]) - plan.spec.trim for mark in plan.marks]
    common = tool.common
    accuracy = bender.scatter if hand is None else hand.accuracy
    scatter = scatter_of(
        bar,
        accuracy,
        common=common,
        order=[bend for bend, _ in chosen],
        bias=None if hand is None else hand.bias,
    )
    way = plan.spec.way
    by_hand = by_hand_of(plan.stock.material, max(section.breadth(way), section.depth(way)), accuracy.angle)
    return Fitting(
        plan=plan,
        what=what,
        order=chosen,
        matters=matters,
        tool=tool,
        start=tool.bar(bar, marks).values,
        scatter=scatter,
        limits=_limits(plan, bar, what),
        by_hand=by_hand,
        costs=_costs(plan),
        hand=hand,
        units=units,
    )


def left_by(what: Known, pulled: float) -> float:
    """Return the angle that is left when a bend is pulled to another, degrees: the opposite of ``Known.bend_to``."""
    low, high = 0.0, pulled
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if what.bend_to(middle) < pulled else (low, middle)
    return 0.5 * (low + high)


def lined_up(bender: Bender, held: Literal["A", "B"]) -> LinedUp:
    """Return what of a bend is set to the tool when this end is held."""
    if bender.lines_up == "centre":
        return "centre"
    return "start" if held == "A" else "end"


def _limits(plan: PiecePlan, bar: Bar, what: Known) -> Limits:
    """How far the work may leave the drawing: by what the bender pulls and holds, and by the spare bar on end B."""
    bender, spare = what.set_up.bender, plan.spec.trim + plan.more_bar
    most = None if bender.max_angle is None else max(left_by(what, bender.max_angle), float(bar.values[ANGLE].max()))
    straights, needs = bar.straights, bender.needs
    # A straight that is drawn shorter than what the bender asks for is the plan's concern; it gets no shorter here.
    between = min([max(needs.straight_held, needs.straight_free), *straights[1:-1]])
    end = min(max(0.0, max(needs.end_held, needs.end_free) - plan.spec.trim), straights[0], straights[-1])
    needed = Needed(end=max(0.0, float(end)), between=max(0.0, float(between)))
    closed = plan.table is not None and plan.table.closed
    limits = Limits(most_angle=most, needed=needed)
    return replace(limits, longer=max(0.0, spare), shorter=_CUT_SHORTER) if closed else limits


def _costs(plan: PiecePlan) -> Costs:
    """What a bar of this piece costs: its share of the price of a length."""
    stock = plan.stock
    if stock.price is None or not stock.bar_length:
        return Costs(bar=_USUAL_BAR)
    return Costs(bar=stock.price * min(1.0, plan.cut_length / stock.bar_length))
