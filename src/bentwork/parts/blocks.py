"""Spacer blocks: a stack of those that the maker owns which makes a length, found exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

__all__ = ["MOST_BLOCKS", "STACK_WITHIN", "Stack", "stack"]

MOST_BLOCKS = 28
"""More blocks than this are not tried: two halves of 14 make 16,384 sums each."""

STACK_WITHIN = 0.1
"""A stack that is out by no more fits, mm: less than a scriber's line (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Blocks put together.

    Args:
        blocks: the blocks, largest first, mm.
        wanted: the length they are to make, mm.
    """

    blocks: tuple[float, ...]
    wanted: float

    @property
    def length(self) -> float:
        """What they make, mm."""
        return sum(self.blocks)

    @property
    def left(self) -> float:
        """What is missing, mm: the shim that fills it; below 0 where they are a little too long."""
        return self.wanted - self.length

    @property
    def fits(self) -> bool:
        """Tell whether no shim is needed."""
        return abs(self.left) <= STACK_WITHIN + 1e-9


def stack(owned: Sequence[float], wanted: float) -> Stack:
    """Return the blocks that make a length: within tolerance with the fewest blocks, else the longest stack below it.

    Every sum of the blocks is looked at, by halves, so that no better stack exists.

    Args:
        owned: sizes of the blocks, mm; a size that is there twice is owned twice. ``MOST_BLOCKS`` at most.
        wanted: length of the gap, mm.

    Raises:
        ValueError: too many blocks, or one that is not above 0.
    """
    if len(owned) > MOST_BLOCKS or any(not size > 0.0 for size in owned):
        raise ValueError(f"up to {MOST_BLOCKS} blocks, each above 0, are stacked")
    sizes = np.array(sorted(owned, reverse=True), dtype=np.float64)
    half = len(sizes) // 2
    (low, few), (high, more) = _sums(sizes[:half]), _sums(sizes[half:])
    order = np.lexsort((more, high))
    high, more = high[order], more[order]  # by length, of equal ones the fewest blocks first
    slack = STACK_WITHIN + 1e-9
    best: tuple[tuple[bool, float, float], int, int] | None = None
    for picked, total in enumerate(low):
        begin = int(np.searchsorted(high, wanted - slack - total, "left"))
        end = int(np.searchsorted(high, wanted + slack - total, "right"))
        if end > begin:
            off = np.abs(wanted - total - high[begin:end])
            chosen = begin + int(np.lexsort((off, more[begin:end]))[0])
            rank = (False, float(few[picked] + more[chosen]), abs(wanted - total - float(high[chosen])))
        elif end > 0:
            chosen = int(np.searchsorted(high, high[end - 1] - 1e-9, "left"))
            rank = (True, wanted - total - float(high[chosen]), float(few[picked] + more[chosen]))
        else:
            continue
        if best is None or rank < best[0]:
            best = (rank, picked, int(order[chosen]))
    if best is None:
        return Stack((), wanted)
    _, picked, chosen = best
    used = [size for k, size in enumerate(sizes[:half]) if picked >> k & 1]
    used += [size for k, size in enumerate(sizes[half:]) if chosen >> k & 1]
    return Stack(tuple(sorted((float(size) for size in used), reverse=True)), wanted)


def _sums(sizes: np.ndarray[tuple[int], np.dtype[np.float64]]) -> tuple[np.ndarray, np.ndarray]:
    """All sums of some of the sizes, and of how many; the bits of the index say which."""
    sums, counts = np.zeros(1), np.zeros(1, dtype=np.int64)
    for size in sizes:
        sums, counts = np.concatenate((sums, sums + size)), np.concatenate((counts, counts + 1))
    return sums, counts
