"""The cheapest way through the sets of bends made: a shortest path, from the finished piece back. Compiled.

What a bar looks like at a bend depends only on which bends are made, not on the order they were made in. So the orders
are paths through the sets of bends, and the cheapest way to finish is known for every set once it is known for all
larger ones. A state is a set, the end held, the mounting, and the way round the bar that the last bend turned to.

Costs are whole numbers, so that they are the same on every machine: end-for-end reversals, changes of mounting, turns,
and weights, in that order of importance, in one number.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["MOUNTINGS", "NEVER", "REVERSALS", "TURNS", "cheapest", "combined", "parts", "renewed", "take_out"]

REVERSALS, MOUNTINGS, TURNS = 1 << 48, 1 << 40, 1 << 32
NEVER = 1 << 60
Flags = NDArray[np.int64]


def parts(cost: int) -> tuple[int, int, int, int]:
    """Return reversals, changes of mounting, turns and weight of a cost."""
    return cost // REVERSALS, cost // MOUNTINGS % 256, cost // TURNS % 256, cost % TURNS


@compiled
def combined(
    bend: int, bends: int, a: Flags, b: Flags, apart: Flags, a_is_outer: bool, table: NDArray[np.uint16]
) -> None:
    """Write the masks of one bend into ``table`` (bends, sets).

    Args:
        bend: number of the bend, from 0.
        bends: how many the piece has.
        a: masks of the leaves towards end A, (2^bend, 5).
        b: those towards end B.
        apart: for pairs of leaves (outer, inner): bit 0 clear with end A held, bit 1 with end B; (0, 0) for all clear.
        a_is_outer: whether the outer side of ``apart`` is the one towards A.
        table: where to write.
    """
    both_ways = len(apart) > 0
    for i in range(len(a)):
        if a[i, 0] == 0:
            continue
        below = 0
        for j in range(bend):  # the i-th bend outward from here towards A is bend - 1 - i
            below |= ((i >> j) & 1) << (bend - 1 - j)
        for k in range(len(b)):
            mask = a[i, 0] & b[k, 0]
            if mask == 0:
                continue
            mask &= (a[i, 1] & b[k, 1]) | (a[i, 2] & b[k, 2])
            mask &= (a[i, 3] & b[k, 3]) | (a[i, 4] & b[k, 4])
            if both_ways and mask != 0:
                clear = apart[i, k] if a_is_outer else apart[k, i]
                mask &= (0x5555 if clear & 1 else 0) | (0xAAAA if clear & 2 else 0)
            if mask != 0:
                table[bend, below | (k << (bend + 1))] = mask


@compiled
def cheapest(
    table: NDArray[np.uint16], classes: Flags, class_count: int, mountings: int, weights: Flags, start: int
) -> NDArray[np.int64]:
    """Return the least cost to finish from every state, (sets, ends held, mountings, ways round); ``NEVER`` for none.

    Args:
        table: masks of every bend and set, (bends, sets).
        classes: which way round each bend turns to, as a number.
        class_count: how many ways there are.
        mountings: how many mountings there are.
        weights: what it costs to leave a bend for one step later.
        start: bends that are made at the start, as bits; only sets that hold these are worked out.
    """
    sets = table.shape[1]
    cost = np.full((sets, 2, mountings, class_count), NEVER)
    cost[sets - 1] = 0
    here = np.empty((2, mountings, class_count), dtype=np.int64)
    for made in range(sets - 2, start - 1, -1):
        if made & start == start and _of_set(made, table, cost, classes, weights, here):
            cost[made] = here
    return cost


@compiled
def renewed(
    cost: NDArray[np.int64],
    changed: NDArray[np.bool_],
    table: NDArray[np.uint16],
    classes: Flags,
    weights: Flags,
    start: int,
) -> None:
    """Bring the costs of ``cheapest`` up to a table in which ways were taken out since.

    A set is worked out anew only if a way out of it was taken out, or if what it leads to costs more than before.

    Args:
        cost: of ``cheapest``; changed in place.
        changed: for every set, whether a way out of it was taken out; all False afterwards, (sets,).
        table: masks of every bend and set, (bends, sets).
        classes: which way round each bend turns to, as a number.
        weights: what it costs to leave a bend for one step later.
        start: bends that are made at the start, as bits.
    """
    sets = table.shape[1]
    here = np.empty(cost.shape[1:], dtype=np.int64)
    for made in range(sets - 2, start - 1, -1):
        if changed[made] and made & start == start:
            raised(made, table, cost, classes, weights, start, changed, here)  # marks smaller sets, still to come
    changed[:] = False


@compiled
def raised(
    made: int,
    table: NDArray[np.uint16],
    cost: NDArray[np.int64],
    classes: Flags,
    weights: Flags,
    start: int,
    changed: NDArray[np.bool_],
    here: NDArray[np.int64],
) -> bool:
    """Work out the cost to finish from a set anew; if it rose, mark the sets that lead to it in ``changed``.

    ``here`` is room for the costs of one set; the rest as for ``renewed``.
    """
    _of_set(made, table, cost, classes, weights, here)
    if (here == cost[made]).all():
        return False
    cost[made] = here
    for k in range(table.shape[0]):
        if (made >> k) & 1 and not (start >> k) & 1:
            changed[made & ~(1 << k)] = True
    return True


@compiled
def _of_set(
    made: int,
    table: NDArray[np.uint16],
    cost: NDArray[np.int64],
    classes: Flags,
    weights: Flags,
    here: NDArray[np.int64],
) -> bool:
    """Write the least cost to finish from a set into ``here``; whether there is any way to finish."""
    bends = table.shape[0]
    mountings, class_count = here.shape[1], here.shape[2]
    here[:] = NEVER
    count = 0
    for k in range(bends):
        count += (made >> k) & 1
    any_way = False
    for k in range(bends):
        if (made >> k) & 1:
            continue
        mask = table[k, made]
        if mask == 0:
            continue
        late = weights[k] * count
        c = classes[k]
        after = cost[made | (1 << k)]
        for m in range(mountings):
            for h in range(2):
                if (mask >> (2 * m + h)) & 1 and after[h, m, c] < NEVER:
                    value = after[h, m, c] + late
                    if value < here[h, m, c]:
                        here[h, m, c] = value
                        any_way = True
    if not any_way:
        return False
    for h in range(2):
        for m in range(mountings):
            least = NEVER
            for c in range(class_count):
                least = min(least, here[h, m, c])
            for c in range(class_count):
                here[h, m, c] = min(here[h, m, c], least + TURNS)
        for c in range(class_count):
            least = NEVER
            for m in range(mountings):
                least = min(least, here[h, m, c])
            for m in range(mountings):
                here[h, m, c] = min(here[h, m, c], least + MOUNTINGS)
    for m in range(mountings):
        for c in range(class_count):
            a, b = here[0, m, c], here[1, m, c]
            here[0, m, c] = min(a, b + REVERSALS)
            here[1, m, c] = min(b, a + REVERSALS)
    return True


@compiled
def take_out(table: NDArray[np.uint16], bend: int, same: int, made: int, kept: int, changed: NDArray[np.bool_]) -> None:
    """Take ways of making a bend out of the table.

    Args:
        table: masks of every bend and set, (bends, sets).
        bend: number of the bend, from 0.
        same: bends, as bits, in which a set must be like ``made``.
        made: bends made, as bits.
        kept: bits of the masks that stay.
        changed: is made True for every set in which anything went, (sets,).
    """
    fixed, free = made & same, (table.shape[1] - 1) & ~same
    others = free
    while True:  # every set of the others, from all to none
        one = fixed | others
        if table[bend, one] & ~kept:
            table[bend, one] &= kept
            changed[one] = True
        if others == 0:
            break
        others = (others - 1) & free
