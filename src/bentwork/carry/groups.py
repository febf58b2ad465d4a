"""Things that belong together, gathered pair by pair."""

from __future__ import annotations

__all__ = ["Groups"]


class Groups:
    """Numbers from 0 to ``count`` in groups; two that are joined bring their groups together."""

    def __init__(self, count: int) -> None:
        self._above = list(range(count))

    def of(self, one: int) -> int:
        """Return the number that stands for the group: the smallest in it."""
        while self._above[one] != one:
            self._above[one] = self._above[self._above[one]]
            one = self._above[one]
        return one

    def join(self, one: int, other: int) -> None:
        """Make one group of the groups of the two."""
        low, high = sorted((self.of(one), self.of(other)))
        self._above[high] = low
