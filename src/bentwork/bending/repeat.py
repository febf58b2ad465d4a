"""How much springback differs from one bend to the next of the same bar on the same bender, by the test bends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bentwork.bending.posterior import Posterior, updated
from bentwork.bending.readings import REPEAT_SD_DEG, Reading, Readings

__all__ = ["believed_less", "repeat_of", "with_repeat"]

_SPREAD = 0.6
"""Of the logarithm of that scatter from bender to bender, one standard deviation: half to twice the usual one in two
thirds of all workshops; common practice, no source."""

_TRIED = (0.1, 0.18, 0.3, 0.5, 0.85, 1.4, 2.4)
_FEWEST = 3  # two test bends hardly differ by more than handbook and gauge let them


def repeat_of(before: Posterior, said: Sequence[Readings]) -> float:
    """Return the scatter, one standard deviation, degrees: the mean of its square over what the test bends make likely.

    Each scatter is as likely as it was before times how likely it makes the test bends. What was believed before has
    ``REPEAT_SD_DEG`` for its mean, and that is returned for fewer than three test bends.
    """
    angles = [one.only(("angles",)) for one in said if "angles" in one.kinds]
    if len(angles) < _FEWEST:
        return REPEAT_SD_DEG
    # About what suits all of them the model is straight enough: then each scatter is a matter of sums.
    middle, _ = updated(before, angles)
    told = [one.against(middle.mean) for one in angles]
    own = np.array([one.covariance[0, 0] for one in angles])
    out = np.array([float(away[0]) for away, _ in told]) * np.sqrt(own)
    slopes = np.array([by[0] for _, by in told]) * np.sqrt(own)[:, np.newaxis]
    out = out + slopes @ (middle.mean - before.mean)
    usual = math.log(REPEAT_SD_DEG) - _SPREAD**2
    logs = []
    for sd in _TRIED:
        foretold = slopes @ before.covariance @ slopes.T + np.diag(own + sd**2 - REPEAT_SD_DEG**2)
        _, widths = np.linalg.slogdet(foretold)
        squares = float(out @ np.linalg.solve(foretold, out))
        logs.append(-0.5 * (squares + float(widths) + ((math.log(sd) - usual) / _SPREAD) ** 2))
    weights = np.exp(np.array(logs) - max(logs))
    return math.sqrt(float(weights @ np.square(_TRIED)) / float(weights.sum()))


def with_repeat(readings: Readings, sd: float) -> Readings:
    """Return readings whose springback scatters by so much from bend to bend, instead of the usual."""
    if "angles" not in readings.kinds:
        return readings
    covariance, row = readings.covariance.copy(), readings.kinds.index("angles")
    covariance[row, row] += sd**2 - REPEAT_SD_DEG**2
    return replace(readings, covariance=covariance)


def believed_less(readings: Readings, kind: Reading, times: float) -> Readings:
    """Return readings one kind of which may be out by so many times the usual; of angles all the bend's are doubted."""
    grown = np.array([times if kind in ("angles", own) else 1.0 for own in readings.kinds])
    return replace(readings, covariance=readings.covariance * np.outer(grown, grown))
