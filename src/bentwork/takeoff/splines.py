"""Splines in tables, so that points on all of a solid's are reckoned at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import Floats

__all__ = ["Splines", "basis", "points_and_ways", "points_on", "unweighted"]

Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Splines:
    """Splines whose ends are poles of theirs.

    Args:
        degrees: at least 1, (s,).
        knots: of one after the other, rising, (k,).
        times: how often each knot counts; those at the ends as often as the degree, or once more, (k,).
        knot_counts: how many knots each has, (s,).
        poles: of one after the other; one that closes may leave out its last pole, which is its first. Without
            weights (n, 3); with them (n, 4), coordinates times weight and the weight.
        pole_counts: how many poles each has, (s,).
    """

    degrees: Ints
    knots: Floats
    times: Ints
    knot_counts: Ints
    poles: Floats
    pole_counts: Ints

    def only(self, k: int) -> Splines:
        """Return one of them."""
        return self.some([k])

    def some(self, chosen: Sequence[int]) -> Splines:
        """Return these of them, in their order."""
        own = np.zeros(len(self.degrees), dtype=bool)
        own[list(chosen)] = True
        knots, poles = own.repeat(self.knot_counts), own.repeat(self.pole_counts)
        counts = self.knot_counts[own], self.pole_counts[own]
        return Splines(self.degrees[own], self.knots[knots], self.times[knots], counts[0], self.poles[poles], counts[1])


def points_on(splines: Splines, values: Floats, counts: Ints) -> Floats:
    """Return points by their parameters, (m, 3).

    Args:
        splines: all of them.
        values: parameters on one spline after the other; none lies beyond its ends, (m,).
        counts: how many are on each, (s,).
    """
    pole, order, shares, _ = _shares(splines, values, counts)
    found = _summed(splines, pole, order, shares)
    return found if found.shape[1] == 3 else found[:, :3] / found[:, 3:]


def points_and_ways(splines: Splines, values: Floats, counts: Ints) -> tuple[Floats, Floats]:
    """Return points as ``points_on`` does, and how they move by their parameters, (m, 3) each.

    Where a spline has a corner they are those behind it.
    """
    pole, order, shares, slopes = _shares(splines, values, counts)
    points, ways = (_summed(splines, pole, order, some) for some in (shares, slopes))
    return (points, ways) if points.shape[1] == 3 else unweighted(points, ways)


def unweighted(points: Floats, ways: Floats) -> tuple[Floats, Floats]:
    """Return points and their derivatives out of those with weights: (..., 3) each out of (..., 4)."""
    weights = points[..., 3:]
    found = points[..., :3] / weights
    return found, (ways[..., :3] - found * ways[..., 3:]) / weights


def basis(degrees: Ints, left: Floats, right: Floats) -> tuple[Floats, Floats]:
    """Return the shares of poles in points and in their derivatives, (most + 1, n) each, most the highest degree.

    Args:
        degrees: of the spline that each point is on, falling, (n,).
        left: how far the knots before it lie back, the nearest first, (most, n).
        right: how far those behind it lie ahead, the nearest first, (most, n).

    Source: L. Piegl, W. Tiller, The NURBS Book, 2nd ed., algorithm A2.2 and equation 2.7 (from memory), for all
    parameters together.
    """
    many, most = len(degrees), int(degrees[0])
    shares, slopes = np.zeros((most + 1, many)), np.zeros((most + 1, many))
    shares[0] = 1.0
    # At every step the ones that are not done yet are in front.
    lives = [*(many - np.bincount(degrees, minlength=most + 1).cumsum()[:most]).tolist(), 0]
    for j, (live, after) in enumerate(pairwise(lives), 1):
        above, below = right[:j, :live], left[j - 1 :: -1, :live]
        part = shares[:j, :live] / (above + below)
        if after < live:
            steepest = j * part[:, after:]
            slopes[:j, after:live] -= steepest
            slopes[1 : j + 1, after:live] += steepest
        np.multiply(above, part, out=shares[:j, :live])
        shares[1 : j + 1, :live] += below * part
    return shares, slopes


def _shares(splines: Splines, values: Floats, counts: Ints) -> tuple[Ints, Ints, Floats, Floats]:
    """Return poles, in which order the points are, and the shares of the poles in these and in their derivatives."""
    # Each end shall count as often as the degree: the knot that is left out there is never asked for.
    lasts = splines.knot_counts.cumsum() - 1
    firsts = lasts + 1 - splines.knot_counts
    times = splines.times.copy()
    times[firsts] = times[lasts] = splines.degrees
    ends = np.add.reduceat(times, firsts).cumsum()
    flat = splines.knots.repeat(times)
    # The splines in one row, each beyond the one before: which knot comes after each parameter.
    widths = splines.knots[lasts] - splines.knots[firsts] + 1.0
    shifts = widths.cumsum() - widths - splines.knots[firsts]
    row = (splines.knots + shifts.repeat(splines.knot_counts)).repeat(times)
    after = row.searchsorted(values + shifts.repeat(counts), "right")
    after = np.minimum(after, (ends - splines.degrees).repeat(counts))
    whose = np.arange(len(counts)).repeat(counts)
    order = (-splines.degrees[whose]).argsort(kind="stable")
    whose, after, at = whose[order], after[order], values[order]
    degrees, counts = splines.degrees[whose], splines.pole_counts[whose]
    steps = np.arange(int(degrees[0]) + 1)[:, None]
    left = at - flat.take(after - 1 - steps[:-1])
    right = flat.take(after + steps[:-1], mode="clip") - at
    pole = (after - (ends - np.add.reduceat(times, firsts))[whose] - degrees + steps) % counts
    pole += (splines.pole_counts.cumsum() - splines.pole_counts)[whose]
    return pole, order, *basis(degrees, left, right)


def _summed(splines: Splines, pole: Ints, order: Ints, shares: Floats) -> Floats:
    points = np.empty((len(order), splines.poles.shape[1]))
    for k, row in enumerate(splines.poles.T.copy()):  # one after the other: in a quarter of the time
        points[order, k] = (shares * row.take(pole)).sum(axis=0)
    return points
