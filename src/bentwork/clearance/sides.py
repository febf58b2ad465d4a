"""The shape of one side of the bar beside the bend that is being made: straights, bends made, bends still straight.

In the frame of the side (see ``motion``) the shape depends only on which of its bends are made. Every straight and
every arc is a row of centrelines with a radius each that holds the metal; arcs lie within their chords' radius.
Compiled; lengths in mm, angles in radians.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["ANGLE", "ARC", "DIRECTION", "RADIUS", "STRAIGHT", "Row", "arc_lines", "bent", "chords", "run_on"]

ARC, RADIUS, ANGLE, DIRECTION, STRAIGHT = range(5)
"""Columns of a side's bends, outward from the bend being made: length of bar in the bend, centreline radius, angle,
where round the bar it turns to (right-hand rule about outward, from the bend being made), straight after it."""

Row = NDArray[np.float64]


@compiled
def chords(radius: float, angle: float, error: float) -> int:
    """Return how many chords hold an arc within ``error`` mm; their ends lie outside it, their middles inside."""
    half = 2.0 * math.atan(math.sqrt(error / radius))
    return max(1, math.ceil(0.5 * angle / half - 1e-9))


@compiled
def arc_lines(frame: Row, bend: Row, count: int, lines: Row) -> float:
    """Write ``count`` chords of a bend (px, py, pz, ux, uy, uz each) and return how far the arc may lie from them.

    A chord of half angle b whose ends lie at R + e and whose middle lies at R - e has e = R tan^2(b/2).

    Args:
        frame: of the side where the bend starts: origin, then the unit vectors x, y, z; (12,).
        bend: a row of the side's bends.
        count: number of chords.
        lines: where to write them, (count or more, 6).
    """
    radius, angle = bend[RADIUS], bend[ANGLE]
    c, s = math.cos(bend[DIRECTION]), math.sin(bend[DIRECTION])
    error = radius * math.tan(0.25 * angle / count) ** 2
    outer = radius + error
    for axis in range(3):
        origin, along = frame[axis], frame[3 + axis]
        inward = c * frame[6 + axis] + s * frame[9 + axis]
        before = origin - error * inward
        for i in range(count):
            turn = angle * (i + 1) / count
            after = origin + radius * inward + outer * (math.sin(turn) * along - math.cos(turn) * inward)
            lines[i, axis] = before
            lines[i, 3 + axis] = after - before
            before = after
    return error


@compiled
def bent(frame: Row, bend: Row, after: Row) -> None:
    """Write the frame behind a bend that is made, before its straight."""
    c, s = math.cos(bend[DIRECTION]), math.sin(bend[DIRECTION])
    ca, sa = math.cos(bend[ANGLE]), math.sin(bend[ANGLE])
    for axis in range(3):
        x, y, z = frame[3 + axis], frame[6 + axis], frame[9 + axis]
        inward, level = c * y + s * z, c * z - s * y
        after[axis] = frame[axis] + bend[RADIUS] * (sa * x + (1.0 - ca) * inward)
        along, inward = ca * x + sa * inward, ca * inward - sa * x
        after[3 + axis] = along
        after[6 + axis] = c * inward - s * level
        after[9 + axis] = s * inward + c * level


@compiled
def run_on(frame: Row, length: float, line: Row) -> None:
    """Write the line of a straight, and move the frame to its end."""
    for axis in range(3):
        line[axis] = frame[axis]
        line[3 + axis] = length * frame[3 + axis]
        frame[axis] += length * frame[3 + axis]
