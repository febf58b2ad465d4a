"""A piece on a flat table and under a tape: how it rocks, and what lies between two of its places."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from bentwork.fitup.chain import Walk
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.spots import Spot, points_of

__all__ = ["distance_between", "rock"]

_FLUSH = 1e-9  # mm: a point that touches the table
_THIN = 1e-6  # of the size squared: three points in a line carry nothing


def rock(points: Floats) -> Floats:
    """Return how high the highest point stands off a flat table when a piece is put down so that this is least, mm.

    A piece stands on three of its points, when all others lie on one side of their plane and its middle lies between
    the three. Where no three carry the middle, for a piece that is far from flat, three that touch are taken.

    Args:
        points: what may touch the table, mm, shape (s, 3, m); three at least.

    Returns:
        shape (m,).
    """
    count, _, size = points.shape
    if count < 4:
        return np.zeros(size)
    middle = points.mean(axis=0)
    scale = np.max(np.sum((points - middle) ** 2, axis=1), axis=0)
    best = np.full(size, np.inf)
    leaning = np.full(size, np.inf)
    for a, b, c in combinations(range(count), 3):
        edge, other = points[b] - points[a], points[c] - points[a]
        normal = np.cross(edge, other, axis=0)
        area = np.sqrt(np.sum(normal**2, axis=0))
        fits = area > _THIN * scale
        normal = normal / np.where(fits, area, 1.0)
        heights = np.einsum("skm,km->sm", points - points[a], normal)
        low, high = heights.min(axis=0), heights.max(axis=0)
        reach = np.maximum(high, -low)
        touches = fits & ((low > -_FLUSH) | (high < _FLUSH))
        carries = touches & _between(middle, points[a], points[b], points[c], normal)
        best = np.where(carries, np.minimum(best, reach), best)
        leaning = np.where(touches, np.minimum(leaning, reach), leaning)
    found = np.where(np.isfinite(best), best, leaning)
    return np.where(np.isfinite(found), found, 0.0)


def _between(point: Floats, a: Floats, b: Floats, c: Floats, normal: Floats) -> Floats:
    """Whether a point, looked at along a normal, lies in a triangle; edges count."""
    found = np.ones(point.shape[1:], dtype=bool)
    for start, end in ((a, b), (b, c), (c, a)):
        inside = np.sum(np.cross(end - start, point - start, axis=0) * normal, axis=0)
        found &= inside >= -1e-6 * np.sum((end - start) ** 2, axis=0)
    return np.asarray(found)


def distance_between(first: Spot, second: Spot, walks: Walk, nominal: Bar) -> Floats:
    """Return the straight distance between two spots, as a tape across measures it, mm, shape (m,)."""
    points, _ = points_of((first, second), walks, nominal)
    return np.asarray(np.sqrt(np.sum((points[1] - points[0]) ** 2, axis=0)))
