"""The two points between which a gap is, so that it can be drawn: on the bar and on a body. Lengths in mm.

``clearance`` proves how small a gap gets and says when; here the same moment is looked at plainly, line by line. The
distance of a line from a convex body has one smallest place along the line, so narrowing down finds it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid

__all__ = ["Between", "lines_apart", "lines_to_solid", "nearest_of", "placed_solid", "solids_apart"]

Array = NDArray[np.float64]
_GOLD = (math.sqrt(5.0) - 1.0) / 2.0
_ROUNDS = 30  # 0.618^30 of a line: 5e-7 of its length
_ALTERNATE = 400


@dataclass(frozen=True, slots=True)
class Between:
    """The nearest points of two things.

    Args:
        apart: gap between them, mm; below 0 where they run into each other, as deep as can be told.
        one: on the first, (3,).
        other: on the second, (3,).
        away: how far the first was carried along the way given, mm.
    """

    apart: float
    one: Array
    other: Array
    away: float = 0.0


def placed_solid(solid: Solid, x: float, y: float, turn: float) -> Solid:
    """Return a body where its station has taken it: turned about the die's axis by degrees, then moved."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def turned(v: tuple[float, float, float]) -> tuple[float, float, float]:
        return (c * v[0] - s * v[1], s * v[0] + c * v[1], v[2])

    a, b, axis = (turned(v) for v in solid.turn)
    mx, my, mz = turned(solid.middle)
    return Solid(solid.name, solid.shape, solid.half, (mx + x, my + y, mz), (a, b, axis), solid.station)


def _to_solid(points: Array, solid: Solid) -> tuple[Array, Array]:
    """Distance of points (..., 3) from a body, 0 inside it, and the nearest point of the body to each."""
    axes = np.array(solid.turn)
    local = (points - np.array(solid.middle)) @ axes.T
    half = np.array(solid.half)
    if solid.shape == "box":
        near = np.clip(local, -half, half)
    elif solid.shape == "cylinder":
        level = np.clip(local[..., 2:], -half[2], half[2])
        out = np.linalg.norm(local[..., :2], axis=-1, keepdims=True)
        near = np.concatenate([local[..., :2] * np.minimum(1.0, half[0] / np.maximum(out, 1e-12)), level], axis=-1)
    else:
        core = np.concatenate([np.zeros_like(local[..., :2]), np.clip(local[..., 2:], -half[2], half[2])], axis=-1)
        out = np.linalg.norm(local - core, axis=-1, keepdims=True)
        near = core + (local - core) * np.minimum(1.0, half[0] / np.maximum(out, 1e-12))
    return np.linalg.norm(local - near, axis=-1), near @ axes + np.array(solid.middle)


def lines_to_solid(
    lines: Array, solid: Solid, way: Array | None = None, far: float = 0.0
) -> tuple[Array, Array, Array]:
    """Return of every line its distance from a body, its nearest point, and how far it was carried for that.

    Args:
        lines: start and end of each, (..., 2, 3).
        solid: the body, where it is.
        way: unit vector along which the lines are carried, (3,); None for lines that lie still.
        far: how far they are carried at most, mm.
    """
    starts, steps = lines[..., 0, :], lines[..., 1, :] - lines[..., 0, :]

    def carried(points: Array) -> Array:
        if way is None:
            return np.zeros(points.shape[:-1])
        return _least(lambda a: _to_solid(points + a[..., None] * way, solid)[0], np.full(points.shape[:-1], far))

    def nearest(share: Array) -> tuple[Array, Array, Array]:
        points = starts + share[..., None] * steps
        away = carried(points)
        points = points if way is None else points + away[..., None] * way
        return _to_solid(points, solid)[0], points, away

    return nearest(_least(lambda share: nearest(share)[0], np.ones(starts.shape[:-1])))


def nearest_of(lines: Array, solid: Solid, holds: Array, way: Array | None = None, far: float = 0.0) -> Between:
    """Return the nearest points of a bar and a body, on the skin of the bar.

    Args:
        lines: of the bar, (n, 2, 3).
        solid: the body, where it is.
        holds: radius of the bar round each line, (n,).
        way: see ``lines_to_solid``.
        far: likewise.
    """
    apart, points, away = lines_to_solid(lines, solid, way, far)
    best = int(np.argmin(apart - holds))
    point, hold = points[best], float(holds[best])
    on_body = _to_solid(point, solid)[1]
    reach = min(1.0, hold / apart[best]) if apart[best] > 0.0 else 0.0
    return Between(float(apart[best]) - hold, point + reach * (on_body - point), on_body, float(away[best]))


def lines_apart(lines: Array, others: Array, holds: tuple[Array, Array], allowed: NDArray[np.bool_]) -> Between | None:
    """Return the nearest points of two bars, on their skins.

    Args:
        lines: of the one, (n, 2, 3).
        others: of the other, (m, 2, 3).
        holds: radius round each line, (n, 1) and (1, m).
        allowed: which pairs count, (n, m); None is returned where none does.
    """
    if not allowed.any():
        return None
    p, u = lines[:, None, 0], lines[:, None, 1] - lines[:, None, 0]
    q, v = others[None, :, 0], others[None, :, 1] - others[None, :, 0]
    a, e, b = (u * u).sum(-1), (v * v).sum(-1), (u * v).sum(-1)
    w = p - q
    c, f = (u * w).sum(-1), (v * w).sum(-1)
    s = np.clip((b * f - c * e) / np.maximum(a * e - b * b, 1e-12), 0.0, 1.0)
    t = np.clip((b * s + f) / np.maximum(e, 1e-12), 0.0, 1.0)
    s = np.clip((b * t - c) / np.maximum(a, 1e-12), 0.0, 1.0)
    one, other = p + s[..., None] * u, q + t[..., None] * v
    between = np.linalg.norm(one - other, axis=-1)
    gap = np.where(allowed, between - holds[0] - holds[1], np.inf)
    i, j = np.unravel_index(int(np.argmin(gap)), gap.shape)
    step = (other[i, j] - one[i, j]) / max(float(between[i, j]), 1e-9)
    first, second = (min(float(hold), float(between[i, j]) / 2.0) for hold in (holds[0][i, 0], holds[1][0, j]))
    return Between(float(gap[i, j]), one[i, j] + first * step, other[i, j] - second * step)


def solids_apart(one: Solid, other: Solid) -> Between:
    """Return the nearest points of two convex bodies: from each in turn to the nearest point of the other."""
    point = np.array(one.middle)
    for _ in range(_ALTERNATE):
        back = _to_solid(_to_solid(point, other)[1], one)[1]
        if float(np.abs(back - point).max()) < 1e-9:
            break
        point = back
    there = _to_solid(point, other)[1]
    return Between(float(np.linalg.norm(there - point)), point, there)


def _least(value: Callable[[Array], Array], most: Array) -> Array:
    """Return where between 0 and ``most`` a function with one smallest place is smallest, for many at once."""
    low, high = np.zeros_like(most), most.copy()
    one, two = high - _GOLD * (high - low), low + _GOLD * (high - low)
    at_one, at_two = value(one), value(two)
    for _ in range(_ROUNDS):
        left = at_one <= at_two
        high, low = np.where(left, two, high), np.where(left, low, one)
        fresh = np.where(left, high - _GOLD * (high - low), low + _GOLD * (high - low))
        at_fresh = value(fresh)
        one, two = np.where(left, fresh, two), np.where(left, one, fresh)
        at_one, at_two = np.where(left, at_fresh, at_two), np.where(left, at_one, at_fresh)
    places = np.stack([np.zeros_like(most), 0.5 * (low + high), most])
    best = np.argmin(np.stack([value(place) for place in places]), axis=0)
    found: Array = np.take_along_axis(places, best[None], axis=0)[0]
    return found
