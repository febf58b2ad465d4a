"""Ways of a bar from corner point to corner point: how long, and whether they clear what stands there. Compiled."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import between_lines, to_body

__all__ = ["way_clears", "way_length"]

Floats = NDArray[np.float64]

_CHORD = 0.25  # mm; how far a chord may be off its arc; counted as so much thicker a bar
_MOST = 400  # chords of a way


@compiled
def way_length(corners: Floats, radius: float, least: float) -> float:
    """Return the length of a way with bends of one radius, mm; -1 where its bends leave no room.

    Args:
        corners: (n, 3) mm, ends included.
        radius: of the bends, mm.
        least: straight that is wanted at each end, mm.
    """
    count = len(corners)
    length, before = 0.0, 0.0
    for k in range(count - 1):
        step = corners[k + 1] - corners[k]
        side = math.sqrt((step * step).sum())
        after, arc = 0.0, 0.0
        if k < count - 2:
            turn = _turn(corners, k + 1)
            if turn > 3.0:
                return -1.0
            after, arc = radius * math.tan(turn / 2.0), radius * turn
        straight = side - before - after
        if straight < (least if k in (0, count - 2) else 0.0):
            return -1.0
        length += straight + arc
        before = after
    return length


@compiled
def _turn(corners: Floats, k: int) -> float:
    """How far the way turns at a corner, radians."""
    one, other = corners[k] - corners[k - 1], corners[k + 1] - corners[k]
    x = one[1] * other[2] - one[2] * other[1]
    y = one[2] * other[0] - one[0] * other[2]
    z = one[0] * other[1] - one[1] * other[0]
    return math.atan2(math.sqrt(x * x + y * y + z * z), (one * other).sum())


@compiled
def _chords(corners: Floats, radius: float, free: float) -> Floats:
    """Chords of a way without what lies within ``free`` of its ends, (n, 3) mm."""
    found = np.empty((_MOST, 3))
    found[0] = corners[0]
    number = 1
    for k in range(1, len(corners) - 1):
        turn = _turn(corners, k)
        one, other = corners[k] - corners[k - 1], corners[k + 1] - corners[k]
        one = one / math.sqrt((one * one).sum())
        other = other / math.sqrt((other * other).sum())
        setback = radius * math.tan(turn / 2.0)
        chord = 2.0 * math.acos(max(0.0, 1.0 - _CHORD / radius))
        many = min(60, math.ceil(turn / chord) if turn > 0.0 else 1)
        middle = corners[k] + (other - one) * (radius / math.cos(turn / 2.0) / max(1e-12, 2.0 * math.sin(turn / 2.0)))
        start = corners[k] - setback * one
        out = start - middle
        for n in range(many + 1):
            here = turn * n / many
            found[number] = middle + out * math.cos(here) + one * (radius * math.sin(here))
            number += 1
    found[number] = corners[-1]
    number += 1
    return _shortened(found[:number], free)


@compiled
def _shortened(points: Floats, free: float) -> Floats:
    whole = 0.0
    for k in range(len(points) - 1):
        step = points[k + 1] - points[k]
        whole += math.sqrt((step * step).sum())
    found = np.empty((len(points) + 2, 3))
    number, gone = 0, 0.0
    for k in range(len(points) - 1):
        step = points[k + 1] - points[k]
        length = math.sqrt((step * step).sum())
        low, high = max(free - gone, 0.0), min(whole - free - gone, length)
        if high > low and length > 0.0:
            if number == 0:
                found[0] = points[k] + step * (low / length)
                number = 1
            found[number] = points[k] + step * (high / length)
            number += 1
        gone += length
    return found[:number]


@compiled
def way_clears(
    corners: Floats, radius: float, free: float, thick: float, bodies: Floats, wanted: Floats, lines: Floats, gap: float
) -> bool:
    """Return whether a way clears all bodies and lines.

    Args:
        corners: (n, 3) mm, ends included.
        radius: of the bends, mm.
        free: so far from its ends it may touch anything, mm.
        thick: radius of the bar, mm.
        bodies: (m, columns), see ``gaps.body_row``.
        wanted: (m,) clearance wanted to each, mm.
        lines: (l, 7) where each begins, how it runs, its radius, mm.
        gap: clearance wanted to the lines, mm.
    """
    points = _chords(corners, radius, free)
    for k in range(len(points) - 1):
        x, y, z = points[k]
        ux, uy, uz = points[k + 1, 0] - x, points[k + 1, 1] - y, points[k + 1, 2] - z
        for m in range(len(bodies)):
            enough = wanted[m] + thick + _CHORD
            if to_body(x, y, z, ux, uy, uz, bodies[m], enough) < enough:
                return False
        for m in range(len(lines)):
            a, b, c, vx, vy, vz, other = lines[m]
            if between_lines(x, y, z, ux, uy, uz, a, b, c, vx, vy, vz) < thick + other + gap + _CHORD:
                return False
    return True
