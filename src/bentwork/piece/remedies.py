"""The least change that makes two corners fit: a smaller radius, or one corner moved. Each is tried before told."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from bentwork import tolerances
from bentwork.piece.corners import Corners
from bentwork.space import Vec, add, cross, distance, dot, norm, scale, sub

__all__ = ["Shift", "largest_radius", "least_shift"]

_STEP = 0.1
"""Proposals are rounded to this, mm, to the side that fits: nobody sets out finer."""

_SETTLED = 1e-6  # mm: a step of the search that moves nothing which rounding would keep
_STILL: Vec = (0.0, 0.0, 0.0)


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
    changed = bends if one_radius else [i for i in (side, (side + 1) % count) if corners.is_corner(i)]
    radius = math.floor(round(_limit(corners, tuple(changed)) / _STEP, 9)) * _STEP
    if not 0.0 < radius < math.inf:
        return None
    radius = round(radius, 6)
    radii = [radius if i in changed else corners.radius_at(i) for i in bends]
    return radius if corners.with_radii(radii).slack(side) >= -tolerances.SLACK else None


@lru_cache(maxsize=4)  # of a piece with one radius every side that is too short asks for the same
def _limit(corners: Corners, changed: tuple[int, ...]) -> float:
    """Return the radius of these bends at which the first side is used up, mm; infinite where none is."""
    count = len(corners.points)
    each = {i: math.tan(math.radians(corners.angle_at(i)) / 2.0) for i in changed}
    limit = math.inf
    for side in {before % count for i in changed for before in (i - 1, i)}:
        ends = (side, (side + 1) % count)
        per_radius = sum(each[i] for i in ends if i in each)
        fixed = sum(corners.setback_at(i) for i in ends if i not in each)
        if per_radius > 0.0:
            limit = min(limit, (norm(corners.side(side)) - fixed) / per_radius)
    return limit


def least_shift(corners: Corners, side: int) -> Shift | None:
    """Return the least move of one end of a side that makes the side fit and spoils no other; None if none was found.

    Shortest move subject to the straights of the sides it touches being no shorter than 0 (or than they are, where
    they are short already), by successive linearisation: the nearest point to the present place that satisfies the
    linearised limits is found exactly by trying which of them bind.
    """
    count = len(corners.points)
    unsound = {i for i in range(count) if not _sound(corners, i)}
    # A corner that is flat or folded back stays so unless it or a neighbour moves.
    ends = [end for end in (side, (side + 1) % count) if unsound <= _turning(corners, end)]
    found = [shift for shift in (_shift_of(corners, end, side) for end in ends) if shift is not None]
    return min(found, key=lambda shift: math.dist(shift.to, corners.points[shift.point])) if found else None


def _shift_of(corners: Corners, point: int, side: int) -> Shift | None:
    touched = _touched(corners, point)
    floor = [0.0 if s == side else min(0.0, corners.slack(s)) for s in touched]
    home = place = corners.points[point]
    binding: tuple[int, ...] = ()
    for _ in range(30):
        seen = _room(corners, point, touched, place)
        if seen is None:
            return None
        room, slope = seen
        away = sub(place, home)
        wanted = [low - now + dot(row, away) for low, now, row in zip(floor, room, slope, strict=True)]
        found = _nearest(slope, wanted, binding)
        if found is None:
            return None
        move, binding = found
        before, place = place, add(home, move)
        if distance(place, before) < _SETTLED:
            break
    if not all(map(math.isfinite, place)):
        return None
    x, y, z = (_outward(part) for part in sub(place, home))
    to = (round(home[0] + x, 6), round(home[1] + y, 6), round(home[2] + z, 6))
    if to == home:
        return None
    moved = corners.with_point(point, to)
    fits = all(moved.slack(s) >= low - tolerances.SLACK for s, low in zip(touched, floor, strict=True))
    return Shift(point, to) if fits and all(_sound(moved, i) for i in _turning(moved, point)) else None


def _outward(away: float) -> float:
    """Round a move to what is set out, never to a shorter one."""
    return math.copysign(math.ceil(round(abs(away) / _STEP, 6)) * _STEP, away)


def _sound(corners: Corners, point: int) -> bool:
    """Whether the bar turns at a point as a bend does: neither flat nor folded back; an end does not turn."""
    return not corners.is_corner(point) or (
        tolerances.LEAST_BEND <= corners.angle_at(point) <= 180.0 - tolerances.LEAST_BEND
    )


def _turning(corners: Corners, point: int) -> set[int]:
    """Points at which the bar turns otherwise when a point moves."""
    return {(point + step) % len(corners.points) for step in (-1, 0, 1)}


def _touched(corners: Corners, point: int) -> list[int]:
    """Sides whose straights change when a point moves: its own two and their neighbours."""
    count = len(corners.points)
    near = [point - 2, point - 1, point, point + 1]
    if corners.closed:
        return sorted({s % count for s in near})
    return [s for s in near if 0 <= s < corners.sides]


def _room(corners: Corners, point: int, sides: list[int], place: Vec) -> tuple[list[float], list[Vec]] | None:
    """Straights of these sides with the point at ``place``, and how each grows as it moves; None where too steep."""
    moved = corners.with_point(point, place)
    count = len(moved.points)
    ends = {end for side in sides for end in (side, (side + 1) % count)}
    try:
        setbacks = {end: (moved.setback_at(end), _setback_slope(moved, end, point)) for end in ends}
        slope = []
        for side in sides:
            follower = (side + 1) % count
            way = (follower == point) - (side == point)  # which end of it moves, if any
            along_it = scale(moved.side(side), way / norm(moved.side(side))) if way else _STILL
            slope.append(sub(along_it, add(setbacks[side][1], setbacks[follower][1])))
    except ZeroDivisionError:
        return None
    room = [norm(moved.side(s)) - setbacks[s][0] - setbacks[(s + 1) % count][0] for s in sides]
    steep = max(abs(part) for row in slope for part in row)
    return (room, slope) if all(map(math.isfinite, room)) and steep < 1e6 else None


def _setback_slope(corners: Corners, corner: int, point: int) -> Vec:
    """How the setback of a corner grows as a point moves, mm/mm along each axis.

    From R tan(a/2), whose slope in the angle a is R / (1 + cos a), and cos a = u v of the ways u and v before and
    after the corner: as a side l turns, a grows by -(v - u cos a) / (l sin a) of its far end's move.
    """
    count = len(corners.points)
    before, after = (corner - 1) % count, (corner + 1) % count
    if point not in (before, corner, after) or not corners.is_corner(corner):
        return _STILL
    entering, leaving = corners.side(before), corners.side(corner)
    u, v = scale(entering, 1.0 / norm(entering)), scale(leaving, 1.0 / norm(leaving))
    cos, sin = dot(u, v), norm(cross(u, v))
    if sin < 1e-12 and cos > 0.0:
        return _STILL  # in line: the setback grows whichever way the point goes
    each = corners.radius_at(corner) / ((1.0 + cos) * sin)
    by_entering = scale(sub(v, scale(u, cos)), -each / norm(entering))
    by_leaving = scale(sub(u, scale(v, cos)), -each / norm(leaving))
    grows = scale(by_entering, (corner == point) - (before == point))
    return add(grows, scale(by_leaving, (after == point) - (corner == point)))


def _nearest(
    rows: Sequence[Vec], wanted: Sequence[float], guess: tuple[int, ...] = ()
) -> tuple[Vec, tuple[int, ...]] | None:
    """Return the shortest vector v with row . v >= wanted for every row, and which rows bind; None where there is none.

    Of the limits at most three bind. Where none of those that bind pulls and the others hold, it is the shortest (the
    conditions of Karush, Kuhn and Tucker; they suffice, as the length is convex and the limits are straight). Those of
    ``guess`` are tried first.
    """
    sizes = range(min(3, len(rows)) + 1)
    for binding in (guess, *(some for size in sizes for some in itertools.combinations(range(len(rows)), size))):
        v = _binding([rows[i] for i in binding], [wanted[i] for i in binding])
        if v is not None and all(dot(row, v) >= low - 1e-9 for row, low in zip(rows, wanted, strict=True)):
            return v, binding
    return None


def _binding(rows: Sequence[Vec], wanted: Sequence[float]) -> Vec | None:
    """Shortest vector that meets these limits exactly; None where one of them would have to pull, or two are one.

    Products of sides square how nearly they depend on one another: what the first solving leaves is solved for again.
    """
    products = [[dot(a, b) for b in rows] for a in rows]
    pushes, v = [0.0] * len(rows), _STILL
    for _ in range(3):
        left = [low - dot(row, v) for row, low in zip(rows, wanted, strict=True)]
        if max(map(abs, left), default=0.0) < 1e-12:
            break
        more = _solved(products, left)
        if more is None:
            return None
        pushes = [push + extra for push, extra in zip(pushes, more, strict=True)]
        x, y, z = (math.fsum(push * row[k] for push, row in zip(pushes, rows, strict=True)) for k in range(3))
        v = (x, y, z)
    return v if min(pushes, default=0.0) >= -1e-12 else None


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
