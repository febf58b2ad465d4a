"""What is odd about a test bend, seen from the others, and what may have happened at the bench."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Literal

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.handbook import STRENGTH
from bentwork.bending.posterior import Posterior, updated
from bentwork.bending.readings import Reading, Readings, readings_of
from bentwork.bending.test_bend import TestBend
from bentwork.errors import InputError

__all__ = ["Cause", "CauseKind", "Doubt", "away", "causes_of"]

CauseKind = Literal[
    "pulled from the other side",
    "left from the other side",
    "both from the other side",
    "pulled out by 5 or 10",
    "left out by 5 or 10",
    "pulled digits swapped",
    "left digits swapped",
    "legs changed over",
    "legs to the middle",
    "legs to the outside",
    "mark from the other end",
    "another batch",
]
"""What may have happened. The other side of a gauge reads 180 less the angle."""

_BELIEVED = 2.5
"""A cause must bring the test bend to within as many standard deviations."""

_UNSUSPECTED = 2.0
_MOST_MISREADINGS = 3
_OTHER_BATCH_SD = 0.6
"""Logarithm of strength, one standard deviation: a batch that may be of another temper. In the library, hard bar of one
alloy is two to four times as strong as soft bar (6082-O and T6): 1.2 to 2.4 standard deviations."""


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that would explain an odd test bend.

    Args:
        kind: what may have happened.
        corrected: the test bend as it would then have to read; None where nothing was misread.
        away: by how many standard deviations it would still be out.
    """

    kind: CauseKind
    corrected: TestBend | None
    away: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """A test bend that is odd.

    Args:
        bend: the test bend.
        reading: which of its readings.
        away: by how many standard deviations it lies off what the others foretell.
        against: the other test bends, or the handbook where there are none.
        left_out: whether the reading (of angles: the whole test bend) is left out of the fit.
        causes: what would explain it, likeliest first.
    """

    bend: TestBend
    reading: Reading
    away: float
    against: Literal["others", "handbook"]
    left_out: bool
    causes: tuple[Cause, ...]


def away(others: Posterior, readings: Readings) -> float:
    """Return by how many standard deviations readings lie off what the others foretell.

    The least sum of squares of readings and unknowns together is as unlikely as chi-squared of so many readings; what
    is told is the deviation of a single reading that is as unlikely.
    """
    out, slopes = readings.against(others.mean)
    spread = np.eye(out.size) + slopes @ others.covariance @ slopes.T
    nearly = _deviation(float(out @ np.linalg.solve(spread, out)), out.size)
    if nearly < _UNSUSPECTED:
        return nearly  # as if the model were straight, which it is near enough for what is not odd
    _, squares = updated(others, [readings])
    return _deviation(squares, out.size)


def _deviation(squares: float, readings: int) -> float:
    return -NormalDist().inv_cdf(min(1.0, max(1e-300, _chance(squares, readings))) / 2.0)


def _chance(squares: float, readings: int) -> float:
    """Return the chance that so many readings are out by more: the tail of chi-squared (any table of integrals)."""
    half, terms = max(0.0, squares) / 2.0, readings // 2
    if readings % 2 == 0:
        return math.exp(-half) * sum((half**i / math.factorial(i) for i in range(terms)), 0.0)
    more = sum((half ** (i + 0.5) / math.gamma(i + 1.5) for i in range(terms)), 0.0)
    return math.erfc(math.sqrt(half)) + math.exp(-half) * more


def causes_of(others: Posterior, law: BendLaw, bend: TestBend, kinds: Sequence[Reading]) -> tuple[Cause, ...]:
    """Return what would explain a test bend, found by trying; likeliest first.

    Of misreadings no more than three, and another batch besides.

    Args:
        others: the unknowns as the other test bends have them.
        law: of its batch.
        bend: the odd test bend.
        kinds: which of its readings count.
    """
    found: dict[CauseKind, tuple[float, Cause]] = {}
    for kind, corrected in _corrections(bend):
        odds, far = _likelihood(others, readings_of(law, corrected).only(kinds))
        if far < _BELIEVED and (kind not in found or odds < found[kind][0]):
            found[kind] = odds, Cause(kind, corrected, far)
    misread = sorted(found.values(), key=_odds)[:_MOST_MISREADINGS]
    other_batch = BendLaw(law.book, others.mean.size - STRENGTH)
    odds, far = _likelihood(_one_batch_more(others, law), readings_of(other_batch, bend).only(kinds))
    batch = [(odds, Cause("another batch", None, far))] if far < _BELIEVED else []
    return tuple(cause for _, cause in sorted([*misread, *batch], key=_odds))


def _odds(found: tuple[float, Cause]) -> float:
    return found[0]


def _likelihood(others: Posterior, readings: Readings) -> tuple[float, float]:
    """Return minus twice the logarithm of how likely readings are, but for a constant, and their deviation."""
    after, squares = updated(others, [readings])
    _, grown = np.linalg.slogdet(after.information)
    _, before = np.linalg.slogdet(others.information)
    _, scale = np.linalg.slogdet(readings.whiten)
    return squares + float(grown - before) - 2.0 * float(scale), _deviation(squares, len(readings.kinds))


def _one_batch_more(others: Posterior, law: BendLaw) -> Posterior:
    size = others.mean.size
    information = np.zeros((size + 1, size + 1))
    information[:size, :size] = others.information
    information[size, size] = 1.0 / _OTHER_BATCH_SD**2
    return Posterior(np.append(others.mean, law.book.strength), information)


def _corrections(bend: TestBend) -> Iterator[tuple[CauseKind, TestBend]]:
    """Yield the test bend as it would read if this or that had happened; what cannot have been is passed over."""
    pulled, left = bend.pulled_deg, bend.left_deg
    tried: list[tuple[CauseKind, dict[str, object]]] = [
        ("pulled from the other side", {"pulled_deg": 180.0 - pulled}),
        ("left from the other side", {"left_deg": 180.0 - left}),
        ("both from the other side", {"pulled_deg": 180.0 - left, "left_deg": 180.0 - pulled}),
        ("legs changed over", {"held_leg_mm": bend.free_leg_mm, "free_leg_mm": bend.held_leg_mm}),
    ]
    for out in (-10.0, -5.0, 5.0, 10.0):
        tried.append(("pulled out by 5 or 10", {"pulled_deg": pulled + out}))
        tried.append(("left out by 5 or 10", {"left_deg": left + out}))
    tried += [("pulled digits swapped", {"pulled_deg": swapped}) for swapped in _digits_swapped(pulled)]
    tried += [("left digits swapped", {"left_deg": swapped}) for swapped in _digits_swapped(left)]
    if bend.legs_to == "outside":
        tried.append(("legs to the middle", {"legs_to": "middle"}))
    else:
        tried.append(("legs to the outside", {"legs_to": "outside"}))
    if bend.bar_mm is not None and bend.mark_mm is not None:
        tried.append(("mark from the other end", {"mark_mm": bend.bar_mm - bend.mark_mm}))
    for kind, changes in tried:
        try:
            corrected = replace(bend, **changes)  # type: ignore[arg-type]
        except InputError:
            continue
        if corrected != bend:
            yield kind, corrected


def _digits_swapped(angle: float) -> list[float]:
    """Return the angle with two neighbouring digits before the point changed over, in every way that changes it."""
    digits, rest = str(int(angle)), angle - int(angle)
    ways = [digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :] for i in range(len(digits) - 1)]
    return [int(way) + rest for way in ways if way != digits]
