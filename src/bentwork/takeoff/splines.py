"""Splines in tables, so that points on all of a solid's are reckoned at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import Floats

__all__ = ["Splines", "points_on"]

Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Splines:
    """Splines without weights whose ends are poles of theirs.

    Args:
        degrees: at least 1, (s,).
        knots: of one after the other, rising, (k,).
        times: how often each knot counts; those at the ends as often as the degree, or once more, (k,).
        knot_counts: how many knots each has, (s,).
        poles: of one after the other; one that closes may leave out its last pole, which is its first, (n, 3).
        pole_counts: how many poles each has, (s,).
    """

    degrees: Ints
    knots: Floats
    times: Ints
    knot_counts: Ints
    poles: Floats
    pole_counts: Ints

    def some(self, chosen: Sequence[int]) -> Splines:
        """Return these of them, in their order."""
        own = np.zeros(len(self.degrees), dtype=bool)
        own[list(chosen)] = True
        knots, poles = own.repeat(self.knot_counts), own.repeat(self.pole_counts)
        counts = self.knot_counts[own], self.pole_counts[own]
        return Splines(self.degrees[own], self.knots[knots], self.times[knots], counts[0], self.poles[poles], counts[1])

    def only(self, k: int) -> Splines:
        """Return one of them."""
        return self.some([k])

    def derived(self) -> Splines:
        """Return the derivative of the only one: of the second degree at least, smooth, no pole left out.

        Source: L. Piegl, W. Tiller, The NURBS Book, 2nd ed., equation 3.7 (from memory).
        """
        degree, times = int(self.degrees[0]), self.times.copy()
        times[[0, -1]] = degree
        flat = self.knots.repeat(times)  # without the first and the last
        spans = flat[degree:] - flat[:-degree]
        poles = degree * np.diff(self.poles, axis=0) / spans[:, None]
        return Splines(self.degrees - 1, self.knots, times, self.knot_counts, poles, self.pole_counts - 1)


def points_on(splines: Splines, values: Floats, counts: Ints) -> Floats:
    """Return points by their parameters, (m, 3).

    Args:
        splines: all of them.
        values: parameters on one spline after the other; none lies beyond its ends, (m,).
        counts: how many are on each, (s,).

    Source: L. Piegl, W. Tiller, The NURBS Book, 2nd ed., algorithm A2.2 (from memory), for all parameters together.
    """
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
    # Those of higher degree first: at every step the ones that are not done yet are in front.
    whose = np.arange(len(counts)).repeat(counts)
    order = (-splines.degrees[whose]).argsort(kind="stable")
    whose, after, at = whose[order], after[order], values[order]
    degrees, counts = splines.degrees[whose], splines.pole_counts[whose]
    most = int(degrees[0])
    steps = np.arange(most + 1)[:, None]
    left = at - flat.take(after - 1 - steps[:-1])
    right = flat.take(after + steps[:-1], mode="clip") - at
    shares = np.zeros((most + 1, len(at)))
    shares[0] = 1.0
    for j, live in enumerate(len(at) - np.bincount(degrees, minlength=most + 1).cumsum()[:most], 1):
        above, below = right[:j, :live], left[j - 1 :: -1, :live]
        part = shares[:j, :live] / (above + below)
        np.multiply(above, part, out=shares[:j, :live])
        shares[1 : j + 1, :live] += below * part
    pole = (after - (ends - np.add.reduceat(times, firsts))[whose] - degrees + steps) % counts
    pole += (splines.pole_counts.cumsum() - splines.pole_counts)[whose]
    points = np.empty((len(at), 3))
    for k, row in enumerate(splines.poles.T.copy()):  # one after the other: in a quarter of the time
        points[order, k] = (shares * row.take(pole)).sum(axis=0)
    return points
