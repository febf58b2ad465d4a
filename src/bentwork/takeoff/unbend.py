"""Points of a bent bar where they lie on the straight one: distance from end A, and across."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import cross
from bentwork.takeoff.shape import Floats

__all__ = ["along_run", "along_runs", "nearest_of", "runs_of", "unbent"]


def unbent(line: Centreline, points: Floats) -> Floats:
    """Return points (n, 3) in the coordinates of the straightened bar, (n, 3).

    The columns are the station from end A, negative before it and more than the length beyond B; the distance from
    the centreline towards the inside of the first bend; and at right angles to that, along the axis of the first
    bend. Each point is measured from the part of the centreline that is nearest to it.
    """
    return nearest_of(along_runs(line, points))


def nearest_of(by_run: Iterable[tuple[Floats, Floats]]) -> Floats:
    """Return what ``along_runs`` gives, of each point by the part that is nearest to it."""
    runs = list(by_run)
    if len(runs) == 1:
        return runs[0][0]
    best = np.full(len(runs[0][0]), np.inf)
    found = np.zeros((len(best), 3))
    for here, off in runs:
        distance = here[:, 1] ** 2 + here[:, 2] ** 2 + off * off
        nearer = distance < best - 1e-12
        np.copyto(found, here, where=nearer[:, None])
        np.copyto(best, distance, where=nearer)
    return found


def along_runs(line: Centreline, points: Floats) -> Iterator[tuple[Floats, Floats]]:
    """Return the same for every straight and arc by itself, with how far beyond its ends each point lies, (n,)."""
    directions = line.table.directions
    for number in runs_of(line):
        yield _along_run(line, number, points, directions)


def runs_of(line: Centreline) -> list[int]:
    """Return the numbers of straights and arcs that points are measured from: all but straights of no length."""
    runs = line.runs
    last = len(runs) - 1
    return [k for k, run in enumerate(runs) if run.bend or run.length or k in (0, last)]


def along_run(line: Centreline, number: int, points: Floats) -> tuple[Floats, Floats]:
    """Return the same for one straight or arc."""
    return _along_run(line, number, points, line.table.directions)


def _along_run(line: Centreline, number: int, points: Floats, directions: Sequence[float]) -> tuple[Floats, Floats]:
    runs = line.runs
    run = runs[number]
    pose = run.start
    before = run.bend - 1 if run.bend else max(0, number // 2 - 1)
    turned = math.radians(directions[before]) if directions else 0.0
    c, d = math.cos(turned), math.sin(turned)
    (ix, iy, iz), (ax, ay, az) = cross(pose.axis, pose.tangent), pose.axis
    if run.bend == 0:
        # Rows: ahead, and across as the first bend sees it.
        inward = (c * ix - d * ax, c * iy - d * ay, c * iz - d * az)
        up = (d * ix + c * ax, d * iy + c * ay, d * iz + c * az)
        here = (points - pose.origin) @ np.array((pose.tangent, inward, up)).T
        # Both ends of a closed piece run on into the bar itself: nothing is measured from beyond them.
        open_ended = not line.table.closed
        low = -math.inf if number == 0 and open_ended else 0.0
        high = math.inf if number == len(runs) - 1 and open_ended else run.length
        along = here[:, 0].copy()
        s = np.minimum(np.maximum(along, low), high)
        along -= s
        here[:, 0] = run.station + s
        return here, along
    ahead, aside, b = np.array((pose.tangent, (ix, iy, iz), pose.axis)) @ (points - pose.origin).T
    back = run.radius - aside
    middle = run.length / run.radius / 2.0
    # The round is cut open opposite the middle of the arc.
    angle = (np.arctan2(ahead, back) - middle + math.pi) % (2.0 * math.pi) - math.pi + middle
    inside = np.minimum(np.maximum(angle, 0.0), 2.0 * middle)
    rho = np.hypot(ahead, back)
    angle -= inside
    a = run.radius - rho * np.cos(angle)
    here = np.empty((len(points), 3))
    here[:, 0], here[:, 1], here[:, 2] = run.station + inside * run.radius, c * a - d * b, d * a + c * b
    return here, rho * np.sin(angle)
