"""Which bends are best made early, so that what goes wrong can still be made up for by those that follow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.fitup.controls import Limits, What, controls_for
from bentwork.fitup.made import Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.scatter import Scatter

__all__ = ["early_weights", "unmended"]

_BENDS: tuple[What, ...] = ("angle", "direction", "place", "end B")


def early_weights(matters: Matters, scatter: Scatter) -> tuple[float, ...]:
    """Return how much it is worth to make each bend early: by how much its own errors make the piece miss.

    Root mean square of what matters, in tolerances, under the bend's own scatter and nothing else. It serves as
    ``weights`` of the search for an order (0 or more, one for each bend).

    Args:
        matters: what matters.
        scatter: as of ``scatter_of``, three own errors to a bend.
    """
    throws = _throws(matters, scatter)
    return tuple(float(np.sqrt(np.sum(throws[3 * k : 3 * k + 3] ** 2))) for k in range(matters.nominal.bends))


def unmended(matters: Matters, scatter: Scatter, order: Sequence[int], limits: Limits | None = None) -> float:
    """Return by how much a piece is expected to miss when every error is measured and mended by the bends after it.

    Root mean square over all that matters, in tolerances, by straight lines; the less, the better is an order.

    Args:
        matters: what matters.
        scatter: of a bar bent in this order, see ``scatter_of``.
        order: bend numbers, each once.
        limits: how far later bends may leave the drawing.
    """
    limits = Limits() if limits is None else limits
    throws = _throws(matters, scatter)
    values = matters.nominal.values[:, :, np.newaxis]
    _, by, by_end = matters.with_slopes(values)
    total = 0.0
    for step, number in enumerate(order):
        controls = controls_for(matters.nominal, values, order[: step + 1], limits).only(_BENDS)
        own = throws[3 * (number - 1) : 3 * number].T
        if controls.all:
            rows = controls.slopes(by, by_end, values)[..., 0] / matters.scales[:, np.newaxis]
            rows = rows * (controls.high - controls.low) / 4.0
            inside = rows.T @ rows + np.eye(rows.shape[1])
            own = own - rows @ np.linalg.solve(inside, rows.T @ own)
        total += float(np.sum(own**2))
    return float(np.sqrt(total))


def _throws(matters: Matters, scatter: Scatter) -> Floats:
    """What each own error does to what matters, in tolerances, shape (3 n, k)."""
    _, by, _ = matters.with_slopes(matters.nominal.values[:, :, np.newaxis])
    slopes = by[..., 0].reshape(len(matters.scales), -1) / matters.scales[:, np.newaxis]
    return np.asarray(scatter.flat[: len(scatter.own)] @ slopes.T)
