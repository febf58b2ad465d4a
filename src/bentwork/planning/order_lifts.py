"""A line of bar put on and lifted off past bodies: boxes of all that it passes, then what is left exactly. Compiled."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import BOX
from bentwork.clearance.sweep import Line, clears_lift, turned

__all__ = ["HITS", "LIFT", "LIFTS", "SWEEP", "lift_line", "lifts_past", "still_hit"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

SWEEP, LIFT, HITS = 1, 2, 5
LIFTS = sum(LIFT << way for way in range(4))
"""What a body in a list may be hit in, as bits: the sweep there and back; put on up, aside, lifted off up, aside."""


@compiled
def still_hit(lifted: Row, station: int, thick: float, body: Row, hit: int) -> int:
    """Return ``hit`` without the lifts in which the box of all that a line passes stays ``thick`` away from a body."""
    for phase in range(2):
        for way in range(2):
            bit = LIFT << (2 * phase + way)
            if hit & bit:
                box = lifted[station, phase, 1 + way]
                gx = max(0.0, max(body[BOX] - box[3], box[0] - body[BOX + 3]))
                gy = max(0.0, max(body[BOX + 1] - box[4], box[1] - body[BOX + 4]))
                gz = max(0.0, max(body[BOX + 2] - box[5], box[2] - body[BOX + 5]))
                if gx * gx + gy * gy + gz * gz >= thick * thick:
                    hit &= ~bit
    return hit


@compiled
def lift_line(
    line: Line, grows: bool, more: float, lifts: Row, role: int, station: int, ways: Row, way_count: int, lifted: Row
) -> None:
    """Write where a line is put on and lifted off, and for each way the box, ``more`` larger, of all that it passes.

    ``lifted`` by station and phase: the line; then by way lowest x, y, z and highest x, y, z, (2, 2, 3, 6).
    """
    for phase in range(2):
        c, s = lifts[role, phase, station, 0], lifts[role, phase, station, 1]
        px, ux = line[0], line[3]
        if grows:
            left = lifts[role, phase, station, 6]
            px, ux = px - left, ux + left
        x, y = lifts[role, phase, station, 2], lifts[role, phase, station, 3]
        there = turned((px, line[1], line[2], ux, line[4], line[5]), (c, s, x, y, 0.0, 0.0))
        for axis in range(3):
            one, other = there[axis], there[axis] + there[3 + axis]
            lifted[station, phase, 0, axis], lifted[station, phase, 0, 3 + axis] = (one, there[3 + axis])
            for way in range(way_count):
                along = ways[role, phase, way, station, axis]
                lifted[station, phase, 1 + way, axis] = min(one, other) - more if along >= -1e-12 else -math.inf
                lifted[station, phase, 1 + way, 3 + axis] = max(one, other) + more if along <= 1e-12 else math.inf


@compiled
def lifts_past(
    lifted: Row, thick: float, apart: bool, hit: int, masks: Flags, bits: int, body: Row, role: int, station: int,
    stuck: Flags, ways: Row,
) -> None:  # fmt: skip
    """Take the bits out of the masks of the ways in which the line cannot be put on or lifted off past a body."""
    for phase in range(2):
        for way in range(1 if apart else 0, 2):
            which = 1 + 2 * phase + way
            if masks[which] & bits == 0 or hit & (LIFT << (2 * phase + way)) == 0:
                continue
            x = lifted[station, phase, 0]
            w0, w1 = ways[role, phase, way, station, 0], ways[role, phase, way, station, 1]
            if not clears_lift(
                (x[0], x[1], x[2], x[3], x[4], x[5]), thick, body, (w0, w1, ways[role, phase, way, station, 2])
            ):
                masks[which] &= ~bits
                stuck[0] = 1
