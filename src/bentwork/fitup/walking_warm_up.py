"""Walking along bars, compiled before anybody waits for it."""

from __future__ import annotations

import numpy as np

from bentwork.fitup.actual import actual
from bentwork.fitup.made import on_the_bar
from bentwork.fitup.matters import what_matters
from bentwork.fitup.mend import Mend, mend
from bentwork.fitup.scatter import scatter_of
from bentwork.piece.corners import Corners
from bentwork.tooling.bender import Accuracy

__all__ = ["warm_up"]


def warm_up(rng: np.random.Generator) -> Mend:
    """Ask for the best way on with a plane loop of which two bends are made."""
    points = ((0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400.0, 300.0, 0.0), (0.0, 300.0, 0.0))
    bar = on_the_bar(Corners(points, (36.0,) * 4, closed=True).centreline().table)
    out = bar.values + np.array([2.0, 0.0, 0.0, 0.0, 0.0])[:, np.newaxis]
    found = actual(bar, out, scatter_of(bar, Accuracy(1.0, 1.5, 0.7)), (1, 2), ())
    return mend(what_matters(bar, closed=True), found, rng, chance_again=0.9)
