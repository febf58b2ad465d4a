"""Least squares within bounds, for many problems of one shape at once.

Steps of Levenberg and Marquardt; an unknown that lies at its bound and would be pushed beyond it stands still for that
step (projected Gauss-Newton, e.g. Kelley, Iterative Methods for Optimization, ch. 5; from memory).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bentwork.fitup.made import Floats

__all__ = ["Residuals", "least"]

Residuals = Callable[[Floats, bool], tuple[Floats, Floats]]
"""From unknowns, shape (p, m), to residuals, shape (k, m), and if asked for, their slopes, shape (k, p, m)."""

_FIRST_DAMPING = 1e-4
_LEAST_DAMPING, _MOST_DAMPING = 1e-12, 1e8


def least(
    residuals: Residuals, start: Floats, low: Floats, high: Floats, *, turns: int = 30, still: float = 1e-8
) -> tuple[Floats, Floats]:
    """Return the unknowns of the least sum of squares, shape (p, m), and half that sum, shape (m,).

    Args:
        residuals: of all problems.
        start: where to begin, shape (p, m).
        low: lower bounds, shape (p,) or (p, m).
        high: upper bounds, likewise.
        turns: steps at most.
        still: it ends when no problem gains more than this share.
    """
    size = start.shape[1]
    low, high = (np.broadcast_to(one.reshape(len(one), -1) if len(one) else start, start.shape) for one in (low, high))
    at = np.clip(start, low, high)
    out, slopes = residuals(at, True)
    cost = 0.5 * np.sum(out * out, axis=0)
    if not len(start):
        return at, cost
    damping = np.full(size, _FIRST_DAMPING)
    one = np.eye(start.shape[0])
    for _ in range(turns):
        by = np.ascontiguousarray(slopes.transpose(2, 0, 1))
        gradient = (by.transpose(0, 2, 1) @ out.T[:, :, np.newaxis])[:, :, 0]
        curvature = by.transpose(0, 2, 1) @ by
        stuck = ((at <= low) & (gradient.T > 0.0)) | ((at >= high) & (gradient.T < 0.0))
        free = ~stuck.T
        both = free[:, :, np.newaxis] & free[:, np.newaxis, :]
        scale = np.einsum("mpp->mp", curvature) + 1e-12
        damped = np.where(both, curvature, 0.0) + one * np.where(free, damping[:, None] * scale, 1.0)[:, :, None]
        step = -np.linalg.solve(damped, np.where(free, gradient, 0.0)[:, :, np.newaxis])[:, :, 0].T
        trial = np.clip(at + step, low, high)
        new_out, new_slopes = residuals(trial, True)
        new_cost = 0.5 * np.sum(new_out * new_out, axis=0)
        better = new_cost < cost
        gained = np.where(better, cost - new_cost, 0.0)
        done = not np.any(gained > still * (cost + 1e-12)) and bool(np.all(better | (damping > 1e2)))
        at = np.where(better, trial, at)
        out, slopes = np.where(better, new_out, out), np.where(better, new_slopes, slopes)
        cost = np.where(better, new_cost, cost)
        damping = np.clip(np.where(better, damping / 10.0, damping * 10.0), _LEAST_DAMPING, _MOST_DAMPING)
        if done:
            break
    return at, cost
