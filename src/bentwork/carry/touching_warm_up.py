"""The search for places where bars touch, compiled before anybody waits for it."""

from __future__ import annotations

import numpy as np

from bentwork.carry.touching_search import Floats, nearest_points, run_rows
from bentwork.piece.corners import Corners

__all__ = ["warm_up"]


def warm_up() -> Floats:
    """Let a bar end on another that is bent, which runs the search."""
    bent = Corners(((0.0, 0.0, 0.0), (200.0, 0.0, 0.0), (200.0, 200.0, 0.0)), (50.0,)).centreline()
    ends = Corners(((100.0, 6.0, 0.0), (100.0, 100.0, 0.0)), ()).centreline()
    rows = [run_rows(line.runs) for line in (bent, ends)]
    lengths, half_depths = np.array([bent.table.length, ends.table.length]), np.array([6.0, 6.0])
    first = np.cumsum([0, *map(len, rows)])
    return nearest_points(np.array([*rows[0], *rows[1]]), first, lengths, half_depths, np.array([True, True]), 3.0)
