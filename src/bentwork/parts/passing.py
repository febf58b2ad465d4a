"""What the whole frame passes through: the least box of it, turned about upright or any way."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import scipy  # which loads its parts when they are first named: few jobs have an opening, and this one takes long
from numpy.typing import NDArray

from bentwork.space import Vec

__all__ = ["Opening", "Passed", "box_of", "passed"]

Floats = NDArray[np.float64]

_RING = 72  # headings tried over half a turn before the best are made finer
_BALL = 400  # directions tried over half a ball
_FINER = 5


@dataclass(frozen=True, slots=True)
class Opening:
    """Something that the frame must go through or stand in.

    Args:
        name: what the maker calls it.
        width: clear, mm.
        height: clear, mm; None where nothing is above it.
        clearance: wanted all round, mm.
        upright: it goes through as it stands; otherwise it may be turned any way.
    """

    name: str
    width: float
    height: float | None = None
    clearance: float = 0.0
    upright: bool = True


@dataclass(frozen=True, slots=True)
class Passed:
    """How the frame goes through an opening.

    Args:
        opening: that is meant.
        width: of the frame as it goes through, mm.
        height: likewise, mm.
        spare: the least room that is left beyond the clearance, mm; below 0 where it does not go.
        along: the way it goes, in the job.
        up: the way that is up in the opening, in the job.
    """

    opening: Opening
    width: float
    height: float
    spare: float
    along: Vec
    up: Vec


def box_of(points: Floats, up: Vec, forward: Vec) -> tuple[float, float, float]:
    """Return length, width and height of points (n, 3) as they stand, mm."""
    u, f = np.array(up), np.array(forward)
    spans = [float(np.ptp(points @ axis)) for axis in (f, _cross(u, f), u)]
    return spans[0], spans[1], spans[2]


def passed(points: Floats, up: Vec, opening: Opening) -> Passed:
    """Return the best way through an opening that was found.

    Every way through is a direction to go in and a turn about it. Upright ones are tried all round; any way, directions
    are spread evenly over half a ball, the turn follows the hull's edges, and the best are looked at finer.

    Args:
        points: (n, 3) on the surface of the frame, mm.
        up: as it stands; unit vector.
        opening: to go through.
    """
    hull = _hull(points)
    if opening.upright:
        return _upright(hull, np.array(up), opening)
    ways = _half_ball(_BALL)
    tried = [_through(hull, way, opening) for way in ways]
    order = np.argsort([-one.spare for one in tried])[:6]
    best = tried[int(order[0])]
    for k in order:
        now, step = tried[int(k)], math.sqrt(2.0 * math.pi / _BALL)
        for _ in range(_FINER * 4):
            way = np.array(now.along)
            aside = _square_to(way)
            around = [aside, -aside, _cross(way, aside), -_cross(way, aside)]
            closer = [_through(hull, _unit(way + step * one), opening) for one in around]
            better = max(closer, key=lambda one: one.spare)
            if better.spare > now.spare:
                now = better
            else:
                step /= 2.0
        best = max(best, now, key=lambda one: one.spare)
    return best


def _upright(hull: Floats, up: Floats, opening: Opening) -> Passed:
    first = _square_to(up)
    second = _cross(up, first)
    height = float(np.ptp(hull @ up))

    def at(turn: float) -> Passed:
        way = math.cos(turn) * first + math.sin(turn) * second
        return _judged(opening, float(np.ptp(hull @ _cross(up, way))), height, way, up)

    # The narrowest way lies along an edge of the outline from above.
    flat = np.column_stack([hull @ first, hull @ second])
    turns = [*(math.pi * k / _RING for k in range(_RING)), *_edges(flat)]
    return min((at(turn) for turn in turns), key=lambda one: (-round(one.spare, 6), one.width))


def _through(hull: Floats, way: Floats, opening: Opening) -> Passed:
    """The best turn about a way: a rectangle round an outline is least along one of its edges."""
    first = _square_to(way)
    second = _cross(way, first)
    flat = np.column_stack([hull @ first, hull @ second])
    edges = np.array(_edges(flat))
    turned = np.array([np.cos(edges), np.sin(edges)])  # (2, m)
    along, across = np.ptp(flat @ turned, axis=0), np.ptp(flat @ np.array([-turned[1], turned[0]]), axis=0)
    width, height = np.append(across, along), np.append(along, across)
    spare = opening.width - width
    if opening.height is not None:
        spare = np.minimum(spare, opening.height - height)
    best = int(np.argmax(spare))
    edge = edges[best % len(edges)] + (math.pi / 2.0 if best >= len(edges) else 0.0)
    up = math.cos(edge) * first + math.sin(edge) * second
    return _judged(opening, float(width[best]), float(height[best]), way, up)


def _judged(opening: Opening, width: float, height: float, way: Floats, up: Floats) -> Passed:
    spare = opening.width - width
    if opening.height is not None:
        spare = min(spare, opening.height - height)
    return Passed(opening, width, height, spare - opening.clearance, _vec(way), _vec(up))


def _edges(flat: Floats) -> list[float]:
    """Directions of the edges of an outline, radians; of points in a line the line's."""
    try:
        corners = flat[scipy.spatial.ConvexHull(flat).vertices]
    except scipy.spatial.QhullError:
        spread = flat - flat.mean(axis=0)
        _, _, axes = np.linalg.svd(spread)
        return [math.atan2(axes[0, 1], axes[0, 0])]
    steps = np.roll(corners, -1, axis=0) - corners
    return [float(one) for one in np.arctan2(steps[:, 1], steps[:, 0])]


def _hull(points: Floats) -> Floats:
    try:
        found: Floats = points[scipy.spatial.ConvexHull(points).vertices]
    except scipy.spatial.QhullError:  # all in one plane
        return points
    return found


def _half_ball(count: int) -> Floats:
    """Directions spread evenly over half a ball: a spiral by the golden angle."""
    number = np.arange(count) + 0.5
    height = number / count
    turn = number * math.pi * (3.0 - math.sqrt(5.0))
    flat = np.sqrt(1.0 - height**2)
    return np.column_stack([flat * np.cos(turn), flat * np.sin(turn), height])


def _square_to(way: Floats) -> Floats:
    other = np.eye(3)[int(np.argmin(np.abs(way)))]
    return _unit(_cross(way, other))


def _cross(a: Floats, b: Floats) -> Floats:
    """Cross product: numpy's own takes ten times as long for two vectors."""
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def _unit(way: Floats) -> Floats:
    found: Floats = way / np.linalg.norm(way)
    return found


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
