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

from bentwork.clearance.compiling import compiled, compiled_in
from bentwork.clearance.distances import BOX, BY_DESIGN, FURTHEST, LETS_GO, NEAREST, between_lines
from bentwork.clearance.motion import PUSHED, STILL, SWINGS, left_over, opening_apart, pace, placed, stroke
from bentwork.clearance.sweep import clears_body
from bentwork.planning.order_lifts import lift_line, lifts_past
from bentwork.planning.order_sift import BITS, BODY, LIFTS, SWEEP, Near, sift

__all__ = [
    "LEAST_LEFT",
    "MOST_LEFT",
    "PHASES",
    "SHIFT",
    "SPANS",
    "STROKE",
    "View",
    "boxes_of",
    "from_axis",
    "look_all",
    "outside",
    "view_of",
]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]
Line = tuple[float, float, float, float, float, float]

SPANS = 8
"""Spans of the sweep in which a line is first looked at in an upright box."""

SHIFT, STROKE, MOST_LEFT, LEAST_LEFT, PHASES = range(5)
View = tuple[Row, Row, Row, Row, Row, Row, Row, Flags]
"""What does not change from line to line, by role (held, free): how far it may lie springing back from where it was on
the way up, half a former's stroke, most and least of the bend that is still straight, and by station 1
where the bar is lifted off as it is put on, else 2, (2, 6); by role and station: the
pose in the middle of each span (2, 2, SPANS, 7), the pace (2, 2, 3); by role, put on and lifted off, and station: the
pose (2, 2, 2, 7); and room for the boxes of a line (SPANS + 1, 4), for it lifted, see ``lift_line``, and for what each
body of a list may still be hit in (n,)."""


@compiled
def _write(case: int, t: float, settings: Row, into: Row) -> None:
    into[0], into[1], into[2], into[3], into[4], into[5] = placed(case, t, settings)
    into[6] = left_over(case, t, settings)


@compiled
def view_of(cases: Flags, ways: Row, settings: Row, room: int) -> View:
    """Return what every look at a line of one bend needs; arguments as for ``look``; ``room`` of a list."""
    roles, spans, paces = np.zeros((2, 6)), np.empty((2, 2, SPANS, 7)), np.empty((2, 2, 3))
    lifts, boxes = np.empty((2, 2, 2, 7)), np.empty((SPANS + 1, 4))
    pull = settings[2]
    for role in range(2):
        for station in range(2):
            case = cases[role, 0, station]
            paces[role, station, 0], paces[role, station, 1], paces[role, station, 2] = pace(case, settings)
            for i in range(SPANS):
                _write(case, pull * (i + 0.5) / SPANS, settings, spans[role, station, i])
            _write(case, 0.0, settings, lifts[role, 0, station])
            _write(cases[role, 2, station], settings[3], settings, lifts[role, 1, station])
            alike = (lifts[role, 0, station] == lifts[role, 1, station]).all()
            alike = alike and (ways[role, 0, :, station] == ways[role, 1, :, station]).all()
            roles[role, PHASES + station] = 1.0 if alike else 2.0
        if cases[role, 1, 0] >= 0:
            roles[role, SHIFT] = opening_apart(cases[role, 0, 0] == SWINGS, settings)
        if cases[role, 0, 1] == PUSHED:
            roles[role, STROKE] = stroke(0.5 * pull, settings)
        if cases[role, 0, 0] != STILL:
            roles[role, MOST_LEFT] = lifts[role, 0, 0, 6]
            roles[role, LEAST_LEFT] = left_over(cases[role, 0, 0], pull, settings)
    return roles, spans, paces, lifts, boxes, np.empty((2, 6)), np.empty((5, 6)), np.empty(room, dtype=np.int64)


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
def boxes_of(line: Line, grows: bool, spans: Row, paces: Row, half: float, radius: float, boxes: Row) -> None:
    """Write an upright box that holds the line for each span of the sweep, and then one that holds them all.

    ``spans`` and ``paces`` of ``View`` for this role and station; ``half`` is half a span, radians; ``boxes`` x, y from
    and to, (n + 1, 4).
    """
    n, turning, drift, growth = SPANS, paces[0], paces[1], paces[2]
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for i in range(n):
        c, s = spans[i, 0], spans[i, 1]
        cx, cy = spans[i, 4], spans[i, 5]
        px, ux = line[0], line[3]
        if grows:
            left = spans[i, 6]
            px, ux = px - left, ux + left
        ax = c * px - s * line[1] + spans[i, 2]
        ay = s * px + c * line[1] + spans[i, 3]
        bx, by = ax + c * ux - s * line[4], ay + s * ux + c * line[4]
        arm = math.sqrt(max((ax - cx) ** 2 + (ay - cy) ** 2, (bx - cx) ** 2 + (by - cy) ** 2))
        if grows:
            arm += radius
        moves = half * (turning * (arm + 0.5 * growth * half) + drift)
        low_x, low_y = min(ax, bx) - moves, min(ay, by) - moves
        high_x, high_y = max(ax, bx) + moves, max(ay, by) + moves
        boxes[i, 0], boxes[i, 1], boxes[i, 2], boxes[i, 3] = low_x, low_y, high_x, high_y
        x0, y0, x1, y1 = min(x0, low_x), min(y0, low_y), max(x1, high_x), max(y1, high_y)
    boxes[n, 0], boxes[n, 1], boxes[n, 2], boxes[n, 3] = x0, y0, x1, y1


@compiled_in
def outside(boxes: Row, i: int, more: float, level: float, body: Row, thick: float) -> bool:
    """Tell whether a box, ``more`` larger all round, and a gap in height are ``thick`` away from the box of a body."""
    gx = max(0.0, boxes[i, 0] - more - body[BOX + 3], body[BOX] - boxes[i, 2] - more)
    gy = max(0.0, boxes[i, 1] - more - body[BOX + 4], body[BOX + 1] - boxes[i, 3] - more)
    return gx * gx + gy * gy + level * level >= thick * thick


@compiled
def _sweeps_past(
    line: Line, grows: bool, thick: float, shift: float, body: Row, level: float, case: int, back: int, boxes: Row,
    settings: Row,
) -> bool:  # fmt: skip
    """Tell whether a line stays ``thick`` away from a body on the way up and springing back."""
    if outside(boxes, SPANS, 0.0, level, body, thick + shift):
        return True
    pull, wanted = settings[2], settings[3]
    near = False
    for i in range(SPANS):
        if not outside(boxes, i, 0.0, level, body, thick + shift):
            near = True
            first, last = pull * i / SPANS, pull * (i + 1) / SPANS
            if not clears_body(line, grows, thick, body, case, first, last, settings):
                return False
    return not near or back < 0 or clears_body(line, grows, thick, body, back, wanted, pull, settings)


@compiled_in
def look(
    line: Line, grows: bool, thick: float, beside: bool, masks: Flags, role_bits: Flags, bodies: Row, stuck: Flags,
    cases: Flags, ways: Row, way_count: int, view: View, settings: Row, near: Near,
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
        near: bodies to look at.
    """
    bottom, top = min(line[2], line[2] + line[5]), max(line[2], line[2] + line[5])
    roles, boxes, at, lifted, left = view[0], view[4], view[5], view[6], view[7]
    for role in range(2):
        shift, nearest, furthest = roles[role, SHIFT], -1.0, -1.0
        for station in range(2):
            which, phases = 2 * role + station, int(roles[role, PHASES + station])
            if masks[0] & role_bits[role] == 0 or near[0][which, 0] == 0:
                continue
            if near[0][which, 1] & LIFTS:
                lift_line(line, grows, view[3], phases, role, station, ways, way_count, at, lifted)
            if sift(near, which, bottom, top, thick, lifted, phases, left) == 0:
                continue
            if furthest < 0.0:
                nearest, furthest = from_axis(line, roles[role, MOST_LEFT], roles[role, LEAST_LEFT], settings[0])
                if grows:
                    nearest, furthest = 0.0, max(furthest, settings[0] + roles[role, MOST_LEFT])
            reach, boxed = thick + shift + (roles[role, STROKE] if station == 1 else 0.0), False
            for e in range(near[0][which, 0]):
                hit, bits, body = left[e], near[1][which, BITS, e], bodies[role, near[1][which, BODY, e]]
                if hit == 0 or masks[0] & bits == 0 or (beside and body[BY_DESIGN] != 0.0):
                    continue
                apart = nearest - body[FURTHEST] >= reach or body[NEAREST] - furthest >= reach
                if hit & SWEEP and not apart:
                    if not boxed:
                        half = 0.5 * settings[2] / SPANS
                        boxes_of(line, grows, view[1][role, station], view[2][role, station], half, settings[0], boxes)
                        boxed = True
                    level = max(0.0, bottom - body[BOX + 5], body[BOX + 2] - top)
                    back = -1 if body[LETS_GO] != 0.0 else cases[role, 1, station]
                    if not _sweeps_past(
                        line, grows, thick, shift, body, level, cases[role, 0, station], back, boxes, settings
                    ):
                        masks[0] &= ~bits
                        continue
                if hit & LIFTS and not (apart and way_count == 1):  # what stays apart in plan stays so on the way up
                    lifts_past(at, thick, apart, hit, masks, bits, body, role, station, stuck, ways)
    masks[0] &= (masks[1] | masks[2]) & (masks[3] | masks[4])


@compiled_in
def look_all(
    lines: Row, count: int, grows: bool, thick: float, rows: Row, beside: bool, masks: Flags, role_bits: Flags,
    bodies: Row, stuck: Flags, cases: Flags, ways: Row, way_count: int, view: View, settings: Row, near: Near,
) -> None:  # fmt: skip
    """Look at the first ``count`` lines, each in all the rows that hold the bar; arguments as for ``look``."""
    for i in range(count):
        for row in rows:
            line = (lines[i, 0], lines[i, 1], lines[i, 2] + row, lines[i, 3], lines[i, 4], lines[i, 5])
            look(
                line, grows, thick, beside, masks, role_bits, bodies, stuck, cases, ways, way_count, view, settings,
                near,
            )  # fmt: skip
            if masks[0] == 0:
                return
