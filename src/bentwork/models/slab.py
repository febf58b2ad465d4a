"""A flat outline made thick: angle gauges to be printed, and every other body that is one section long."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.models.mesh import Mesh

__all__ = ["ears", "slab"]

Array = NDArray[np.float64]
Point = tuple[float, float]


def slab(outline: Sequence[Point], thickness: float) -> Mesh:
    """Return a body with this outline (either way round) in x and y, from z = 0 to its thickness, mm.

    Raises:
        ValueError: the outline crosses itself or has no area.
    """
    points = _anticlockwise(outline)
    count = len(points)
    face = np.array(ears(points), dtype=np.int64)
    low = np.column_stack((np.array(points), np.zeros(count)))
    k = np.arange(count)
    following = (k + 1) % count
    sides = np.concatenate(
        (np.stack((k, following, following + count), -1), np.stack((k, following + count, k + count), -1))
    )
    high = low + np.array((0.0, 0.0, thickness))
    return Mesh(np.concatenate((low, high)), np.concatenate((face[:, ::-1], face + count, sides)))


def ears(points: Sequence[Point]) -> tuple[tuple[int, int, int], ...]:
    """Cut an outline without crossings, anticlockwise, into triangles: an ear after the other (G. H. Meisters, 1975).

    Of all ears the one with the greatest smallest height is cut, so that no needles are left where none need be.

    Raises:
        ValueError: it crosses itself.
    """
    left = list(range(len(points)))
    found = []
    while len(left) > 3:
        best, least = -1, 1e-12
        for k in range(len(left)):
            a, b, c = (points[left[(k + d) % len(left)]] for d in (-1, 0, 1))
            height = _height(a, b, c)
            if height > least and not any(_within(points[i], a, b, c) for i in left if points[i] not in (a, b, c)):
                best, least = k, height
        if best < 0:
            raise ValueError("an outline that crosses itself bounds no body")
        found.append((left[best - 1], left[best], left[(best + 1) % len(left)]))
        del left[best]
    if _height(*(points[k] for k in left)) <= 0.0:
        raise ValueError("an outline that crosses itself bounds no body")
    return (*found, (left[0], left[1], left[2]))


def _anticlockwise(outline: Sequence[Point]) -> list[Point]:
    """Return the outline without points that coincide, anticlockwise."""
    points = [b for a, b in pairwise((outline[-1], *outline)) if abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1e-9]
    area = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise((*points, points[0]))) if points else 0.0
    if abs(area) < 1e-9:
        raise ValueError("an outline without area bounds no body")
    return points if area > 0.0 else points[::-1]


def _twice_area(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _height(a: Point, b: Point, c: Point) -> float:
    """Smallest height of a triangle; below 0 at a corner that goes inwards."""
    longest = max((q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2 for p, q in ((a, b), (b, c), (c, a)))
    return float(_twice_area(a, b, c) / longest**0.5) if longest > 0.0 else 0.0


def _within(p: Point, a: Point, b: Point, c: Point) -> bool:
    return _twice_area(a, b, p) >= 0.0 and _twice_area(b, c, p) >= 0.0 and _twice_area(c, a, p) >= 0.0
