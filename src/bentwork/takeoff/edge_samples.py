"""How edges are sampled that are neither straight nor round. Lengths in mm, angles in radians."""

from __future__ import annotations

from functools import cache, partial
from itertools import chain, pairwise
from math import ceil, pi

import numpy as np

from bentwork.takeoff.edges import Edge, Floats
from bentwork.takeoff.splines import Splines, points_and_ways, points_on

__all__ = [
    "MOST_SPANS",
    "SAMPLES",
    "conic_parts",
    "elliptic",
    "even",
    "parted",
    "sampled_splines",
    "spline_edges",
    "stations",
]

MOST_SPANS = 160
"""Knot spans sampled across a face or along an edge; above that neighbours are taken together."""
SAMPLES = 4
"""Samples in a knot span: a circle through three, and one to check it by."""


def sampled_splines(splines: Splines, ends: Floats) -> list[Floats]:
    """Return samples of splines as of those that are asked for, (m, 3) each.

    Args:
        splines: all of them.
        ends: first and last parameter of each, (s, 2).
    """
    if len(ends) == 0:
        return []
    told = [_spans(first, last, knots) for (first, last), knots in zip(ends.tolist(), _knots(splines), strict=True)]
    borders, sizes = np.array(list(chain.from_iterable(told))), np.array([len(some) for some in told])
    counts = SAMPLES * (sizes - 1) + 1
    lasts = counts.cumsum() - 1
    values = np.empty(lasts[-1] + 1)
    within, starts = np.ones(len(values), dtype=bool), np.ones(len(borders), dtype=bool)
    within[lasts] = starts[sizes.cumsum() - 1] = False
    begins = starts.nonzero()[0]
    low = borders.take(begins)[:, None]
    steps = (borders.take(begins + 1)[:, None] - low) * np.arange(SAMPLES) / SAMPLES
    values[within], values[lasts] = (low + steps).ravel(), borders[~starts]
    points = points_on(splines, values, counts)
    return [points[last + 1 - count : last + 1] for count, last in zip(counts.tolist(), lasts.tolist(), strict=True)]


def spline_edges(splines: Splines, ends: Floats) -> list[Edge]:
    """Return splines as edges, sampled as those that are asked for.

    Args:
        splines: all of them, of the second degree at least, smooth.
        ends: first and last parameter of each, (s, 2).
    """
    samples = sampled_splines(splines, ends)

    @cache
    def dense(size: int, count: int) -> dict[int, tuple[Floats, Floats]]:
        # Whoever asks for one asks for most of those of as many spans: they run side by side.
        own = [k for k, points in enumerate(samples) if len(points) == size]
        return dict(zip(own, _dense(splines.some(own), ends[own], count), strict=True))

    def finer(k: int, count: int) -> tuple[Floats, Floats]:
        return dense(len(samples[k]), count)[k]

    return [
        Edge("free", points, tuple(range(0, len(points), SAMPLES)), finer=partial(finer, k))
        for k, points in enumerate(samples)
    ]


def _dense(splines: Splines, ends: Floats, count: int) -> list[tuple[Floats, Floats]]:
    values = []
    for (first, last), knots in zip(ends.tolist(), _knots(splines), strict=True):
        spans = len(_spans(first, last, knots)) - 1
        values.append(stations(first, last, knots, max(SAMPLES, ceil(count / spans)))[0])
    counts = np.array([len(own) for own in values])
    points, ways = points_and_ways(splines, np.array(list(chain.from_iterable(values))), counts)
    ways /= np.maximum(np.linalg.norm(ways, axis=1, keepdims=True), 1e-30)
    lasts = counts.cumsum().tolist()
    return [(points[a:b], ways[a:b]) for a, b in pairwise([0, *lasts])]


def _knots(splines: Splines) -> list[list[float]]:
    """Return the knots of each spline, and what a short one is sampled by between them."""
    knots, after = splines.knots.tolist(), splines.knot_counts.cumsum().tolist()
    own = (knots[a:b] for a, b in pairwise([0, *after]))
    return [parted(some, degree) for some, degree in zip(own, splines.degrees.tolist(), strict=True)]


def elliptic(rows: Floats) -> list[Edge]:
    """Return parts of ellipses, sampled as those that are asked for.

    Args:
        rows: centre, axis, directions of the first and second radius, both radii, first and last angle, (n, 16).
    """
    if len(rows) == 0:
        return []
    sweeps = rows[:, 15] - rows[:, 14]
    sizes = [SAMPLES * conic_parts(sweep) + 1 for sweep in sweeps.tolist()]
    counts = np.array(sizes)
    ends = counts.cumsum()
    starts = ends - counts
    each = np.arange(len(rows)).repeat(counts)
    own = rows.take(each, axis=0)
    angles = own[:, 14] + (np.arange(len(each)) - starts.take(each)) * (sweeps / (counts - 1.0)).take(each)
    x, y = _radii(own)
    points = own[:, :3] + np.cos(angles)[:, None] * x + np.sin(angles)[:, None] * y

    spans = zip(sizes, starts.tolist(), ends.tolist(), strict=True)
    return [
        Edge("free", points[a:b], finer=partial(_finer, rows, k, (count - 1) // SAMPLES))
        for k, (count, a, b) in enumerate(spans)
    ]


def _finer(rows: Floats, k: int, parts: int, count: int) -> tuple[Floats, Floats]:
    row = rows[k]
    angles = np.linspace(row[14], row[15], parts * max(SAMPLES, ceil(count / parts)) + 1)
    (x, y), cosines, sines = _radii(row[None]), np.cos(angles)[:, None], np.sin(angles)[:, None]
    ways = cosines * y - sines * x
    return row[:3] + cosines * x + sines * y, ways / np.linalg.norm(ways, axis=1, keepdims=True)


def _radii(rows: Floats) -> tuple[Floats, Floats]:
    """Return where the angle is 0 on ellipses, and where it is a quarter turn, from their centres, (n, 3) each."""
    return rows[:, 12, None] * rows[:, 6:9], rows[:, 13, None] * rows[:, 9:12]


def conic_parts(sweep: float) -> int:
    """Return in how many even parts a conic is sampled that goes so far round, rad."""
    return min(12, ceil(6.0 * sweep / pi))


def stations(first: float, last: float, knots: list[float], samples: int = SAMPLES) -> tuple[list[float], list[int]]:
    """Return parameters with every knot among them, and the places of the knots."""
    ends = _spans(first, last, knots)
    steps = range(samples)
    values = [a + (b - a) * i / samples for a, b in pairwise(ends) for i in steps]
    values.append(last)
    return values, list(range(0, len(values), samples))


def _spans(first: float, last: float, knots: list[float]) -> list[float]:
    """Return where spans begin and end, from a first to a last parameter."""
    low, high = first + 1e-9 * (last - first), last - 1e-9 * (last - first)
    ends = [first, *[k for k in knots if low < k < high], last]
    if len(ends) - 1 > MOST_SPANS:
        step = ceil((len(ends) - 1) / MOST_SPANS)
        ends = [*ends[:-1:step], last]
    return ends


def parted(knots: list[float], degree: int) -> list[float]:
    """Return the knots of a spline, and what a short one is sampled by between them."""
    if len(knots) >= 6 or degree <= 2:
        return knots
    # A span of the second degree is part of a conic and turns less than half a turn. A short spline of a higher
    # degree may wind a good deal: its ends are looked for among the samples.
    return [a + (b - a) * i / 4.0 for a, b in pairwise(knots) for i in range(4)]


def even(first: float, last: float, parts: int) -> list[float]:
    """Return what is between even parts."""
    return [first + (last - first) * i / parts for i in range(1, parts)]
