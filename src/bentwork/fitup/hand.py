"""The maker's hand: by how much angle, rotation and position scatter and run off, learnt from bends in the log.

Each kind of error has a normal distribution whose mean and variance are not known; before the first bend they are
those of the bender's accuracy, as sure as a few bends would make them (normal-inverse-gamma prior; Gelman and others,
Bayesian Data Analysis, ch. 3; from memory). The gauge's own scatter is taken off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.fitup.readings import USUAL_SD
from bentwork.tooling.bender import Accuracy

__all__ = ["Errors", "Habit", "Hand", "hand_of"]

Habit = Literal["angle", "rotation", "position"]

_AS_SURE_AS = 8.0
"""Bends that the bender's own figures count for, in the scatter; common practice, no source."""

_UNBIASED = 4.0
"""Bends that 'neither over nor under' counts for before the first bend; common practice, no source."""

_LEAST = 0.1  # of the prior's scatter: no hand is that good, whatever a few lucky bends say
_NINE_IN_TEN = 1.6449


@dataclass(frozen=True, slots=True)
class Errors:
    """Errors of one kind. Degrees or mm.

    Args:
        kind: which.
        count: bends that were measured.
        scatter: one standard deviation of one bend by this hand.
        scatter_low: nine hands in ten that measured so scatter by no less than this and no more than the next.
        scatter_high: likewise.
        bias: what bends are over on average; below 0 under.
        bias_sd: one standard deviation of that.
    """

    kind: Habit
    count: int
    scatter: float
    scatter_low: float
    scatter_high: float
    bias: float
    bias_sd: float

    @property
    def runs_off(self) -> bool:
        """Whether the bias is more than chance: it lies two of its standard deviations off nothing."""
        return self.count >= 3 and abs(self.bias) > 2.0 * self.bias_sd

    @property
    def words(self) -> str:
        """Say it: ``after 14 bends your angles scatter 0.8 degrees, and run 0.5 under``."""
        unit = "mm" if self.kind == "position" else "degrees"
        name = {"angle": "angles", "rotation": "rotations", "position": "positions"}[self.kind]
        if not self.count:
            return f"no {self.kind} measured yet: reckoned with a scatter of {self.scatter:.1f} {unit}"
        bends = f"{self.count} bend{'' if self.count == 1 else 's'}"
        said = f"after {bends} your {name} scatter {self.scatter:.1f} {unit}"
        sure = f" (between {self.scatter_low:.1f} and {self.scatter_high:.1f})"
        if not self.runs_off:
            return f"{said}{sure}, neither over nor under as far as can be told"
        return f"{said}{sure}, and run {abs(self.bias):.1f} {'over' if self.bias > 0.0 else 'under'}"


@dataclass(frozen=True, slots=True)
class Hand:
    """The maker's hand on one bender with one stock."""

    angle: Errors
    rotation: Errors
    position: Errors

    @property
    def accuracy(self) -> Accuracy:
        """Scatter of one bend to come: what is not known of the hand's bias scatters too."""
        return Accuracy(*(math.hypot(one.scatter, one.bias_sd) for one in self._all))

    @property
    def bias(self) -> Accuracy:
        """What bends are over on average, as an argument of ``scatter_of``."""
        return Accuracy(*(one.bias for one in self._all))

    @property
    def words(self) -> tuple[str, ...]:
        """Say it of each kind."""
        return tuple(one.words for one in self._all)

    @property
    def learnt(self) -> tuple[str, ...]:
        """Say it of each kind that was measured."""
        return tuple(one.words for one in self._all if one.count)

    @property
    def _all(self) -> tuple[Errors, Errors, Errors]:
        return (self.angle, self.rotation, self.position)


def hand_of(
    bender: Accuracy,
    angles: Sequence[float] = (),
    rotations: Sequence[float] = (),
    positions: Sequence[float] = (),
    *,
    gauge_sds: tuple[float, float, float] = (USUAL_SD["angle"], USUAL_SD["rotation"], USUAL_SD["position"]),
) -> Hand:
    """Return what bends tell of a hand.

    Args:
        bender: what is believed before: the bender's accuracy.
        angles: of each bend, measured less what it should have been when pulled so, degrees.
        rotations: likewise.
        positions: likewise, mm.
        gauge_sds: one standard deviation of the readings of angle, rotation and position.

    Raises:
        ValueError: an error is not a finite number.
    """
    priors = (bender.angle, bender.rotation, bender.position)
    kinds: tuple[Habit, Habit, Habit] = ("angle", "rotation", "position")
    found = [
        _errors(kind, list(errors), prior, gauge)
        for kind, errors, prior, gauge in zip(kinds, (angles, rotations, positions), priors, gauge_sds, strict=True)
    ]
    return Hand(*found)


def _errors(kind: Habit, errors: list[float], prior: float, gauge: float) -> Errors:
    if not all(math.isfinite(error) for error in errors):
        raise ValueError(f"errors of {kind} are finite numbers")
    count = len(errors)
    mean = math.fsum(errors) / count if count else 0.0
    squares = math.fsum((error - mean) ** 2 for error in errors)
    # What is read scatters by hand and gauge together.
    seen = prior**2 + gauge**2
    sure, known = _UNBIASED + count, _AS_SURE_AS + count
    bias = count * mean / sure
    whole = (_AS_SURE_AS * seen + squares + _UNBIASED * count * mean**2 / sure) / known
    scatter = math.sqrt(max(whole - gauge**2, (_LEAST * prior) ** 2))
    low, high = (known * whole / _chi_squared(known, side) - gauge**2 for side in (_NINE_IN_TEN, -_NINE_IN_TEN))
    return Errors(
        kind=kind,
        count=count,
        scatter=scatter,
        scatter_low=math.sqrt(max(low, (_LEAST * prior) ** 2)),
        scatter_high=math.sqrt(max(high, (_LEAST * prior) ** 2)),
        bias=bias,
        bias_sd=math.sqrt(whole / sure),
    )


def _chi_squared(freedom: float, deviations: float) -> float:
    """Quantile of chi-squared by Wilson and Hilferty: the cube root is nearly normal."""
    part = 2.0 / (9.0 * freedom)
    return float(freedom * (1.0 - part + deviations * math.sqrt(part)) ** 3)
