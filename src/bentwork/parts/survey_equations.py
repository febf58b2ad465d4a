"""What readings would be for given coordinates, and how they change with them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey_reading import Equation
from bentwork.space import perpendicular

__all__ = ["misclosures", "predicted", "slopes"]

Floats = NDArray[np.float64]

_NO_LENGTH = 1e-9  # mm; two points that are one have no direction between them: some direction is as good as another


def misclosures(equations: Sequence[Equation], places: Floats, ground: float) -> Floats:
    """Return (predicted - read) / accuracy of every equation, (m,).

    Args:
        equations: of the readings.
        places: (n, 3) mm.
        ground: height of the ground, mm.
    """
    return np.array([(predicted(one, places, ground) - one.value) / one.accuracy for one in equations])


def predicted(equation: Equation, places: Floats, ground: float) -> float:
    """Return what a reading would be, mm."""
    return _told(equation, places, ground)[0]


def slopes(equations: Sequence[Equation], places: Floats, ground: float) -> Floats:
    """Return how every misclosure changes with the coordinates and, last, the ground, (m, 3 n + 1), 1/mm.

    Source: the differentials of lengths, and of a point's foot on a line; for instance Ghilani, Adjustment
    Computations, equation 14.9 for the length.
    """
    found = np.zeros((len(equations), 3 * len(places) + 1))
    for row, one in enumerate(equations):
        for point, slope in zip(one.points, _told(one, places, ground)[1], strict=True):
            if point < 0:
                found[row, -1] += slope[0] / one.accuracy
            else:
                found[row, 3 * point : 3 * point + 3] += slope / one.accuracy
    return found


def _told(one: Equation, places: Floats, ground: float) -> tuple[float, tuple[Floats, ...]]:
    if one.form in ("along", "offset", "beside", "over"):
        return _at_string(one, places)
    if one.points[0] < 0:
        way = np.array(one.direction)
        return float(way @ places[one.points[1]]) - ground, (np.array([-1.0]), way)
    step = places[one.points[1]] - places[one.points[0]]
    if one.form in ("part", "size"):
        way = np.array(one.direction)
        size = float(way @ step)
        if one.form == "size" and size < 0.0:
            size, way = -size, -way
        return size, (-way, way)
    if one.direction is not None:
        out = np.array(one.direction)
        step = step - (out @ step) * out
    length = float(np.linalg.norm(step))
    way = _way(step, length)
    return length, (-way, way)


def _at_string(one: Equation, places: Floats) -> tuple[float, tuple[Floats, ...]]:
    first, last, point = (places[k] for k in one.points)
    string = last - first
    span = float(np.linalg.norm(string))
    way = _way(string, span)
    away = point - first
    along = float(way @ away)
    share = along / max(span, _NO_LENGTH)
    off = away - along * way
    if one.form == "along":
        lean = off / max(span, _NO_LENGTH)
        return along, (-way - lean, lean, way)
    if one.form == "offset":
        size = float(np.linalg.norm(off))
        out = _way(off, size)
    else:
        aside = np.array(perpendicular((float(way[0]), float(way[1]), float(way[2]))))
        out = aside if one.form == "beside" else np.cross(way, aside)
        size = float(out @ off)
    return size, (-(1.0 - share) * out, -share * out, out)


def _way(step: Floats, length: float) -> Floats:
    found: Floats = step / length if length > _NO_LENGTH else np.array([1.0, 0.0, 0.0])
    return found
