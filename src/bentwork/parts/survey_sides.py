"""Left against right: pairs of points that are meant to be mirror images, and how far they are not.

The plane is the one that brings the left points nearest to the right ones. It stands upright where the readings know
which way is up, so that a difference in height shows as one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey import Survey
from bentwork.parts.survey_reading import Level
from bentwork.space import Vec

__all__ = ["Difference", "Sides", "sides_of"]

Floats = NDArray[np.float64]

_STEP = 0.01  # mm; of the slopes of a difference: its second order is far below what is told


@dataclass(frozen=True, slots=True)
class Difference:
    """How the left point of a pair is off the mirror image of the right one.

    Args:
        left: name of the left point.
        right: name of the right one.
        ahead: how much further forward the left one is, mm.
        outward: how much further from the plane it is, mm.
        up: how much higher it is, mm.
        sure: one standard deviation of each of the three, mm; infinite where a point is not told.
    """

    left: str
    right: str
    ahead: float
    outward: float
    up: float
    sure: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Sides:
    """Left against right.

    Args:
        normal: of the mirror plane, to the left.
        at: distance of the plane from the origin along the normal, mm.
        differences: of every pair.
        upright: whether the plane was made to stand upright.
    """

    normal: Vec
    at: float
    differences: tuple[Difference, ...]
    upright: bool


def sides_of(found: Survey, pairs: Sequence[tuple[str, str]]) -> Sides | None:
    """Return left against right; None without a pair.

    Args:
        found: the points.
        pairs: names of left and right points.

    Raises:
        KeyError: a name is that of no point.
    """
    if not pairs:
        return None
    left = [found.number(one) for one, _ in pairs]
    right = [found.number(other) for _, other in pairs]
    upright = _knows_up(found) or len(pairs) < 3
    normal, at = _plane(found.places[left], found.places[right], found.level, upright=upright)

    def off(places: Floats) -> Floats:
        return _off(places[left], places[right], found.level, upright=upright).ravel()

    slope = _slope(off, found.places)
    spread = np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", slope, found.covariance[:-1, :-1], slope), 0.0))
    told = zip(pairs, off(found.places).reshape(-1, 3), spread.reshape(-1, 3), strict=True)
    differences = []
    for k, ((one, other), away, sure) in enumerate(told):
        ahead, outward, higher = _three(away)
        open_ = found.untold[left[k]] or found.untold[right[k]]
        known = (math.inf, math.inf, math.inf) if open_ else _three(sure)
        differences.append(Difference(one, other, ahead, outward, higher, known))
    return Sides(_three(normal), at, tuple(differences), upright)


def _three(values: Sequence[float] | Floats) -> Vec:
    a, b, c = (float(one) for one in values)
    return (a, b, c)


def _knows_up(found: Survey) -> bool:
    kinds = {"height", "rise", "level", "plumb", "plan"}
    return any(reading.kind in kinds for reading in found.readings)


def _plane(left: Floats, right: Floats, level: Level, *, upright: bool) -> tuple[Floats, float]:
    """Normal (to the left) and distance of the plane that brings left nearest to right.

    What is left over is a quadratic form of the normal, so that the best one is an eigenvector: with both sets about
    their middles, l and r, and D from one middle to the other, the sum of squares is a constant and
    n' (2 sum(l r' + r l') - N D D') n.
    """
    middle_l, middle_r = left.mean(axis=0), right.mean(axis=0)
    away = middle_r - middle_l
    cross = (left - middle_l).T @ (right - middle_r)
    form = 2.0 * (cross + cross.T) - len(left) * np.outer(away, away)
    basis = np.array([level.forward, level.left] if upright else [level.forward, level.left, level.up])
    _, axes = np.linalg.eigh(basis @ form @ basis.T)
    normal = axes[:, 0] @ basis
    if float(normal @ away) > 0.0:
        normal = -normal
    return normal, float(normal @ (middle_l + middle_r)) / 2.0


def _off(left: Floats, right: Floats, level: Level, *, upright: bool) -> Floats:
    """How much further ahead, outward and up every left point is than its right one, (n, 3) mm."""
    normal, at = _plane(left, right, level, upright=upright)
    up = np.array(level.up) - (normal @ np.array(level.up)) * normal
    up = up / np.linalg.norm(up)
    ahead = np.cross(normal, up)
    image = right - 2.0 * (right @ normal - at)[:, None] * normal
    away: Floats = (left - image) @ np.array([ahead, normal, up]).T
    return away


def _slope(of: Callable[[Floats], Floats], places: Floats) -> Floats:
    columns = []
    for k in range(places.size):
        step = np.zeros(places.size)
        step[k] = _STEP
        high, low = of(places + step.reshape(-1, 3)), of(places - step.reshape(-1, 3))
        columns.append((high - low) / (2.0 * _STEP))
    return np.array(columns).T
