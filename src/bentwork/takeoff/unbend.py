"""Points of a bent bar where they lie on the straight one: distance from end A, and across."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import cross
from bentwork.takeoff.shape import Floats

__all__ = ["along_runs", "nearest_of", "unbent"]


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
    best = np.full(len(runs[0][0]), np.inf)
    found = np.zeros((len(best), 3))
    for here, off in runs:
        distance = here[:, 1] ** 2 + here[:, 2] ** 2 + off * off
        nearer = distance < best - 1e-12
        found[nearer] = here[nearer]
        best[nearer] = distance[nearer]
    return found


def along_runs(line: Centreline, points: Floats) -> Iterator[tuple[Floats, Floats]]:
    """Return the same for every straight and arc by itself, with how far beyond its ends each point lies, (n,)."""
    # Both ends of a closed piece run on into the bar itself: nothing is measured from beyond them.
    reach = (0.0, 0.0) if line.table.closed else (-math.inf, math.inf)
    directions = line.table.directions
    runs = line.runs
    for number, run in enumerate(runs):
        pose = run.start
        t, axis = np.array(pose.tangent), np.array(pose.axis)
        inward = np.array(cross(pose.axis, pose.tangent))
        rel = points - np.array(pose.origin)
        if run.bend == 0:
            if run.length == 0.0 and 0 < number < len(runs) - 1:
                continue
            low = reach[0] if number == 0 else 0.0
            high = max(reach[1], run.length) if number == len(runs) - 1 else run.length
            along = rel @ t
            s = np.minimum(np.maximum(along, low), high)
            a, b, off = rel @ inward, rel @ axis, along - s
            turned = directions[max(0, number // 2 - 1)] if directions else 0.0
        else:
            out = rel - run.radius * inward
            ahead, back = out @ t, -(out @ inward)
            middle = run.length / run.radius / 2.0
            angle = (np.arctan2(ahead, back) - middle + math.pi) % (2.0 * math.pi) - math.pi + middle
            inside = np.minimum(np.maximum(angle, 0.0), 2.0 * middle)
            rho = np.hypot(ahead, back)
            s = inside * run.radius
            a, b = run.radius - rho * np.cos(angle - inside), rel @ axis
            off = rho * np.sin(angle - inside)
            turned = directions[run.bend - 1]
        c, d = math.cos(math.radians(turned)), math.sin(math.radians(turned))
        here = np.empty((len(points), 3))
        here[:, 0], here[:, 1], here[:, 2] = run.station + s, c * a - d * b, d * a + c * b
        yield here, off
