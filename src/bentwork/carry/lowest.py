"""The largest of the values m in B x = m K x, a few of them, by subspace iteration with the inverse of K.

Bathe's method (Finite Element Procedures): a handful of shapes is pulled through K^-1 B over and over and made
independent of one another in between. It starts from fixed shapes: no chance in it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.product import product

__all__ = ["largest_of_each", "largest_values"]

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
    values, shapes = largest_of_each(inverse, load[None], count)
    good = values[0] > 0.0
    return values[0][good], shapes[0][:, good]


def largest_of_each(inverse: Floats, loads: Floats, count: int) -> tuple[Floats, Floats]:
    """Return the same for many loads on one K at once; 0, or less, stands where there is no further value above 0.

    Args:
        inverse: (n, n) of K, symmetric and positive.
        loads: (C, n, n) symmetric.
        count: how many are wanted of each, n at most.

    Returns:
        (C, count) values, and their shapes, (C, n, count).
    """
    size, cases = loads.shape[-1], len(loads)
    many = min(size, max(2 * count, count + 8))
    # Fixed waves of different length, no two alike on the same row.
    at = np.arange(1, size + 1)[:, None] * np.arange(1, many + 1)[None, :]
    waves = np.cos(at * 1.2360679774997898) + (np.arange(size)[:, None] % many == np.arange(many))
    shapes = np.broadcast_to(waves, (cases, size, many))
    before = np.full((cases, min(count, many)), np.inf)
    values = np.zeros((cases, many))
    pushed = product(loads, shapes)
    for _ in range(_ROUNDS):
        beside = product(inverse, pushed.transpose(1, 0, 2).reshape(size, -1))
        shapes = beside.reshape(size, cases, many).transpose(1, 0, 2)
        # K shapes is what was pushed: no product with K is needed.
        back = shapes.transpose(0, 2, 1)
        again = product(loads, shapes)
        values, mix = _pair(_even(back @ again), _even(back @ pushed))
        shapes = product(shapes, mix)
        length = np.linalg.norm(shapes, axis=1, keepdims=True)
        shapes /= np.where(length > 0.0, length, 1.0)
        pushed = product(again, mix) / np.where(length > 0.0, length, 1.0)
        now = values[:, :count]
        if np.all(np.abs(now - before) <= _SAME * np.abs(now).max(axis=1, initial=1e-300, keepdims=True)):
            break
        before = now
    return values[:, :count], shapes[:, :, :count]


def _even(matrix: Floats) -> Floats:
    found: Floats = 0.5 * (matrix + matrix.transpose(0, 2, 1))
    return found


def _pair(small: Floats, stiff: Floats) -> tuple[Floats, Floats]:
    """Values and shapes of small x = m stiff x, largest first; a direction in which nothing is left has the shape 0."""
    scale = 1.0 / np.sqrt(np.maximum(np.diagonal(stiff, axis1=1, axis2=2), 1e-300))
    values, vectors = np.linalg.eigh(stiff * scale[:, :, None] * scale[:, None, :])
    kept = values > 1e-13 * values[:, -1:]
    weight = np.where(kept, 1.0 / np.sqrt(np.where(kept, values, 1.0)), 0.0)
    basis = scale[:, :, None] * vectors * weight[:, None, :]
    found, mix = np.linalg.eigh(basis.transpose(0, 2, 1) @ small @ basis)
    return found[:, ::-1], basis @ mix[:, :, ::-1]
