"""The cutting of bars in whole numbers: how many of which width, from bars of which room at which cost."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["Ints", "Kinds", "Problem"]

Ints = NDArray[np.int64]

_MOST_SUMS = 2_000_000


@dataclass(frozen=True, eq=False)
class Kinds:
    """The kinds of bars.

    Args:
        room: (K,) what widths may fill, whole.
        cost: (K,) of one, whole.
        limit: (K,) how many there are.
        free: (K,) as many as are wanted: the limit is only more than anyone needs.
    """

    room: Ints
    cost: Ints
    limit: Ints
    free: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.room)


@dataclass(frozen=True, eq=False)
class Problem:
    """Cover a demand of widths with bars at the least cost.

    Args:
        widths: (m,) length and kerf, whole, falling, all different.
        demand: (m,) how many of each; 0 is possible.
        kinds: of bars.
    """

    widths: Ints
    demand: Ints
    kinds: Kinds

    @property
    def total(self) -> int:
        """All widths together."""
        return int(self.widths @ self.demand)

    @cached_property
    def step(self) -> int:
        """What all costs are whole multiples of; 0 where nothing costs anything."""
        return math.gcd(*(int(cost) for cost in self.kinds.cost))

    def less(self, pattern: Ints, kind: int, times: int = 1) -> Problem:
        """Return what is left to do when bars of a kind have been cut by a pattern."""
        limit = self.kinds.limit.copy()
        limit[kind] -= 0 if self.kinds.free[kind] else times
        return replace(
            self, demand=np.maximum(self.demand - times * pattern, 0), kinds=replace(self.kinds, limit=limit)
        )

    def next_cost(self, least: float) -> int:
        """Return the smallest cost that so many whole bars can come to and that is not below ``least``."""
        if not self.step:
            return 0
        low = max(0, math.ceil(least / self.step - 1e-9))
        costs = sorted({int(cost) // self.step for cost in self.kinds.cost if cost})
        # Beyond this every multiple can be reached (two coprime costs reach all from (a - 1)(b - 1) on).
        top = low + costs[0]
        if top > _MOST_SUMS:
            return low * self.step
        reached = np.zeros(top + 1, dtype=bool)
        reached[0] = True
        for cost in costs:
            for start in range(cost, top + 1, cost):
                block = reached[start - cost : start]
                reached[start : start + cost] |= block[: len(reached[start : start + cost])]
        found = np.flatnonzero(reached[low:])
        return (low + int(found[0])) * self.step if len(found) else low * self.step
