"""A line of bar put on and lifted off past bodies: boxes of all that it passes, then what is left exactly. Compiled."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled, compiled_in
from bentwork.clearance.sweep import Line, clears_lift, turned
from bentwork.planning.order_sift import LIFT

__all__ = ["lift_ball", "lift_line", "lifts_past"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]


@compiled_in
def _along_ways(
    low: float, high: float, axis: int, phase: int, role: int, station: int, ways: Row, way_count: int, lifted: Row
) -> None:
    """Write for each way what is passed along one axis by what lies between low and high."""
    for way in range(way_count):
        along, k = ways[role, phase, way, station, axis], 2 * phase + way
        lifted[k, axis] = low if along >= -1e-12 else -math.inf
        lifted[k, 3 + axis] = high if along <= 1e-12 else math.inf
        if axis == 0:
            first = k == 0
            lifted[4, 0] = lifted[k, 0] if first else min(lifted[4, 0], lifted[k, 0])
            lifted[4, 3] = lifted[k, 3] if first else max(lifted[4, 3], lifted[k, 3])


@compiled_in
def lift_line(
    line: Line, grows: bool, lifts: Row, phases: int, role: int, station: int, ways: Row, way_count: int, at: Row,
    lifted: Row,
) -> None:  # fmt: skip
    """Write where a line is put on and lifted off, and for each way the box of all that it passes.

    ``at`` by phase, (2, 6); ``lifted`` as for ``order_sift.sift``; 1 of the ``phases`` where both are alike.
    """
    for phase in range(phases):
        px, ux = line[0], line[3]
        if grows:
            left = lifts[role, phase, station, 6]
            px, ux = px - left, ux + left
        c, s = lifts[role, phase, station, 0], lifts[role, phase, station, 1]
        x, y = lifts[role, phase, station, 2], lifts[role, phase, station, 3]
        there = turned((px, line[1], line[2], ux, line[4], line[5]), (c, s, x, y, 0.0, 0.0))
        for axis in range(3):
            one, other = there[axis], there[axis] + there[3 + axis]
            at[phase, axis], at[phase, 3 + axis] = one, there[3 + axis]
            at[1, axis], at[1, 3 + axis] = one, there[3 + axis]
            _along_ways(min(one, other), max(one, other), axis, phase, role, station, ways, way_count, lifted)


@compiled_in
def lift_ball(
    x: float, y: float, reach: float, box: Row, more: float, lifts: Row, phases: int, role: int, station: int,
    ways: Row, way_count: int, lifted: Row,
) -> None:  # fmt: skip
    """Write the boxes of all that is passed by what lies in a ball and in a box, in plan, and ``more`` above and below.

    ``box`` lowest x, y, z and highest x, y, z; the rest as for ``lift_line``.
    """
    bx, by = 0.5 * (box[0] + box[3]), 0.5 * (box[1] + box[4])
    wide, deep = 0.5 * (box[3] - box[0]), 0.5 * (box[4] - box[1])
    for phase in range(phases):
        c, s = lifts[role, phase, station, 0], lifts[role, phase, station, 1]
        mx, my = lifts[role, phase, station, 2], lifts[role, phase, station, 3]
        for axis in range(2):
            along, across = (c, -s) if axis == 0 else (s, c)
            move = mx if axis == 0 else my
            ball, middle = along * x + across * y + move, along * bx + across * by + move
            half = abs(along) * wide + abs(across) * deep
            low, high = max(ball - reach, middle - half), min(ball + reach, middle + half)
            _along_ways(low, high, axis, phase, role, station, ways, way_count, lifted)
        _along_ways(box[2] - more, box[5] + more, 2, phase, role, station, ways, way_count, lifted)


@compiled
def lifts_past(
    at: Row, thick: float, apart: bool, hit: int, masks: Flags, bits: int, body: Row, role: int, station: int,
    stuck: Flags, ways: Row,
) -> None:  # fmt: skip
    """Take the bits out of the masks of the ways in which the line cannot be put on or lifted off past a body."""
    for phase in range(2):
        for way in range(1 if apart else 0, 2):
            which = 1 + 2 * phase + way
            if masks[which] & bits == 0 or hit & (LIFT << (2 * phase + way)) == 0:
                continue
            x = at[phase, 0], at[phase, 1], at[phase, 2], at[phase, 3], at[phase, 4], at[phase, 5]
            w = ways[role, phase, way, station]
            if not clears_lift(x, thick, body, (w[0], w[1], w[2])):
                masks[which] &= ~bits
                stuck[0] = 1
