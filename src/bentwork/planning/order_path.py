"""The cheapest way through the sets of bends made: a shortest path, from the finished piece back. Compiled.

What a bar looks like at a bend depends only on which bends are made, not on the order they were made in. So the orders
are paths through the sets of bends, and the cheapest way to finish is known for every set once it is known for all
larger ones. A state is a set, the end held, the mounting, and the way round the bar that the last bend turned to.

Costs are whole numbers, so that they are the same on every machine: end-for-end reversals, changes of mounting, turns,
and weights, in that order of importance, in one number of 30 bits.

After a bend that is the only one to turn to its way, whatever comes next is a turn: to finish costs the same after any
of these, and one column holds the costs for all of them.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = [
    "MOUNTINGS",
    "NEVER",
    "REVERSALS",
    "TURNS",
    "cheapest",
    "columns",
    "combined",
    "parts",
    "renewed",
    "shared",
    "take_out",
]

REVERSALS, MOUNTINGS, TURNS = 1 << 25, 1 << 20, 1 << 15
"""Of 20 bends none of them comes more than 19 times, and weights add up to 100 * (1 + 2 + ... + 19) = 19,000."""

NEVER = 1 << 30
_NEVER = np.int32(NEVER)
_LONG, _SHARED_OUT, _AT_A_TIME = 13, 4, 4
"""Bends from which on the work is shared out, by the last so many bends; how many shares are worked at a time."""

Flags = NDArray[np.int64]
Masks = NDArray[np.uint16]
Costs = NDArray[np.int32]


def parts(cost: int) -> tuple[int, int, int, int]:
    """Return reversals, changes of mounting, turns and weight of a cost."""
    return cost // REVERSALS, cost // MOUNTINGS % 32, cost // TURNS % 32, cost % TURNS


@compiled
def shared(classes: Flags) -> int:
    """Return how many ways round the bar have costs of their own: up to the last that two bends or more turn to."""
    several = 0
    for c in classes:
        if c >= several and (classes == c).sum() > 1:
            several = c + 1
    return several


@compiled
def columns(classes: Flags) -> int:
    """Return how many ways round the bar costs are kept for: those of ``shared``, and one for all others, if any."""
    return max(1, shared(classes) + (1 if (classes >= shared(classes)).any() else 0))


@compiled
def combined(bend: int, bends: int, a: Masks, b: Masks, apart: Flags, a_is_outer: bool, table: Masks) -> None:
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


def cheapest(table: Masks, classes: Flags, mountings: int, weights: Flags, start: int) -> Costs:
    """Return the least cost to finish from every state, (sets, ways round, ends held, mountings); ``NEVER`` for none.

    Args:
        table: masks of every bend and set, (bends, sets).
        classes: which way round each bend turns to, as a number; for their columns see ``columns``.
        mountings: how many mountings there are.
        weights: what it costs to leave a bend for one step later.
        start: bends that are made at the start, as bits; only sets that hold these are worked out.
    """
    # numpy asks for large pages; filling it by small ones would take as long as all the rest
    cost = np.empty((table.shape[1], columns(classes), 2, mountings), dtype=np.int32)
    _in_shares(len(table), lambda first, last: _fill(cost, table, classes, weights, start, first, last))
    return cost


def _in_shares(bends: int, work: Callable[[int, int], None]) -> None:
    """Do the work for all sets, from first to before last, several shares at a time, after those that they lead to."""
    if bends < _LONG:
        work(0, 2**bends)
        return
    size = 2 ** (bends - _SHARED_OUT)
    with ThreadPoolExecutor(_AT_A_TIME) as workers:  # the kernels let go of the interpreter
        for many in range(_SHARED_OUT, -1, -1):  # of the last bends are made
            shares = [share for share in range(2**_SHARED_OUT) if share.bit_count() == many]
            for done in [workers.submit(work, share * size, (share + 1) * size) for share in shares]:
                done.result()


@compiled
def _fill(cost: Costs, table: Masks, classes: Flags, weights: Flags, start: int, first: int, last: int) -> None:
    """Write the costs of the sets from ``first`` to before ``last``; those of larger sets they lead to are known."""
    several = shared(classes)
    here = np.empty((cost.shape[1] + 1, 2, cost.shape[3]), dtype=np.int32)
    for made in range(last - 1, first - 1, -1):
        if made == len(cost) - 1:
            cost[made] = 0
        elif made & start == start:
            _of_set(made, table, cost, classes, several, weights, here)
            cost[made] = here[:-1]
        else:
            cost[made] = NEVER


def renewed(cost: Costs, changed: NDArray[np.bool_], table: Masks, classes: Flags, weights: Flags, start: int) -> None:
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
    _in_shares(len(table), lambda first, last: _renew(cost, changed, table, classes, weights, start, first, last))
    changed[:] = False


@compiled
def _renew(
    cost: Costs, changed: NDArray[np.bool_], table: Masks, classes: Flags, weights: Flags, start: int,
    first: int, last: int,
) -> None:  # fmt: skip
    several = shared(classes)
    here = np.empty((cost.shape[1] + 1, 2, cost.shape[3]), dtype=np.int32)
    for made in range(min(last, len(cost) - 1) - 1, first - 1, -1):
        if changed[made] and made & start == start:
            raised(made, table, cost, classes, several, weights, start, changed, here)  # marks sets still to come


@compiled
def raised(
    made: int, table: Masks, cost: Costs, classes: Flags, several: int, weights: Flags, start: int,
    changed: NDArray[np.bool_], here: Costs,
) -> bool:  # fmt: skip
    """Work out the cost to finish from a set anew; if it rose, mark the sets that lead to it in ``changed``.

    ``several`` is ``shared`` of the classes, ``here`` room for the costs of one set and a row more; the rest as for
    ``renewed``.
    """
    _of_set(made, table, cost, classes, several, weights, here)
    if (here[:-1] == cost[made]).all():
        return False
    cost[made] = here[:-1]
    for k in range(table.shape[0]):
        if (made >> k) & 1 and not (start >> k) & 1:
            changed[made & ~(1 << k)] = True
    return True


@compiled
def _of_set(made: int, table: Masks, cost: Costs, classes: Flags, several: int, weights: Flags, here: Costs) -> None:
    """Write the least cost to finish from a set into ``here``; its last row is room for the least of all ways round."""
    bends, (_, ways, _, mountings) = table.shape[0], cost.shape
    here[:] = NEVER
    least = here[ways]  # what no other bend turns to goes in here at once
    count = 0
    for k in range(bends):
        count += (made >> k) & 1
    for k in range(bends):
        mask = int(table[k, made])
        if (made >> k) & 1 or mask == 0:
            continue
        late = np.int32(weights[k] * count)  # all in 32 bits, of which the processor does several at a time
        after = cost[made | (1 << k), min(classes[k], several)]
        into = here[classes[k]] if classes[k] < several else least
        for h in range(2):
            for m in range(mountings):
                value = np.int32(after[h, m] + late)
                into[h, m] = min(into[h, m], value if (mask >> (2 * m + h)) & 1 else _NEVER)
    for c in range(several):
        for h in range(2):
            for m in range(mountings):
                least[h, m] = min(least[h, m], here[c, h, m])
    for c in range(ways):
        for h in range(2):
            anywhere = _NEVER
            for m in range(mountings):
                here[c, h, m] = min(here[c, h, m], np.int32(least[h, m] + TURNS))
                anywhere = min(anywhere, here[c, h, m])
            anywhere = np.int32(anywhere + MOUNTINGS)
            for m in range(mountings):
                here[c, h, m] = min(here[c, h, m], anywhere)
        for m in range(mountings):
            a, b = here[c, 0, m], here[c, 1, m]
            here[c, 0, m] = min(a, np.int32(b + REVERSALS))
            here[c, 1, m] = min(b, np.int32(a + REVERSALS))


@compiled
def take_out(table: Masks, bend: int, same: int, made: int, kept: int, changed: NDArray[np.bool_]) -> None:
    """Take ways of making a bend out of the table.

    Args:
        table: masks of every bend and set, (bends, sets).
        bend: number of the bend, from 0.
        same: bends, as bits, in which a set must be like ``made``.
        made: bends made, as bits.
        kept: bits of the masks that stay.
        changed: is made True for every set in which anything went, (sets,).
    """
    fixed, free, gone = made & same, (table.shape[1] - 1) & ~same, 0xFFFF & ~kept
    others = free
    while True:  # every set of the others, from all to none
        one = fixed | others
        if table[bend, one] & gone:
            table[bend, one] &= kept
            changed[one] = True
        if others == 0:
            break
        others = (others - 1) & free
