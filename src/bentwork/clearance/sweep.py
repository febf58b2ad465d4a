"""Clearance over a whole motion: is a gap kept, and how small does it get? Compiled; lengths in mm, angles in radians.

No motion is sampled. From a distance at one instant and the fastest that any point can move follows for how long the
gap cannot close; the next instant is chosen so that these stretches of time cover the whole motion. What is said to be
kept is kept at every instant; the smallest gap returned is never above the true one.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import (
    AROUND,
    AT_X,
    AT_Y,
    AT_Z,
    BOX,
    HIGHEST,
    LOWEST,
    between_lines,
    level_gap,
    to_body,
)
from bentwork.clearance.motion import SLIDES, STILL, Settings, left_over, placed, step_until

__all__ = [
    "Line",
    "arm_of",
    "clears_bar",
    "clears_body",
    "clears_lift",
    "grown",
    "least_lifted",
    "least_to_bar",
    "least_to_body",
    "turned",
]

Row = NDArray[np.float64]
Line = tuple[float, float, float, float, float, float]
"""A stretch of straight centreline: one end, and from there to the other."""

_CLOSE = 0.02  # mm; a gap that gets within this of what is wanted counts as missed; also how sure a smallest gap is


@compiled
def turned(line: Line, pose: tuple[float, float, float, float, float, float]) -> Line:
    """Return a line of a side's own frame in the frame of the station."""
    px, py, pz, ux, uy, uz = line
    c, s, x, y = pose[0], pose[1], pose[2], pose[3]
    return c * px - s * py + x, s * px + c * py + y, pz, c * ux - s * uy, s * ux + c * uy, uz


@compiled
def grown(line: Line, grows: bool, case: int, t: float, settings: Settings) -> Line:
    """Return the line as it is at t: the run beside the die grows backward by what is left of the bend."""
    if not grows:
        return line
    more = left_over(case, t, settings)
    return line[0] - more, line[1], line[2], line[3] + more, line[4], line[5]


@compiled
def arm_of(line: Line, pose: tuple[float, float, float, float, float, float]) -> float:
    """Distance in the plane of the die from the point turned about to the further end of a line."""
    x, y = line[0] - pose[4], line[1] - pose[5]
    return max(math.hypot(x, y), math.hypot(x + line[3], y + line[4]))


@compiled
def clears_body(
    line: Line, grows: bool, thick: float, body: Row, case: int, first: float, last: float, settings: Settings
) -> bool:
    """Tell whether a line of one side stays ``thick`` away from a body from t = first to last."""
    if level_gap(line[2], line[5], body[LOWEST], body[HIGHEST]) >= thick:
        return True
    end = settings[0] if grows else 0.0  # how fast the near end of the run moves along the bar, per radian
    if case == STILL:
        x = turned(line, placed(case, first, settings))
        return to_body(x[0], x[1], x[2], x[3], x[4], x[5], body, thick) >= thick
    if case == SLIDES:  # along x only: nothing can happen beside it
        y, v = line[1] - settings[0], line[4]
        bottom, top = min(y, y + v), max(y, y + v)
        if max(bottom - body[AT_Y], body[AT_Y] - top) - body[AROUND] >= thick:
            return True
    covered, jump = first, 0.5 * (last - first)
    while True:
        t = min(covered + jump, last)
        pose = placed(case, t, settings)
        x = turned(grown(line, grows, case, t, settings), pose)
        arm = arm_of(x, pose) + end
        gap = to_body(x[0], x[1], x[2], x[3], x[4], x[5], body, math.inf) - thick
        if gap < _CLOSE:
            return False
        reach = step_until(case, arm, gap, STILL, 0.0, settings)
        if reach >= t - covered:
            covered = t + reach
            if covered >= last:
                return True
            jump = 0.98 * reach
        else:
            jump = max(0.9 * reach, 0.5 * (t - covered))


@compiled
def clears_bar(
    line: Line, grows: bool, other: Line, other_grows: bool, thick: float, case: int, other_case: int,
    first: float, last: float, settings: Settings,
) -> bool:  # fmt: skip
    """Tell whether a line of the free side stays ``thick`` away from one of the held side, as each sees itself."""
    if max(
        min(line[2], line[2] + line[5]) + min(other[2], other[2] + other[5]),
        -max(line[2], line[2] + line[5]) - max(other[2], other[2] + other[5]),
    ) >= thick:  # fmt: skip
        return True
    end, other_end = settings[0] if grows else 0.0, settings[0] if other_grows else 0.0
    covered, jump = first, 0.5 * (last - first)
    while True:
        t = min(covered + jump, last)
        pose = placed(case, t, settings)
        x = turned(grown(line, grows, case, t, settings), pose)
        other_pose = placed(other_case, t, settings)
        y = turned(grown(other, other_grows, other_case, t, settings), other_pose)
        gap = between_lines(x[0], x[1], x[2], x[3], x[4], x[5], -y[0], y[1], -y[2], -y[3], y[4], -y[5]) - thick
        if gap < _CLOSE:
            return False
        reach = step_until(case, arm_of(x, pose) + end, gap, other_case, arm_of(y, other_pose) + other_end, settings)
        if reach >= t - covered:
            covered = t + reach
            if covered >= last:
                return True
            jump = 0.98 * reach
        else:
            jump = max(0.9 * reach, 0.5 * (t - covered))


@compiled
def _lifted(x: Line, way: tuple[float, float, float], by: float, body: Row) -> float:
    return to_body(
        x[0] + by * way[0], x[1] + by * way[1], x[2] + by * way[2], x[3], x[4], x[5], body, math.inf
    )  # fmt: skip


@compiled
def least_lifted(x: Line, way: tuple[float, float, float], body: Row, enough: float) -> float:
    """Return a bound below the distance to a body while a line is carried away along ``way`` until it is past it.

    The distance of two convex bodies is a convex function of how far one is carried: once it grows, it grows for good.
    A bound of ``enough`` or more need not be the best.
    """
    ends = x[0] * way[0] + x[1] * way[1] + x[2] * way[2]
    last = min(ends, ends + x[3] * way[0] + x[4] * way[1] + x[5] * way[2])
    past = body[AT_X] * way[0] + body[AT_Y] * way[1] + body[AT_Z] * way[2] + body[AROUND] - last
    start = to_body(x[0], x[1], x[2], x[3], x[4], x[5], body, enough + max(0.0, past))
    if start >= enough + max(0.0, past):
        return start - max(0.0, past)
    start = _lifted(x, way, 0.0, body)
    if past <= 0.0 or start == 0.0:
        return start
    hair = 0.25 * _CLOSE
    if _lifted(x, way, hair, body) >= start:
        return start - hair
    low, high = 0.0, past
    ratio = 0.5 * (math.sqrt(5.0) - 1.0)
    a, b = high - ratio * (high - low), low + ratio * (high - low)
    at_a, at_b = _lifted(x, way, a, body), _lifted(x, way, b, body)
    while b - a > hair:
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - ratio * (high - low)
            at_a = _lifted(x, way, a, body)
        else:
            low, a, at_a = a, b, at_b
            b = low + ratio * (high - low)
            at_b = _lifted(x, way, b, body)
        if min(at_a, at_b) == 0.0:
            return 0.0
    return max(0.0, min(at_a, at_b) - (high - low))


@compiled
def clears_lift(x: Line, thick: float, body: Row, way: tuple[float, float, float]) -> bool:
    """Tell whether a line, carried away along ``way`` from where it is, stays ``thick`` away from a body."""
    apart = 0.0
    for axis in range(3):  # the box that holds the line on all its way, and the body's
        low, high = min(x[axis], x[axis] + x[3 + axis]), max(x[axis], x[axis] + x[3 + axis])
        beyond = 0.0
        if way[axis] <= 1e-12:
            beyond = max(beyond, body[BOX + axis] - high)
        if way[axis] >= -1e-12:
            beyond = max(beyond, low - body[BOX + 3 + axis])
        apart += beyond * beyond
    if apart >= thick * thick:
        return True
    return least_lifted(x, way, body, thick + _CLOSE) >= thick


@compiled
def least_to_body(
    line: Line, grows: bool, body: Row, case: int, first: float, last: float, settings: Settings, below: float
) -> tuple[float, float]:
    """Return the smallest distance from a line of one side to a body, never above the true one, and when.

    A distance of ``below`` or more is not measured further.
    """
    level = level_gap(line[2], line[5], body[LOWEST], body[HIGHEST])
    end = settings[0] if grows else 0.0
    best, when, covered, jump = below, first, first, 0.5 * (last - first)
    t = last
    while covered <= last:
        pose = placed(case, t, settings)
        x = turned(grown(line, grows, case, t, settings), pose)
        gap = to_body(x[0], x[1], x[2], x[3], x[4], x[5], body, math.inf)
        if gap < best:
            best, when = gap, t
        if best <= max(level, 1e-12):
            return min(level, best), when
        reach = step_until(case, arm_of(x, pose) + end, gap - best + _CLOSE, STILL, 0.0, settings)
        if reach >= t - covered:
            covered = max(t + reach, np.nextafter(t, math.inf))
            jump = 0.98 * reach
        else:
            jump = max(0.9 * reach, 0.5 * (t - covered))
        t = min(covered + jump, last)
    return (max(level, best - _CLOSE) if best < below and case != STILL else best), when


@compiled
def least_to_bar(
    line: Line, grows: bool, other: Line, other_grows: bool, case: int, other_case: int,
    first: float, last: float, settings: Settings, below: float,
) -> tuple[float, float]:  # fmt: skip
    """Return the smallest distance of two lines, one of each side, never above the true one, and when."""
    end, other_end = settings[0] if grows else 0.0, settings[0] if other_grows else 0.0
    best, when, covered, jump = below, first, first, 0.5 * (last - first)
    t = last
    while covered <= last:
        pose = placed(case, t, settings)
        x = turned(grown(line, grows, case, t, settings), pose)
        other_pose = placed(other_case, t, settings)
        y = turned(grown(other, other_grows, other_case, t, settings), other_pose)
        gap = between_lines(x[0], x[1], x[2], x[3], x[4], x[5], -y[0], y[1], -y[2], -y[3], y[4], -y[5])
        if gap < best:
            best, when = gap, t
        if best <= 1e-12:
            return 0.0, when
        gap += _CLOSE - best
        reach = step_until(case, arm_of(x, pose) + end, gap, other_case, arm_of(y, other_pose) + other_end, settings)
        if reach >= t - covered:
            covered = max(t + reach, np.nextafter(t, math.inf))
            jump = 0.98 * reach
        else:
            jump = max(0.9 * reach, 0.5 * (t - covered))
        t = min(covered + jump, last)
    return (best - _CLOSE if best < below else best), when
