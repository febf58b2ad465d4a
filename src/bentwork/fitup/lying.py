"""A piece on a flat table and under a tape: how it rocks, and what lies between two of its places."""

from __future__ import annotations

from functools import cache
from itertools import combinations
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.fitup.chain import Walk
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.spots import Spot, points_of

__all__ = ["distance_between", "rock", "stands_on"]

Ints: TypeAlias = NDArray[np.intp]

_FLUSH = 1e-9  # mm: a point that touches the table
_THIN = 1e-6  # of the size squared: three points in a line carry nothing
_AT_ONCE = 256  # pieces whose arrays lie in the processor's own memory


def rock(points: Floats) -> Floats:
    """Return how high the highest point stands off a flat table when a piece is put down so that this is least, mm.

    A piece stands on three of its points, when all others lie on one side of their plane and its middle lies between
    the three. Where no three carry the middle, for a piece that is far from flat, three that touch are taken.

    Args:
        points: what may touch the table, mm, shape (s, 3, m); three at least.

    Returns:
        shape (m,).
    """
    if points.shape[0] < 4:
        return np.zeros(points.shape[2])
    return np.concatenate(
        [_stood(points[:, :, first : first + _AT_ONCE])[0] for first in range(0, points.shape[2], _AT_ONCE)]
    )


def stands_on(points: Floats) -> tuple[int, int, int, int] | None:
    """Return the three feet of one piece and what stands highest off the table, shape (s, 3); None where none carry.

    The feet come in that order about which the right-hand rule looks to the side where the piece lies.
    """
    if points.shape[0] < 4:
        return None
    reach, feet, top, up = _stood(points[:, :, np.newaxis])
    if not reach[0] > 0.0:
        return None
    a, b, c = (int(one) for one in feet[0])
    return (a, b, c, int(top[0])) if up[0] else (a, c, b, int(top[0]))


def _stood(points: Floats) -> tuple[Floats, Ints, Ints, NDArray[np.bool_]]:
    """How high pieces rock, (m,), their feet, (m, 3), what stands highest, (m,), and whether they lie over their feet.

    Over them is on the side to which the right-hand rule about the feet looks.
    """
    feet = _threes(points.shape[0])
    middle = points.mean(axis=0)
    scale = np.max(np.sum((points - middle) ** 2, axis=1), axis=0)
    a, b, c = (points[feet[:, k]] for k in range(3))
    normal = _cross(b - a, c - a)
    area = np.sqrt(np.sum(normal**2, axis=1))
    fits = area > _THIN * scale
    normal = normal / np.where(fits, area, 1.0)[:, np.newaxis]
    heights = np.einsum("skm,tkm->tsm", points, normal) - np.sum(a * normal, axis=1)[:, np.newaxis]
    low, high = heights.min(axis=1), heights.max(axis=1)
    reach = np.maximum(high, -low)
    touches = fits & ((low > -_FLUSH) | (high < _FLUSH))
    carries = touches.copy()
    for start, end in ((a, b), (b, c), (c, a)):
        edge = end - start
        inside = np.sum(_cross(edge, middle - start) * normal, axis=1)
        carries &= inside >= -1e-6 * np.sum(edge**2, axis=1)
    best = np.where(carries, reach, np.inf)
    leaning = np.where(touches, reach, np.inf)
    best = np.where(np.isfinite(best.min(axis=0)), best, leaning)
    chosen = np.argmin(best, axis=0)
    each = np.arange(points.shape[2])
    found, up = best[chosen, each], high[chosen, each] >= -low[chosen, each]
    top = np.where(up, heights[chosen, :, each].argmax(axis=1), heights[chosen, :, each].argmin(axis=1))
    return np.where(np.isfinite(found), found, 0.0), feet[chosen], top, up


@cache
def _threes(count: int) -> Ints:
    """Every three of so many, shape (t, 3)."""
    return np.array(list(combinations(range(count), 3)))


def _cross(a: Floats, b: Floats) -> Floats:
    """Vector products along the second axis."""
    return np.stack(
        (
            a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1],
            a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2],
            a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0],
        ),
        axis=1,
    )


def distance_between(first: Spot, second: Spot, walks: Walk, nominal: Bar) -> Floats:
    """Return the straight distance between two spots, as a tape across measures it, mm, shape (m,)."""
    points, _ = points_of((first, second), walks, nominal)
    return np.asarray(np.sqrt(np.sum((points[1] - points[0]) ** 2, axis=0)))
