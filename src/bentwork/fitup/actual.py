"""What a bar really is like, from all that was measured together: likeliest unknowns, and how far they may be out.

Every error of the scatter is a number with a standard normal distribution; readings tell about them through the chain.
The likeliest errors are found by Gauss-Newton steps, and the curvature there gives their scatter (Laplace's
approximation; with readings that are straight in the unknowns it is exact).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.readings import Reading, all_expected, expected
from bentwork.fitup.scatter import Scatter

__all__ = ["Actual", "actual"]

_TURNS = 20
_STILL = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Actual:
    """What a bar is believed to be after some readings.

    Args:
        bar: as drawn.
        intended: what was and is intended for each bend, shape (5, n).
        scatter: of it, before the readings.
        made: which bends are made.
        errors: likeliest size of each error of the scatter's roots, in standard deviations, shape (r,).
        spread: covariance of those, shape (r, r).
        readings: that were used.
        cost: sum of squares that is left, of readings over their gauges and of errors in standard deviations.
    """

    bar: Bar
    intended: Floats
    scatter: Scatter
    made: tuple[bool, ...]
    errors: Floats
    spread: Floats
    readings: tuple[Reading, ...]
    cost: float

    @property
    def out(self) -> Floats:
        """By how much each unknown is believed to be off what was intended, shape (5, n)."""
        return np.asarray(np.tensordot(self.errors, self.scatter.roots, axes=1) + self.scatter.bias)

    @property
    def values(self) -> Floats:
        """Likeliest unknowns; of bends that are not made what would come of what is intended, shape (5, n)."""
        return np.asarray(self.intended + self.out)

    @property
    def sd(self) -> Floats:
        """One standard deviation of each unknown, shape (5, n)."""
        flat = self.scatter.flat
        return np.asarray(np.sqrt(np.einsum("ra,rs,sa->a", flat, self.spread, flat)).reshape(self.intended.shape))

    def foretold(self, reading: Reading) -> tuple[float, float]:
        """Return what a reading would be, and one standard deviation of that without the gauge's own."""
        value, by = expected(reading, self.bar, self.values, self.made)
        slopes = self.scatter.flat @ by.ravel()
        return value, math.sqrt(max(0.0, float(slopes @ self.spread @ slopes)))


def actual(
    bar: Bar,
    intended: Floats,
    scatter: Scatter,
    made: Sequence[int],
    readings: Sequence[Reading],
    start: Floats | None = None,
) -> Actual:
    """Return what a bar is believed to be.

    Args:
        bar: as drawn.
        intended: what was intended for each bend as it was made, and is for those to come, shape (5, n).
        scatter: about that.
        made: numbers of the bends made, from 1.
        readings: all of them together.
        start: sizes of the errors to begin from, shape (r,): what was found from nearly the same readings.

    Raises:
        ValueError: a reading is of something that the bar has not, or has not yet.
    """
    done = tuple(k + 1 in set(made) for k in range(bar.bends))
    flat = scatter.flat
    errors = np.zeros(len(flat)) if start is None else start
    read = np.array([reading.value for reading in readings])
    gauges = np.array([reading.spread for reading in readings])

    def against(at: Floats) -> tuple[Floats, Floats]:
        values = intended + scatter.bias + (at @ flat).reshape(intended.shape)
        found, slopes = all_expected(readings, bar, values, done)
        return (read - found) / gauges, slopes.reshape(len(readings), intended.size) @ flat.T / gauges[:, np.newaxis]

    out, by = against(errors)
    best = float(out @ out + errors @ errors)
    curvature = np.eye(len(flat)) + by.T @ by
    for _ in range(_TURNS):
        step = np.linalg.solve(curvature, by.T @ out - errors)
        length, trial = 1.0, errors
        while length > 1e-3:
            trial = errors + length * step
            new_out, new_by = against(trial)
            value = float(new_out @ new_out + trial @ trial)
            if value < best:
                break
            length /= 4.0
        else:
            break
        gained, errors, out, by, best = best - value, trial, new_out, new_by, value
        curvature = np.eye(len(flat)) + by.T @ by
        if gained < _STILL * (1.0 + best):
            break
    inverse = np.linalg.inv(curvature)
    return Actual(bar, intended, scatter, done, errors, 0.5 * (inverse + inverse.T), tuple(readings), best)
