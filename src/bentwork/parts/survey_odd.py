"""Which reading disagrees with the rest.

Baarda's data snooping: a residual over its own standard deviation is a normal number where nothing is wrong; beyond
3.29 it happens once in a thousand readings. The worst is set aside and the rest looked at again.
Source: Baarda, A testing procedure for use in geodetic networks, Netherlands Geodetic Commission 2(5), 1968: one in a
thousand, found four times in five.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import scipy  # loads its parts when they are first named
from numpy.typing import NDArray

from bentwork.parts.survey import Survey, survey
from bentwork.parts.survey_equations import predicted
from bentwork.parts.survey_reading import Spot

__all__ = ["CRITICAL", "Checked", "Odd", "checked", "fits", "odd_readings"]

CRITICAL = 3.29
"""Beyond this a normalised residual is odd: two-sided, one in a thousand."""

_FOUND = 4.13  # an error of so many standard deviations, seen through the redundancy, is found four times in five
_LEAST = 0.005  # redundancy below this is none: an error 60 times the accuracy would not be found
_ALIKE = 0.995  # correlation of two residuals from which on nothing tells which of the two is wrong
_MOST = 10
_SPREAD = 0.001


@dataclass(frozen=True, slots=True)
class Checked:
    """How well a reading is checked by the others.

    Args:
        reading: number of the reading, from 0.
        residual: what it should have been less what was read, mm; of two equations the larger.
        normalised: residual over its own standard deviation; 0 where nothing checks it.
        redundancy: which share of its error would show in it; 0 where nothing checks it.
        least_found: an error that would be found four times in five, mm; infinite where nothing checks it.
    """

    reading: int
    residual: float
    normalised: float
    redundancy: float
    least_found: float


@dataclass(frozen=True, slots=True)
class Odd:
    """A reading that disagrees with the rest.

    Args:
        reading: number of the reading, from 0.
        off: how much more was read than the rest say, mm.
        normalised: how odd it is.
        rest: what the rest say it is, mm.
        either: numbers of readings that may as well be the wrong one.
    """

    reading: int
    off: float
    normalised: float
    rest: float
    either: tuple[int, ...] = ()


def checked(found: Survey) -> tuple[Checked, ...]:
    """Return how well every reading is checked by the others."""
    told: dict[int, Checked] = {}
    for one, residual, share in zip(found.equations, found.residuals, found.redundancy, strict=True):
        seen = share > _LEAST
        size = abs(float(residual)) / (one.accuracy * math.sqrt(share)) if seen else 0.0
        least = _FOUND * one.accuracy / math.sqrt(share) if seen else math.inf
        new = Checked(one.reading, float(residual), size, float(share) if seen else 0.0, least)
        old = told.get(one.reading)
        if old is None or new.normalised > old.normalised:
            told[one.reading] = new
    return tuple(told[number] for number in sorted(told))


def fits(found: Survey) -> bool:
    """Tell whether the readings are as far out as their accuracies say, or less: chi square, one in a thousand."""
    return found.degrees == 0 or found.misfit <= float(scipy.special.chdtri(found.degrees, _SPREAD))


def odd_readings(found: Survey, ground: float | None = None) -> tuple[tuple[Odd, ...], Survey]:
    """Return the readings that disagree with the rest, the worst first, and the points without them.

    Args:
        found: the points by all readings.
        ground: as for ``survey``.
    """
    odd: list[Odd] = []
    kept = list(range(len(found.readings)))
    now = found
    while len(odd) < _MOST:
        looked = checked(now)
        worst = max(looked, key=lambda one: one.normalised, default=None)
        if worst is None or worst.normalised <= CRITICAL:
            break
        number = kept[worst.reading]
        either = tuple(kept[k] for k in _as_likely(now, worst.reading) if k != worst.reading)
        wrong = next(
            one
            for one, residual in zip(now.equations, now.residuals, strict=True)
            if one.reading == worst.reading and residual == worst.residual
        )
        kept.remove(number)
        again = survey(_as_found(now), [found.readings[k] for k in kept], found.level, ground, images=False)
        now = replace(again, spots=found.spots, other=now.other)
        rest = predicted(wrong, now.places, now.ground)
        odd.append(Odd(number, wrong.value - rest, worst.normalised, rest, either))
    return tuple(odd), now


def _as_found(found: Survey) -> list[Spot]:
    """The points, sketched where they were found: the same shape is meant, and it stands in the same place."""
    return [replace(spot, near=found.place(spot.name)) for spot in found.spots]


def _as_likely(found: Survey, reading: int) -> list[int]:
    """Readings whose residuals always go with that of this one, so that nothing tells them apart."""
    rows = _residual_rows(found)
    equations = found.equations
    mine = [k for k, one in enumerate(equations) if one.reading == reading]
    alike = set()
    for k, one in enumerate(equations):
        for m in mine:
            size = math.sqrt(max(rows[k, k] * rows[m, m], 0.0))
            if size > _LEAST and abs(rows[k, m]) > _ALIKE * size:
                alike.add(one.reading)
    return sorted(alike)


def _residual_rows(found: Survey) -> NDArray[np.float64]:
    """Covariance of the residuals over their accuracies, (m, m)."""
    slope = found.slopes
    rows: NDArray[np.float64] = np.eye(len(slope)) - slope @ found.covariance @ slope.T
    return rows
