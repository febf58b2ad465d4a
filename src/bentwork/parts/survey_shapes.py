"""From a sketch to the shape that fits the readings best, mirror images told apart.

Distances cannot tell a shape from its mirror image, nor on which side of others a point is. So several starts are
tried; of those that fit alike the one is taken that is nearest to the sketch and whose left and right are as named.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey_datum import Datum
from bentwork.parts.survey_equations import misclosures, slopes
from bentwork.parts.survey_names import side_of_name
from bentwork.parts.survey_reading import Equation, Level, Reading, Spot

__all__ = ["Shape", "allowed", "best_shape", "descend", "starts"]

Floats = NDArray[np.float64]
Shape = tuple[Floats, float, float]
"""Places, the ground, and the sum of squares that is left."""

_STARTS = 12  # without a sketch of every point
_STEPS = 100
_STILL = 1e-9  # mm; a step smaller than this is none
_ALIKE = 6.0  # of the sum of squares: shapes that fit no worse than this are not told apart by the readings
_SAME = 0.5  # mm; shapes nearer than this are one
_SPARSE = 0.6180339887498949  # golden section: multiples of it fall evenly, without chance


def starts(spots: Sequence[Spot], readings: Sequence[Reading], level: Level) -> list[Floats]:
    """Return places to start from, (n, 3) each, mm; the first is the sketch, filled in where there is none."""
    ahead, left, up = np.array(level.forward), np.array(level.left), np.array(level.up)
    size = max([one.value for one in readings if one.kind not in ("level", "plumb")] or [1000.0]) or 1000.0
    given = [spot.at if spot.at is not None else spot.near for spot in spots]
    if all(one is not None for one in given):
        return [np.array(given, dtype=np.float64)]
    anchor = np.array(next((one for one in given if one is not None), (0.0, 0.0, 0.0)))
    found = []
    for turn in range(_STARTS):
        rows = []
        for number, (spot, one) in enumerate(zip(spots, given, strict=True)):
            if one is not None:
                rows.append(np.array(one))
                continue
            a, b, c = (((number + 1) * k * _SPARSE + turn * _SPARSE * k * k) % 1.0 for k in (1.0, 1.7, 2.9))
            side = side_of_name(spot.name)
            b = b - 0.5 if side == 0 else side * (0.15 + 0.5 * b)
            if number == 0:
                a, b, c = 0.0, b if side else 0.0, 0.0
            elif number == 1 and side and side == -side_of_name(spots[0].name):
                a, b, c = 0.0, float(side), 0.3  # a left and a right one to begin with lie straight across
            elif number == 1:
                a, b, c = 1.0, 0.0, 0.3
            rows.append(anchor + size * (a * ahead + b * left + (c - 0.3 if number else 0.0) * up))
        found.append(np.array(rows))
    return found


def descend(equations: Sequence[Equation], places: Floats, ground: float, datum: Datum) -> Shape:
    """Return the shape that the readings pull a start to: Gauss and Newton's steps with Levenberg's damping.

    Args:
        equations: of the readings.
        places: (n, 3) to start from, mm.
        ground: to start from, mm.
        datum: which ways all may move.
    """
    now = np.append(places.ravel(), ground)
    short = misclosures(equations, places, ground)
    worth = float(short @ short)
    damping = 1e-3
    for _ in range(_STEPS):
        slope = slopes(equations, now[:-1].reshape(-1, 3), float(now[-1])) @ datum.free
        normal, pull = slope.T @ slope, slope.T @ short
        size = max(float(np.trace(normal)) / max(len(normal), 1), 1e-12)
        moved = False
        while damping < 1e8 and len(normal):
            step = datum.free @ -np.linalg.solve(normal + damping * size * np.eye(len(normal)), pull)
            trial = now + step
            left = misclosures(equations, trial[:-1].reshape(-1, 3), float(trial[-1]))
            if float(left @ left) < worth or np.abs(step).max() < _STILL:
                moved = np.abs(step).max() >= _STILL
                if float(left @ left) <= worth:
                    now, short, worth = trial, left, float(left @ left)
                damping = max(damping / 10.0, 1e-12)
                break
            damping *= 10.0
        if not moved:
            break
    return now[:-1].reshape(-1, 3), float(now[-1]), worth


def allowed(places: Floats, of: Floats, datum: Datum) -> Floats:
    """Return the places nearest to these that keep what the datum holds as other places have it, (n, 3) mm."""
    free = datum.free[:-1]
    found: Floats = of + (free @ (datum.free.T @ np.append((places - of).ravel(), 0.0))).reshape(-1, 3)
    return found


def best_shape(
    equations: Sequence[Equation],
    tried: Sequence[Shape],
    datum: Datum,
    spots: Sequence[Spot],
    level: Level,
    *,
    images: bool = True,
) -> tuple[Floats, float, Floats | None]:
    """Return places and ground of the shape that is meant, and another that fits as well but is not told apart.

    Args:
        equations: of the readings.
        tried: shapes that starts were pulled to.
        datum: which ways all may move.
        spots: sketch and names.
        level: up and forward.
        images: whether mirror images are tried too.
    """
    best = min(tried, key=lambda one: one[2])
    shapes = [best, *(one for one in tried if one is not best)]
    mirrored = _images(best[0], level) if images else []
    shapes += [descend(equations, allowed(image, best[0], datum), best[1], datum) for image in mirrored]
    least = min(one[2] for one in shapes)
    alike = [one for one in shapes if one[2] <= least + _ALIKE]
    ranked = sorted(alike, key=lambda one: _rank(one, spots, datum, level))
    chosen = ranked[0]
    told = _rank(chosen, spots, datum, level)
    for one in ranked[1:]:
        apart = float(np.abs(one[0] - chosen[0]).max())
        if (
            apart > _SAME
            and _rank(one, spots, datum, level)[:2] == told[:2]
            and not _sketched(one[0], chosen[0], spots)
        ):
            return chosen[0], chosen[1], one[0]
    return chosen[0], chosen[1], None


def _sketched(one: Floats, chosen: Floats, spots: Sequence[Spot]) -> bool:
    """Whether every point in which two shapes differ is sketched, so that the sketch tells them apart."""
    apart = np.linalg.norm(one - chosen, axis=1) > _SAME
    return any(spot.near is not None for spot, off in zip(spots, apart, strict=True) if off)


def _rank(shape: Shape, spots: Sequence[Spot], datum: Datum, level: Level) -> tuple[int, int, float, float]:
    """Facing as the datum says, left and right as named, nearest to the sketch, best fit."""
    places = shape[0]
    turned = 0
    if datum.facing is not None:
        first, second, way = datum.facing
        turned = int(float(way @ (places[second] - places[first])) < 0.0)
    left = np.array(level.left)
    sides = np.array([side_of_name(spot.name) for spot in spots])
    crossed = 0
    if (sides > 0).any() and (sides < 0).any():
        crossed = int(float((places[sides > 0] @ left).mean()) < float((places[sides < 0] @ left).mean()))
    off = [
        float(((places[k] - np.array(spot.near)) ** 2).sum())
        for k, spot in enumerate(spots)
        if spot.near is not None and spot.at is None
    ]
    return turned, crossed, round(sum(off), 1), shape[2]


def _images(places: Floats, level: Level) -> list[Floats]:
    """Mirror images of a shape: of the whole, of what is level of it, and of each point among its neighbours."""
    count = len(places)
    found: list[Floats] = []
    if count < 2:
        return found
    way = places[1] - places[0]
    planes = [np.cross(np.array(level.up), way), np.array(level.up)]
    if count > 2:
        planes.append(np.cross(way, places[2] - places[0]))
    for out in planes:
        if np.linalg.norm(out) > 1e-6:
            found.append(_mirrored(places, range(count), places[0], out))
    for point in range(count):
        far = np.linalg.norm(places - places[point], axis=1)
        near = [k for k in np.argsort(far) if k != point][:3]
        if len(near) == 3:
            out = np.cross(places[near[1]] - places[near[0]], places[near[2]] - places[near[0]])
            if np.linalg.norm(out) > 1e-6:
                found.append(_mirrored(places, [point], places[near[0]], out))
    return found


def _mirrored(places: Floats, which: Sequence[int] | range, through: Floats, out: Floats) -> Floats:
    out = out / np.linalg.norm(out)
    image = places.copy()
    for k in which:
        image[k] = image[k] - 2.0 * float(out @ (image[k] - through)) * out
    return image
