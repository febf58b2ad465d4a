"""Which shapes of one side of the bar clear the bender at one bend: a tree over the bends outward. Compiled.

A node of the tree is a choice, made or still straight, for the bends from the one being made out to some depth. What
its own stretch of bar hits, every node beyond it hits as well, so that a blocked node takes its whole branch with it.
Node (depth d, choice b) stands at 2^d - 1 + b; bit i of b tells whether the i-th bend outward is made.

Bits of a mask: 2 * mounting + 0 where end A is held, + 1 where end B is held.
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
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, arc_lines, bent, chords, run_on
from bentwork.clearance.sweep import clears_body, clears_lift, turned

__all__ = ["COARSE", "SPANS", "side_masks"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

SPANS = 8
"""Spans of the sweep in which a line is first looked at in an upright box."""

COARSE = 1.9
"""Radians that one chord of an arc may turn through in the first look; half of them can be passed on it alone."""


@compiled
def _from_axis(
    line: tuple[float, float, float, float, float, float], left: float, least_left: float, radius: float
) -> tuple[float, float]:
    """Return the nearest and the furthest that a line comes to the die's axis in the whole sweep.

    In the frame of its side the axis moves along a straight line: it stays square to the bar at the tangent point.
    """
    px, py, ux, uy = line[0], line[1], line[3], line[4]
    near = between_lines(px, py, 0.0, ux, uy, 0.0, -left, radius, 0.0, left - least_left, 0.0, 0.0)
    qx, qy = px + ux, py + uy
    far = max(math.hypot(px + left, py - radius), math.hypot(px + least_left, py - radius))
    return near, max(far, math.hypot(qx + left, qy - radius), math.hypot(qx + least_left, qy - radius))


@compiled
def _boxes(
    line: tuple[float, float, float, float, float, float], grows: bool, spans: Row, pace: Row, half: float,
    radius: float, boxes: Row,
) -> None:  # fmt: skip
    """Write an upright box that holds the line for each span of the sweep, and then one that holds them all.

    ``spans`` holds the pose in the middle of each span and how much of the bend is still straight, (n, 7); ``pace``
    turning, drift and growth, see ``motion``; ``half`` is half a span, radians; ``boxes`` x, y from and to, (n + 1, 4).
    """
    n = len(spans)
    boxes[n, 0] = boxes[n, 1] = np.inf
    boxes[n, 2] = boxes[n, 3] = -np.inf
    for i in range(n):
        c, s, x, y, cx, cy, left = spans[i]
        px, ux = line[0], line[3]
        if grows:
            px, ux = px - left, ux + left
        ax, ay = c * px - s * line[1] + x, s * px + c * line[1] + y
        bx, by = ax + c * ux - s * line[4], ay + s * ux + c * line[4]
        arm = max(math.hypot(ax - cx, ay - cy), math.hypot(bx - cx, by - cy)) + (radius if grows else 0.0)
        moves = half * (pace[0] * (arm + 0.5 * pace[2] * half) + pace[1])
        boxes[i, 0], boxes[i, 1] = min(ax, bx) - moves, min(ay, by) - moves
        boxes[i, 2], boxes[i, 3] = max(ax, bx) + moves, max(ay, by) + moves
        for k in range(2):
            boxes[n, k] = min(boxes[n, k], boxes[i, k])
            boxes[n, 2 + k] = max(boxes[n, 2 + k], boxes[i, 2 + k])


@compiled
def _outside(box: Row, level: float, body: Row, thick: float) -> bool:
    """Tell whether a box (and a gap in height) is ``thick`` away from the box of a body."""
    gx = max(0.0, box[0] - body[BOX + 3], body[BOX] - box[2])
    gy = max(0.0, box[1] - body[BOX + 4], body[BOX + 1] - box[3])
    return gx * gx + gy * gy + level * level >= thick * thick


@compiled
def _sweeps_past(
    line: tuple[float, float, float, float, float, float], grows: bool, thick: float, shift: float, body: Row,
    level: float, case: int, back: int, boxes: Row, settings: Row,
) -> bool:  # fmt: skip
    """Tell whether a line stays ``thick`` away from a body on the way up and springing back."""
    pull, wanted = settings[2], settings[3]
    n = len(boxes) - 1
    if _outside(boxes[n], level, body, thick + shift):
        return True
    near = False
    for i in range(n):
        if not _outside(boxes[i], level, body, thick + shift):
            near = True
            if not clears_body(line, grows, thick, body, case, pull * i / n, pull * (i + 1) / n, settings):
                return False
    return not near or back < 0 or clears_body(line, grows, thick, body, back, wanted, pull, settings)


@compiled
def _look(
    line: tuple[float, float, float, float, float, float], grows: bool, thick: float, beside: bool, masks: Flags,
    role_bits: Flags, bodies: Row, stuck: Flags, cases: Flags, ways: Row, way_count: int, spans: Row, paces: Row,
    lifts: Row, boxes: Row, settings: Row,
) -> None:  # fmt: skip
    """Take the bits of what a line hits out of the masks (bending; put on up, aside; lifted off up, aside)."""
    pull = settings[2]
    bottom, top = min(line[2], line[2] + line[5]), max(line[2], line[2] + line[5])
    for role in range(2):
        if masks[0] & role_bits[role] == 0:
            continue
        down = 1.0 if role == 0 else -1.0  # the held side sees up as down
        shift = opening_apart(cases[role, 0, 0] == SWINGS, settings) if cases[role, 1, 0] >= 0 else 0.0
        boxed = 0
        free = cases[role, 0, 0] != STILL
        pushed = stroke(0.5 * pull, settings) if cases[role, 0, 1] == PUSHED else 0.0
        least_left = left_over(cases[role, 0, 0], pull, settings)
        most_left = lifts[role, 0, 0, 6] if free else 0.0
        near, far = _from_axis(line, most_left, least_left if free else 0.0, settings[0])
        if grows:
            near, far = 0.0, max(far, settings[0] + most_left)
        for b in range(bodies.shape[1]):
            body = bodies[role, b]
            level = max(0.0, bottom - body[HIGHEST], body[LOWEST] - top)
            let_go = body[LETS_GO] != 0.0
            if level >= thick and (let_go or (down < 0.0) == (bottom > body[HIGHEST])):
                continue  # above or below it all the time; and it is not lifted towards it
            bits = role_bits[role]
            if body[MOUNTING] >= 0.0:
                bits &= 3 << (2 * int(body[MOUNTING]))
            if masks[0] & bits == 0 or (beside and body[BY_DESIGN] != 0.0):
                continue
            station = int(body[STATION])
            reach = thick + shift + (pushed if station == 1 else 0.0)
            apart = near - body[FURTHEST] >= reach or body[NEAREST] - far >= reach
            if level < thick and not apart:
                if not (boxed >> station) & 1:
                    half = 0.5 * pull / (boxes.shape[1] - 1)
                    _boxes(line, grows, spans[role, station], paces[role, station], half, settings[0], boxes[station])
                    boxed |= 1 << station
                back = -1 if let_go else cases[role, 1, station]
                if not _sweeps_past(
                    line, grows, thick, shift, body, level, cases[role, 0, station], back, boxes[station], settings
                ):
                    masks[0] &= ~bits
                    continue
            if let_go or (apart and way_count == 1):  # what stays apart in the plane of the die stays so on the way up
                continue
            for phase in range(2):
                c, s, x, y, cx, cy, left = lifts[role, phase, station]
                lifted = turned(line, (c, s, x, y, cx, cy))
                if grows:
                    lifted = (
                        lifted[0] - c * left,
                        lifted[1] - s * left,
                        lifted[2],
                        lifted[3] + c * left,
                        lifted[4] + s * left,
                        lifted[5],
                    )
                for way in range(1 if apart else 0, way_count):
                    which = 1 + 2 * phase + way
                    if masks[which] & bits == 0:
                        continue
                    w = ways[role, phase, way, station]
                    if not clears_lift(lifted, thick, body, (w[0], w[1], w[2])):
                        masks[which] &= ~bits
                        stuck[0] = 1
    masks[0] &= (masks[1] | masks[2]) & (masks[3] | masks[4])


@compiled
def _look_all(
    lines: Row, count: int, grows: bool, gap: float, thick: float, rows: Row, beside: bool, masks: Flags,
    role_bits: Flags, bodies: Row, stuck: Flags, cases: Flags, ways: Row, way_count: int, spans: Row,
    paces: Row, lifts: Row, boxes: Row, settings: Row,
) -> None:  # fmt: skip
    for i in range(count):
        for row in rows:
            line = (lines[i, 0], lines[i, 1], lines[i, 2] + row, lines[i, 3], lines[i, 4], lines[i, 5])
            _look(
                line,
                grows,
                thick + gap,
                beside,
                masks,
                role_bits,
                bodies,
                stuck,
                cases,
                ways,
                way_count,
                spans,
                paces,
                lifts,
                boxes,
                settings,
            )
            if masks[0] == 0:
                return


@compiled
def _write(case: int, t: float, settings: Row, into: Row) -> None:
    into[0], into[1], into[2], into[3], into[4], into[5] = placed(case, t, settings)
    into[6] = left_over(case, t, settings)


@compiled
def side_masks(
    first: float, bends: Row, needs: Row, rows: Row, thick: float, error: float, start: int, role_bits: Flags,
    bodies: Row, cases: Flags, ways: Row, way_count: int, settings: Row, must: int, stuck: Flags,
) -> Flags:  # fmt: skip
    """Return the masks of every node, (nodes, 5).

    Args:
        first: straight beside the bend being made.
        bends: of this side, outward, (m, 5).
        needs: least straight where this side is held and where it is free, then least end, (4,).
        rows: offsets of the rows that hold the bar.
        thick: radius of a row and the clearance wanted.
        error: how far chords may lie from their arc.
        start: bits that are not ruled out from the start.
        role_bits: bits for which this side is held, and free, (2,).
        bodies: as the held and the free side see them, (2, n, columns).
        cases: by role; bending, opening, let go; station: (2, 3, 2).
        ways: by role; put on, lifted off; way; station: (2, 2, 2, 2, 3).
        way_count: how many ways there are.
        settings: of the motion.
        must: choices that are made already, as bits outward.
        stuck: (1,), set to 1 where the bar cannot be put on or lifted off in one of the ways.
    """
    m = len(bends)
    found = np.zeros((2 ** (m + 1) - 1, 5), dtype=np.int64)
    frames = np.zeros((m + 1, 12))
    run = np.zeros(m + 1)  # straight bar beside the bend so far; below 0 once a bend is made
    masks = np.zeros((m + 1, 5), dtype=np.int64)
    trial, unheard = np.zeros(5, dtype=np.int64), np.zeros(1, dtype=np.int64)
    choice = np.zeros(m + 1, dtype=np.int64)
    nodes = np.zeros(m + 1, dtype=np.int64)
    lines = np.zeros((400, 6))

    spans, paces, lifts = np.empty((2, 2, SPANS, 7)), np.empty((2, 2, 3)), np.empty((2, 2, 2, 7))
    boxes = np.empty((2, SPANS + 1, 4))
    for role in range(2):
        for station in range(2):
            case = cases[role, 0, station]
            paces[role, station, 0], paces[role, station, 1], paces[role, station, 2] = pace(case, settings)
            for i in range(SPANS):
                _write(case, settings[2] * (i + 0.5) / SPANS, settings, spans[role, station, i])
            _write(case, 0.0, settings, lifts[role, 0, station])
            _write(cases[role, 2, station], settings[3], settings, lifts[role, 1, station])

    frames[0, 3] = frames[0, 7] = frames[0, 11] = 1.0
    run_on(frames[0], first, lines[0])
    run[0] = first
    masks[0, :] = start
    if way_count < 2:
        masks[0, 2] = masks[0, 4] = 0
    _look_all(
        lines,
        1,
        True,
        0.0,
        thick,
        rows,
        True,
        masks[0],
        role_bits,
        bodies,
        stuck,
        cases,
        ways,
        way_count,
        spans,
        paces,
        lifts,
        boxes,
        settings,
    )
    depth = 0
    while True:
        # a node has been looked at: keep it, then go deeper, or back to the next choice
        if depth == m and run[depth] >= 0.0:
            for role in range(2):
                if run[depth] < needs[2 + role] - 1e-9:
                    masks[depth, 0] &= ~role_bits[role]
        found[2**depth - 1 + nodes[depth]] = masks[depth]
        deeper = depth < m and masks[depth, 0] != 0
        if deeper:
            depth += 1
            choice[depth] = 0
        else:
            while depth > 0 and choice[depth] == 1:
                depth -= 1
            if depth == 0:
                return found
            choice[depth] = 1
        i = depth - 1
        made = choice[depth]
        nodes[depth] = nodes[i] | (made << i)
        masks[depth] = masks[i]
        frames[depth] = frames[i]
        run[depth] = run[i]
        if made == 0 and (must >> i) & 1:
            masks[depth] = 0
            continue
        length = bends[i, STRAIGHT]
        if made == 0:
            length += bends[i, ARC]
            if run[i] >= 0.0:
                run[depth] += length
        else:
            if run[i] >= 0.0:
                for role in range(2):
                    if run[i] < needs[role] - 1e-9:
                        masks[depth, 0] &= ~role_bits[role]
                run[depth] = -1.0
            if masks[depth, 0] == 0:
                continue
            count = max(1, int(np.ceil(bends[i, ANGLE] / COARSE)))
            gap = arc_lines(frames[i], bends[i], count, lines)
            trial[:] = masks[depth]
            _look_all(
                lines,
                count,
                False,
                gap,
                thick,
                rows,
                False,
                trial,
                role_bits,
                bodies,
                unheard,
                cases,
                ways,
                way_count,
                spans,
                paces,
                lifts,
                boxes,
                settings,
            )
            same = True
            for j in range(5):
                same = same and trial[j] == masks[depth, j]
            if not same:
                count = chords(bends[i, RADIUS], bends[i, ANGLE], error)
                gap = arc_lines(frames[i], bends[i], count, lines)
                _look_all(
                    lines, count, False, gap, thick, rows, False, masks[depth], role_bits, bodies, stuck, cases, ways,
                    way_count, spans, paces, lifts, boxes, settings,
                )  # fmt: skip
            bent(frames[depth], bends[i], frames[depth])
            if masks[depth, 0] == 0:
                continue
        run_on(frames[depth], length, lines[0])
        _look_all(
            lines, 1, False, 0.0, thick, rows, run[depth] >= 0.0, masks[depth], role_bits, bodies, stuck, cases, ways,
            way_count, spans, paces, lifts, boxes, settings,
        )  # fmt: skip
