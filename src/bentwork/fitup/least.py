"""Least squares within bounds, for many problems of one shape at once.

Steps of Levenberg and Marquardt. An unknown that lies at its bound and would be pushed beyond it stands still for that
step (projected Gauss-Newton, e.g. Kelley, Iterative Methods for Optimization, ch. 5; from memory); where a step ends at
a bound, the other unknowns make the best of it.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bentwork.fitup.made import Floats

__all__ = ["Residuals", "least", "stepped"]

Residuals = Callable[[Floats, bool], tuple[Floats, Floats]]
"""From unknowns, shape (p, m), to residuals, shape (k, m), and if asked for, their slopes, shape (k, p, m)."""

_FIRST_DAMPING = 1e-4
_LED_ON = 4  # times
_STANDS = 1e-5  # degrees or mm
_LEAST_DAMPING, _MOST_DAMPING = 1e-12, 1e8


def least(
    residuals: Residuals, start: Floats, low: Floats, high: Floats, *, turns: int = 30, still: float = 1e-6
) -> tuple[Floats, Floats, Floats]:
    """Return the unknowns of the least sum of squares, shape (p, m), and the residuals there with their slopes.

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
        return at, out, slopes
    damping = np.full(size, _FIRST_DAMPING)
    for _ in range(turns):
        trial = stepped(out, slopes, at, low, high, damping)
        new_out, new_slopes = residuals(trial, True)
        new_cost = 0.5 * np.sum(new_out * new_out, axis=0)
        better = new_cost < cost
        gained = np.where(better, cost - new_cost, 0.0)
        stands = (damping > 1e2) | (np.abs(trial - at).max(axis=0) < _STANDS)
        done = not np.any(gained > still * (cost + 1e-12)) and bool(np.all(better | stands))
        at = np.where(better, trial, at)
        out, slopes = np.where(better, new_out, out), np.where(better, new_slopes, slopes)
        cost = np.where(better, new_cost, cost)
        damping = np.clip(np.where(better, damping / 10.0, damping * 10.0), _LEAST_DAMPING, _MOST_DAMPING)
        if done:
            break
    return at, out, slopes


def stepped(out: Floats, slopes: Floats, at: Floats, low: Floats, high: Floats, damping: Floats) -> Floats:
    """Return the unknowns one step on, shape (p, m).

    Args:
        out: residuals, shape (k, m).
        slopes: of them over the unknowns, shape (k, p, m).
        at: unknowns, shape (p, m).
        low: lower bounds, shape (p, m).
        high: upper bounds, likewise.
        damping: of each problem, shape (m,).
    """
    by = np.ascontiguousarray(slopes.transpose(2, 0, 1))
    over = by.transpose(0, 2, 1)
    gradient = (over @ out.T[:, :, np.newaxis])[:, :, 0]
    curvature = over @ by
    scale = np.einsum("mpp->mp", curvature) + 1e-12
    curvature += np.eye(len(at)) * (damping[:, np.newaxis] * scale)[:, :, np.newaxis]
    below, above = (low - at).T, (high - at).T
    free = ~((below >= 0.0) & (gradient > 0.0) | (above <= 0.0) & (gradient < 0.0))
    step = np.zeros(gradient.shape)
    for _ in range(_LED_ON):
        inside, pull = curvature, gradient
        if not free.all():
            inside = np.where(free[:, :, np.newaxis] & free[:, np.newaxis, :], curvature, np.eye(len(at)))
            pull = gradient + (curvature @ np.where(free, 0.0, step)[:, :, np.newaxis])[:, :, 0]
            pull = np.where(free, pull, 0.0)
        step = np.where(free, -np.linalg.solve(inside, pull[:, :, np.newaxis])[:, :, 0], step)
        beyond = (step < below) | (step > above)
        step = np.clip(step, below, above)
        if not beyond.any():
            break
        free &= ~beyond
    return at + step.T
