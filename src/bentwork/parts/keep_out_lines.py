"""A keep-out as lines to be drawn: its edges, its rounds, and where it swings to."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, solid_of
from bentwork.parts.keep_out import KeepOut, turned
from bentwork.space import Vec

__all__ = ["lines_of"]

Floats = NDArray[np.float64]

_ROUND = 36  # chords of a circle
_STEP = 15.0  # degrees of a swing between two points of the arc that a corner goes along


def lines_of(out: KeepOut) -> tuple[tuple[Vec, ...], ...]:
    """Return a keep-out as rows of points, mm: as it is drawn, and, where it swings, at both ends of its swing."""
    still = [row for body in out.bodies for row in _edges(solid_of(body))]
    swing = out.swing
    if swing is None:
        return tuple(_row(row) for row in still)
    found = [turned(row, swing, angle) for angle in (swing.first, swing.last) for row in still]
    corners = np.vstack(still)
    away = np.linalg.norm(np.cross(corners - np.array(swing.start), np.subtract(swing.end, swing.start)), axis=1)
    count = max(2, math.ceil((swing.last - swing.first) / _STEP))
    angles = [swing.first + (swing.last - swing.first) * k / count for k in range(count + 1)]
    for corner in corners[np.argsort(-away, kind="stable")[:1]]:
        found.append(np.vstack([turned(corner[None, :], swing, angle) for angle in angles]))
    return tuple(_row(row) for row in found)


def _edges(solid: Solid) -> list[Floats]:
    own = np.array(solid.turn)
    middle, (x, y, z) = np.array(solid.middle), solid.half
    if solid.shape == "box":
        ring = [(-x, -y), (x, -y), (x, y), (-x, y), (-x, -y)]
        rows = [np.array([(a, b, c) for a, b in ring]) for c in (-z, z)]
        rows += [np.array([(a, b, -z), (a, b, z)]) for a, b in ring[:4]]
        return [middle + row @ own for row in rows]
    turns = np.linspace(0.0, 2.0 * math.pi, _ROUND + 1)
    circle = x * np.column_stack([np.cos(turns), np.sin(turns)])
    rows = [np.column_stack([circle, np.full(len(circle), c)]) for c in (-z, z)]
    rows += [np.array([(a, b, -z), (a, b, z)]) for a, b in ((x, 0.0), (0.0, x), (-x, 0.0), (0.0, -x))]
    if solid.shape == "capsule":
        half = np.linspace(0.0, math.pi, _ROUND // 2 + 1)
        for sign in (-1.0, 1.0):
            arc = np.column_stack([x * np.cos(half), np.zeros(len(half)), sign * (z + x * np.sin(half))])
            rows += [arc, arc[:, [1, 0, 2]]]
    return [middle + row @ own for row in rows]


def _row(points: Floats) -> tuple[Vec, ...]:
    return tuple((float(a), float(b), float(c)) for a, b, c in points)
