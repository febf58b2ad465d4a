"""A tab as a body: its outline made thick, with its hole through it, where it stands."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.models.mesh import Mesh
from bentwork.parts.tab import Tab
from bentwork.space import Vec

__all__ = ["tab_mesh"]

Array = NDArray[np.float64]

_LEAST_STEPS, _MOST_STEPS = 24, 180  # round the hole


def tab_mesh(tab: Tab, hole: Vec, chord_error: float) -> Mesh:
    """Return a tab as a closed body of triangles, mm.

    Args:
        tab: in its own frame, with the ways of that in space.
        hole: the middle of its hole, in the middle of its thickness.
        chord_error: how far a triangle may lie from the true round, mm.
    """
    outer = _outline(tab, chord_error)
    # The outline is seen whole from the middle of the hole, so that every place of it faces one of the hole's.
    inner = outer * (tab.hole / 2.0 / np.linalg.norm(outer, axis=1))[:, None]
    many = len(outer)
    flat = np.concatenate((outer, inner))
    ways = np.array(tab.ways)
    points = np.concatenate(
        [np.array(hole) + np.column_stack((flat, np.full(2 * many, z))) @ ways for z in _faces(tab.thickness)]
    )
    k = np.arange(many)
    on = (k + 1) % many
    low_out, low_in, high_out, high_in = (k + part * many for part in range(4))
    next_low_out, next_low_in, next_high_out, next_high_in = (on + part * many for part in range(4))
    quads = (
        (low_in, next_low_in, next_low_out, low_out),
        (high_out, next_high_out, next_high_in, high_in),
        (low_out, next_low_out, next_high_out, high_out),
        (high_in, next_high_in, next_low_in, low_in),
    )
    triangles = [np.stack(corner, -1) for a, b, c, d in quads for corner in ((a, b, c), (a, c, d))]
    return Mesh(points, np.concatenate(triangles))


def _faces(thickness: float) -> tuple[float, float]:
    return -thickness / 2.0, thickness / 2.0


def _outline(tab: Tab, chord_error: float) -> Array:
    """Return the outline anticlockwise about the middle of the hole, (n, 2), cut finely enough for a round hole."""
    corners = [np.array(corner) for corner in tab.corners]
    if tab.arc is not None:
        middle, radius = tab.arc
        steps = max(6, math.ceil(math.pi / _turn(radius, chord_error)))
        turns = [math.pi / 2.0 - math.pi * step / steps for step in range(1, steps)]
        corners += [np.array((middle + radius * math.cos(turn), radius * math.sin(turn))) for turn in turns]
    most = (
        2.0
        * math.pi
        / min(_MOST_STEPS, max(_LEAST_STEPS, math.ceil(2.0 * math.pi / _turn(tab.hole / 2.0, chord_error))))
    )
    found: list[Array] = []
    for one, other in zip(corners, (*corners[1:], corners[0]), strict=True):
        seen = abs(math.remainder(math.atan2(other[1], other[0]) - math.atan2(one[1], one[0]), 2.0 * math.pi))
        cuts = max(1, math.ceil(seen / most))
        found += [one + (other - one) * (cut / cuts) for cut in range(cuts)]
    return np.array(found[::-1])


def _turn(radius: float, chord_error: float) -> float:
    """Return the angle whose chord lies so far inside its arc, radians."""
    return 2.0 * math.acos(max(0.0, 1.0 - min(chord_error, radius) / radius))
