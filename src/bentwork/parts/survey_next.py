"""What is still missing, in order of how much it matters: which further reading makes the wanted points surest.

Every reading that could be taken and was not is tried on paper: how much smaller it would make the sum of the variances
of the points that matter. The best is taken as if it had been read, and the rest are tried again. What no reading tells
yet counts as sure to a metre, so that readings that tell it come first.
Source: the usual rank-one change of a covariance; choosing designs by the trace is called A-optimal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey import Survey
from bentwork.parts.survey_datum import fixed_rows, unseen_motions
from bentwork.parts.survey_equations import predicted, slopes
from bentwork.parts.survey_names import pairs_of
from bentwork.parts.survey_reading import ACCURACY, Equation, Kind, Reading, expand

__all__ = ["Missing", "missing", "sure_to_all"]

Floats = NDArray[np.float64]

_OPEN = 1000.0  # mm; how surely a direction that no reading tells is known
_MOST = 5
_WORTH = 0.05  # of the wanted points' uncertainty: a reading that takes less off is not worth the walk
_SHAPE = 1e-6  # 1/mm; a reading that a motion of the whole changes by less does not see it
_POINTS = 30  # beyond these, distances are only tried to points that matter


@dataclass(frozen=True, slots=True)
class Missing:
    """A reading that would help.

    Args:
        kind: of the reading.
        points: names of its points.
        about: what it will be about, mm; where it ``tells`` something, by the sketch.
        before: how sure the wanted points are without it (root of the mean variance of a coordinate), mm.
        after: with it, mm.
        tells: whether it tells something that no reading told.
    """

    kind: Kind
    points: tuple[str, ...]
    about: float
    before: float
    after: float
    tells: bool


def sure_to_all(found: Survey, wanted: Sequence[str]) -> float:
    """Return how sure points are in all, mm: root of the mean variance of their coordinates, open ones a metre."""
    covariance, picked = _with_open(found), _picked(found, wanted)
    return math.sqrt(float(np.trace(covariance[np.ix_(picked, picked)])) / max(len(picked), 1))


def missing(found: Survey, wanted: Sequence[str] = (), good: float = 0.0) -> tuple[Missing, ...]:
    """Return readings that would help, the best first, each with those before it taken.

    Args:
        found: the points so far.
        wanted: names of the points that matter; all when empty.
        good: how sure they must be, mm: when they are, nothing is missing.

    Raises:
        KeyError: a name is that of no point.
    """
    picked = _picked(found, wanted)
    if not len(picked):
        return ()
    covariance, loose = _with_open(found), _loose(found)
    tried = ((one, slopes(_equations(found, one), found.places, found.ground)) for one in _tries(found, wanted))
    # What only says where the thing stands as a whole, or how it is turned, tells nothing of its shape.
    useful = [(one, row) for one, row in tried if not len(loose.T) or np.abs(row @ loose).max() < _SHAPE]
    tries, rows = [one for one, _ in useful], [row for _, row in useful]
    told: list[Missing] = []
    before = math.sqrt(float(np.trace(covariance[np.ix_(picked, picked)])) / len(picked))
    while tries and len(told) < _MOST and before > good:
        gains = [_gain(covariance, row, picked) for row in rows]
        best = int(np.argmax(gains))
        after = math.sqrt(max(before**2 - gains[best] / len(picked), 0.0))
        if after > (1.0 - _WORTH) * before:
            break
        one = tries[best]
        tells = _tells(covariance, rows[best])
        told.append(Missing(one.kind, one.points, _about(found, one), before, after, tells))
        covariance = _taken(covariance, rows[best])
        del tries[best], rows[best]
        before = after
    return tuple(told)


def _equations(found: Survey, one: Reading) -> tuple[Equation, ...]:
    return expand((one,), {spot.name: number for number, spot in enumerate(found.spots)}, found.level)


def _loose(found: Survey) -> Floats:
    """Motions of the whole that no reading sees."""
    heights = any(-1 in one.points for one in found.equations)
    fixed = fixed_rows(found.spots, ground=found.ground_known or not heights)
    return unseen_motions(np.vstack([found.slopes, fixed]), found.places, found.level, ground=True)


def _picked(found: Survey, wanted: Sequence[str]) -> Floats:
    names = wanted or [spot.name for spot in found.spots if spot.at is None]
    return np.array([3 * found.number(name) + axis for name in names for axis in range(3)], dtype=np.int64)


def _with_open(found: Survey) -> Floats:
    if not found.untold_count:
        return found.covariance
    ways = found.free[:, -found.untold_count :]
    return found.covariance + _OPEN**2 * ways @ ways.T


def _tries(found: Survey, wanted: Sequence[str]) -> Iterator[Reading]:
    names = [spot.name for spot in found.spots]
    known = {(one.kind, frozenset(one.points)) for one in found.readings}
    straight = {points for kind, points in known if kind in ("distance", "slope")}
    for pair in combinations(names, 2):
        if frozenset(pair) in straight or (len(names) > _POINTS and not set(pair) & set(wanted)):
            continue
        yield Reading("distance", pair, 0.0, ACCURACY["distance"])
    for name in names:
        if ("height", frozenset((name,))) not in known:
            yield Reading("height", (name,), 0.0, ACCURACY["height"])
    for pair in pairs_of(names):
        if ("across", frozenset(pair)) not in known:
            yield Reading("across", pair, 1.0, ACCURACY["across"])


def _gain(covariance: Floats, row: Floats, picked: Floats) -> float:
    """How much less the sum of the wanted variances becomes."""
    towards = covariance @ row.T
    inner = np.eye(len(row)) + row @ towards
    wanted = towards[picked]
    return float(np.trace(wanted @ np.linalg.solve(inner, wanted.T)))


def _taken(covariance: Floats, row: Floats) -> Floats:
    towards = covariance @ row.T
    found: Floats = covariance - towards @ np.linalg.solve(np.eye(len(row)) + row @ towards, towards.T)
    return found


def _tells(covariance: Floats, row: Floats) -> bool:
    return float(np.max(np.diag(row @ covariance @ row.T))) > 0.01 * _OPEN**2 * float((row**2).sum(axis=1).max())


def _about(found: Survey, one: Reading) -> float:
    return predicted(_equations(found, one)[0], found.places, found.ground)
