"""Which bars to buy: the mixes of bars on sale that are big enough together, the cheapest first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from bentwork.parts.cutting_problem import Ints, Problem

__all__ = ["Mix", "cheapest_first", "mixes"]

Mix = tuple[int, ...]
"""How many bars of every kind; of offcuts all that there are."""

_MOST = 20_000
_MOST_TRIED = 400_000
_WINDOWS = 64


def mixes(problem: Problem, holds: Ints, low: float, high: int) -> tuple[tuple[int, Mix], ...] | None:
    """Return costs and mixes of at least ``low`` and less than ``high``, rising; None when there are too many.

    Args:
        problem: what is to be cut.
        holds: (K,) how much of what is wanted a bar of each kind can hold at most.
        low: costs.
        high: costs.
    """
    kinds = problem.kinds
    need = problem.total - int((holds * kinds.limit)[~kinds.free].sum())
    # The cheapest for what it holds first: what is then still needed costs at least its rate.
    useful = [int(k) for k in np.flatnonzero(kinds.free & (holds > 0))]
    order = sorted(useful, key=lambda k: (kinds.cost[k] / holds[k], -holds[k]))
    counted = _counts(order, problem, holds, need, low, high)
    if counted is None:
        return None
    costs, counts = counted
    every = np.tile(np.where(kinds.free, 0, kinds.limit), (len(costs), 1))
    every[:, order] = counts
    # Of equal cost the one with the fewest bars, then with the longest.
    keys = np.lexsort((*(-every[:, ::-1].T), every.sum(axis=1), costs))
    return tuple((int(costs[k]), tuple(int(count) for count in every[k])) for k in keys)


def cheapest_first(problem: Problem, holds: Ints, low: float, high: int) -> Iterator[tuple[int, Mix | None]]:
    """Yield costs and mixes from ``low`` to below ``high``, rising; None for the mix where there are too many more."""
    step = max(1, problem.step)
    width = max(step, round((high - low) / _WINDOWS))
    start = low
    while start < high:
        end = min(high, math.floor(start) + width)
        found = mixes(problem, holds, start, end)
        if found is not None:
            yield from found
            start, width = float(end), width * 2
        elif width <= step:
            yield math.ceil(start), None
            return
        else:
            width = max(step, width // 8)


def _counts(
    order: Sequence[int], problem: Problem, holds: Ints, need: int, low: float, high: int
) -> tuple[Ints, Ints] | None:
    """Return costs (n,) and counts (n, kinds in order) of all mixes between two costs; None when there are too many."""
    counts = np.zeros((1, len(order)), dtype=np.int64)
    costs, needs = np.zeros(1, dtype=np.int64), np.array([need], dtype=np.int64)
    most = int(problem.demand.sum())
    for place, kind in enumerate(order):
        each, size = int(problem.kinds.cost[kind]), int(holds[kind])
        last = place + 1 == len(order)
        # What is still needed costs at least the rate of the kinds that follow; after the last nothing may be needed.
        first = np.maximum(0, -(-needs // size)) if last else np.zeros_like(needs)
        if last and each:
            first = np.maximum(first, np.ceil((low - 1e-6 - costs) / each).astype(np.int64))
        final = np.minimum(most, (high - 1 - costs) // each) if each else np.maximum(first, np.minimum(most, first))
        number = np.maximum(final - first + 1, 0)
        if int(number.sum()) > _MOST_TRIED:
            return None
        parent = np.repeat(np.arange(len(costs)), number)
        count = np.arange(len(parent)) - np.repeat(np.cumsum(number) - number, number) + first[parent]
        counts = counts[parent]
        counts[:, place] = count
        costs, needs = costs[parent] + count * each, needs[parent] - count * size
        if not last:
            following = order[place + 1]
            rate = float(problem.kinds.cost[following]) / float(holds[following])
            good = costs + np.maximum(0, needs) * rate < high - 1e-9
            counts, costs, needs = counts[good], costs[good], needs[good]
    good = (needs <= 0) & (costs >= low - 1e-6) & (costs < high)
    return None if int(good.sum()) > _MOST else (costs[good], counts[good])
