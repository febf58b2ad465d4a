"""Along bars, bend by bend: poses, what an error moves, and a piece turned on its drawing. Compiled.

The formulas are those of ``chain`` and ``aligned``. A bar is thirty small sums a bend; asked one by one of an array
library, most of the time goes into asking.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["laid", "moves_of", "swung", "ways_of", "within_bounds"]

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]

_DEG = math.pi / 180.0
_STILL = 1e-4  # degrees or mm: a hand sets nothing closer
ANGLE, DIRECTION, PLACE, RADIUS, STRETCH = range(5)  # as in ``made``: what is compiled keeps numbers only
_FIRST, _LAST, _BEFORE, _AFTER, _INWARD, _AXIS = range(6)


@compiled
def ways_of(values: Floats, shares: Floats) -> tuple[Floats, Floats]:
    """Return where bends begin and end on the straight bar, shape (2, n, m), and how they lie, shape (6, n, 3, m).

    How they lie: first and last tangent point, direction of the bar before and after, inward direction, axis.
    """
    _, bends, size = values.shape
    along, lie = np.empty((2, bends, size)), np.empty((6, bends, 3, size))
    upright = np.empty((3, size))
    for k in range(bends):
        for j in range(size):
            theta, radius = values[ANGLE, k, j] * _DEG, values[RADIUS, k, j]
            used = radius * theta - values[STRETCH, k, j]
            begin = values[PLACE, k, j] - shares[k] * used
            along[0, k, j], along[1, k, j] = begin, begin + used
            c, s = math.cos(theta), math.sin(theta)
            if k:
                reach = begin - along[1, k - 1, j]
                way = (values[DIRECTION, k, j] - values[DIRECTION, k - 1, j]) * _DEG
            else:
                reach, way = begin, values[DIRECTION, 0, j] * _DEG
            c_way, s_way = math.cos(way), math.sin(way)
            for i in range(3):
                if k:
                    point, t = lie[_LAST, k - 1, i, j], lie[_AFTER, k - 1, i, j]
                    y, z = upright[i, j], lie[_AXIS, k - 1, i, j]
                else:
                    point, t, y, z = 0.0, 1.0 * (i == 0), 1.0 * (i == 1), 1.0 * (i == 2)
                point += reach * t
                z, y = c_way * z - s_way * y, s_way * z + c_way * y
                lie[_FIRST, k, i, j], lie[_BEFORE, k, i, j] = point, t
                lie[_INWARD, k, i, j], lie[_AXIS, k, i, j] = y, z
                lie[_LAST, k, i, j] = point + radius * s * t + radius * (1.0 - c) * y
                lie[_AFTER, k, i, j] = c * t + s * y
                upright[i, j] = c * y - s * t
    return along, lie


@compiled
def moves_of(points: Floats, past: Ints, values: Floats, shares: Floats, lie: Floats) -> Floats:
    """Return how points, shape (s, 3, m), move with the unknowns of the bends before them, shape (s, 3, 5, n, m)."""
    spots, (_, bends, size) = len(points), values.shape
    found = np.zeros((spots, 3, 5, bends, size))
    for k in range(bends):
        share = shares[k]
        for j in range(size):
            theta = values[ANGLE, k, j] * _DEG
            c, s = math.cos(theta), math.sin(theta)
            for spot in range(spots):
                if k >= past[spot]:
                    continue
                for i in range(3):
                    # Vector products by going round the three axes.
                    a, b = (i + 1) % 3, (i + 2) % 3
                    first_a, first_b = lie[_FIRST, k, a, j], lie[_FIRST, k, b, j]
                    last_a, last_b = lie[_LAST, k, a, j], lie[_LAST, k, b, j]
                    there_a, there_b = points[spot, a, j], points[spot, b, j]
                    pivot_a, pivot_b = last_a - share * (last_a - first_a), last_b - share * (last_b - first_b)
                    before, after = lie[_BEFORE, k, i, j], lie[_AFTER, k, i, j]
                    aside = before - after
                    found[spot, i, ANGLE, k, j] = _DEG * (
                        lie[_AXIS, k, a, j] * (there_b - pivot_b) - lie[_AXIS, k, b, j] * (there_a - pivot_a)
                    )
                    found[spot, i, DIRECTION, k, j] = _DEG * (
                        lie[_BEFORE, k, a, j] * (there_b - first_b)
                        - lie[_BEFORE, k, b, j] * (there_a - first_a)
                        - lie[_AFTER, k, a, j] * (there_b - last_b)
                        + lie[_AFTER, k, b, j] * (there_a - last_a)
                    )
                    found[spot, i, PLACE, k, j] = aside
                    found[spot, i, RADIUS, k, j] = (
                        s * before + (1.0 - c) * lie[_INWARD, k, i, j] - theta * after - share * theta * aside
                    )
                    found[spot, i, STRETCH, k, j] = after + share * aside
    return found


@compiled
def swung(turns: Floats, arm: Floats) -> Floats:
    """Return by how much arms, shape (3, m), are swung by turns, shape (3, 5, n, m): the vector products."""
    _, kinds, bends, size = turns.shape
    found = np.empty(turns.shape)
    for i in range(3):
        a, b = (i + 1) % 3, (i + 2) % 3
        for kind in range(kinds):
            for k in range(bends):
                for j in range(size):
                    found[i, kind, k, j] = turns[a, kind, k, j] * arm[b, j] - turns[b, kind, k, j] * arm[a, j]
    return found


@compiled
def laid(points: Floats, drawn: Floats, solves: Floats, most: int, still: float) -> tuple[Floats, Floats]:
    """Return points, shape (s, 3, m) and about their middle, turned to fit a drawing, and the turns, shape (3, 3, m).

    Each time as if turns were small (Rodrigues' formula), at most so often, until no more than ``still`` is left.
    """
    spots, _, size = points.shape
    at, whole = points.copy(), np.zeros((3, 3, size))
    small, turn, row = np.empty(3), np.empty((3, 3)), np.empty(3)
    for j in range(size):
        for i in range(3):
            whole[i, i, j] = 1.0
        for _ in range(most):
            for i in range(3):
                small[i] = 0.0
                for spot in range(spots):
                    for a in range(3):
                        small[i] -= solves[3 + i, 3 * spot + a] * (at[spot, a, j] - drawn[spot, a])
            squared = small[0] ** 2 + small[1] ** 2 + small[2] ** 2
            angle = math.sqrt(squared)
            s = math.sin(angle) / angle if angle > 1e-12 else 1.0
            c = (1.0 - math.cos(angle)) / squared if angle > 1e-6 else 0.5
            for i in range(3):
                a, b = (i + 1) % 3, (i + 2) % 3
                turn[i, i] = 1.0 + c * (small[i] ** 2 - squared)
                turn[i, a] = c * small[i] * small[a] - s * small[b]
                turn[a, i] = c * small[i] * small[a] + s * small[b]
            for spot in range(spots + 3):
                for i in range(3):
                    row[i] = at[spot, i, j] if spot < spots else whole[i, spot - spots, j]
                for i in range(3):
                    turned = turn[i, 0] * row[0] + turn[i, 1] * row[1] + turn[i, 2] * row[2]
                    if spot < spots:
                        at[spot, i, j] = turned
                    else:
                        whole[i, spot - spots, j] = turned
            if max(abs(small[0]), abs(small[1]), abs(small[2])) < still:
                break
    return at, whole


@compiled
def within_bounds(inside: Floats, wanted: Floats, low: Floats, high: Floats, sets: Floats, sweeps: int) -> None:
    """Lead unknowns, shape (p, m), to the least of half x H x - w x within bounds, one unknown at a time.

    Coordinate descent: it comes to the least, since that is convex and a bound is of one unknown each (any book on
    optimisation). H is ``inside``, shape (p, p).
    """
    unknowns, size = sets.shape
    at, rest = np.empty(unknowns), np.empty(unknowns)
    for j in range(size):
        at[:] = sets[:, j]
        for k in range(unknowns):
            rest[k] = wanted[k, j]
            for i in range(unknowns):
                rest[k] -= inside[k, i] * at[i]
        for _ in range(sweeps):
            most = 0.0
            for k in range(unknowns):
                step = min(max(at[k] + rest[k] / inside[k, k], low[k, j]), high[k, j]) - at[k]
                if step == 0.0:  # it stays at its bound
                    continue
                at[k] += step
                most = max(most, abs(step))
                for i in range(unknowns):
                    rest[i] -= inside[k, i] * step
            if most < _STILL:
                break
        sets[:, j] = at
