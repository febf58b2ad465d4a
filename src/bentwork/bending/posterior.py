"""What the unknowns are likeliest to be after some test bends, and how far each may still be out, all together.

Gauss-Newton steps to the most probable unknowns; the curvature there gives the scatter (Laplace's approximation, any
textbook of Bayesian statistics). Factor and strengths are taken by their logarithms, in which the model is nearly
straight: ``tests/twins`` compares with the whole distribution.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np

from bentwork.bending.readings import Readings
from bentwork.forming.moment import Floats
from bentwork.forming.scatter import CERTAINTY

__all__ = ["QUANTILE", "Posterior", "robust_middle", "squares_at", "updated", "weight_of"]

QUANTILE = NormalDist().inv_cdf((1.0 + CERTAINTY) / 2.0)
"""Ends of the interval of ``CERTAINTY`` of a normal distribution, in standard deviations."""

_STEPS = 60
_STILL, _NEARLY_STILL = 1e-9, 1e-4  # of the sum of squares: no more is gained
_SHORTEST = 1e-6
_FAR_OUT = 0.5  # weight of a test bend that lies 2 or 3 standard deviations out
_FREEDOM = 4.0  # of Student's distribution: what lies 5 standard deviations out pulls a sixth as hard


@dataclass(frozen=True, eq=False)
class Posterior:
    """A normal distribution of the unknowns.

    Args:
        mean: shape (m,).
        information: inverse of the covariance, shape (m, m).
    """

    mean: Floats
    information: Floats

    @cached_property
    def covariance(self) -> Floats:
        """Variances and covariances, shape (m, m)."""
        inverse = np.linalg.inv(self.information)
        return np.asarray(0.5 * (inverse + inverse.T))

    @cached_property
    def root(self) -> Floats:
        """Lower triangle that times its transpose gives the covariance: turns independent numbers into unknowns."""
        return np.asarray(np.linalg.cholesky(self.covariance), dtype=np.float64)

    def sd_along(self, slopes: Floats) -> float:
        """Return one standard deviation of what has these slopes over the unknowns, shape (m,)."""
        return float(np.linalg.norm(slopes @ self.root))

    def off(self, unknowns: Floats) -> float:
        """Return the sum of squares by which unknowns lie off the mean, in standard deviations."""
        away = unknowns - self.mean
        return float(away @ self.information @ away)


def updated(prior: Posterior, readings: Sequence[Readings], start: Floats | None = None) -> tuple[Posterior, float]:
    """Return the distribution after some readings, and the least sum of squares: of prior and readings together.

    Args:
        prior: before them.
        readings: of test bends.
        start: unknowns to start from, shape (m,); None: the prior's mean.
    """
    return _least(prior, readings, prior.mean if start is None else start, robust=False)


def robust_middle(prior: Posterior, readings: Sequence[Readings]) -> Floats:
    """Return the unknowns that suit most of the test bends, shape (m,): one that lies far out pulls the less for it.

    Errors have Student's distribution here. With a test bend far out its sum may have several hollows: then both from
    what suits all of them on average and from the prior the way down is tried.
    """
    ordinary, _ = updated(prior, readings)
    starts = [ordinary.mean]
    if any(weight_of(one.against(ordinary.mean)[0]) < _FAR_OUT for one in readings):
        starts.append(prior.mean)
    tried = [_least(prior, readings, start, robust=True) for start in starts]
    return min(tried, key=lambda one: one[1])[0].mean


def _least(prior: Posterior, readings: Sequence[Readings], at: Floats, *, robust: bool) -> tuple[Posterior, float]:
    best, gradient, curvature = _squares(prior, readings, at, robust)
    for _ in range(_STEPS):
        step, length = -np.linalg.solve(curvature, gradient), 1.0
        while True:
            trial = at + length * step
            value, new_gradient, new_curvature = _squares(prior, readings, trial, robust)
            if value <= best or length < _SHORTEST:
                break
            length /= 4.0
        if not value < best:
            break
        gained, at, best, gradient, curvature = best - value, trial, value, new_gradient, new_curvature
        if gained <= (_NEARLY_STILL if robust else _STILL) * (1.0 + best):
            break
    return Posterior(at, curvature), best


def weight_of(out: Floats) -> float:
    """Return how hard a bend pulls in a robust update, by how far its readings are out; at most 1."""
    return min(1.0, (_FREEDOM + out.size) / (_FREEDOM + float(out @ out)))


def squares_at(prior: Posterior, readings: Sequence[Readings], at: Floats) -> tuple[float, Floats, Floats]:
    """Return the sum of squares of prior and readings at some unknowns, shape (m,), half its gradient and curvature."""
    return _squares(prior, readings, at, robust=False)


def _squares(prior: Posterior, readings: Sequence[Readings], at: Floats, robust: bool) -> tuple[float, Floats, Floats]:
    """Return the sum of squares, half its gradient, and half its curvature as Gauss and Newton take it."""
    total, gradient, curvature = prior.off(at), prior.information @ (at - prior.mean), prior.information.copy()
    for one in readings:
        out, slopes = one.against(at)
        squares, weight = float(out @ out), 1.0
        if robust:
            weight = (_FREEDOM + out.size) / (_FREEDOM + squares)
            total += (_FREEDOM + out.size) * math.log1p(squares / _FREEDOM)
        else:
            total += squares
        gradient = gradient - weight * (slopes.T @ out)
        curvature += weight * (slopes.T @ slopes)
    return total, gradient, curvature
