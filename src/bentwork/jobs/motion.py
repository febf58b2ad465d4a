"""From a plan to what is seen of it at the bender: bar and tool through every step, and where it gets close.

All of it is in the bender's own frame (a right-hand bender turns the bar towards -y), in mm and degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, bodies_of
from bentwork.clearance.step import Near, Stand
from bentwork.jobs.motion_bodies import SeenBody, bodies_seen
from bentwork.jobs.motion_keys import Key, keys_of
from bentwork.jobs.motion_skin import BarSkin, bar_skin, mirrored_keys
from bentwork.jobs.work import PiecePlan, order_problem
from bentwork.planning.near_in_step import NearInStep
from bentwork.planning.order_problem import Blocked, OrderProblem
from bentwork.planning.pulling import Moment, Pulling
from bentwork.planning.steps import Step, as_drawn
from bentwork.space import Vec
from bentwork.tooling.shop import Mounting

__all__ = ["Closest", "Heat", "Order", "StepMotion", "drawn_steps", "heat_of", "motion_of", "orders_of"]

Array = NDArray[np.float64]
Order = Literal["plan", "drawn", "blocked"]
Heat = Literal["straw", "brown", "purple", "blue", "hit"]

_WARM: tuple[tuple[float, Heat], ...] = ((2.0, "blue"), (6.0, "purple"), (15.0, "brown"))
"""Gaps below which a step is close, mm beyond what is wanted. Marks are placed to within about one millimetre and
rotations to one or two degrees, which is a few millimetres at the end of a leg (common practice, no source)."""


@dataclass(frozen=True)
class Closest:
    """The moment of nearest approach of a step.

    Args:
        near: as clearance tells it; its gap is the one to believe, never above the true one.
        key: number of the key of that moment.
        one: point on the bar, or on the lever.
        other: point on the body.
        gaps: between the same two at every key, mm; below 0 as deep as can be told.
    """

    near: Near
    key: int
    one: Vec
    other: Vec
    gaps: Array


@dataclass(frozen=True)
class StepMotion:
    """One step as it is seen.

    Args:
        bend: number of the bend, from 1.
        held: the end that is held.
        mounting: name of what stands round the bender; None for nothing.
        keys: from putting the bar on to lifting it off.
        skin: of the bar.
        bodies: of bender and surroundings.
        closest: the nearest approach; None where there is nothing to come near.
        hits: what is hit, deepest first; each body once.
        blocked: what is in the way, where this is a step that cannot be made.
    """

    bend: int
    held: Literal["A", "B"]
    mounting: str | None
    keys: tuple[Key, ...]
    skin: BarSkin
    bodies: tuple[SeenBody, ...]
    closest: Closest | None
    hits: tuple[Near, ...] = ()
    blocked: Blocked | None = None


def orders_of(plan: PiecePlan) -> tuple[Order, ...]:
    """Return which orders of the bends of a piece can be shown, the best first; none for a piece that is not bent."""
    if plan.bender is None or plan.what is None or plan.line is None or not plan.line.table.bends:
        return ()
    if plan.order is None:
        return ("drawn",)
    return ("plan", "drawn") if plan.order.feasible else ("blocked", "drawn")


def drawn_steps(plan: PiecePlan, mountings: Sequence[Mounting]) -> tuple[Step, ...]:
    """Return the steps in the order of the drawing, end A held throughout."""
    assert plan.line is not None
    return as_drawn(plan.line.table, plan.marks, plan.bender, mountings[0].name if mountings else None, plan.what)


def heat_of(gap: float, required: float) -> Heat:
    """Return how close a gap is to what is wanted, as the colour that steel runs through; ``hit`` below 0."""
    if gap < 0.0:
        return "hit"
    return next((heat for most, heat in _WARM if gap < required + most), "straw")


def motion_of(plan: PiecePlan, mountings: Sequence[Mounting], order: Order) -> tuple[StepMotion, ...]:
    """Return every step of an order as it is seen.

    Args:
        plan: of the piece, or of its opposite hand.
        mountings: of its bender.
        order: one of ``orders_of``.

    Raises:
        ValueError: the plan has no such order, or a body makes no sense.
    """
    if order not in orders_of(plan):
        raise ValueError(f"there is no order {order!r} of {plan.spec.name}")
    assert plan.line is not None and plan.what is not None
    problem = order_problem(plan.spec, plan.stock, plan.what, mountings, plan.line.table)
    bench = _Bench(problem)
    if order == "blocked":
        assert plan.order is not None
        made = frozenset(number - 1 for number in plan.order.reached)
        shown = [bench.step(one.bend, one.held, one.mounting, made) for one in plan.order.blocked]
        return tuple(replace(step, blocked=one) for step, one in zip(shown, plan.order.blocked, strict=True))
    steps = plan.steps if order == "plan" else drawn_steps(plan, problem.mountings)
    bends = [step.bend - 1 for step in steps]
    return tuple(
        bench.step(step.bend, step.held, step.mounting, frozenset(bends[:number])) for number, step in enumerate(steps)
    )


class _Bench:
    """A problem with its stands, each made once."""

    def __init__(self, problem: OrderProblem) -> None:
        self._problem = problem
        self._piece = problem.piece
        self._stands: dict[str | None, Stand] = {}

    def step(self, bend: int, held: Literal["A", "B"], mounting: str | None, made: frozenset[int]) -> StepMotion:
        """Return one step as it is seen; ``bend`` from 1, ``made`` from 0."""
        problem, piece = self._problem, self._piece
        about = next((one for one in problem.mountings if one.name == mounting), None)
        pulling = Pulling(piece, problem.bender, bend - 1, held, made)
        found = self._stand(about).step(bend - 1, held, made)
        solids = _solids(problem, about, piece.depth)
        keys, closest = _looked_at(pulling, solids, found.nears)
        sign = -1.0 if problem.bender.hand == "right" else 1.0
        hits: dict[str, Near] = {}
        for near in found.nears:
            if near.gap < 0.0:
                hits.setdefault(near.body, near)
        return StepMotion(
            bend=bend,
            held=held,
            mounting=mounting,
            keys=mirrored_keys(keys, sign),
            skin=bar_skin(pulling, problem.section, problem.way, sign),
            bodies=bodies_seen(problem.bender, piece, solids, sign),
            closest=None if closest is None else _mirrored(closest, sign),
            hits=tuple(hits.values()),
        )

    def _stand(self, mounting: Mounting | None) -> Stand:
        name = mounting.name if mounting else None
        if name not in self._stands:
            self._stands[name] = Stand(self._piece, self._problem.bender, mounting)
        return self._stands[name]


def _solids(problem: OrderProblem, mounting: Mounting | None, depth: float) -> tuple[Solid, ...]:
    own = bodies_of(problem.bender, None, depth)
    return (*own, *bodies_of(problem.bender, mounting, depth)) if mounting else own


def _looked_at(
    pulling: Pulling, solids: tuple[Solid, ...], nears: Sequence[Near]
) -> tuple[tuple[Key, ...], Closest | None]:
    """The keys of a step, and its nearest approach with a key of its own."""
    ways = {near.when: near.way for near in reversed(nears) if near.way}
    put_on, lifted_off = ways.get("put on", "up"), ways.get("lifted off", "up")
    if not nears:
        return keys_of(pulling, put_on, lifted_off), None
    near = nears[0]
    looking = NearInStep(pulling, solids)
    between = looking.between(near)
    also = Moment(near.when, near.angle, between.away, near.way or "up")
    keys = keys_of(pulling, put_on, lifted_off, also)
    gaps = looking.gaps(near, [key.moment for key in keys])
    number = next(number for number, key in enumerate(keys) if key.moment == also)
    return keys, Closest(near, number, _vec(between.one), _vec(between.other), gaps)


def _mirrored(closest: Closest, sign: float) -> Closest:
    (a, b, c), (x, y, z) = closest.one, closest.other
    return replace(closest, one=(a, sign * b, c), other=(x, sign * y, z))


def _vec(point: Array) -> Vec:
    return (float(point[0]), float(point[1]), float(point[2]))
