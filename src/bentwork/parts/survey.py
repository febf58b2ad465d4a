"""Coordinates from readings: least squares over all of them, and how sure every point is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey_datum import Datum, datum_for
from bentwork.parts.survey_equations import misclosures, slopes
from bentwork.parts.survey_reading import Equation, Level, Reading, Spot, expand
from bentwork.parts.survey_shapes import allowed, best_shape, descend, starts
from bentwork.space import Vec

__all__ = ["Survey", "survey"]

Floats = NDArray[np.float64]

_UNTOLD = 1e-6  # of the largest: a direction that moves the readings less is told by none of them
_MOVES = 1e-3  # share of a direction in a point, from which on the point is not told


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """Points as the readings tell them.

    Args:
        spots: the points, as asked for.
        readings: that were used.
        level: up and forward.
        places: (n, 3) mm.
        ground: height of the ground, mm.
        covariance: (3 n + 1, 3 n + 1) of coordinates and ground, mm², by the accuracies of the readings; directions
            that no reading tells are left out of it.
        untold: (n,) whether the readings leave a point open.
        equations: of the readings.
        residuals: (m,) predicted - read, mm.
        redundancy: (m,) which share of an error in each would show in its own residual, 0 to 1.
        degrees: how many equations there are more than are needed.
        datum: what was held.
        other: another shape that fits the readings as well; None when there is none.
        free: (3 n + 1, k) directions that the datum leaves, and that no reading tells, last ``untold_count``.
        untold_count: how many directions no reading tells.
        ground_known: whether the height of the ground was given.
    """

    spots: tuple[Spot, ...]
    readings: tuple[Reading, ...]
    level: Level
    places: Floats
    ground: float
    covariance: Floats
    untold: tuple[bool, ...]
    equations: tuple[Equation, ...]
    residuals: Floats
    redundancy: Floats
    degrees: int
    datum: Datum
    other: Floats | None
    free: Floats
    untold_count: int
    ground_known: bool = False

    def number(self, name: str) -> int:
        """Return the number of a point.

        Raises:
            KeyError: there is no such point.
        """
        for number, spot in enumerate(self.spots):
            if spot.name == name:
                return number
        raise KeyError(name)

    def place(self, name: str) -> Vec:
        """Return where a point is, mm; errors as for ``number``."""
        x, y, z = (float(c) for c in self.places[self.number(name)])
        return (x, y, z)

    def block(self, name: str) -> Floats:
        """Return the covariance of a point, (3, 3) mm²; errors as for ``number``."""
        k = 3 * self.number(name)
        return self.covariance[k : k + 3, k : k + 3]

    def sure_to(self, name: str) -> float:
        """Return one standard deviation of a point in its worst direction, mm; infinite where it is not told."""
        if self.untold[self.number(name)]:
            return math.inf
        return math.sqrt(max(0.0, float(np.linalg.eigvalsh(self.block(name))[-1])))

    @property
    def slopes(self) -> Floats:
        """How every reading over its accuracy changes with coordinates and ground, (m, 3 n + 1), 1/mm."""
        return slopes(self.equations, self.places, self.ground)

    @property
    def misfit(self) -> float:
        """Sum of (residual / accuracy)²: about ``degrees`` where accuracies are right."""
        return float(((self.residuals / np.array([one.accuracy for one in self.equations])) ** 2).sum())

    @property
    def spread(self) -> float | None:
        """How far the readings are out against their accuracies, 1 where these are right; None where nothing checks."""
        return math.sqrt(self.misfit / self.degrees) if self.degrees else None


def survey(
    spots: Sequence[Spot],
    readings: Sequence[Reading],
    level: Level | None = None,
    ground: float | None = None,
    *,
    images: bool = True,
) -> Survey:
    """Return points as the readings tell them.

    Least squares by Gauss and Newton with Levenberg's damping, from several starts; the whole is held by the minimal
    constraints of ``survey_datum``. Where a mirror image fits as well, the sketch and then the names decide.
    Source: the usual adjustment by observation equations; for instance Ghilani, Adjustment Computations.

    Args:
        spots: the points; a sketch of them helps, and sets where the thing stands.
        readings: what was measured between them.
        level: up and forward.
        ground: height of the ground, mm; None where heights above it tell it, or where the first point sets it.
        images: whether mirror images are looked at too; False where the sketch is known to be the right one.

    Raises:
        ValueError: there is no point, or a reading names another than these.
    """
    if not spots:
        raise ValueError("there is no point to be measured")
    level = level or Level()
    names = {spot.name: number for number, spot in enumerate(spots)}
    for reading in readings:
        for name in reading.points:
            if name not in names:
                raise ValueError(f"a reading names {name}, and there is no such point")
    equations = expand(tuple(readings), names, level)
    sketch = starts(spots, readings, level)
    datum = datum_for(spots, sketch[0], equations, level, ground is not None)
    level_of_ground = ground or 0.0
    tried = [descend(equations, allowed(place, sketch[0], datum), level_of_ground, datum) for place in sketch]
    places, found_ground, other = best_shape(equations, tried, datum, spots, level, images=images)
    told = _told(spots, tuple(readings), level, equations, datum, places, found_ground, other)
    return replace(told, ground_known=ground is not None)


def _told(
    spots: Sequence[Spot],
    readings: tuple[Reading, ...],
    level: Level,
    equations: tuple[Equation, ...],
    datum: Datum,
    places: Floats,
    ground: float,
    other: Floats | None,
) -> Survey:
    accuracy = np.array([one.accuracy for one in equations])
    slope = slopes(equations, places, ground) @ datum.free
    _, sizes, axes = np.linalg.svd(slope, full_matrices=True)
    told = sizes > _UNTOLD * max(float(sizes.max(initial=0.0)), 1e-12)
    rank = int(told.sum())
    seen, unseen = datum.free @ axes[:rank].T, datum.free @ axes[rank:].T
    covariance = (seen / sizes[:rank] ** 2) @ seen.T
    rows = slope @ axes[:rank].T / sizes[:rank]
    moved = np.abs(unseen[:-1]).reshape(len(spots), -1).max(axis=1, initial=0.0)
    return Survey(
        tuple(spots),
        readings,
        level,
        places,
        ground,
        covariance,
        tuple(bool(one > _MOVES) for one in moved),
        equations,
        misclosures(equations, places, ground) * accuracy,
        np.clip(1.0 - (rows**2).sum(axis=1), 0.0, 1.0),
        len(equations) - rank,
        datum,
        other,
        np.hstack([seen, unseen]),
        unseen.shape[1],
    )
