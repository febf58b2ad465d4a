"""A symmetric system cut into blocks and factored: Cholesky's L L', for one matrix or a stack of them.

Blocks of sixteen, and products in pieces (see ``product``), keep all of it in one thread.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.product import product

__all__ = ["Factor", "factor"]

Floats = NDArray[np.float64]

_BLOCK = 16


@dataclass(frozen=True, slots=True, eq=False)
class Factor:
    """The factor of a matrix, or of a stack of them.

    Args:
        lower: (..., n, n) L, its diagonal blocks left out.
        inverse: for every block the inverse of its own factor, (..., b, b).
        pivot: smallest pivot met, (...): what a row keeps of 1 when the rows before it have given way.
    """

    lower: Floats
    inverse: tuple[Floats, ...]
    pivot: Floats

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right-hand sides (..., n, m)."""
        found = np.array(np.broadcast_to(right, (*self.lower.shape[:-1], right.shape[-1])))
        starts = range(0, found.shape[-2], _BLOCK)
        for number, start in enumerate(starts):
            own = slice(start, start + _BLOCK)
            found[..., own, :] = self.inverse[number] @ found[..., own, :]
            found[..., start + _BLOCK :, :] -= product(self.lower[..., start + _BLOCK :, own], found[..., own, :])
        for number in reversed(range(len(starts))):
            own = slice(starts[number], starts[number] + _BLOCK)
            found[..., own, :] = np.swapaxes(self.inverse[number], -1, -2) @ found[..., own, :]
            before = slice(0, starts[number])
            found[..., before, :] -= product(np.swapaxes(self.lower[..., own, before], -1, -2), found[..., own, :])
        return found


def factor(matrix: Floats) -> Factor | None:
    """Return the factor of a symmetric matrix (..., n, n); None when a pivot is not above 0.

    With a stack of matrices, one that cannot be factored spoils all.
    """
    work = np.array(matrix)
    size = work.shape[-1]
    inverse: list[Floats] = []
    pivot = np.full(work.shape[:-2], np.inf)
    for start in range(0, size, _BLOCK):
        own, below = slice(start, start + _BLOCK), slice(start + _BLOCK, size)
        try:
            lower = np.linalg.cholesky(work[..., own, own])
        except np.linalg.LinAlgError:
            return None
        pivot = np.minimum(pivot, np.diagonal(lower, axis1=-2, axis2=-1).min(axis=-1) ** 2)
        back = np.linalg.inv(lower)
        inverse.append(back)
        column = work[..., below, own] @ np.swapaxes(back, -1, -2)
        work[..., below, own] = column
        work[..., below, below] -= product(column, np.swapaxes(column, -1, -2))
    return Factor(work, tuple(inverse), pivot)
