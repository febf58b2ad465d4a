"""Where bars touch, written plainly: chord by chord with arrays, and Newton's steps on tuples."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.touching import TOUCHES_WITHIN, Touch, reach_of
from bentwork.piece.centreline import Run
from bentwork.space import Pose, distance, dot, norm, scale, sub

Floats = NDArray[np.float64]

_CHORD_TURN = math.radians(6.0)
_PARALLEL = 1e-3
_LEVEL = 0.02
_STEPS = 20


def plain_touches(bars: Sequence[Bar], within: float = TOUCHES_WITHIN) -> tuple[Touch, ...]:
    """Return every place where two different bars come within touching distance, in the order of the bars."""
    runs = [tuple(run for run in bar.line.runs if run.length > 0.0) for bar in bars]
    chords = [_chords(own) for own in runs]
    boxes = [(chord[:, :6].reshape(-1, 3).min(0), chord[:, :6].reshape(-1, 3).max(0)) for chord in chords]
    found = []
    for a in range(len(bars)):
        for b in range(a + 1, len(bars)):
            reach = bars[a].half_depth + bars[b].half_depth + within
            if np.any(boxes[a][0] - reach > boxes[b][1]) or np.any(boxes[b][0] - reach > boxes[a][1]):
                continue
            mine: list[Touch] = []
            for sa, sb in _near(chords[a], chords[b], reach + 0.5):
                touch = _touch(bars, runs, (a, b), (sa, sb))
                # The seam of a closed bar is met from both of its sides.
                if touch.gap <= within and not any(distance(touch.places[0], o.places[0]) < 1e-3 for o in mine):
                    mine.append(touch)
            found += mine
    return tuple(found)


def _chords(runs: Sequence[Run]) -> Floats:
    """Start, end, station of the start and length along the bar of every chord: (n, 8)."""
    rows = []
    for run in runs:
        count = 1 if run.bend == 0 else max(1, math.ceil(run.length / run.radius / _CHORD_TURN))
        points = [run.pose(run.length * k / count).origin for k in range(count + 1)]
        step = run.length / count
        rows += [(*points[k], *points[k + 1], run.station + k * step, step) for k in range(count)]
    return np.array(rows, dtype=np.float64)


def _near(one: Floats, other: Floats, reach: float) -> list[tuple[float, float]]:
    """Stations of the nearest points within reach, neighbours gathered into one; two for bars side by side."""
    p, q = one[:, None, :3], other[None, :, :3]
    u, v = one[:, None, 3:6] - p, other[None, :, 3:6] - q
    away = p - q
    uu, vv, uv = (u * u).sum(-1), (v * v).sum(-1), (u * v).sum(-1)
    uw, vw = (u * away).sum(-1), (v * away).sum(-1)
    cross = uu * vv - uv**2
    parallel = cross <= (_PARALLEL**2) * uu * vv
    s = np.where(parallel, 0.0, np.clip((uv * vw - vv * uw) / np.where(parallel, 1.0, cross), 0.0, 1.0))
    ways = [s]
    if parallel.any():  # both ends of the stretch that the two share
        at = np.clip(np.stack((-uw / uu, (uv - uw) / uu)), 0.0, 1.0)
        ways = [np.where(parallel, at.min(0), s), np.where(parallel, at.max(0), s)]
    found: list[tuple[float, float, float]] = []
    for share in ways:
        t = np.clip((vw + share * uv) / vv, 0.0, 1.0)
        share = np.clip((t * uv - uw) / uu, 0.0, 1.0)
        apart = np.linalg.norm(away + share[..., None] * u - t[..., None] * v, axis=-1)
        for i, j in zip(*np.nonzero(apart <= reach), strict=True):
            station = (one[i, 6] + share[i, j] * one[i, 7], other[j, 6] + t[i, j] * other[j, 7])
            found.append((float(station[0]), float(station[1]), float(apart[i, j])))
    return _gathered(found, 2.0 * reach)


def _gathered(found: list[tuple[float, float, float]], together: float) -> list[tuple[float, float]]:
    """Gather neighbouring places into the nearest of them; a long run of them into its two ends."""
    groups: list[list[tuple[float, float, float]]] = []
    for item in sorted(found):
        for group in groups:
            if any(abs(item[0] - o[0]) <= together and abs(item[1] - o[1]) <= together for o in group):
                group.append(item)
                break
        else:
            groups.append([item])
    kept = []
    for group in groups:
        nearest = min(group, key=lambda item: item[2])
        level = [item for item in group if item[2] - nearest[2] < _LEVEL]
        first, last = level[0], level[-1]
        if last[0] - first[0] > 2.0 * together:
            kept += [first[:2], last[:2]]
        else:  # side by side for a short while: joined in the middle
            kept.append(((first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0))
    return kept


def _touch(bars: Sequence[Bar], runs: Sequence[Sequence[Run]], pair: tuple[int, int], at: tuple[float, float]) -> Touch:
    """The nearest points themselves, on the arcs and not on their chords: Newton's steps along both bars."""
    s, t = at
    a, b = pair
    for _ in range(_STEPS):
        one, other = _pose(runs[a], s), _pose(runs[b], t)
        away = sub(one.origin, other.origin)
        cosine = dot(one.tangent, other.tangent)
        across = max(1.0 - cosine * cosine, 1e-6)
        along, against = -dot(away, one.tangent), dot(away, other.tangent)
        step_s, step_t = (along + cosine * against) / across, (against + cosine * along) / across
        if across < 1e-4:
            step_s, step_t = 0.0, against
        longest = max(abs(step_s), abs(step_t))
        shorter = min(1.0, 5.0 / longest) if longest > 0.0 else 1.0
        new_s = min(max(s + shorter * step_s, 0.0), bars[a].length)
        # From where the first one now stands the other is met anew, so that a bar that ends holds the other back.
        new_t = min(max(t + shorter * (step_t if 0.0 < new_s < bars[a].length else against), 0.0), bars[b].length)
        if not 0.0 < new_t < bars[b].length:
            new_s = min(max(s + shorter * along, 0.0), bars[a].length)
        done = abs(new_s - s) + abs(new_t - t) < 1e-10
        s, t = new_s, new_t
        if done:
            break
    places = (_pose(runs[a], s).origin, _pose(runs[b], t).origin)
    between = sub(places[1], places[0])
    apart = norm(between)
    gap = apart
    if apart > 1e-9:
        out = scale(between, 1.0 / apart)
        gap -= reach_of(bars[a], s, out) + reach_of(bars[b], t, out)
    ends = tuple(
        not bars[k].closed and min(station, bars[k].length - station) < bars[k].half_depth
        for k, station in ((a, s), (b, t))
    )
    return Touch(pair, (s, t), places, gap, (ends[0], ends[1]))


def _pose(runs: Sequence[Run], station: float) -> Pose:
    for run in runs:
        if station <= run.station + run.length:
            return run.pose(max(0.0, station - run.station))
    return runs[-1].pose(runs[-1].length)
