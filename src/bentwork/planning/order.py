"""The order that never hits the tool: all orders, both ends held, all mountings, weighed up at once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.step import Near, StepClearance, bar_to_itself, step_clearance
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.piece.bend import half_turn
from bentwork.planning.order_beam import MOST_PROVEN, felt_forward
from bentwork.planning.order_blocked import blocked_ways
from bentwork.planning.order_path import MOUNTINGS, NEVER, REVERSALS, TURNS, cheapest
from bentwork.planning.order_problem import Order, OrderProblem, OrderStep, Progress
from bentwork.planning.order_tables import Tables, may_be_made

__all__ = ["find_order"]

_ENDS: tuple[End, End] = ("A", "B")
_ROUNDS = 200
"""That a bar hits itself is looked for only in the order found; after so many of these that fail, for every order."""

_BAR_AT_ONCE = 14  # bends; where there is no order, a longer bar is not held against itself to tell how far one gets
_MOST_STATES = 80_000_000  # 8 bytes each
_MOST_MEASURED, _MOST_TIED = (
    400,
    3000,
)  # steps measured, states of equal cost: beyond, the first order of equals is taken
State = tuple[int, int, int, int]
"""Bends made as bits, end held (0 or 1), number of the mounting, way round; held -1 before the first step."""


@dataclass(slots=True)
class _Search:
    problem: OrderProblem
    piece: Workpiece
    tables: Tables
    classes: NDArray[np.int64]
    weights: NDArray[np.int64]
    cost: NDArray[np.int64]
    measured: dict[tuple[int, int, int, int], StepClearance] = field(default_factory=dict)
    to_itself: dict[tuple[int, int, End], Near | None] = field(default_factory=dict)

    def choices(self, state: State) -> Iterator[tuple[int, State]]:
        """Cost to finish by each next step, and the state it leads to; ties stand in a fixed order."""
        made, held, mounting, way = state
        late = bin(made).count("1")
        for bend in range(self.piece.bends):
            mask = int(self.tables.table[bend, made]) if not (made >> bend) & 1 else 0
            for end in range(2):
                for place in range(len(self.tables.mountings)):
                    if not may_be_made(mask, _ENDS[end], place):
                        continue
                    after = (made | 1 << bend, end, place, int(self.classes[bend]))
                    value = int(self.cost[after]) + int(self.weights[bend]) * late
                    if held >= 0:
                        value += REVERSALS * (end != held) + MOUNTINGS * (place != mounting) + TURNS * (after[3] != way)
                    if value < NEVER:
                        yield value, after

    def clearance(self, before: State, after: State) -> StepClearance:
        """The exact clearance of a step, measured once."""
        bend = (before[0] ^ after[0]).bit_length() - 1
        key = (before[0], bend, after[1], after[2])
        if key not in self.measured:
            made = [k for k in range(self.piece.bends) if (before[0] >> k) & 1]
            mounting = self.tables.mountings[after[2]]
            self.measured[key] = step_clearance(
                self.piece, self.problem.bender, mounting, bend, _ENDS[after[1]], made, all_of_them=False
            )
        return self.measured[key]


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
    piece = problem.piece
    classes, count = _classes(problem)
    if piece.bends > MOST_PROVEN or 2 ** (piece.bends + 1) * len(problem.places) * count > _MOST_STATES:
        return felt_forward(problem, progress)
    start = sum(1 << (number - 1) for number in problem.made)
    tables = Tables(piece, problem.bender, problem.places, problem.required_clearance, start)
    weights = np.array(problem.whole_weights, dtype=np.int64)
    search = _Search(problem, piece, tables, classes, weights, np.empty((0, 0, 0, 0), dtype=np.int64))
    first: State = (start, -1, -1, -1)
    for round_ in range(_ROUNDS + 1):
        if round_ in (0, _ROUNDS) and tables.fill_all(progress, with_bar=round_ == _ROUNDS):
            return felt_forward(problem)
        search.cost = cheapest(tables.table, classes, count, len(problem.places), weights, start)
        if start != 2**piece.bends - 1 and not any(True for _ in search.choices(first)):
            break
        hits = _hits_itself(search, _first(search, first))
        if not hits:
            path = _widest(search, first)
            hits = _hits_itself(search, path)
            if not hits:
                return _told(search, path)
        for step in hits:
            tables.rule_out(*step)
    if piece.bends <= _BAR_AT_ONCE:
        tables.fill_all(None, with_bar=True)
    reached, blocked = blocked_ways(problem, tables, start)
    return Order((), False, True, 0, 0, 0, blocked, reached)


def _first(search: _Search, start: State) -> list[State]:
    """The first of the cheapest orders."""
    path = [start]
    while (best := min(search.choices(path[-1]), key=lambda choice: choice[0], default=None)) is not None:
        path.append(best[1])
    return path


def _hits_itself(search: _Search, path: list[State]) -> list[tuple[int, int, End, int, int]]:
    """Steps in which the bar comes too near to itself, as ``Tables.rule_out`` takes them."""
    found = []
    for before, after in pairwise(path):
        bend, end = (before[0] ^ after[0]).bit_length() - 1, _ENDS[after[1]]
        key = (before[0], bend, end)
        if key not in search.to_itself:
            made = [k for k in range(search.piece.bends) if (before[0] >> k) & 1]
            search.to_itself[key] = bar_to_itself(search.piece, search.problem.bender, bend, end, made)
        near = search.to_itself[key]
        if near is not None and near.gap < search.problem.required_clearance - 1e-9:
            found.append((bend, before[0], end, *near.reach))
    return found


def _classes(problem: OrderProblem) -> tuple[NDArray[np.int64], int]:
    """Number the ways round the bar that bends turn to; ways that print the same are the same."""
    ways = [round(direction, 3) % 360.0 for direction in problem.table.directions]
    known = sorted(set(ways))
    return np.array([known.index(way) for way in ways], dtype=np.int64), max(1, len(known))


def _widest(search: _Search, start: State) -> list[State]:
    """Of all cheapest orders the one whose smallest clearance is largest; the first of these.

    The clearance of a step is measured only where it can matter: the order that could be widest, as far as is known, is
    measured step by step; what is found narrows the others down until nothing that is unmeasured could be wider.
    """
    follow: dict[State, list[State]] = {}
    layers = [[start]]
    while layers[-1]:
        later: dict[State, None] = {}
        for state in layers[-1]:
            choices = list(search.choices(state))
            least = min((value for value, _ in choices), default=0)
            follow[state] = [after for value, after in choices if value == least]
            later.update(dict.fromkeys(follow[state]))
        layers.append(list(later))
        if len(follow) > _MOST_TIED:
            return _first(search, start)
    while True:
        width: dict[State, float] = {}
        choice: dict[State, State] = {}
        for layer in reversed(layers[:-1]):
            for state in layer:
                width[state] = math.inf if not follow[state] else -math.inf
                for after in follow[state]:
                    known = _known(search, state, after)
                    wide = min(known, width[after])
                    if wide > width[state]:
                        width[state], choice[state] = wide, after
        path = [start]
        while path[-1] in choice:
            path.append(choice[path[-1]])
        unknown = [(a, b) for a, b in pairwise(path) if _known(search, a, b) == math.inf]
        if not unknown or len(search.measured) > _MOST_MEASURED:
            return path
        before = len(search.measured)
        for a, b in unknown:
            search.clearance(a, b)
        if len(search.measured) == before:
            return path


def _known(search: _Search, before: State, after: State) -> float:
    bend = (before[0] ^ after[0]).bit_length() - 1
    found = search.measured.get((before[0], bend, after[1], after[2]))
    return math.inf if found is None else found.gap


def _told(search: _Search, path: list[State]) -> Order:
    directions = search.problem.table.directions
    steps: list[OrderStep] = []
    before_bend: int | None = None
    for before, after in pairwise(path):
        bend = (before[0] ^ after[0]).bit_length() - 1
        near = search.clearance(before, after)
        mounting = search.tables.mountings[after[2]]
        turn = 0.0 if before_bend is None else half_turn(directions[before_bend] - directions[bend])
        clearance = max(near.gap, search.problem.required_clearance)
        steps.append(
            OrderStep(
                bend + 1,
                _ENDS[after[1]],
                mounting.name if mounting else None,
                turn,
                clearance,
                near.nearest,
                near.moving,
            )
        )
        before_bend = bend
    pairs = list(pairwise(path[1:]))
    return Order(
        tuple(steps),
        feasible=True,
        proven=True,
        reversals=sum(a[1] != b[1] for a, b in pairs),
        changes=sum(a[2] != b[2] for a, b in pairs),
        turns=sum(a[3] != b[3] for a, b in pairs),
    )
