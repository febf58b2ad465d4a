"""The order that never hits the tool: all orders, both ends held, all mountings, weighed up at once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.step import Stand, StepClearance
from bentwork.clearance.workpiece import End
from bentwork.piece.bend import half_turn
from bentwork.planning.order_beam import MOST_PROVEN, felt_forward
from bentwork.planning.order_blocked import blocked_ways
from bentwork.planning.order_itself import BarItself
from bentwork.planning.order_path import Costs, cheapest, renewed
from bentwork.planning.order_problem import Order, OrderProblem, OrderStep, Progress
from bentwork.planning.order_tables import Tables
from bentwork.planning.order_ways import first_way, tied_ways, way_renewed, widest_way

__all__ = ["find_order", "order_if_any"]

_ENDS: tuple[End, End] = ("A", "B")
_ROUNDS, _SHORT, _ROUNDS_OF_LONG = 200, 14, 3000
"""That a bar hits itself is looked for only in the order found; after so many of these that fail, for every order.

For every order that costs as much as some hundred rounds, in pieces of more than ``_SHORT`` bends as some thousand.
"""

_LEAST_RENEWED = 64  # sets; see ``first_way``
_MOST_MEASURED, _MOST_TIED = 400, 3000
"""Steps measured, states of equal cost: beyond, the first order of equals is taken."""

Step = tuple[int, int, int, int]
"""Bends made before as bits, bend, end held (0 or 1), number of the mounting: see ``order_ways``."""


@dataclass(slots=True)
class _Search:
    problem: OrderProblem
    tables: Tables
    classes: NDArray[np.int64]
    weights: NDArray[np.int64]
    start: int
    itself: BarItself
    to_itself: dict[tuple[int, int, int], list[tuple[End, int, int]]] = field(default_factory=dict)
    _stands: list[Stand] = field(default_factory=list)

    @property
    def stands(self) -> list[Stand]:
        """The bar at the bender on every mounting."""
        if not self._stands:
            self._stands = [Stand(self.tables.piece, self.problem.bender, place) for place in self.problem.places]
        return self._stands

    def clearance(self, step: Step, *, moving: bool) -> StepClearance:
        """The exact clearance of a step; what moves is measured by itself where it is to be told."""
        made, bend, end, place = step
        return self.stands[place].step(bend, _ENDS[end], self.made(made), all_of_them=False, moving=moving)

    def first_way(self, cost: Costs) -> list[Step]:
        """The first of the cheapest orders, now that ways were ruled out; raises what costs more than before."""
        table, changed = self.tables.table, self.tables.changed
        asked = self.classes, self.weights, self.start
        rows, enough = way_renewed(table, cost, *asked, changed, max(_LEAST_RENEWED, table.shape[1] // 128))
        if not enough:
            renewed(cost, changed, table, *asked)
            rows = first_way(table, cost, *asked)
        return _steps(rows)

    def made(self, bits: int) -> list[int]:
        """Numbers of the bends made, from 0."""
        return [k for k in range(self.tables.piece.bends) if (bits >> k) & 1]


def find_order(problem: OrderProblem, progress: Progress | None = None) -> Order:
    """Return the best order of a piece's bends.

    Best is, in this order: feasible; fewest end-for-end reversals; fewest changes of mounting; fewest turns of the bar;
    bends of great weight early; the largest smallest clearance. Ties are broken by the lower number of the bend, end A
    before B, the earlier mounting.

    Pieces of more than ``MOST_PROVEN`` bends, and searches that are broken off, get an order that is felt for step by
    step and not proven.

    Args:
        problem: what to bend on what.
        progress: see ``order_problem.Progress``.

    Raises:
        ValueError: a body has no size, or the bar does not fit the die.
    """
    found = _searched(problem, progress)
    if isinstance(found, Order):
        return found
    reached, blocked = blocked_ways(problem, found.tables, found.stands, found.start)
    return Order((), False, True, 0, 0, 0, blocked, reached)


def order_if_any(problem: OrderProblem, doubtful: Sequence[int] = ()) -> Order | None:
    """Return what ``find_order`` does; None where there is no order, without asking what is in the way.

    Args:
        problem: what to bend on what.
        doubtful: numbers of bends, from 1, to look at first: where one of them can never be made, there is no order.

    Raises:
        ValueError: a body has no size, or the bar does not fit the die.
    """
    found = _searched(problem, None, [number - 1 for number in doubtful])
    return found if isinstance(found, Order) and found.feasible else None


def _searched(problem: OrderProblem, progress: Progress | None, doubtful: Sequence[int] = ()) -> Order | _Search:
    """The best order, or what was worked out where there is none."""
    piece = problem.piece
    classes = _classes(problem)
    if piece.bends > MOST_PROVEN:
        return felt_forward(problem, progress)
    start = sum(1 << (number - 1) for number in problem.made)
    tables = Tables(piece, problem.bender, problem.places, problem.required_clearance, start)
    weights = np.array(problem.whole_weights, dtype=np.int64)
    itself = BarItself(piece, problem.bender, problem.required_clearance)
    search = _Search(problem, tables, classes, weights, start, itself)
    if tables.first_hopeless(doubtful) is not None:
        return search
    missing = piece.bends - len(problem.made)
    rounds = _ROUNDS if piece.bends <= _SHORT else _ROUNDS_OF_LONG
    for round_ in range(rounds + 1):
        if round_ in (0, rounds):
            if tables.fill_all(progress, with_bar=round_ == rounds):
                return felt_forward(problem)
            cost = cheapest(tables.table, classes, len(problem.places), weights, start)
            tables.changed[:] = False
        path = search.first_way(cost)
        if len(path) < missing:
            break
        hits = _hits_itself(search, path)
        if not hits:
            renewed(cost, tables.changed, tables.table, classes, weights, start)
            path = _widest(search, cost) or path
            hits = _hits_itself(search, path)
            if not hits:
                return _told(search, path)
        for step in hits:
            tables.rule_out(*step)
    return search


def _steps(rows: NDArray[np.int64]) -> list[Step]:
    return [(row[0], row[1], row[2], row[3]) for row in rows.tolist()]


def _hits_itself(search: _Search, path: list[Step]) -> list[tuple[int, int, End, int, int]]:
    """Steps in which the bar comes too near to itself, as ``Tables.rule_out`` takes them."""
    found = []
    for made, bend, end, _ in path:
        if (made, bend, end) not in search.to_itself:
            search.to_itself[made, bend, end] = search.itself.hits(bend, made, _ENDS[end])
        found += [(bend, made, *hit) for hit in search.to_itself[made, bend, end]]
    return found


def _classes(problem: OrderProblem) -> NDArray[np.int64]:
    """Number the ways round the bar that bends turn to, first those of several bends; ways that print the same are."""
    ways = [round(direction, 3) % 360.0 for direction in problem.table.directions]
    known = sorted(set(ways), key=lambda way: (ways.count(way) == 1, way))
    return np.array([known.index(way) for way in ways], dtype=np.int64)


def _widest(search: _Search, cost: Costs) -> list[Step]:
    """Of all cheapest orders the one whose smallest clearance is largest; the first of these, none where too many tie.

    The clearance of a step is measured only where it can matter: the order that could be widest, as far as is known, is
    measured step by step, likely narrow ones first; what is found narrows the others down, also the same step on other
    mountings, until nothing that is unmeasured could be wider.
    """
    begins, rows, leads = tied_ways(search.tables.table, cost, search.classes, search.weights, search.start, _MOST_TIED)
    if not len(begins):
        return []
    steps = _steps(rows)
    alike: dict[tuple[int, int, int], list[int]] = {}
    for number, step in enumerate(steps):
        alike.setdefault(step[:3], []).append(number)
    gaps = np.full(len(steps), math.inf)  # none is wider than that
    tightest = dict.fromkeys(alike, math.inf)  # of the same step on any mounting
    measured, sure = np.zeros(len(steps), dtype=np.bool_), -math.inf
    while True:
        way = widest_way(begins, leads, gaps).tolist()
        unknown = sorted((number for number in way if not measured[number]), key=lambda n: tightest[steps[n][:3]])
        if not unknown or measured.sum() > _MOST_MEASURED:
            return [steps[number] for number in way]
        for number in unknown:
            same = steps[number][:3]
            near = search.clearance(steps[number], moving=False)
            gaps[alike[same]] = np.minimum(gaps[alike[same]], _wherever(near, search.stands[steps[number][3]]))
            gaps[number], measured[number] = near.gap, True
            tightest[same] = min(tightest[same], near.gap)
            if near.gap <= sure:  # no wider than an order that is measured
                break
        sure = max(sure, float(gaps[way].min())) if measured[way].all() else sure


def _wherever(near: StepClearance, stand: Stand) -> float:
    """The gap that the step can't exceed on any mounting: to the bender itself, which stands on all of them."""
    swept = (one for one in near.nears if one.when in ("bending", "opening") and one.body in stand.own)
    return min((one.gap for one in swept), default=math.inf)


def _told(search: _Search, path: list[Step]) -> Order:
    problem, directions = search.problem, search.problem.table.directions
    steps: list[OrderStep] = []
    before: int | None = None
    for step in path:
        _, bend, end, place = step
        near = search.clearance(step, moving=True)
        mounting = problem.places[place]
        turn = 0.0 if before is None else half_turn(directions[before] - directions[bend])
        clearance = max(near.gap, problem.required_clearance)
        name = mounting.name if mounting else None
        steps.append(OrderStep(bend + 1, _ENDS[end], name, turn, clearance, near.nearest, near.moving))
        before = bend
    return Order(
        tuple(steps),
        feasible=True,
        proven=True,
        reversals=sum(a[2] != b[2] for a, b in pairwise(path)),
        changes=sum(a[3] != b[3] for a, b in pairwise(path)),
        turns=sum(bool(search.classes[a[1]] != search.classes[b[1]]) for a, b in pairwise(path)),
    )
