"""How far one gets where there is no order: 64 sets of bends at a time, a bit each. Compiled."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["furthest"]

_AT_ONCE = 6  # bends whose sets share a word
_WITHOUT = np.array([sum(1 << s for s in range(64) if not (s >> k) & 1) for k in range(_AT_ONCE)], dtype=np.uint64)
"""Sets of a word without a bend."""
_MANY = np.array([sum(1 << s for s in range(64) if s.bit_count() == n) for n in range(_AT_ONCE + 1)], dtype=np.uint64)
"""Sets of a word with so many bends."""

Words = NDArray[np.uint64]


def furthest(table: NDArray[np.uint16], start: int) -> list[int]:
    """Return bends in an order in which as many as possible are made; of the sets reached so the smallest number.

    Args:
        table: masks of every bend and set, (bends, sets).
        start: bends that are made at the start, as bits.
    """
    bends, sets = table.shape
    ways = np.packbits(table != 0, axis=1, bitorder="little")
    if sets < 64:
        ways = np.pad(ways, ((0, 0), (0, 8 - ways.shape[1])))
    order: list[int] = _furthest(ways.view("<u8"), bends, start, _WITHOUT, _MANY).tolist()
    return order


@compiled
def _furthest(ways: Words, bends: int, start: int, without: Words, many: Words) -> NDArray[np.int64]:
    one, words = np.uint64(1), ways.shape[1]
    reached = np.zeros(words, dtype=np.uint64)
    reached[start >> 6] = one << np.uint64(start & 63)
    best, most = start, -1
    for w in range(start >> 6, words):
        sets = reached[w]
        if sets == 0:
            continue
        while True:
            before = sets
            for k in range(min(bends, 6)):
                sets |= (sets & ways[k, w] & without[k]) << (one << np.uint64(k))
            if sets == before:
                break
        reached[w] = sets
        above = 0
        for k in range(6, bends):
            if (w >> (k - 6)) & 1:
                above += 1
            else:
                reached[w | (1 << (k - 6))] |= sets & ways[k, w]
        for n in range(6, -1, -1):
            if above + n <= most:
                break
            if sets & many[n] != 0:
                most, s = above + n, 0
                while not (((sets & many[n]) >> np.uint64(s)) & one):
                    s += 1
                best = 64 * w + s
                break
    order, n = np.empty(bends, dtype=np.int64), 0
    while best != start:
        k = bends - 1  # back the smallest way: the last bend is the highest that may be
        while True:
            before_it = best & ~(1 << k)
            bit = np.uint64(before_it & 63)
            if before_it != best and ((reached[before_it >> 6] & ways[k, before_it >> 6]) >> bit) & one:
                break
            k -= 1
        order[n] = k
        best = before_it
        n += 1
    return order[:n][::-1].copy()
