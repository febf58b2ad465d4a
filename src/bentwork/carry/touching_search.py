"""The nearest points of bars, compiled: what ``touching`` asks of every two of them.

A row of a run is what ``run_rows`` writes: start, direction and axis (three numbers each), station, length, radius, and
the number of its bend, 0 for a straight.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.piece.centreline import Run

__all__ = ["nearest_points", "run_rows"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

_CHORD_TURN = math.radians(6.0)
_PARALLEL = 1e-3
_LEVEL = 0.02  # mm: as near as the nearest, chords and round-off allowed for
_STEPS = 20


def run_rows(runs: Iterable[Run]) -> list[tuple[float, ...]]:
    """Return a row for every run that has a length."""
    return [
        (*run.start.origin, *run.start.tangent, *run.start.axis, run.station, run.length, run.radius, run.bend)
        for run in runs
        if run.length > 0.0
    ]


@compiled
def nearest_points(
    runs: Floats, first: Whole, lengths: Floats, half_depths: Floats, asked: NDArray[np.bool_], within: float
) -> Floats:
    """Return the nearest points of every two bars that come near to one another, in the order of the bars.

    Args:
        runs: (r, 13) of all bars, one after the other; see above.
        first: (n + 1,) row at which each bar begins, and the count of rows.
        lengths: (n,) of the bars, mm.
        half_depths: (n,) how far their surfaces reach at most, mm.
        asked: (n,) whether it is asked of this bar; of every two of which one is.
        within: largest gap between two surfaces, mm.

    Returns:
        (m, 16): numbers of the two bars, stations on them, mm, the two points, mm, and the ways that the bars run
        there. Some are a little too far apart.
    """
    count = len(lengths)
    chords, begins = _chords(runs, first)
    low, high = np.empty((count, 3)), np.empty((count, 3))
    for bar in range(count):
        for axis in range(3):
            low[bar, axis], high[bar, axis] = math.inf, -math.inf
            for row in range(begins[bar], begins[bar + 1]):
                low[bar, axis] = min(low[bar, axis], chords[row, axis], chords[row, 3 + axis])
                high[bar, axis] = max(high[bar, axis], chords[row, axis], chords[row, 3 + axis])
    found, many = np.empty((256, 16)), 0
    for a in range(count):
        for b in range(a + 1, count):
            reach = half_depths[a] + half_depths[b] + within
            apart = not (asked[a] or asked[b])
            for axis in range(3):
                apart = apart or low[a, axis] - reach > high[b, axis] or low[b, axis] - reach > high[a, axis]
            if apart:
                continue
            own, other = runs[first[a] : first[a + 1]], runs[first[b] : first[b + 1]]
            near = _near(chords[begins[a] : begins[a + 1]], chords[begins[b] : begins[b + 1]], reach + 0.5)
            for k in range(len(near)):
                if many == len(found):
                    found = _longer(found)
                found[many, 0], found[many, 1] = a, b
                _nearest(own, other, lengths[a], lengths[b], near[k, 0], near[k, 1], found[many])
                many += 1
    return found[:many]


@compiled
def _longer(rows: Floats) -> Floats:
    longer = np.empty((2 * len(rows), rows.shape[1]))
    longer[: len(rows)] = rows
    return longer


@compiled
def _at(run: Floats, distance: float, point: Floats, way: Floats) -> None:
    """Write point and direction at a distance into a run, as ``Run.pose`` has them."""
    if run[12] == 0.0:
        for k in range(3):
            point[k] = run[k] + distance * run[3 + k]
            way[k] = run[3 + k]
        return
    theta = distance / run[11]
    c, s = math.cos(theta), math.sin(theta)
    across, inwards = run[11] * s, run[11] * (1.0 - c)
    for k in range(3):
        m, n = (k + 1) % 3, (k + 2) % 3
        inward = run[6 + m] * run[3 + n] - run[6 + n] * run[3 + m]
        point[k] = run[k] + across * run[3 + k] + inwards * inward
        way[k] = c * run[3 + k] + s * inward


@compiled
def _pose(runs: Floats, station: float, point: Floats, way: Floats) -> None:
    for k in range(len(runs)):
        if station <= runs[k, 9] + runs[k, 10]:
            _at(runs[k], max(0.0, station - runs[k, 9]), point, way)
            return
    _at(runs[len(runs) - 1], runs[len(runs) - 1, 10], point, way)


@compiled
def _chords(runs: Floats, first: Whole) -> tuple[Floats, Whole]:
    """Start, end, station of the start and length along the bar of every chord: (n, 8); and where each bar begins."""
    counts = np.empty(len(runs), dtype=np.int64)
    for k in range(len(runs)):
        arc = runs[k, 12] != 0.0
        counts[k] = max(1, math.ceil(runs[k, 10] / runs[k, 11] / _CHORD_TURN)) if arc else 1
    chords, begins = np.empty((counts.sum(), 8)), np.zeros(len(first), dtype=np.int64)
    way = np.empty(3)
    row = 0
    for bar in range(len(first) - 1):
        for k in range(first[bar], first[bar + 1]):
            length, count = runs[k, 10], counts[k]
            step = length / count
            for i in range(count):
                _at(runs[k], length * i / count, chords[row, :3], way)
                _at(runs[k], length * (i + 1) / count, chords[row, 3:6], way)
                chords[row, 6], chords[row, 7] = runs[k, 9] + i * step, step
                row += 1
        begins[bar + 1] = row
    return chords, begins


@compiled
def _clipped(x: float, most: float) -> float:
    return min(max(x, 0.0), most)


@compiled
def _near(one: Floats, other: Floats, reach: float) -> Floats:
    """Stations of the nearest points within reach, neighbours gathered into one; two for bars side by side: (n, 2)."""
    found, many = np.empty((32, 3)), 0
    u, v, away = np.empty(3), np.empty(3), np.empty(3)
    for i in range(len(one)):
        for j in range(len(other)):
            for k in range(3):
                u[k], v[k] = one[i, 3 + k] - one[i, k], other[j, 3 + k] - other[j, k]
                away[k] = one[i, k] - other[j, k]
            uu, vv, uv = _dot(u, u), _dot(v, v), _dot(u, v)
            uw, vw = _dot(u, away), _dot(v, away)
            cross = uu * vv - uv**2
            parallel = cross <= (_PARALLEL**2) * uu * vv
            if parallel:  # both ends of the stretch that the two share
                ends = _clipped(-uw / uu, 1.0), _clipped((uv - uw) / uu, 1.0)
                shares = min(ends), max(ends)
            else:
                share = _clipped((uv * vw - vv * uw) / cross, 1.0)
                shares = share, share
            for way in range(2 if parallel else 1):
                t = _clipped((vw + shares[way] * uv) / vv, 1.0)
                share = _clipped((t * uv - uw) / uu, 1.0)
                square = 0.0
                for k in range(3):
                    square += (away[k] + share * u[k] - t * v[k]) ** 2
                apart = math.sqrt(square)
                if apart <= reach:
                    if many == len(found):
                        found = _longer(found)
                    found[many, 0], found[many, 1] = one[i, 6] + share * one[i, 7], other[j, 6] + t * other[j, 7]
                    found[many, 2] = apart
                    many += 1
    _sort(found[:many])
    return _gathered(found[:many], 2.0 * reach)


@compiled
def _dot(a: Floats, b: Floats) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled
def _sort(rows: Floats) -> None:
    """Sort rows of three: they come nearly in order, so that each has little way to go."""
    for i in range(1, len(rows)):
        a, b, c = rows[i, 0], rows[i, 1], rows[i, 2]
        j = i
        while j > 0 and (
            a < rows[j - 1, 0]
            or (a == rows[j - 1, 0] and (b < rows[j - 1, 1] or (b == rows[j - 1, 1] and c < rows[j - 1, 2])))
        ):
            rows[j] = rows[j - 1]
            j -= 1
        rows[j, 0], rows[j, 1], rows[j, 2] = a, b, c


@compiled
def _gathered(found: Floats, together: float) -> Floats:
    """Gather neighbouring places, sorted, into the nearest of them; a long run of them into its two ends."""
    group, groups = np.empty(len(found), dtype=np.int64), 0
    nearest = np.empty(len(found))
    for i in range(len(found)):
        group[i] = groups
        j = i - 1
        while j >= 0 and found[i, 0] - found[j, 0] <= together:
            if group[j] < group[i] and abs(found[i, 1] - found[j, 1]) <= together:
                group[i] = group[j]
            j -= 1
        if group[i] == groups:
            nearest[groups] = found[i, 2]
            groups += 1
        nearest[group[i]] = min(nearest[group[i]], found[i, 2])
    start, end = np.full(groups, -1), np.empty(groups, dtype=np.int64)
    for i in range(len(found)):
        if found[i, 2] - nearest[group[i]] < _LEVEL:
            if start[group[i]] < 0:
                start[group[i]] = i
            end[group[i]] = i
    kept, many = np.empty((2 * groups, 2)), 0
    for k in range(groups):
        a, b = start[k], end[k]
        if found[b, 0] - found[a, 0] > 2.0 * together:
            kept[many], kept[many + 1] = found[a, :2], found[b, :2]
            many += 2
        else:  # side by side for a short while: joined in the middle
            kept[many, 0], kept[many, 1] = (found[a, 0] + found[b, 0]) / 2.0, (found[a, 1] + found[b, 1]) / 2.0
            many += 1
    return kept[:many]


@compiled
def _nearest(own: Floats, other: Floats, length: float, over: float, s: float, t: float, row: Floats) -> None:
    """Write the nearest points themselves, on the arcs and not on their chords: Newton's steps along both bars."""
    p, q, u, v, away = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    for _ in range(_STEPS):
        _pose(own, s, p, u)
        _pose(other, t, q, v)
        for k in range(3):
            away[k] = p[k] - q[k]
        cosine = _dot(u, v)
        across = max(1.0 - cosine * cosine, 1e-6)
        along, against = -_dot(away, u), _dot(away, v)
        step_s, step_t = (along + cosine * against) / across, (against + cosine * along) / across
        if across < 1e-4:
            step_s, step_t = 0.0, against
        longest = max(abs(step_s), abs(step_t))
        shorter = min(1.0, 5.0 / longest) if longest > 0.0 else 1.0
        new_s = _clipped(s + shorter * step_s, length)
        # From where the first one now stands the other is met anew, so that a bar that ends holds the other back.
        new_t = _clipped(t + shorter * (step_t if 0.0 < new_s < length else against), over)
        if not 0.0 < new_t < over:
            new_s = _clipped(s + shorter * along, length)
        done = abs(new_s - s) + abs(new_t - t) < 1e-10
        s, t = new_s, new_t
        if done:
            break
    row[2], row[3] = s, t
    _pose(own, s, row[4:7], row[10:13])
    _pose(other, t, row[7:10], row[13:16])
