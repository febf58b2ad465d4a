"""The lever itself against what stands round the bender: follower and arm, or hook and arm where the die turns.

All these bodies are upright prisms (or lie in one that holds them), so that the gap between two of them is the gap in
height and the gap of their outlines, square to one another; the outlines turn about the die's axis.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, bodies_of
from bentwork.clearance.compiling import compiled
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["lever_gaps"]

Corners = NDArray[np.float64]

_CLOSE = 0.02  # mm; how sure a smallest gap is, as in ``sweep``
FAR = 1e4
_Part = tuple[str, tuple[float, float], Corners, float, float]
"""Name, heights, outline, how far it reaches beyond that, and how far it reaches from the axis."""


@lru_cache(maxsize=1024)  # bends of one angle ask the same, and so do they all again after a change elsewhere
def lever_gaps(
    bender: Bender, mounting: Mounting | None, depth: float, pull: float, limit: float = FAR
) -> tuple[tuple[str, float, str, float], ...]:
    """Return (body, smallest gap, part of the lever, angle in degrees) for every moving part and body of the mounting.

    Gaps are never above the true ones; 0 where they meet.

    Args:
        bender: the bender; one whose former pushes has no lever to turn.
        mounting: what stands round it; None for nothing.
        depth: of the bar in the plane of the bend, mm.
        pull: angle that the lever turns by, radians.
        limit: what stays this far away or further is not measured and not told, mm.
    """
    if mounting is None or bender.kind in ("ram", "vee"):
        return ()
    sign = 1.0 if bender.kind == "wrap" else -1.0  # seen from the room a turning die goes the other way
    moving, bodies = _lever_and_room(bender, mounting, depth)
    found = []
    for part, heights, outline, across, arm in moving:
        for body, other_heights, other, other_across, _ in bodies:
            level = max(0.0, heights[0] - other_heights[1], other_heights[0] - heights[1])
            if level < limit:
                gap, angle = _least(outline, across, other, other_across, level, arm, sign, pull, limit)
                if gap < limit:
                    found.append((body, gap, part, math.degrees(angle)))
    return tuple(found)


@lru_cache(maxsize=256)
def _lever_and_room(bender: Bender, mounting: Mounting, depth: float) -> tuple[tuple[_Part, ...], tuple[_Part, ...]]:
    moving = [solid for solid in bodies_of(bender, None, depth) if solid.station == 1 and solid.let_go]
    if bender.kind == "draw":
        moving = [solid for solid in bodies_of(bender, None, depth) if solid.station == 0 and solid.name != "die"]
    return tuple(map(_part, moving)), tuple(map(_part, bodies_of(bender, mounting, depth)))


def _part(solid: Solid) -> _Part:
    corners, across = _outline(solid)
    return solid.name, solid.heights, corners, across, float(np.hypot(corners[:, 0], corners[:, 1]).max()) + across


@compiled
def _least(
    part: Corners,
    part_round: float,
    body: Corners,
    body_round: float,
    level: float,
    arm: float,
    turning: float,
    pull: float,
    limit: float,
) -> tuple[float, float]:
    """Smallest gap below ``limit`` while ``part`` turns by ``pull``, and the angle; ``arm``: its reach from the axis.

    ``limit`` itself where there is none.
    """
    far = limit + _CLOSE
    best, when, covered, jump, t = far, 0.0, 0.0, 0.5 * pull, pull
    here = np.empty_like(part)
    while covered <= pull:
        c, s = math.cos(turning * t), math.sin(turning * t)
        for i in range(len(part)):
            here[i, 0] = c * part[i, 0] - s * part[i, 1]
            here[i, 1] = s * part[i, 0] + c * part[i, 1]
        gap = math.hypot(level, max(0.0, _apart(here, body) - part_round - body_round))
        if gap < best:
            best, when = gap, t
        if best <= level:
            return best, when
        reach = (gap - best + _CLOSE) / arm
        if reach >= t - covered:
            covered = np.nextafter(t + reach, math.inf)
            jump = 0.98 * reach
        else:
            jump = max(0.9 * reach, 0.5 * (t - covered))
        t = min(covered + jump, pull)
    return (max(level, best - _CLOSE) if best < far else limit), when


def _outline(solid: Solid) -> tuple[Corners, float]:
    """Corners of the convex outline (one, two or four), and how far it reaches beyond them."""
    x, y, _ = solid.middle
    if solid.shape == "box":
        (ax, ay, az), (bx, by, bz), up = solid.turn
        if abs(up[2]) == 1.0 and az == 0.0 == bz:
            a, b = solid.half[0], solid.half[1]
            signs = ((1, 1), (-1, 1), (-1, -1), (1, -1))
            return np.array([(x + i * a * ax + j * b * bx, y + i * a * ay + j * b * by) for i, j in signs]), 0.0
        return np.array([(x, y)]), solid.around
    along = solid.turn[2]
    dx, dy = along[0] * solid.half[2], along[1] * solid.half[2]
    if math.hypot(dx, dy) < 1e-9:
        return np.array([(x, y)]), solid.half[0]
    return np.array([(x - dx, y - dy), (x + dx, y + dy)]), solid.half[0]


@compiled
def _apart(a: Corners, b: Corners) -> float:
    """Distance of two convex outlines; 0 where they overlap."""
    if _inside(a[0], b) or _inside(b[0], a):
        return 0.0
    least = math.inf
    for i in range(len(a)):
        for j in range(len(b)):
            least = min(least, _edges_apart(a[i - 1], a[i], b[j - 1], b[j]))
    return least


@compiled
def _inside(point: Corners, corners: Corners) -> bool:
    if len(corners) < 3:
        return False
    left = right = True
    for i in range(len(corners)):
        side = _across(corners[i - 1], corners[i], point)
        left, right = left and side >= 0.0, right and side <= 0.0
    return left or right


@compiled
def _edges_apart(p: Corners, q: Corners, r: Corners, s: Corners) -> float:
    if _across(p, q, r) * _across(p, q, s) < 0.0 and _across(r, s, p) * _across(r, s, q) < 0.0:
        return 0.0
    return min(_to_edge(p, r, s), _to_edge(q, r, s), _to_edge(r, p, q), _to_edge(s, p, q))


@compiled
def _across(p: Corners, q: Corners, r: Corners) -> float:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


@compiled
def _to_edge(point: Corners, p: Corners, q: Corners) -> float:
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = dx * dx + dy * dy
    s = 0.0 if length == 0.0 else min(1.0, max(0.0, ((point[0] - p[0]) * dx + (point[1] - p[1]) * dy) / length))
    return math.hypot(point[0] - p[0] - s * dx, point[1] - p[1] - s * dy)
