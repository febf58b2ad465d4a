"""The payload at which something that is used more and more reaches its limit."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["payload_at_limit"]

Floats = NDArray[np.float64]

_MOST = 1e6


def payload_at_limit(use: Callable[[Floats], Floats], shape: tuple[int, ...], close: float = 1e-9) -> Floats:
    """Return the payload factor at which each use reaches 1: infinite if it never does, 0 if it is over 1 without any.

    Use is a norm of something that grows in a straight line with the payload, so it is convex: a chord across the limit
    meets 1 before the curve does, and a line from there on, as steep as the chord from 0 is, meets 1 after it. The two
    close in on the limit from both sides.
    """
    low, high = np.zeros(shape), np.ones(shape)
    under = empty = use(low)
    over = use(high)
    for _ in range(12):
        if np.all((over >= 1.0) | (high >= _MOST)):
            break
        short = (over < 1.0) & (high < _MOST)
        low, under = np.where(short, high, low), np.where(short, over, under)
        # As straight on as the last two points say, and a little further, but no more than a hundredfold.
        slope = np.maximum(over - empty, 1e-12) / high
        high = np.where(short, np.clip(1.05 * (1.0 - empty) / slope, 1.5 * high, 100.0 * high), high)
        over = use(high)
    for step in range(40):
        rises = (low > 0.0) & (under > empty)
        flat = np.where(rises, low, 0.0) / np.where(rises, under - empty, 1.0)
        after = np.where(rises, np.minimum(high, low + (1.0 - under) * flat), high)
        rise = np.where(over > under, over - under, 1.0)
        before = np.minimum(after, low + (high - low) * np.clip((1.0 - under) / rise, 0.0, 1.0))
        if np.all((after - before <= close * after) | (empty >= 1.0) | (over < 1.0)):
            high = np.where(over < 1.0, high, after)
            break
        # From both sides in turn; every fourth step halves what is left.
        middle = 0.5 * (low + after) if step % 4 == 3 else before if step % 2 == 0 else after
        now = use(middle)
        below = now < 1.0
        low, under = np.where(below, middle, low), np.where(below, now, under)
        high, over = np.where(below, high, middle), np.where(below, over, now)
    found = np.where(over < 1.0, np.inf, high)
    return np.where(empty >= 1.0, 0.0, found)
