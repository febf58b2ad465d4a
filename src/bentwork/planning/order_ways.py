"""Ways through the sets of bends, once the cost to finish is known: the first and the widest. Compiled.

A state is a set of bends made, the end held, the mounting and the way round the bar, as in ``order_path``. Next steps
are looked at in a fixed order, lower bend, end A, earlier mounting, so that ties are broken the same way everywhere.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.planning.order_path import MOUNTINGS, NEVER, REVERSALS, TURNS, Costs, raised, shared

__all__ = ["BEFORE", "BEND", "END", "MOUNTING", "first_way", "tied_ways", "way_renewed", "widest_way"]

Flags = NDArray[np.int64]
Row = NDArray[np.float64]

BEFORE, BEND, END, MOUNTING = range(4)
"""Columns of a step: set of bends made before it, bend, end held (0 or 1), number of the mounting."""


@compiled
def _next(
    made: int, held: int, mounting: int, way: int, table: NDArray[np.uint16], cost: Costs, classes: Flags,
    several: int, weights: Flags, steps: Flags,
) -> int:  # fmt: skip
    """Write the cheapest next steps from a state in their order, and return how many; held -1 before the first."""
    bends, count, least = table.shape[0], 0, NEVER
    late = 0
    for k in range(bends):
        late += (made >> k) & 1
    for k in range(bends):
        mask = int(table[k, made])
        if (made >> k) & 1 or mask == 0:
            continue
        for end in range(2):
            for place in range(cost.shape[3]):
                if not (mask >> (2 * place + end)) & 1:
                    continue
                value = cost[made | (1 << k), min(classes[k], several), end, place] + weights[k] * late
                if held >= 0:
                    value += REVERSALS * (end != held) + MOUNTINGS * (place != mounting) + TURNS * (classes[k] != way)
                if value < least:
                    least, count = value, 0
                if value == least and value < NEVER:
                    steps[count, BEFORE], steps[count, BEND] = made, k
                    steps[count, END], steps[count, MOUNTING] = end, place
                    count += 1
    return count


@compiled
def first_way(table: NDArray[np.uint16], cost: Costs, classes: Flags, weights: Flags, start: int) -> Flags:
    """Return the steps of the first of the cheapest orders, (n, 4); fewer than bends are missing where there is none.

    Args:
        table: masks of every bend and set, (bends, sets).
        cost: see ``order_path.cheapest``.
        classes: which way round each bend turns to, as a number.
        weights: what it costs to leave a bend for one step later.
        start: bends that are made at the start, as bits.
    """
    bends = table.shape[0]
    steps, found = np.empty((2 * bends * cost.shape[3], 4), dtype=np.int64), np.empty((bends, 4), dtype=np.int64)
    made, held, mounting, way, n, several = start, -1, -1, -1, 0, shared(classes)
    while _next(made, held, mounting, way, table, cost, classes, several, weights, steps) > 0:
        found[n] = steps[0]
        made, held, mounting = made | (1 << steps[0, BEND]), steps[0, END], steps[0, MOUNTING]
        way = classes[steps[0, BEND]]
        n += 1
    return found[:n]


@compiled
def way_renewed(
    table: NDArray[np.uint16], cost: Costs, classes: Flags, weights: Flags, start: int, changed: NDArray[np.bool_],
    most: int,
) -> tuple[Flags, bool]:  # fmt: skip
    """Return the first of the cheapest orders of a table in which ways were taken out, as ``first_way`` would.

    Only what lies on the way is worked out anew: costs of before are never too high, so that a way along which they
    still hold is a cheapest one; where a cost rises, the walk goes back a step and looks again.

    Args:
        table: masks of every bend and set, (bends, sets).
        cost: of ``order_path.cheapest`` before; raised in place where the way came by.
        classes: which way round each bend turns to, as a number.
        weights: what it costs to leave a bend for one step later.
        start: bends that are made at the start, as bits.
        changed: for every set, whether its cost may be too low; kept up, (sets,).
        most: sets worked out anew; beyond, it is quicker to renew them all.

    Returns:
        the steps, (n, 4), fewer than bends are missing where there is no order; whether ``most`` were enough.
    """
    bends, sets = table.shape
    steps, found = np.empty((2 * bends * cost.shape[3], 4), dtype=np.int64), np.empty((bends, 4), dtype=np.int64)
    here, several = np.empty((cost.shape[1] + 1, 2, cost.shape[3]), dtype=np.int32), shared(classes)
    made, held, mounting, way, n = start, -1, -1, -1, 0
    while made != sets - 1:
        if changed[made]:
            changed[made] = False
            if raised(made, table, cost, classes, several, weights, start, changed, here):
                most -= 1
                if most < 0:
                    return found[:0], False
                if n > 0:
                    n -= 1
                    made = found[n, BEFORE]
                    held, mounting, way = -1, -1, -1
                    if n > 0:
                        held, mounting, way = found[n - 1, END], found[n - 1, MOUNTING], classes[found[n - 1, BEND]]
                    continue
        if _next(made, held, mounting, way, table, cost, classes, several, weights, steps) == 0:
            break
        found[n] = steps[0]
        made, held, mounting = made | (1 << steps[0, BEND]), steps[0, END], steps[0, MOUNTING]
        way = classes[steps[0, BEND]]
        n += 1
    return found[:n], True


@compiled
def tied_ways(
    table: NDArray[np.uint16], cost: Costs, classes: Flags, weights: Flags, start: int, most: int
) -> tuple[Flags, Flags, Flags]:
    """Return all cheapest orders as a graph; arguments as for ``first_way``.

    Returns:
        where the steps of each state begin (states + 1,), states in the order of how many bends are made; the steps,
        (n, 4); the state that each leads to, (n,). All empty where there are more than ``most`` states.
    """
    bends, places, several = table.shape[0], cost.shape[3], shared(classes)
    ways = classes.max() + 1 if bends > 0 else 1
    at_once = 2 * bends * places
    begins, states = np.zeros(most + 2, dtype=np.int64), np.empty(most, dtype=np.int64)
    steps = np.empty(((most + 1) * at_once, 4), dtype=np.int64)
    leads = np.empty((most + 1) * at_once, dtype=np.int64)
    layer_from, layer_to, n = 0, 1, 0  # states of the layer; steps so far
    states[0] = -1
    while layer_from < layer_to:
        first_step = n
        for s in range(layer_from, layer_to):
            begins[s] = n
            code = states[s]
            if code < 0:
                made, held, place, way = start, -1, -1, -1
            else:
                way, code = code % ways, code // ways
                place, code = code % places, code // places
                held, made = code % 2, code // 2
            count = _next(made, held, place, way, table, cost, classes, several, weights, steps[n:])
            for i in range(n, n + count):
                k = steps[i, BEND]
                code = (made | (1 << k)) * 2 + steps[i, END]
                leads[i] = (code * places + steps[i, MOUNTING]) * ways + classes[k]
            n += count
        later = np.unique(leads[first_step:n])
        if layer_to + len(later) > most:
            return begins[:0], steps[:0], leads[:0]
        states[layer_to : layer_to + len(later)] = later
        for i in range(first_step, n):
            leads[i] = layer_to + np.searchsorted(later, leads[i])
        layer_from, layer_to = layer_to, layer_to + len(later)
    begins[layer_to] = n
    return begins[: layer_to + 1], steps[:n], leads[:n]


@compiled
def widest_way(begins: Flags, leads: Flags, gaps: Row) -> Flags:
    """Return the numbers of the steps of the order whose smallest gap is largest; the first of these.

    Args:
        begins: see ``tied_ways``.
        leads: the same.
        gaps: of every step; infinite where it isn't known yet.
    """
    states = len(begins) - 1
    width, choice = np.empty(states), np.full(states, -1)
    for s in range(states - 1, -1, -1):
        width[s] = math.inf if begins[s] == begins[s + 1] else -math.inf
        for i in range(begins[s], begins[s + 1]):
            wide = min(gaps[i], width[leads[i]])
            if wide > width[s]:
                width[s], choice[s] = wide, i
    found, n, s = np.empty(states, dtype=np.int64), 0, 0
    while choice[s] >= 0:
        found[n] = choice[s]
        s = leads[choice[s]]
        n += 1
    return found[:n]
