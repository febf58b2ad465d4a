"""Whether a demand goes into the very bars that are given: an exhaustive search, compiled.

Bars are filled one after the other, the smallest first, each with as many as possible of the widest first. That is the
order of falling words: the first packing found is the last in the dictionary, of all that there are. Therefore, of bars
of one size, a later one holds no later word than an earlier one; a bar is left only when nothing wanted goes into its
rest; and a demand that was left over before, with the same bars, need not be looked at again: with it, the earlier and
greater beginning would have led to a packing (bin completion: Korf, AAAI 2002; Martello and Toth 1990, 8.5; from
memory).
"""

from __future__ import annotations

import numpy as np

from bentwork.clearance.compiling import compiled
from bentwork.parts.cutting_patterns import Filled
from bentwork.parts.cutting_problem import Ints

__all__ = ["FOUND", "NONE", "UNKNOWN", "fill_bars", "reachable"]

FOUND, NONE, UNKNOWN = 1, 0, 2


def reachable(widths: Ints, demand: Ints, room: int) -> Ints:
    """Return how full a bar can be with widths k, k + 1, … of the demand at most: (m + 1, room + 1), whole."""
    return Filled(widths, demand, widths, room).table


@compiled
def fill_bars(widths: Ints, wanted: Ints, rooms: Ints, full: Ints, most_nodes: int, taken: Ints) -> tuple[int, int]:
    """Fill bars with all that is wanted; returns ``FOUND``, ``NONE`` or ``UNKNOWN``, how many places were seen.

    Args:
        widths: (m,) falling.
        wanted: (m,) how many.
        rooms: (B,) rising.
        full: from ``reachable``, for the greatest room.
        most_nodes: places looked at before giving up.
        taken: (B, m) is filled in.
    """
    items, bars = len(widths), len(rooms)
    left = wanted.copy()
    remaining = 0
    for item in range(items):
        remaining += left[item] * widths[item]
    # What a bar can hold at most counts, not its room: the rest of it is lost whatever is done.
    spare = -remaining
    for bar in range(bars):
        spare += full[0, rooms[bar]]
    if spare < 0:
        return 0, 0
    radix = np.ones(items, dtype=np.uint64)  # demands as numbers; where they run over they are as good as drawn by lot
    key = np.uint64(0)
    for item in range(items):
        if item:
            radix[item] = radix[item - 1] * np.uint64(wanted[item - 1] + 1)
        key += radix[item] * np.uint64(left[item])
    size = 1 << 12
    while size < most_nodes // 8 and size < 1 << 20:
        size *= 2
    seen = np.zeros(size, dtype=np.uint64)
    seen_count = 0
    depth_room = np.zeros((bars + 1, items + 1), dtype=np.int64)
    budget = np.zeros(bars + 1, dtype=np.int64)
    equal = np.zeros((bars + 1, items + 1), dtype=np.bool_)
    least = np.zeros((bars + 1, items), dtype=np.int64)
    key_at = np.zeros(bars + 1, dtype=np.uint64)
    bar, item, nodes = 0, 0, 0
    budget[0], depth_room[0, 0], key_at[0] = spare, rooms[0], key
    fresh = True  # coming from above, not back from below
    for first in range(items):
        if left[first] > 0:
            if rooms[0] == rooms[bars - 1]:
                least[0, first] = 1
            break
    while True:
        if fresh:
            nodes += 1
            if nodes > most_nodes:
                return 2, nodes
            room = depth_room[bar, item]
            if item == items:  # a bar is full
                good = True
                for k in range(items):
                    if left[k] > 0 and widths[k] <= room:
                        good = False
                        break
                loss = full[0, rooms[bar]] - (rooms[bar] - room)
                rest = budget[bar] - loss
                if good and rest >= 0:
                    done = True
                    for k in range(items):
                        if left[k] > 0:
                            done = False
                            break
                    if done:
                        for b in range(bar + 1, bars):
                            for k in range(items):
                                taken[b, k] = 0
                        return 1, nodes
                    if bar + 1 < bars:
                        key = key_at[bar]
                        for k in range(items):
                            key -= radix[k] * np.uint64(taken[bar, k])
                        mixed = key + np.uint64(bar + 1) * np.uint64(0x9E3779B97F4A7C15)
                        mixed ^= mixed >> np.uint64(29)
                        mixed *= np.uint64(0xBF58476D1CE4E5B9)
                        mixed ^= mixed >> np.uint64(32)
                        if mixed == np.uint64(0):
                            mixed = np.uint64(1)
                        slot = np.int64(mixed & np.uint64(size - 1))
                        known = False
                        while seen[slot] != np.uint64(0):
                            if seen[slot] == mixed:
                                known = True
                                break
                            slot = (slot + 1) & (size - 1)
                        if not known:
                            if seen_count < size // 2:
                                seen[slot] = mixed
                                seen_count += 1
                            bar += 1
                            item = 0
                            budget[bar], depth_room[bar, 0], key_at[bar] = rest, rooms[bar], key
                            equal[bar, 0] = rooms[bar] == rooms[bar - 1]
                            for k in range(items):
                                least[bar, k] = 0
                            if rooms[bar] == rooms[bars - 1]:
                                for k in range(items):
                                    if left[k] > 0:
                                        least[bar, k] = 1
                                        break
                            continue
                fresh = False
                item -= 1
                continue
            most = min(left[item], room // widths[item])
            if equal[bar, item]:
                most = min(most, taken[bar - 1, item])
            count = most
        else:
            # Come back: one less of this.
            count = taken[bar, item] - 1
            left[item] += taken[bar, item]
            room = depth_room[bar, item]
        moved = False
        allowed = budget[bar] - full[0, rooms[bar]] + rooms[bar]  # room that may be left when the bar is done
        while count >= least[bar, item]:
            after = room - count * widths[item]
            if after - full[item + 1, after] <= allowed:
                taken[bar, item] = count
                left[item] -= count
                depth_room[bar, item + 1] = after
                equal[bar, item + 1] = equal[bar, item] and count == taken[bar - 1, item]
                item += 1
                fresh = True
                moved = True
                break
            count -= 1
        if moved:
            continue
        taken[bar, item] = 0
        fresh = False
        item -= 1
        if item < 0:
            bar -= 1
            if bar < 0:
                return 0, nodes
            item = items - 1
