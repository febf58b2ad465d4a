"""The least change that makes two corners fit: a smaller radius, or one corner moved. Each is tried before told."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork import tolerances
from bentwork.piece.corners import Corners
from bentwork.space import Vec, norm

__all__ = ["Shift", "largest_radius", "least_shift"]

_STEP = 0.1
"""Proposals are rounded to this, mm, to the side that fits: nobody sets out finer."""

_SETTLED = 1e-6  # mm: a step of the search that moves nothing which rounding would keep


@dataclass(frozen=True, slots=True)
class Shift:
    """Corner point ``point`` (from 0) moved to ``to``, mm."""

    point: int
    to: Vec


def largest_radius(corners: Corners, side: int) -> float | None:
    """Return the largest radius for the bends at both ends of a side with which their sides fit, in steps of 0.1 mm.

    Where the whole piece has one radius, the largest that fits all of it. None when no radius above 0 does.
    """
    count = len(corners.points)
    bends = [i for i in range(count) if corners.is_corner(i)]
    one_radius = len({corners.radius_at(i) for i in bends}) == 1
    changed = set(bends) if one_radius else {i for i in (side, (side + 1) % count) if corners.is_corner(i)}
    limit = math.inf
    for other in range(corners.sides):
        ends = (other, (other + 1) % count)
        per_radius = sum(math.tan(math.radians(corners.angle_at(i)) / 2.0) for i in ends if i in changed)
        fixed = sum(corners.setback_at(i) for i in ends if i not in changed)
        if per_radius > 0.0:
            limit = min(limit, (norm(corners.side(other)) - fixed) / per_radius)
    radius = math.floor(round(limit / _STEP, 9)) * _STEP
    if not 0.0 < radius < math.inf:
        return None
    radius = round(radius, 6)
    radii = [radius if i in changed else corners.radius_at(i) for i in bends]
    return radius if corners.with_radii(radii).slack(side) >= -tolerances.SLACK else None


def least_shift(corners: Corners, side: int) -> Shift | None:
    """Return the least move of one end of a side that makes the side fit and spoils no other; None if none was found.

    Shortest move subject to the straights of the sides it touches being no shorter than 0 (or than they are, where
    they are short already), by successive linearisation: the nearest point to the present place that satisfies the
    linearised limits is found exactly by trying which of them bind.
    """
    count = len(corners.points)
    tried = [_shift_of(corners, point, side) for point in (side, (side + 1) % count)]
    found = [shift for shift in tried if shift is not None]
    return min(found, key=lambda shift: math.dist(shift.to, corners.points[shift.point])) if found else None


def _shift_of(corners: Corners, point: int, side: int) -> Shift | None:
    touched = _touched(corners, point)
    floor = np.array([0.0 if s == side else min(0.0, corners.slack(s)) for s in touched])
    home = np.array(corners.points[point])
    place = home.copy()
    for _ in range(30):
        room, slope = _room(corners, point, touched, place)
        if room is None or slope is None:
            return None
        move = _nearest(slope, floor - room + slope @ (place - home))
        if move is None:
            return None
        step = home + move - place
        place = place + step
        if float(np.linalg.norm(step)) < _SETTLED:
            break
    away = place - home
    if not np.all(np.isfinite(place)) or not float(np.linalg.norm(away)):
        return None
    rounded = home + np.sign(away) * np.ceil(np.round(np.abs(away) / _STEP, 6)) * _STEP
    to = (round(float(rounded[0]), 6), round(float(rounded[1]), 6), round(float(rounded[2]), 6))
    moved = corners.with_point(point, to)
    fits = all(moved.slack(s) >= low - tolerances.SLACK for s, low in zip(touched, floor.tolist(), strict=True))
    turns = [moved.angle_at(i) for i in range(len(moved.points)) if moved.is_corner(i)]
    sound = all(tolerances.LEAST_BEND <= turn <= 180.0 - tolerances.LEAST_BEND for turn in turns)
    return Shift(point, to) if fits and sound else None


def _touched(corners: Corners, point: int) -> list[int]:
    """Sides whose straights change when a point moves: its own two and their neighbours."""
    count = len(corners.points)
    near = [point - 2, point - 1, point, point + 1]
    if corners.closed:
        return sorted({s % count for s in near})
    return [s for s in near if 0 <= s < corners.sides]


def _room(
    corners: Corners, point: int, sides: list[int], place: NDArray[np.float64]
) -> tuple[NDArray[np.float64] | None, NDArray[np.float64] | None]:
    """Straights of these sides with the point at ``place``, and their slopes (sides, 3) by central differences."""

    def straights(at: NDArray[np.float64]) -> list[float]:
        moved = corners.with_point(point, (float(at[0]), float(at[1]), float(at[2])))
        return [moved.slack(s) for s in sides]

    h = 1e-5
    room = np.array(straights(place))
    slope = np.empty((len(sides), 3))
    for axis in range(3):
        step = np.zeros(3)
        step[axis] = h
        slope[:, axis] = (np.array(straights(place + step)) - np.array(straights(place - step))) / (2 * h)
    if not (np.all(np.isfinite(room)) and np.all(np.isfinite(slope)) and float(np.abs(slope).max()) < 1e6):
        return None, None
    return room, slope


def _nearest(slope: NDArray[np.float64], least: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """Return the shortest vector v with slope @ v >= least; None where there is none.

    Of the limits at most three bind. Where none of those that bind pulls and the others hold, it is the shortest (the
    conditions of Karush, Kuhn and Tucker; they suffice, as the length is convex and the limits are straight).
    """
    rows: list[list[float]] = slope.tolist()
    wanted: list[float] = least.tolist()
    for size in range(min(3, len(rows)) + 1):
        for binding in itertools.combinations(range(len(rows)), size):
            v = _binding([rows[i] for i in binding], [wanted[i] for i in binding])
            if v is None:
                continue
            if all(_dot(row, v) >= low - 1e-9 for row, low in zip(rows, wanted, strict=True)):
                return np.array(v)
    return None


def _binding(rows: list[list[float]], wanted: list[float]) -> list[float] | None:
    """Shortest vector that meets these limits exactly; None where one of them would have to pull, or two are one.

    Products of sides square how nearly they depend on one another: what the first solving leaves is solved for again.
    """
    products = [[_dot(a, b) for b in rows] for a in rows]
    pushes, v = [0.0] * len(rows), [0.0, 0.0, 0.0]
    for _ in range(3):
        more = _solved(products, [low - _dot(row, v) for row, low in zip(rows, wanted, strict=True)])
        if more is None:
            return None
        pushes = [push + extra for push, extra in zip(pushes, more, strict=True)]
        v = [math.fsum(push * row[k] for push, row in zip(pushes, rows, strict=True)) for k in range(3)]
    return v if min(pushes, default=0.0) >= -1e-12 else None


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _solved(matrix: list[list[float]], right: list[float]) -> list[float] | None:
    """Solve up to three equations by elimination, the largest first; None where they depend on one another."""
    size = len(right)
    table = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for k in range(size):
        best = max(range(k, size), key=lambda row: abs(table[row][k]))
        table[k], table[best] = table[best], table[k]
        if abs(table[k][k]) <= 1e-10 * max(matrix[i][i] for i in range(size)):
            return None
        for row in range(size):
            if row != k:
                times = table[row][k] / table[k][k]
                table[row] = [a - times * b for a, b in zip(table[row], table[k], strict=True)]
    return [table[k][size] / table[k][k] for k in range(size)]
