"""Which bodies a branch of shapes can come near at all: the others need no look at any node of it. Compiled.

Whatever is made of the bends still to come, the bar beyond a node lies in a ball that is the same, as seen from there,
for all nodes of a depth, and in a box, which tells more of a flat piece. What these pass on their whole way is passed
by every line in them.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled, compiled_in
from bentwork.clearance.distances import BOX, FURTHEST, NEAREST
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, arc_lines, bent, chords, run_on
from bentwork.planning.order_lifts import lift_ball
from bentwork.planning.order_look import (
    LEAST_LEFT,
    MOST_LEFT,
    PHASES,
    SHIFT,
    SPANS,
    STROKE,
    View,
    boxes_of,
    from_axis,
    outside,
)
from bentwork.planning.order_sift import BITS, BODY, LIFTS, SWEEP, Near, listed, sift

__all__ = ["balls", "box_in", "narrowed"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

_HAIR = 1e-6  # mm; many times what rounding makes of these sums
_STEPS = 40  # from the first middle of a ball; the ball is then a few parts in a hundred larger than the least


@compiled
def balls(bends: Row, coarse: float, error: float) -> tuple[Row, float]:
    """Return a ball and a box for every depth that hold what is beyond, whatever is made of it; how far arcs lie off.

    Args:
        bends: of one side, outward, (m, 5).
        coarse: radians that one chord may turn through in a first look.
        error: how far fine chords may lie from their arc.

    Returns:
        in the frame where the bar goes on: middle and radius, then lowest x, y, z and highest x, y, z, (m + 1, 10); and
        the most that arcs lie from their chords. In mm.
    """
    m, most = len(bends), 0.0
    found, frame, box = np.zeros((m + 1, 10)), np.empty(12), np.empty(6)
    found[m, 3], found[m, 4:7], found[m, 7:] = _HAIR, -_HAIR, _HAIR
    lines, held = (np.empty((400, 6)), np.zeros((1700, 4)))  # balls to be held: points are of radius 0
    for i in range(m - 1, -1, -1):
        count = 1
        held[0] = 0.0
        for made in range(2):
            frame[:] = 0.0
            frame[3] = frame[7] = frame[11] = 1.0
            length = bends[i, STRAIGHT]
            if made == 0:
                length += bends[i, ARC]
            else:
                fine = chords(bends[i, RADIUS], bends[i, ANGLE], error)
                for chosen in (max(1, int(np.ceil(bends[i, ANGLE] / coarse))), fine):
                    most = max(most, arc_lines(frame, bends[i], chosen, lines))
                    for j in range(chosen):
                        held[count, :3] = lines[j, :3]
                        held[count + 1, :3] = lines[j, :3] + lines[j, 3:]
                        held[count, 3] = held[count + 1, 3] = 0.0
                        count += 2
                bent(frame, bends[i], frame)
            held[count, :3], held[count, 3] = frame[:3], 0.0
            run_on(frame, length, lines[0])
            held[count + 1, :3], held[count + 1, 3] = frame[:3], 0.0
            for axis in range(3):
                held[count + 2, axis] = _along(frame, found[i + 1], axis)
            held[count + 2, 3] = found[i + 1, 3]
            count += 3
            box_in(frame, found[i + 1], box)
            for axis in range(3):
                found[i, 4 + axis] = min(found[i, 4 + axis], box[axis] - _HAIR)
                found[i, 7 + axis] = max(found[i, 7 + axis], box[3 + axis] + _HAIR)
        _hold(held[:count], found[i])
        for j in range(count):
            if held[j, 3] == 0.0:
                for axis in range(3):
                    found[i, 4 + axis] = min(found[i, 4 + axis], held[j, axis] - _HAIR)
                    found[i, 7 + axis] = max(found[i, 7 + axis], held[j, axis] + _HAIR)
    return found, most


@compiled_in
def _along(frame: Row, ball: Row, axis: int) -> float:
    """Return a coordinate of the middle of a ball that is given in a frame."""
    return frame[axis] + ball[0] * frame[3 + axis] + ball[1] * frame[6 + axis] + ball[2] * frame[9 + axis]


@compiled_in
def box_in(frame: Row, ball: Row, box: Row) -> None:
    """Write the upright box that holds what lies in a ball and a box given in a frame, see ``balls``."""
    for axis in range(3):
        middle, half = frame[axis], 0.0
        for k in range(3):
            along = frame[3 + 3 * k + axis]
            middle += 0.5 * along * (ball[4 + k] + ball[7 + k])
            half += 0.5 * abs(along) * (ball[7 + k] - ball[4 + k])
        round_ = _along(frame, ball, axis)
        box[axis], box[3 + axis] = max(middle - half, round_ - ball[3]), min(middle + half, round_ + ball[3])


@compiled
def _hold(held: Row, ball: Row) -> None:
    """Write a ball that holds all of these: its middle is drawn to the furthest again and again, each time by less."""
    ball[:4] = held[0]
    for step in range(_STEPS + 1):
        furthest, which = -1.0, 0
        for j in range(len(held)):
            x, y, z = held[j, 0] - ball[0], held[j, 1] - ball[1], held[j, 2] - ball[2]
            far = math.sqrt(x * x + y * y + z * z) + held[j, 3]
            if far > furthest:
                furthest, which = far, j
        ball[3] = furthest + _HAIR
        if step < _STEPS:
            for axis in range(3):
                ball[axis] += (held[which, axis] - ball[axis]) / (step + 2.0)


@compiled_in
def narrowed(
    frame: Row, ball: Row, tall: float, thick: float, mask: int, role_bits: Flags, bodies: Row, ways: Row,
    way_count: int, view: View, settings: Row, before: Near, box: Row, near: Near,
) -> None:  # fmt: skip
    """Write which bodies the bar may come near from a node on.

    Args:
        frame: where the bar goes on.
        ball: that holds what goes on there, see ``balls``.
        tall: how far its rows lie above or below their middle.
        thick: how near a body may come to a line, the most of them.
        mask: bits that are left at the node.
        role_bits: as for ``order_sides.side_masks``.
        bodies: the same.
        ways: the same.
        way_count: the same.
        view: see ``order_look.view_of``.
        settings: of the motion.
        before: bodies of the node before it.
        box: room to work in, (6,).
        near: where to write.
    """
    roles, paces, boxes, lifted, left = view[0], view[2], view[4], view[6], view[7]
    x, y, z, reach = (_along(frame, ball, 0), _along(frame, ball, 1), _along(frame, ball, 2), ball[3])
    box_in(frame, ball, box)
    point, bottom, top = (x, y, z, 0.0, 0.0, 0.0), box[2] - tall, box[5] + tall
    half = 0.5 * settings[2] / SPANS
    for role in range(2):
        shift, nearest, furthest = roles[role, SHIFT], -1.0, -1.0
        for station in range(2):
            which, phases = 2 * role + station, int(roles[role, PHASES + station])
            near[0][which, 0] = near[0][which, 1] = 0
            if mask & role_bits[role] == 0 or before[0][which, 0] == 0:
                continue
            if before[0][which, 1] & LIFTS:
                lift_ball(x, y, reach, box, tall, view[3], phases, role, station, ways, way_count, lifted)
            if sift(before, which, bottom, top, thick, lifted, phases, left) == 0:
                continue
            far, more = thick + shift + (roles[role, STROKE] if station == 1 else 0.0), 0.0
            for e in range(before[0][which, 0]):
                hit = left[e]
                if hit == 0 or mask & before[1][which, BITS, e] == 0:
                    continue
                if hit & SWEEP:
                    if furthest < 0.0:
                        nearest, furthest = from_axis(
                            point, roles[role, MOST_LEFT], roles[role, LEAST_LEFT], settings[0]
                        )
                        nearest, furthest = nearest - reach, furthest + reach
                    body = bodies[role, before[1][which, BODY, e]]
                    if nearest - body[FURTHEST] >= far or body[NEAREST] - furthest >= far:
                        hit = 0 if way_count == 1 else hit & LIFTS
                    else:
                        if more == 0.0:
                            pace = paces[role, station]
                            boxes_of(point, False, view[1][role, station], pace, half, settings[0], boxes)
                            more = reach * (1.0 + half * pace[0])
                        level = max(0.0, bottom - body[BOX + 5], body[BOX + 2] - top)
                        if outside(boxes, SPANS, more, level, body, thick + shift):
                            hit &= LIFTS
                if hit:
                    listed(hit, before, which, e, near)
