"""A product of matrices in pieces so small that the library behind numpy does each in one thread.

For a few hundred rows, handing work to other threads gains nothing on an idle machine; on one whose cores are busy it
took twenty times as long (measured: frames of 600 motions, two cores, load 7).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["product"]

Floats = NDArray[np.float64]

_PIECE = 200_000
"""Multiplications in one piece: OpenBLAS goes to several threads from 262,144 on (its source: 65,536 times 4)."""


def product(a: Floats, b: Floats) -> Floats:
    """Return a @ b for matrices (..., m, k) and (..., k, n)."""
    rows, inner, columns = a.shape[-2], a.shape[-1], b.shape[-1]
    if rows * inner * columns <= _PIECE:
        found: Floats = a @ b
        return found
    if inner * columns > _PIECE:  # cut b first, so that a piece has a row at least
        half = columns // 2 or 1
        if columns > 1:
            return np.concatenate((product(a, b[..., :half]), product(a, b[..., half:])), axis=-1)
    step = max(1, _PIECE // (inner * columns))
    whole = rows - rows % step
    lead = a.shape[:-2]
    pieces = a[..., :whole, :].reshape(*lead, whole // step, step, inner) @ b[..., None, :, :]
    front = pieces.reshape(*pieces.shape[:-3], whole, columns)
    if whole == rows:
        return front
    return np.concatenate((front, a[..., whole:, :] @ b), axis=-2)
