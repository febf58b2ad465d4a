"""How near a bar of rectangular section comes to a body: its real sides, however they are turned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.gaps import gap_of_sides, gap_to_body, place_of_gap

__all__ = ["Sides", "gap_with_sides"]

Floats = NDArray[np.float64]

_HALVINGS = 12  # of the section, where the bar stands in the body: to find how much of it would clear


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """How the section lies along a bar: at every corner of the chords of its middle line.

    Args:
        wide: (n, 3) from the middle line along the width to the middle of the corners' arcs, mm.
        high: (n, 3) likewise along the height.
    """

    wide: Floats
    high: Floats

    @property
    def reach(self) -> float:
        """How far a corner of the section is from the middle line at most, mm."""
        return float(np.sqrt((self.wide**2 + self.high**2).sum(axis=1).max()))

    @property
    def thin(self) -> float:
        """Half its smaller size, mm."""
        return float(min(np.linalg.norm(self.wide, axis=1).min(), np.linalg.norm(self.high, axis=1).min()))

    def shrunk(self, share: float) -> Sides:
        """Return the same section, smaller all over."""
        return Sides(share * self.wide, share * self.high)


def gap_with_sides(points: Floats, sides: Sides, corner: float, row: Floats) -> tuple[float, Floats, int]:
    """Return the gap between a bar and a body, mm, the place on the bar's middle line, (3,) mm, and the chord's number.

    Where the bar stands in the body the gap is below 0: by how much its smaller half would have to be thinner, all of
    the section shrunk alike, until it clears; all of that half where the middle line itself is inside. For a round
    bar that is how far the body reaches into it.

    Args:
        points: (n, 3) chords of the bar's middle line, mm.
        sides: of the section, without its rounded corners.
        corner: radius of its corners, mm.
        row: the body; see ``clearance.gaps.body_row``.
    """
    least, line, p, q = gap_of_sides(points, sides.wide, sides.high, row)
    if least > corner:
        beside = points + p * sides.wide + q * sides.high
        away = place_of_gap(beside, line, row) - beside[line]
        step = beside[line + 1] - beside[line]
        share = float(away @ step / (step @ step)) if step @ step > 0.0 else 0.0
        return least - corner, points[line] + share * (points[line + 1] - points[line]), line
    middle, line = gap_to_body(points, row)
    place = place_of_gap(points, line, row)
    half = sides.thin + corner
    if middle <= 0.0:
        return -half, place, line
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        share = 0.5 * (low + high)
        small = sides.shrunk(share)
        clears = gap_of_sides(points, small.wide, small.high, row)[0] > share * corner
        low, high = (share, high) if clears else (low, share)
    return -(1.0 - low) * half, place, line
