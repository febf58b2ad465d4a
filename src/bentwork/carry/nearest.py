"""The nearest point of a bar's centreline."""

from __future__ import annotations

import math

from bentwork.carry.bar import Bar
from bentwork.piece.centreline import Run
from bentwork.space import Vec, cross, distance, dot, norm, sub

__all__ = ["nearest_station"]


def nearest_station(bar: Bar, place: Vec) -> tuple[float, float]:
    """Return the station of the nearest point of the centreline (mm from end A), and how far it is, mm."""
    best = (math.inf, 0.0)
    for run in bar.line.runs:
        for at in _within(run, place):
            best = min(best, (distance(run.pose(at).origin, place), run.station + at))
    return best[1], best[0]


def _within(run: Run, place: Vec) -> tuple[float, ...]:
    """Distances into a run at which it may come nearest: both ends, and the foot of the perpendicular."""
    away = sub(place, run.start.origin)
    ahead = dot(away, run.start.tangent)
    if run.bend == 0:
        foot = ahead
    else:
        inward = cross(run.start.axis, run.start.tangent)
        turn = math.atan2(ahead, run.radius - dot(away, inward))
        if norm((ahead, run.radius - dot(away, inward), 0.0)) < 1e-12:
            turn = 0.0  # a place on the axis of the bend is equally far from all of it
        foot = (turn % (2.0 * math.pi)) * run.radius
    return (0.0, run.length, min(max(foot, 0.0), run.length))
