"""How near rows of straight lines come to a body, and to one another: anything against anything, standing still."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid
from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import between_lines, to_body

__all__ = ["body_row", "gap_of_sides", "gap_to_body", "gap_to_lines", "place_of_gap"]

Floats = NDArray[np.float64]

_NEVER_ENOUGH = 1e30
_GOLDEN = 0.6180339887498949
_CUTS = 22  # golden sections of a width: to a forty-thousandth of it


def body_row(solid: Solid) -> Floats:
    """Return a body as the kernels read it."""
    return np.array(solid.row(-1, False), dtype=np.float64)


@compiled
def gap_to_body(points: Floats, body: Floats) -> tuple[float, int]:
    """Return the least distance from a row of lines to a body's surface, mm (0 inside), and the line's number.

    Args:
        points: (n, 3) corners of the row of lines, mm; n at least 2.
        body: see ``body_row``.
    """
    least, at = _NEVER_ENOUGH, 0
    for k in range(len(points) - 1):
        x, y, z = points[k]
        found = to_body(x, y, z, points[k + 1, 0] - x, points[k + 1, 1] - y, points[k + 1, 2] - z, body, least)
        if found < least:
            least, at = found, k
    return least, at


@compiled
def gap_to_lines(points: Floats, lines: Floats) -> tuple[float, int, int]:
    """Return the least gap between a row of lines and other lines with a thickness, mm, and the numbers of both.

    Args:
        points: (n, 3) corners of the row of lines, mm.
        lines: (m, 7) where each begins, how it runs to its end, and its radius, mm.
    """
    least, at, other = _NEVER_ENOUGH, 0, 0
    for k in range(len(points) - 1):
        x, y, z = points[k]
        ux, uy, uz = points[k + 1, 0] - x, points[k + 1, 1] - y, points[k + 1, 2] - z
        for m in range(len(lines)):
            a, b, c, vx, vy, vz, radius = lines[m]
            found = between_lines(x, y, z, ux, uy, uz, a, b, c, vx, vy, vz) - radius
            if found < least:
                least, at, other = found, k, m
    return least, at, other


def place_of_gap(points: Floats, line: int, body: Floats) -> Floats:
    """Return the place on a line that is nearest to a body, (3,) mm: the distance is convex along the line."""
    start, step = points[line], points[line + 1] - points[line]

    def away(share: float) -> float:
        here = start + share * step
        return to_body(here[0], here[1], here[2], 0.0, 0.0, 0.0, body, _NEVER_ENOUGH)

    low, high = 0.0, 1.0
    for _ in range(40):
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        if away(left) <= away(right):
            high = right
        else:
            low = left
    found: Floats = start + 0.5 * (low + high) * step
    return found


@compiled
def _gap_beside(points: Floats, wide: Floats, high: Floats, k: int, p: float, q: float, body: Floats) -> float:
    """From the line k of a bar, p half widths and q half heights beside its middle."""
    x = points[k, 0] + p * wide[k, 0] + q * high[k, 0]
    y = points[k, 1] + p * wide[k, 1] + q * high[k, 1]
    z = points[k, 2] + p * wide[k, 2] + q * high[k, 2]
    n = k + 1
    ux = points[n, 0] + p * wide[n, 0] + q * high[n, 0] - x
    uy = points[n, 1] + p * wide[n, 1] + q * high[n, 1] - y
    uz = points[n, 2] + p * wide[n, 2] + q * high[n, 2] - z
    return to_body(x, y, z, ux, uy, uz, body, _NEVER_ENOUGH)


@compiled
def _best_height(points: Floats, wide: Floats, high: Floats, k: int, p: float, body: Floats) -> tuple[float, float]:
    """The least gap over the height at one place of the width, and where: golden section on a convex function."""
    low, up = -1.0, 1.0
    left, right = up - _GOLDEN * (up - low), low + _GOLDEN * (up - low)
    one = _gap_beside(points, wide, high, k, p, left, body)
    other = _gap_beside(points, wide, high, k, p, right, body)
    for _ in range(_CUTS):
        if one <= other:
            up, right, other = right, left, one
            left = up - _GOLDEN * (up - low)
            one = _gap_beside(points, wide, high, k, p, left, body)
        else:
            low, left, one = left, right, other
            right = low + _GOLDEN * (up - low)
            other = _gap_beside(points, wide, high, k, p, right, body)
    return (one, left) if one <= other else (other, right)


@compiled
def gap_of_sides(points: Floats, wide: Floats, high: Floats, body: Floats) -> tuple[float, int, float, float]:
    """Return the least distance from a bar of rectangular section to a body, mm (0 where they meet), and where.

    A straight stretch of bar and a body are convex, so that the distance from the lines of the bar to the body is a
    convex function of where in the section they lie; a bent stretch, whose chords are short, is nearly so.

    Args:
        points: (n, 3) chords of the bar's middle line, mm.
        wide: (n, 3) from there to the middle of one side, along the width, mm.
        high: (n, 3) likewise along the height.
        body: see ``body_row``.

    Returns:
        the gap; the number of the chord; where in the section, in half widths and half heights from -1 to 1.
    """
    least, at, p_at, q_at = _NEVER_ENOUGH, 0, 0.0, 0.0
    for k in range(len(points) - 1):
        x, y, z = points[k]
        ux, uy, uz = points[k + 1, 0] - x, points[k + 1, 1] - y, points[k + 1, 2] - z
        reach = 0.0
        for n in range(k, k + 2):
            size = 0.0
            for axis in range(3):
                size += wide[n, axis] ** 2 + high[n, axis] ** 2
            reach = max(reach, size)
        reach = math.sqrt(reach)
        if to_body(x, y, z, ux, uy, uz, body, least + reach) >= least + reach:
            continue
        low, up = -1.0, 1.0
        left, right = up - _GOLDEN * (up - low), low + _GOLDEN * (up - low)
        one, q_one = _best_height(points, wide, high, k, left, body)
        other, q_other = _best_height(points, wide, high, k, right, body)
        for _ in range(_CUTS):
            if one <= other:
                up, right, other, q_other = right, left, one, q_one
                left = up - _GOLDEN * (up - low)
                one, q_one = _best_height(points, wide, high, k, left, body)
            else:
                low, left, one, q_one = left, right, other, q_other
                right = low + _GOLDEN * (up - low)
                other, q_other = _best_height(points, wide, high, k, right, body)
        if min(one, other) < least:
            least, at = min(one, other), k
            p_at, q_at = (left, q_one) if one <= other else (right, q_other)
            if least <= 0.0:
                break
    return least, at, p_at, q_at
