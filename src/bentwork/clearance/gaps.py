"""How near rows of straight lines come to a body, and to one another: anything against anything, standing still."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid
from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import between_lines, to_body

__all__ = ["body_row", "gap_to_body", "gap_to_lines", "place_of_gap"]

Floats = NDArray[np.float64]

_NEVER_ENOUGH = 1e30
_GOLDEN = 0.6180339887498949


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
