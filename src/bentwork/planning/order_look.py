"""One line of bar against all bodies while a bend is made: what it hits leaves the masks. Compiled.

Most lines are far from most bodies. So a line is first held against a body by height and by how near it comes to the
die's axis, then by boxes over stretches of the motion, and only what is left is followed through the motion.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import (
    BOX,
    BY_DESIGN,
    FURTHEST,
    HIGHEST,
    LETS_GO,
    LOWEST,
    MOUNTING,
    NEAREST,
    STATION,
    between_lines,
)
from bentwork.clearance.motion import PUSHED, STILL, SWINGS, left_over, opening_apart, pace, placed, stroke
from bentwork.clearance.sweep import clears_body
from bentwork.planning.order_lifts import HITS, LIFTS, SWEEP, lift_line, lifts_past, still_hit

__all__ = [
    "LEAST_LEFT",
    "MOST_LEFT",
    "SHIFT",
    "SPANS",
    "STROKE",
    "View",
    "boxes_of",
    "from_axis",
    "look_all",
    "view_of",
]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]
Line = tuple[float, float, float, float, float, float]

SPANS = 8
"""Spans of the sweep in which a line is first looked at in an upright box."""

SHIFT, STROKE, MOST_LEFT, LEAST_LEFT = range(4)
View = tuple[Row, Row, Row, Row, Row, Row]
"""What does not change from line to line, by role (held, free): how far it may lie springing back from where it was on
the way up, half a former's stroke, most and least of the bend that is still straight (2, 4); by role and station: the
pose in the middle of each span (2, 2, SPANS, 7), the pace (2, 2, 3); by role, put on and lifted off, and station: the
pose (2, 2, 2, 7); and room for the boxes of a line by station (2, SPANS + 1, 4) and for it lifted (2, 2, 3, 6)."""


@compiled
def _write(case: int, t: float, settings: Row, into: Row) -> None:
    into[0], into[1], into[2], into[3], into[4], into[5] = placed(case, t, settings)
    into[6] = left_over(case, t, settings)


@compiled
def view_of(cases: Flags, settings: Row) -> View:
    """Return what every look at a line of one bend needs; ``cases`` and ``settings`` as for ``look``."""
    roles, spans, paces = np.zeros((2, 4)), np.empty((2, 2, SPANS, 7)), np.empty((2, 2, 3))
    lifts, boxes = np.empty((2, 2, 2, 7)), np.empty((2, SPANS + 1, 4))
    pull = settings[2]
    for role in range(2):
        for station in range(2):
            case = cases[role, 0, station]
            paces[role, station, 0], paces[role, station, 1], paces[role, station, 2] = pace(case, settings)
            for i in range(SPANS):
                _write(case, pull * (i + 0.5) / SPANS, settings, spans[role, station, i])
            _write(case, 0.0, settings, lifts[role, 0, station])
            _write(cases[role, 2, station], settings[3], settings, lifts[role, 1, station])
        if cases[role, 1, 0] >= 0:
            roles[role, SHIFT] = opening_apart(cases[role, 0, 0] == SWINGS, settings)
        if cases[role, 0, 1] == PUSHED:
            roles[role, STROKE] = stroke(0.5 * pull, settings)
        if cases[role, 0, 0] != STILL:
            roles[role, MOST_LEFT] = lifts[role, 0, 0, 6]
            roles[role, LEAST_LEFT] = left_over(cases[role, 0, 0], pull, settings)
    return roles, spans, paces, lifts, boxes, np.empty((2, 2, 3, 6))


@compiled
def from_axis(line: Line, left: float, least_left: float, radius: float) -> tuple[float, float]:
    """Return the nearest and the furthest that a line comes to the die's axis in the whole sweep.

    In the frame of its side the axis moves along a straight line: it stays square to the bar at the tangent point.
    """
    px, py, ux, uy = line[0], line[1], line[3], line[4]
    near = between_lines(px, py, 0.0, ux, uy, 0.0, -left, radius, 0.0, left - least_left, 0.0, 0.0)
    qx, qy, py = px + ux, py + uy - radius, py - radius
    x = max(abs(px + left), abs(px + least_left))
    far = max(abs(qx + left), abs(qx + least_left))
    return near, math.sqrt(max(x * x + py * py, far * far + qy * qy))


@compiled
def boxes_of(
    line: Line, grows: bool, view: View, role: int, station: int, half: float, radius: float, boxes: Row
) -> None:
    """Write an upright box that holds the line for each span of the sweep, and then one that holds them all.

    ``half`` is half a span, radians; ``boxes`` by station, x, y from and to, (2, n + 1, 4).
    """
    n = SPANS
    spans, turning = view[1], view[2][role, station, 0]
    drift, growth = view[2][role, station, 1], view[2][role, station, 2]
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for i in range(n):
        c, s = spans[role, station, i, 0], spans[role, station, i, 1]
        cx, cy = spans[role, station, i, 4], spans[role, station, i, 5]
        px, ux = line[0], line[3]
        if grows:
            left = spans[role, station, i, 6]
            px, ux = px - left, ux + left
        ax = c * px - s * line[1] + spans[role, station, i, 2]
        ay = s * px + c * line[1] + spans[role, station, i, 3]
        bx, by = ax + c * ux - s * line[4], ay + s * ux + c * line[4]
        arm = math.sqrt(max((ax - cx) ** 2 + (ay - cy) ** 2, (bx - cx) ** 2 + (by - cy) ** 2))
        if grows:
            arm += radius
        moves = half * (turning * (arm + 0.5 * growth * half) + drift)
        low_x, low_y = min(ax, bx) - moves, min(ay, by) - moves
        high_x, high_y = max(ax, bx) + moves, max(ay, by) + moves
        boxes[station, i, 0], boxes[station, i, 1] = low_x, low_y
        boxes[station, i, 2], boxes[station, i, 3] = high_x, high_y
        x0, y0, x1, y1 = min(x0, low_x), min(y0, low_y), max(x1, high_x), max(y1, high_y)
    boxes[station, n, 0], boxes[station, n, 1], boxes[station, n, 2], boxes[station, n, 3] = x0, y0, x1, y1


@compiled
def _outside(boxes: Row, station: int, i: int, level: float, bodies: Row, role: int, b: int, thick: float) -> bool:
    """Tell whether a box (and a gap in height) is ``thick`` away from the box of a body."""
    gx = max(0.0, boxes[station, i, 0] - bodies[role, b, BOX + 3], bodies[role, b, BOX] - boxes[station, i, 2])
    gy = max(0.0, boxes[station, i, 1] - bodies[role, b, BOX + 4], bodies[role, b, BOX + 1] - boxes[station, i, 3])
    return gx * gx + gy * gy + level * level >= thick * thick


@compiled
def _sweeps_past(
    line: Line, grows: bool, thick: float, shift: float, bodies: Row, role: int, b: int, level: float, case: int,
    back: int, boxes: Row, station: int, settings: Row,
) -> bool:  # fmt: skip
    """Tell whether a line stays ``thick`` away from a body on the way up and springing back."""
    if _outside(boxes, station, SPANS, level, bodies, role, b, thick + shift):
        return True
    pull, wanted = settings[2], settings[3]
    near = False
    for i in range(SPANS):
        if not _outside(boxes, station, i, level, bodies, role, b, thick + shift):
            near = True
            first, last = pull * i / SPANS, pull * (i + 1) / SPANS
            if not clears_body(line, grows, thick, bodies[role, b], case, first, last, settings):
                return False
    return not near or back < 0 or clears_body(line, grows, thick, bodies[role, b], back, wanted, pull, settings)


@compiled
def look(
    line: Line, grows: bool, thick: float, beside: bool, masks: Flags, role_bits: Flags, bodies: Row, stuck: Flags,
    cases: Flags, ways: Row, way_count: int, view: View, settings: Row, bodies_near: Flags,
) -> None:  # fmt: skip
    """Take the bits of what a line hits out of the masks (bending; put on up, aside; lifted off up, aside).

    Args:
        line: of one side, in its own frame.
        grows: it is the run beside the die.
        thick: how near a body may come.
        beside: it belongs to the run beside the die, which touches some bodies by design.
        masks: (5,), see ``order_sides``.
        role_bits: as for ``order_sides.side_masks``.
        bodies: the same.
        stuck: the same.
        cases: the same.
        ways: the same.
        way_count: the same.
        settings: the same.
        view: see ``view_of``.
        bodies_near: by role how many to look at, then these: number << HITS | what they may be hit in, (2, n + 1).
    """
    bottom, top = min(line[2], line[2] + line[5]), max(line[2], line[2] + line[5])
    roles, boxes, lifted = view[0], view[4], view[5]
    for role in range(2):
        if masks[0] & role_bits[role] == 0 or bodies_near[role, 0] == 0:
            continue
        upright = role == 1  # the held side sees up as down
        shift, most_left = roles[role, SHIFT], roles[role, MOST_LEFT]
        near = far = -1.0
        boxed = carried = 0
        for i in range(1, bodies_near[role, 0] + 1):
            b, hit = bodies_near[role, i] >> HITS, bodies_near[role, i] & (SWEEP | LIFTS)
            body = bodies[role, b]
            bits = role_bits[role]
            if body[MOUNTING] >= 0.0:
                bits &= 3 << (2 * int(body[MOUNTING]))
            if masks[0] & bits == 0 or (beside and body[BY_DESIGN] != 0.0):
                continue
            level = max(0.0, bottom - body[HIGHEST], body[LOWEST] - top)
            if level >= thick:
                if upright == (bottom > body[HIGHEST]):
                    continue  # above or below it all the time; and it is not lifted towards it
                hit &= LIFTS
            station = int(body[STATION])
            if hit & LIFTS:
                if not (carried >> station) & 1:
                    lift_line(line, grows, 0.0, view[3], role, station, ways, way_count, lifted)
                    carried |= 1 << station
                hit = still_hit(lifted, station, thick, body, hit)
            if hit == 0:
                continue
            if far < 0.0:
                near, far = from_axis(line, most_left, roles[role, LEAST_LEFT], settings[0])
                if grows:
                    near, far = 0.0, max(far, settings[0] + most_left)
            reach = thick + shift + (roles[role, STROKE] if station == 1 else 0.0)
            apart = near - body[FURTHEST] >= reach or body[NEAREST] - far >= reach
            if hit & SWEEP and not apart:
                if not (boxed >> station) & 1:
                    boxes_of(line, grows, view, role, station, 0.5 * settings[2] / SPANS, settings[0], boxes)
                    boxed |= 1 << station
                if not _sweeps_past(
                    line, grows, thick, shift, bodies, role, b, level, cases[role, 0, station],
                    -1 if body[LETS_GO] != 0.0 else cases[role, 1, station], boxes, station, settings,
                ):  # fmt: skip
                    masks[0] &= ~bits
                    continue
            if hit & LIFTS and not (apart and way_count == 1):  # what stays apart in plan stays so on the way up
                lifts_past(lifted, thick, apart, hit, masks, bits, body, role, station, stuck, ways)
    masks[0] &= (masks[1] | masks[2]) & (masks[3] | masks[4])


@compiled
def look_all(
    lines: Row, count: int, grows: bool, thick: float, rows: Row, beside: bool, masks: Flags, role_bits: Flags,
    bodies: Row, stuck: Flags, cases: Flags, ways: Row, way_count: int, view: View, settings: Row, bodies_near: Flags,
) -> None:  # fmt: skip
    """Look at the first ``count`` lines, each in all the rows that hold the bar; arguments as for ``look``."""
    for i in range(count):
        for row in rows:
            line = (lines[i, 0], lines[i, 1], lines[i, 2] + row, lines[i, 3], lines[i, 4], lines[i, 5])
            look(
                line, grows, thick, beside, masks, role_bits, bodies, stuck, cases, ways, way_count, view, settings,
                bodies_near,
            )  # fmt: skip
            if masks[0] == 0:
                return
