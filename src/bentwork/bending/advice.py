"""How many more test bends are worth making, at which angle, and what they would bring."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.posterior import QUANTILE, Posterior
from bentwork.bending.readings import REPEAT_SD_DEG
from bentwork.bending.test_bend import USUAL_GAUGE_SD_DEG
from bentwork.forming.moment import Floats

__all__ = ["MOST", "Advice", "NextBend", "advised"]

MOST = 5
"""No more are ever advised at once: after them the fit knows better."""

_USUAL_ANGLES = (45.0, 90.0, 120.0)
_MATTERS = 0.05
"""Part of the maker's own scatter by which the scatter of a bend must fall for one more test bend to be worth it."""


@dataclass(frozen=True, slots=True)
class NextBend:
    """One more test bend.

    Args:
        angle: to be left, degrees.
        half_width: of the interval after it, at the job's worst angle, degrees.
    """

    angle: float
    half_width: float


@dataclass(frozen=True, slots=True)
class Advice:
    """Test bends worth making. Half widths are of the interval of ``forming.scatter.CERTAINTY``, at the worst angle.

    Args:
        worst: the angle of the job whose pull is known least, degrees.
        now: half width now.
        accuracy: the maker's scatter of one bend, one standard deviation, degrees.
        following: ``MOST`` test bends in the order in which they would bring most.
        more: how many of them are worth making, 0 or more.
    """

    worst: float
    now: float
    accuracy: float
    following: tuple[NextBend, ...]
    more: int

    @property
    def angle(self) -> float | None:
        """Angle of the next test bend; None where none is worth making."""
        return self.following[0].angle if self.more else None

    @property
    def after_one(self) -> float:
        """Half width after one more."""
        return self.following[0].half_width

    @property
    def after(self) -> float:
        """Half width after all that are worth making."""
        return self.following[self.more - 1].half_width if self.more else self.now


def advised(
    law: BendLaw,
    unknowns: Posterior,
    angles: Sequence[float],
    accuracy: float,
    gauge_sd: float = USUAL_GAUGE_SD_DEG,
    repeat: float = REPEAT_SD_DEG,
) -> Advice:
    """Return the advice: each next test bend is the one that narrows the widest interval most.

    It is worth making as long as it narrows the scatter of a bend, which is that of the pull and the maker's own
    together, by as much as matters beside the maker's own.

    Args:
        law: of the batch.
        unknowns: as known now.
        angles: wanted by the job, degrees; none: the usual ones.
        accuracy: the maker's scatter of one bend, one standard deviation, degrees.
        gauge_sd: one standard deviation of an angle read, degrees.
        repeat: of springback from bend to bend, degrees.

    Raises:
        ValueError: an angle or the accuracy is out of range.
    """
    asked = sorted(set(angles)) or list(_USUAL_ANGLES)
    if not all(0.0 < angle < 360.0 for angle in asked):
        raise ValueError("the job's angles lie between 0 and 360 degrees")
    if not (math.isfinite(accuracy) and accuracy > 0.0):
        raise ValueError(f"an accuracy is above 0 degrees, not {accuracy:g}")
    most = law.book.set_up.bender.max_angle or 180.0
    offered = sorted({angle for angle in (*asked, *_USUAL_ANGLES) if angle <= most}) or asked
    wanted = np.array([law.springback(angle, unknowns.mean)[1] for angle in asked])
    tried = [(angle, *_said(law, unknowns.mean, angle, gauge_sd, repeat)) for angle in offered]
    covariance = unknowns.covariance
    spreads = _spreads(wanted, covariance)
    worst, now = asked[int(np.argmax(spreads))], float(spreads.max())
    following, widest = [], []
    for _ in range(MOST):
        after = [(float(_spreads(wanted, c).max()), angle, c) for angle, c in _each(tried, covariance)]
        spread, angle, covariance = min(after, key=lambda one: one[0])
        following.append(NextBend(angle, QUANTILE * spread))
        widest.append(spread)
    more, before = 0, math.hypot(now, accuracy)
    for spread in widest:
        then = math.hypot(spread, accuracy)
        if before - then < _MATTERS * accuracy:
            break
        more, before = more + 1, then
    return Advice(worst, QUANTILE * now, accuracy, tuple(following), more)


def _said(law: BendLaw, at: Floats, angle: float, gauge_sd: float, repeat: float) -> tuple[Floats, float]:
    """Return what a test bend says: slopes of its springback over the unknowns, and the variance of its reading."""
    proportional, _ = law.proportional(at)
    return law.springback(angle, at)[1], gauge_sd**2 * (1.0 + (1.0 + proportional) ** 2) + repeat**2


def _each(tried: Sequence[tuple[float, Floats, float]], covariance: Floats) -> list[tuple[float, Floats]]:
    """Return what each test bend would leave of the covariance."""
    left = []
    for angle, slopes, variance in tried:
        along = covariance @ slopes
        left.append((angle, covariance - np.outer(along, along) / (variance + float(slopes @ along))))
    return left


def _spreads(wanted: Floats, covariance: Floats) -> Floats:
    """Return one standard deviation of each pull, degrees."""
    variances: Floats = np.einsum("ij,jk,ik->i", wanted, covariance, wanted)
    return np.sqrt(np.maximum(0.0, variances))
