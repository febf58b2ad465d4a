"""From an order that was found to the steps of a plan, and what there is to say about it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bentwork.bending.known import Known
from bentwork.clearance.step import StepClearance, step_clearance
from bentwork.findings import Finding
from bentwork.planning.marks import Mark
from bentwork.planning.order_beam import MOST_PROVEN, seconds_for
from bentwork.planning.order_problem import MOST_MENDED, Blocked, Order, OrderProblem
from bentwork.planning.order_remedies import Remedy
from bentwork.planning.steps import Step, pulled
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["drawn_order_findings", "in_order", "is_described", "order_findings", "way_blocked"]

_CLOSE = 2.0
"""A gap below this is worth a word even where the job asks for none, mm: marks are placed to within about one."""

_RULES = ("straight", "end")


def is_described(bender: Bender, mountings: Sequence[Mounting]) -> bool:
    """Tell whether anything is known of what the bar may hit or needs to be held by."""
    parts = (bender.die, bender.hook, bender.follower, bender.arm, bender.plate)
    return any(parts) or bool(mountings) or any((bender.needs.straight_held, bender.needs.end_held))


def in_order(order: Order, problem: OrderProblem, marks: Sequence[Mark], what: Known) -> tuple[Step, ...]:
    """Return the steps of an order."""
    by_bend = {mark.bend: mark for mark in marks}
    steps = []
    for number, one in enumerate(order.steps, 1):
        angle = problem.table.bends[one.bend - 1].angle
        step = Step(
            step=number,
            bend=one.bend,
            held=one.held,
            mark=by_bend[one.bend].lined_up(problem.bender, one.held),
            turn=one.turn,
            bend_to=angle,
            springback=0.0,
            mounting=one.mounting,
            clearance=one.clearance if math.isfinite(one.clearance) else None,
            nearest=one.nearest.body if one.nearest else None,
            moving=one.moving.body if one.moving else None,
            moving_clearance=one.moving.gap if one.moving else None,
        )
        steps.append(pulled(step, angle, what))
    return tuple(steps)


def order_findings(order: Order, problem: OrderProblem, remedies: Sequence[Remedy] = ()) -> tuple[Finding, ...]:
    """Return what there is to say about an order: bends that cannot be made, small gaps, what is not proven.

    Args:
        order: that was found, or what is known where there is none.
        problem: it answers.
        remedies: what would give an order.
    """
    if not order.feasible:
        return tuple(_blocked(order.blocked, remedies, tried=len(problem.table.bends) <= MOST_MENDED))
    return (*_close(order, problem), *_unproven(order, problem), *_ends_pass(problem))


def _blocked(blocked: Sequence[Blocked], remedies: Sequence[Remedy], *, tried: bool) -> Iterator[Finding]:
    do, sizes = _cures(remedies, tried=tried)
    if not blocked:
        yield Finding(
            "stop",
            "hits-tool",
            "No order was found in which the bar hits nothing.",
            "It has so many bends that only the likeliest orders were tried; each of them ends in something.",
            do,
        )
    for bend in sorted({one.bend for one in blocked}):
        ways = [one for one in blocked if one.bend == bend]
        bodies = sorted({one.body for one in ways if one.body not in _RULES})
        hits = f"hits {' or '.join(_named(body) for body in bodies)}" if bodies else "finds too little straight bar"
        yield Finding(
            "stop",
            "hits-tool",
            f"Bend {bend} cannot be made in any order: whichever end is held, the bar {hits}.",
            " ".join(way_blocked(number, one) for number, one in enumerate(ways)),
            do,
            bend=bend,
            lengths={f"depth{number}": one.depth for number, one in enumerate(ways)} | sizes,
        )


def _cures(remedies: Sequence[Remedy], *, tried: bool) -> tuple[str, dict[str, float]]:
    """Return the remedies as one text, with the lengths that it mentions."""
    if not tried:
        return f"Divide the piece: remedies are looked for up to {MOST_MENDED} bends.", {}
    if not remedies:
        return "No single change was found that helps: move the bend, use another bender, or make it of parts.", {}
    sizes: dict[str, float] = {}
    told = []
    for number, remedy in enumerate(remedies):
        says = remedy.says
        for name, value in remedy.lengths.items():
            says = says.replace(f"{{{name}}}", f"{{{name}{number}}}")
            sizes[f"{name}{number}"] = value
        told.append(says)
    return "Any one of these gives an order: " + " Or: ".join(told), sizes


def _named(body: str) -> str:
    return "itself" if body == "bar" else f"the {body}"


def way_blocked(number: int, one: Blocked) -> str:
    """Say what is in the way of a bend in one way of making it; ``{depthN}`` stands for its depth, N for the number."""
    place = f" on {one.mounting}" if one.mounting else ""
    held = f"Held at {one.held}{place}"
    if one.body in _RULES:
        where = "the end of the bar" if one.body == "end" else "the straight"
        return f"{held}, {where} is {{depth{number}}} too short for hook or follower."
    when = {
        "put on": " when it is put on",
        "bending": "",
        "opening": " when it springs back",
        "lifted off": " when it is lifted off",
    }
    moment = when[one.near.when] if one.near else ""
    return f"{held}, it comes {{depth{number}}} too near to {_named(one.body)}{moment}."


def _close(order: Order, problem: OrderProblem) -> Iterator[Finding]:
    tight = [step for step in order.steps if step.clearance < max(_CLOSE, problem.required_clearance)]
    if not tight:
        return
    worst = min(tight, key=lambda step: step.clearance)
    number = order.steps.index(worst) + 1
    yield Finding(
        "watch",
        "comes-close",
        f"Step {number}, bend {worst.bend}: the bar comes close to "
        f"{_named(worst.nearest.body) if worst.nearest else 'the tool'}.",
        "The gap may be as little as {gap}; marks and rotations are not placed much better than that.",
        "Check with a bent wire before the bar is cut, or pack the bender up.",
        bend=worst.bend,
        lengths={"gap": max(0.0, worst.clearance)},
    )


def _unproven(order: Order, problem: OrderProblem) -> Iterator[Finding]:
    if not order.proven:
        bends = len(problem.table.bends)
        yield Finding(
            "note",
            "order-unproven",
            "A better order may exist: not all were weighed up.",
            f"The one here turns the bar end for end {order.reversals} times. To weigh up all orders of {bends} bends "
            f"would take about {_duration(seconds_for(bends))}.",
            "Let the search run to its end, or divide the piece."
            if bends <= MOST_PROVEN
            else f"Divide the piece: up to {MOST_PROVEN} bends all orders are weighed up.",
        )


def _duration(seconds: float) -> str:
    for name, size in (("years", 31_557_600.0), ("days", 86_400.0), ("hours", 3_600.0), ("minutes", 60.0)):
        if seconds >= 1.5 * size:
            return f"{seconds / size:.0f} {name}"
    return f"{seconds:.0f} seconds" if seconds >= 1.5 else "a second"


def _ends_pass(problem: OrderProblem) -> Iterator[Finding]:
    """Say that the spare ends of a closed piece run into each other in the last bend."""
    if problem.table.closed and problem.trim > 0.0:
        yield Finding(
            "note",
            "ends-pass",
            "Before the last bend the spare ends of this closed piece are in each other's way.",
            "Each is {trim} longer than drawn, and they meet in the seam.",
            "Cut the spare off before the last bend, or spring one end past the other.",
            lengths={"trim": problem.trim},
        )


def drawn_order_findings(order: Order, problem: OrderProblem) -> tuple[Finding, ...]:
    """Return a note where the order of the drawing, end A held, would hit something that the plan's order does not."""
    if not order.feasible or [step.bend for step in order.steps] == list(range(1, len(order.steps) + 1)):
        return ()
    piece, mounting = problem.piece, problem.places[0]
    for bend in range(piece.bends):
        found: StepClearance = step_clearance(piece, problem.bender, mounting, bend, "A", range(bend))
        if found.gap < problem.required_clearance - 1e-9 and found.nearest:
            return (
                Finding(
                    "note",
                    "order-not-as-drawn",
                    "The bends are not made in the order of the drawing.",
                    f"As drawn, end A held throughout, bend {bend + 1} comes {{depth}} too near to "
                    f"{_named(found.nearest.body)}.",
                    "Follow the steps, not the numbers of the bends.",
                    lengths={"depth": problem.required_clearance - found.gap},
                ),
            )
    return ()
