"""An order found by feeling forward, for pieces of too many bends to weigh up every order, and for searches broken off.

Step by step the few best beginnings are kept. The order found clears everything; that none is better isn't proven, and
that none is found proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bentwork.clearance.step import StepClearance, step_clearance
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.piece.bend import half_turn
from bentwork.planning.order_needs import enough_straight
from bentwork.planning.order_problem import Order, OrderProblem, OrderStep, Progress

__all__ = ["MOST_PROVEN", "felt_forward", "seconds_for"]

MOST_PROVEN = 20
"""Bends up to which all orders are weighed up."""

_WIDTH = 6  # beginnings kept
_ENOUGH = 3.0  # mm more than wanted; how much more still makes no difference between two beginnings
_SECONDS_AT_16 = 2.0  # measured, see docs/performance.md
_ENDS: tuple[End, End] = ("A", "B")
Cost = tuple[int, int, int, int]


def seconds_for(bends: int) -> float:
    """Return roughly how long it would take to weigh up all orders: every bend more doubles it."""
    return float(_SECONDS_AT_16 * 2.0 ** (bends - 16))


@dataclass(frozen=True, slots=True)
class _Beginning:
    cost: Cost
    gap: float
    steps: tuple[OrderStep, ...]
    made: frozenset[int]

    @property
    def rank(self) -> tuple[Cost, float, tuple[tuple[int, str, str], ...]]:
        return self.cost, -self.gap, tuple((s.bend, s.held, s.mounting or "") for s in self.steps)


def felt_forward(problem: OrderProblem, progress: Progress | None = None) -> Order:
    """Return an order that clears everything, or how far one got; never proven.

    Args:
        problem: what to bend on what.
        progress: see ``order_problem.Progress``; when it says stop, what is found so far is returned.
    """
    piece, weights = problem.piece, problem.whole_weights
    ways = tuple(round(direction, 3) % 360.0 for direction in problem.table.directions)
    measured: dict[tuple[frozenset[int], int, End, int], StepClearance | None] = {}
    kept = [_Beginning((0, 0, 0, 0), float("inf"), (), frozenset(number - 1 for number in problem.made))]
    missing = piece.bends - len(problem.made)
    for count in range(missing):
        later: list[_Beginning] = []
        seen: set[tuple[frozenset[int], str, str | None, float]] = set()
        for cost, before, bend, held, place in sorted(
            (_cost(problem, ways, weights, one, bend, held, place), number, bend, held, place)
            for number, one in enumerate(kept)
            for bend in range(piece.bends)
            if bend not in one.made
            for held in _ENDS
            for place in range(len(problem.places))
        ):
            one = kept[before]
            mounting = problem.places[place]
            made = one.made | {bend}
            state = (made, held, mounting.name if mounting else None, ways[bend])
            if state in seen:
                continue
            key = (one.made, bend, held, place)
            if key not in measured:
                measured[key] = _measured(problem, piece, one.made, bend, held, place)
            near = measured[key]
            if near is None:
                continue
            seen.add(state)
            turn = (
                half_turn(problem.table.directions[one.steps[-1].bend - 1] - problem.table.directions[bend])
                if one.steps
                else 0.0
            )
            step = OrderStep(
                bend + 1, held, mounting.name if mounting else None, turn, near.gap, near.nearest, near.moving
            )
            later.append(_Beginning(cost, min(one.gap, near.gap, _limit(problem)), (*one.steps, step), made))
            if len(later) == _WIDTH:
                break
        if not later:
            return _told(problem, piece, kept[0], False)
        kept = sorted(later, key=lambda one: one.rank)
        if progress is not None and progress(count + 1, missing) and count + 1 < missing:
            return _told(problem, piece, kept[0], False)
    return _told(problem, piece, kept[0], True)


def _measured(
    problem: OrderProblem, piece: Workpiece, made: frozenset[int], bend: int, held: End, place: int
) -> StepClearance | None:
    if not enough_straight(problem.bender, piece, bend, held, made):
        return None
    near = step_clearance(
        piece, problem.bender, problem.places[place], bend, held, made, all_of_them=False, limit=_limit(problem)
    )
    return near if near.gap >= problem.required_clearance else None


def _cost(
    problem: OrderProblem,
    ways: tuple[float, ...],
    weights: tuple[int, ...],
    one: _Beginning,
    bend: int,
    held: End,
    place: int,
) -> Cost:
    reversals, changes, turns, weight = one.cost
    if one.steps:
        last, mounting = one.steps[-1], problem.places[place]
        reversals += last.held != held
        changes += last.mounting != (mounting.name if mounting else None)
        turns += ways[last.bend - 1] != ways[bend]
    return reversals, changes, turns, weight + weights[bend] * len(one.made)


def _limit(problem: OrderProblem) -> float:
    """Gaps this large or larger are all alike while an order is felt for."""
    return problem.required_clearance + _ENOUGH


def _told(problem: OrderProblem, piece: Workpiece, best: _Beginning, whole: bool) -> Order:
    """Tell the order, with every gap measured."""
    made = {number - 1 for number in problem.made}
    steps = []
    for step in best.steps:
        mounting = next((one for one in problem.mountings if one.name == step.mounting), None)
        near = step_clearance(piece, problem.bender, mounting, step.bend - 1, step.held, made, all_of_them=False)
        steps.append(replace(step, clearance=near.gap, nearest=near.nearest, moving=near.moving))
        made.add(step.bend - 1)
    reached = () if whole else tuple(sorted(bend + 1 for bend in best.made))
    return Order(tuple(steps), whole, False, *best.cost[:3], (), reached)
