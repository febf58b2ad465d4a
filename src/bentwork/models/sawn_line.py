"""The line that an end is cut along: how high it stands across the other bar, and how round it is."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.models.cuts import Edge, Sawn

__all__ = ["heights", "smallest_round"]

Array = NDArray[np.float64]


def heights(cut: Sawn, across: Array) -> Array:
    """Return how high the line of a cut stands at places across the other bar, mm; beside its edges it is level."""
    found: Array = np.zeros_like(across)
    for edge in cut.edges:
        (low, start), (high, end) = edge.start, edge.end
        here = (across >= low - 1e-9) & (across <= high + 1e-9)
        if high - low < 1e-9:
            continue
        if edge.via is None:
            found[here] = start + (across[here] - low) / (high - low) * (end - start)
            continue
        (x, y), radius = _circle(edge)
        found[here] = y + np.sqrt(np.maximum(0.0, radius**2 - (across[here] - x) ** 2))
    return found


def smallest_round(cut: Sawn) -> float | None:
    """Return the smallest radius of a cut, mm; None of a plain one."""
    if not cut.edges:
        return None
    radii = [_circle(edge)[1] for edge in cut.edges if edge.via is not None]
    return min(radii, default=max(abs(c) for edge in cut.edges for c in (*edge.start, *edge.end)))


def _circle(edge: Edge) -> tuple[tuple[float, float], float]:
    """The circle through the three points of an edge: where the lines halfway between them meet."""
    assert edge.via is not None
    (ax, ay), (bx, by), (cx, cy) = edge.start, edge.via, edge.end
    twice = 2.0 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    a, b, c = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    x = (a * (by - cy) + b * (cy - ay) + c * (ay - by)) / twice
    y = (a * (cx - bx) + b * (ax - cx) + c * (bx - ax)) / twice
    return (x, y), math.hypot(ax - x, ay - y)
