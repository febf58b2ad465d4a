"""Between which ends a pull lies."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.posterior import QUANTILE, Posterior, squares_at
from bentwork.bending.readings import Readings

__all__ = ["interval"]

_TURNS = 10
_STILL = 1e-4  # of the way from the likeliest to the end
_TOO_FAR = 100.0  # times what may be added to the sum of squares: no bowl reaches there, and the step is shortened


def interval(
    law: BendLaw, before: Posterior, said: Sequence[Readings], after: Posterior, wanted: float
) -> tuple[float, float, float, float]:
    """Return springback of a bend: lower end, likeliest, upper end, and one standard deviation, degrees.

    The ends are the least and the most springback of all unknowns that suit handbook and test bends hardly worse than
    the likeliest: whose sum of squares is no more than that of a single normal quantity at the end of the interval of
    ``forming.scatter.CERTAINTY`` above the least (profile likelihood: any textbook of statistics). Where springback is
    straight over the unknowns that is their normal distribution; where it is not, it bends with it.

    Args:
        law: of the batch.
        before: unknowns by the handbook.
        said: what the test bends say.
        after: unknowns after them.
        wanted: angle that is to be left, degrees.
    """
    likely, slopes = law.springback(wanted, after.mean)
    sd = after.sd_along(slopes)
    ends = [_end(law, before, said, after, wanted, side) for side in (-1.0, 1.0)]
    return min(likely, ends[0]), likely, max(likely, ends[1]), sd


def _end(
    law: BendLaw, before: Posterior, said: Sequence[Readings], after: Posterior, wanted: float, side: float
) -> float:
    """Walk to the end: each step as if the sum of squares were a bowl and springback a slope."""
    at, (end, slopes) = after.mean, law.springback(wanted, after.mean)
    likely, found = end, squares_at(before, said, at)
    most = found[0] + QUANTILE**2
    for _ in range(_TURNS):
        total, gradient, curvature = found
        ahead, back = np.linalg.solve(curvature, np.column_stack([side * slopes, gradient])).T
        room = max(0.0, most - total + float(gradient @ back))
        step = np.sqrt(room / max(float(side * slopes @ ahead), 1e-300)) * ahead - back
        before_it, (end, slopes) = end, law.springback(wanted, at + step)
        if abs(end - before_it) <= _STILL * abs(end - likely):
            break
        found = squares_at(before, said, at + step)
        while not found[0] - most <= _TOO_FAR * QUANTILE**2:
            step = step / 4.0
            (end, slopes), found = law.springback(wanted, at + step), squares_at(before, said, at + step)
        at = at + step
    return end
