"""What cutting would cost if bars could be cut by fractions of patterns: the bound that no plan goes below.

Column generation (Gilmore and Gomory, Operations Research 9, 1961): a small linear program over the patterns known so
far prices every width, and a knapsack looks for a pattern that is worth more than its bar costs. The prices are then
taken as whole numbers, so that the bound does not hang on the rounding of the linear program.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy  # loads its parts when they are first named
from numpy.typing import NDArray

from bentwork.parts.cutting_patterns import Filled
from bentwork.parts.cutting_problem import Ints, Problem

__all__ = ["FINE", "Columns", "Relaxed", "relax"]

Floats = NDArray[np.float64]

FINE = 1 << 20
"""Prices of widths are whole multiples of a cost unit over this."""

_ROUNDS = 2000
_DEAR = 1000.0


class Columns:
    """Patterns known so far, each for one kind of bar; none twice."""

    def __init__(self, widths: int) -> None:
        self.patterns: list[Ints] = []
        self.kinds: list[int] = []
        self._known: set[tuple[int, bytes]] = set()
        self._widths = widths

    def add(self, pattern: Ints, kind: int) -> bool:
        """Add a pattern; tell whether it is new."""
        key = (kind, pattern.tobytes())
        if key in self._known:
            return False
        self._known.add(key)
        self.patterns.append(pattern)
        self.kinds.append(kind)
        return True

    @property
    def matrix(self) -> Ints:
        """(m, n) patterns as columns."""
        if not self.patterns:
            return np.zeros((self._widths, 0), dtype=np.int64)
        return np.array(self.patterns, dtype=np.int64).T


@dataclass(frozen=True, eq=False)
class Relaxed:
    """The linear program solved.

    Args:
        use: (n,) how often each column is used; fractions.
        bound: no plan costs less.
        prices: (m,) of each width, in costs over ``FINE``, whole.
        over: (K,) by how much the best pattern is worth more than a bar of each kind costs, the same unit.
        filled: the knapsacks at these prices.
    """

    use: Floats
    bound: float
    prices: Ints
    over: Ints
    filled: Filled | None


def relax(problem: Problem, columns: Columns) -> Relaxed | None:
    """Solve the linear program, adding columns as they are needed; None when the bars cannot hold everything.

    Args:
        problem: with bars that hold every single width.
        columns: known so far; those that are found are added.
    """
    kinds, wanted = problem.kinds, problem.demand > 0
    room, many = int(kinds.room.max()), int(wanted.sum())
    if not many:
        return Relaxed(np.zeros(len(columns.kinds)), 0.0, np.zeros_like(problem.widths), -kinds.cost * FINE, None)
    dear = np.full(many, _DEAR * float(max(1, kinds.cost.max())))
    limited = np.flatnonzero(~kinds.free)
    for _ in range(_ROUNDS):
        matrix, of = columns.matrix, np.array(columns.kinds, dtype=np.int64)
        rows = np.vstack([-matrix[wanted], (of == limited[:, None]).astype(np.int64)])
        missing = np.vstack([-np.eye(many), np.zeros((len(limited), many))])
        bounds = np.concatenate([-problem.demand[wanted], kinds.limit[limited]])
        solved = scipy.optimize.linprog(
            np.concatenate([kinds.cost[of].astype(float), dear]),
            A_ub=np.hstack([rows, missing]),
            b_ub=bounds,
            method="highs",
        )
        duals = np.zeros(len(problem.widths))
        duals[wanted] = np.maximum(-solved.ineqlin.marginals[:many], 0.0)
        prices = np.floor(duals * FINE).astype(np.int64)
        filled = Filled(problem.widths, problem.demand, prices, room)
        over = np.array([filled.best(int(r)) for r in kinds.room]) - kinds.cost * FINE
        worth = np.zeros(len(kinds))
        worth[limited] = -solved.ineqlin.marginals[many:]
        new = False
        for kind in np.flatnonzero(over > worth * FINE + 64 + 1e-7 * FINE * kinds.cost):
            new = columns.add(filled.pattern(int(kinds.room[kind])), int(kind)) or new
        if not new:
            break
    if solved.x[len(of) :].max() > 1e-6:
        return None
    return Relaxed(solved.x[: len(of)], _bound(problem, prices, over), prices, over, filled)


def _bound(problem: Problem, prices: Ints, over: Ints) -> float:
    """The value of prices that no pattern of a bar may exceed: scaled down where one does by a hair (Farley 1990)."""
    kinds = problem.kinds
    cost = kinds.cost * FINE
    scale = 1.0
    for kind in np.flatnonzero(kinds.free & (over > 0)):
        scale = min(scale, float(cost[kind]) / float(cost[kind] + over[kind]))
    extra = np.where(kinds.free, 0.0, np.maximum(scale * (over + cost) - cost, 0.0))
    return float(scale * float(prices @ problem.demand) - float(extra @ kinds.limit)) / FINE
