"""The largest of the values m in B x = m K x, a few of them, by subspace iteration with the inverse of K.

Bathe's method (Finite Element Procedures): a handful of shapes is pulled through K^-1 B over and over and made
independent of one another in between. It starts from fixed shapes: no chance in it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.product import product

__all__ = ["largest_values"]

Floats = NDArray[np.float64]

_ROUNDS = 60
_SAME = 1e-8


def largest_values(inverse: Floats, load: Floats, count: int) -> tuple[Floats, Floats]:
    """Return the largest values m of ``load`` x = m K x, largest first, and their shapes, (n, count) at most.

    Args:
        inverse: (n, n) of K, symmetric and positive.
        load: (n, n) symmetric; it may have values below 0, which are passed over.
        count: how many are wanted.
    """
    size = load.shape[0]
    many = min(size, max(2 * count, count + 8))
    # Fixed waves of different length, no two alike on the same row.
    at = np.arange(1, size + 1)[:, None] * np.arange(1, many + 1)[None, :]
    shapes = np.cos(at * 1.2360679774997898) + (np.arange(size)[:, None] % many == np.arange(many))
    before = np.full(count, np.inf)
    values = np.zeros(many)
    for _ in range(_ROUNDS):
        pushed = product(load, shapes)
        shapes = product(inverse, pushed)
        # K shapes is what was pushed: no product with K is needed.
        stiff = shapes.T @ pushed
        small = shapes.T @ product(load, shapes)
        values, mix = _pair(0.5 * (small + small.T), 0.5 * (stiff + stiff.T))
        shapes = product(shapes, mix)
        shapes /= np.linalg.norm(shapes, axis=0)
        now = values[:count]
        if np.all(np.abs(now - before[: len(now)]) <= _SAME * np.abs(now).max(initial=1e-300)):
            break
        before = now
    good = values[:count] > 0.0
    return values[:count][good], shapes[:, :count][:, good]


def _pair(small: Floats, stiff: Floats) -> tuple[Floats, Floats]:
    """Values and shapes of small x = m stiff x, largest first; directions in which nothing is left are dropped."""
    scale = 1.0 / np.sqrt(np.maximum(np.diagonal(stiff), 1e-300))
    values, vectors = np.linalg.eigh(stiff * scale[:, None] * scale)
    kept = values > 1e-13 * values[-1]
    basis = scale[:, None] * vectors[:, kept] / np.sqrt(values[kept])
    found, mix = np.linalg.eigh(basis.T @ small @ basis)
    return found[::-1], basis @ mix[:, ::-1]
