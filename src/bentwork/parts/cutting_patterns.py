"""How to fill one bar with what is worth most, by dynamic programming.

The knapsack with so many of each at most, for every room at once (Martello and Toth, Knapsack Problems, 1990, 2.6 and
3.6; from memory). Everything is whole numbers, so that equal is equal.
"""

from __future__ import annotations

import numpy as np

from bentwork.parts.cutting_problem import Ints

__all__ = ["Filled"]


class Filled:
    """Best values of bars of every room: ``table[k, c]`` is the best of widths k, k + 1, … in room c.

    Args:
        widths: (m,) whole.
        most: (m,) how many of each may go into one bar.
        values: (m,) of each, whole, not below 0.
        room: the largest room, whole.
    """

    def __init__(self, widths: Ints, most: Ints, values: Ints, room: int) -> None:
        self._widths, self._values = widths, values
        self._most = np.minimum(most, room // widths)
        table = np.zeros((len(widths) + 1, room + 1), dtype=np.int64)
        for item in range(len(widths) - 1, -1, -1):
            row = table[item]
            row[:] = table[item + 1]
            left, part = int(self._most[item]), 1
            while left > 0 and values[item] > 0:  # 1, 2, 4, … and the rest: every count up to the most
                part = min(part, left)
                shift = part * int(widths[item])
                np.maximum(row[shift:], row[: room + 1 - shift] + part * int(values[item]), out=row[shift:])
                left, part = left - part, 2 * part
        self.table = table

    def best(self, room: int) -> int:
        """Return the most that a bar of this room can be worth."""
        return int(self.table[0, room])

    def pattern(self, room: int) -> Ints:
        """Return one pattern that is worth the most: as many of the widest as possible."""
        counts = np.zeros(len(self._widths), dtype=np.int64)
        for item, (width, value) in enumerate(zip(self._widths, self._values, strict=True)):
            if value <= 0:
                continue
            most = min(int(self._most[item]), room // int(width))
            takes = np.arange(most, -1, -1)
            worth = takes * value + self.table[item + 1, room - takes * width]
            take = int(takes[int(np.argmax(worth == self.table[item, room]))])
            counts[item] = take
            room -= take * int(width)
        return counts
