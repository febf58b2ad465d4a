"""Pieces that the tests of fit-up use, and bars drawn at random."""

from __future__ import annotations

import numpy as np

from bentwork.fitup.made import Bar, LinedUp, on_the_bar
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.corners import Corners

__all__ = ["a_bar", "rectangle", "stay", "upturned_loop"]


def rectangle(width: float = 400.0, depth: float = 300.0, radius: float = 36.0) -> BendTable:
    """A closed plane loop with its seam in the middle of a long side."""
    points = ((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, depth, 0.0), (0.0, depth, 0.0))
    return Corners(points, (radius,) * 4, closed=True).centreline().table


def upturned_loop() -> BendTable:
    """A closed loop of eight bends, 400 by 300, both ends turned up by 60 degrees."""
    out, up = 75.0, 129.904
    points = [(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400 + out, 0.0, up), (400 + out, 300.0, up)]
    points += [(400.0, 300.0, 0.0), (0.0, 300.0, 0.0), (-out, 300.0, up), (-out, 0.0, up)]
    return Corners(tuple(points), (36.0,) * 8, closed=True).centreline().table


def stay() -> BendTable:
    """An open piece in space with five bends."""
    bends = (Bend(36, 60, 0), Bend(36, 90, 90), Bend(36, 45, -60), Bend(36, 90, 180), Bend(36, 30, 45))
    return BendTable((120.0, 150.0, 90.0, 200.0, 110.0, 100.0), bends)


def a_bar(rng: np.random.Generator, bends: int = 6) -> Bar:
    """Any bar, bends lined up any way, stretched and bent to any radius."""
    words: list[LinedUp] = ["start", "centre", "end"]
    table = BendTable(
        tuple(rng.uniform(60.0, 200.0, bends + 1)),
        tuple(
            Bend(rng.uniform(20, 60), rng.uniform(15, 150), rng.uniform(-180, 180) if k else 0.0) for k in range(bends)
        ),
    )
    bar = on_the_bar(table, [words[int(k)] for k in rng.integers(0, 3, bends)])
    values = bar.values.copy()
    values[4] = rng.uniform(-0.5, 1.0, bends)
    values[1, 0] = rng.uniform(-5.0, 5.0)
    return bar.with_values(values)
