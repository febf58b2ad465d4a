"""Splines of a STEP file by its text, and from where to where an edge has them."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np

from bentwork.takeoff.edge_samples import stations
from bentwork.takeoff.edges import Floats
from bentwork.takeoff.splines import Splines, points_and_ways, points_on

__all__ = ["AT_END", "knotted", "span_of"]

AT_END = 2e-3
"""A spline comes by the ends of its edge within this, mm."""
TRIED, MOST_STEPS = 8, 20
"""Samples of a spline between knots, of which the nearest to a point is taken, and steps from there."""

_KNOTTED = re.compile(
    rb".*\('[^']*',(\d+),\([#\d,]*\),\.[A-Z_]+\.,\.[FTU]\.,\.[FTU]\.,\(([\d,]+)\),\(([^()]+)\),\.[A-Z_]+\.\);",
    re.DOTALL,
)


def knotted(said: bytes, poles: int) -> tuple[int, list[int], list[float]] | None:
    """Return degree, how often each knot counts, and knots; None when it is not a smooth spline from end to end."""
    told = _KNOTTED.match(b"".join(said.split()))
    if not told:
        return None
    degree, times, knots = int(told[1]), list(map(int, told[2].split(b","))), list(map(float, told[3].split(b",")))
    clamped = times[0] == times[-1] == degree + 1 and all(0 < some < degree for some in times[1:-1])
    rising = len(knots) == len(times) > 1 and all(a < b for a, b in pairwise(knots))
    smooth = degree > 1 and clamped and rising and sum(times) - degree - 1 == poles
    return (degree, times, knots) if smooth else None


def span_of(spline: Splines, begin: Floats, end: Floats) -> tuple[float, float] | None:
    """Return the parameters at which a spline comes by two points, one after the other; None where it does not."""
    knots = spline.knots.tolist()
    values = np.array(stations(knots[0], knots[-1], knots, TRIED)[0])
    points = points_on(spline, values, np.array([len(values)]))
    found = []
    for point, at in ((begin, 0), (end, -1)):
        off = points - point
        off = np.einsum("ij,ij->i", off, off)
        tried = values[at if off[at] < AT_END**2 else off.argmin()]
        found.append(tried if off[at] < AT_END**2 else _nearest(spline, point, tried))
    first, last = found
    return (float(first), float(last)) if first is not None and last is not None and first < last else None


def _nearest(spline: Splines, point: Floats, tried: float) -> float | None:
    """Return the parameter at which a spline comes by a point, from one near it; None where it does not."""
    value, one = np.array([tried]), np.ones(1, dtype=np.intp)
    for _ in range(MOST_STEPS):
        (on,), (way,) = points_and_ways(spline, value, one)
        step = float((on - point) @ way) / float(way @ way)
        value = (value - step).clip(spline.knots[0], spline.knots[-1])
        if abs(step) < 1e-9 * float(spline.knots[-1] - spline.knots[0]):
            break
    off = points_on(spline, value, one)[0] - point
    return float(value[0]) if float(off @ off) < AT_END**2 else None
