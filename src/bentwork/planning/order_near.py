"""Which bodies a branch of shapes can come near at all: the others need no look at any node of it. Compiled.

Whatever is made of the bends still to come, the bar beyond a node lies in a ball that is the same, as seen from there,
for all nodes of a depth. What that ball passes on its whole way is passed by every line in it.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import BOX, FURTHEST, HIGHEST, LETS_GO, LOWEST, MOUNTING, NEAREST, STATION
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, arc_lines, bent, chords, run_on
from bentwork.planning.order_lifts import HITS, LIFT, LIFTS, SWEEP, lift_line, still_hit
from bentwork.planning.order_look import LEAST_LEFT, MOST_LEFT, SHIFT, SPANS, STROKE, View, boxes_of, from_axis

__all__ = ["all_near", "balls", "narrowed"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

_HAIR = 1e-6  # mm; many times what rounding makes of these sums
_STEPS = 40  # from the first middle of a ball; the ball is then a few parts in a hundred larger than the least


@compiled
def all_near(bodies: Row, depths: int, way_count: int) -> Flags:
    """Return room for lists of bodies, by depth, as ``order_look.look`` takes them, (depths, 2, n + 1); first all."""
    count = bodies.shape[1]
    near = np.zeros((depths, 2, count + 1), dtype=np.int64)
    near[0, :, 0] = count
    for role in range(2):
        for b in range(count):
            hit = SWEEP
            for way in range(way_count if bodies[role, b, LETS_GO] == 0.0 else 0):
                hit |= (LIFT << way) | (LIFT << (2 + way))
            near[0, role, b + 1] = (b << HITS) | hit
    return near


@compiled
def balls(bends: Row, coarse: float, error: float) -> tuple[Row, float]:
    """Return a ball for every depth that holds the bar beyond, whatever is made of it; how far arcs lie from chords.

    Args:
        bends: of one side, outward, (m, 5).
        coarse: radians that one chord may turn through in a first look.
        error: how far fine chords may lie from their arc.

    Returns:
        middle, in the frame where the bar goes on, and radius, (m + 1, 4); the most that arcs lie from chords. In mm.
    """
    m, most = len(bends), 0.0
    found, frame = np.zeros((m + 1, 4)), np.empty(12)
    found[m, 3] = _HAIR
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
        _hold(held[:count], found[i])
    return found, most


@compiled
def _along(frame: Row, ball: Row, axis: int) -> float:
    """Return a coordinate of the middle of a ball that is given in a frame."""
    return frame[axis] + ball[0] * frame[3 + axis] + ball[1] * frame[6 + axis] + ball[2] * frame[9 + axis]


@compiled
def _hold(held: Row, ball: Row) -> None:
    """Write a ball that holds all of these: its middle is drawn to the furthest again and again, each time by less."""
    ball[:] = held[0]
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


@compiled
def _past(boxes: Row, station: int, more: float, level: float, body: Row, thick: float) -> bool:
    """Tell whether the box of the whole sweep, ``more`` larger all round, stays ``thick`` away from a body."""
    gx = max(0.0, boxes[station, SPANS, 0] - more - body[BOX + 3], body[BOX] - boxes[station, SPANS, 2] - more)
    gy = max(0.0, boxes[station, SPANS, 1] - more - body[BOX + 4], body[BOX + 1] - boxes[station, SPANS, 3] - more)
    return gx * gx + gy * gy + level * level >= thick * thick


@compiled
def narrowed(
    frame: Row, ball: Row, tall: float, thick: float, mask: int, role_bits: Flags, bodies: Row, ways: Row,
    way_count: int, view: View, settings: Row, before: Flags, near: Flags,
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
        before: bodies of the node before it, as ``order_look.look`` takes them, (2, n + 1).
        near: where to write, the same.
    """
    roles, paces, boxes, lifted = view[0], view[2], view[4], view[5]
    x, y, z, reach = (_along(frame, ball, 0), _along(frame, ball, 1), _along(frame, ball, 2), ball[3])
    point, bottom, top = (x, y, z, 0.0, 0.0, 0.0), z - reach - tall, z + reach + tall
    half = 0.5 * settings[2] / SPANS
    for role in range(2):
        count = 0
        if mask & role_bits[role] != 0:
            upright = role == 1
            shift = roles[role, SHIFT]
            nearest = furthest = -1.0
            boxed = carried = 0
            for i in range(1, before[role, 0] + 1):
                b, hit = before[role, i] >> HITS, before[role, i] & (SWEEP | LIFTS)
                body = bodies[role, b]
                bits = role_bits[role]
                if body[MOUNTING] >= 0.0:
                    bits &= 3 << (2 * int(body[MOUNTING]))
                if mask & bits == 0:
                    continue
                level = max(0.0, bottom - body[HIGHEST], body[LOWEST] - top)
                if level >= thick:
                    if upright == (bottom > body[HIGHEST]):
                        continue  # not lifted towards it either
                    hit &= LIFTS
                station = int(body[STATION])
                if hit & LIFTS:
                    if not (carried >> station) & 1:
                        lift_line(point, False, reach + tall, view[3], role, station, ways, way_count, lifted)
                        carried |= 1 << station
                    hit = still_hit(lifted, station, thick, body, hit)
                if hit & SWEEP:
                    if furthest < 0.0:
                        nearest, furthest = from_axis(
                            point, roles[role, MOST_LEFT], roles[role, LEAST_LEFT], settings[0]
                        )
                        nearest, furthest = nearest - reach, furthest + reach
                    far = thick + shift + (roles[role, STROKE] if station == 1 else 0.0)
                    if nearest - body[FURTHEST] >= far or body[NEAREST] - furthest >= far:
                        hit = 0 if way_count == 1 else hit & LIFTS
                    else:
                        if not (boxed >> station) & 1:
                            boxes_of(point, False, view, role, station, half, settings[0], boxes)
                            boxed |= 1 << station
                        more = reach * (1.0 + half * paces[role, station, 0])
                        if _past(boxes, station, more, level, body, thick + shift):
                            hit &= LIFTS
                if hit:
                    count += 1
                    near[role, count] = (b << HITS) | hit
        near[role, 0] = count
