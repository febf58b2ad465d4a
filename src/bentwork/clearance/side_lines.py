"""One side of the bar as lines, for one set of bends made. Compiled; mm and radians."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, Row, arc_lines, bent, chords, run_on

__all__ = ["FROM", "GROWS", "HOLDS", "LAST", "TO", "TURNING", "Lines", "held_together", "line_of", "lines_of_side"]

Flags = NDArray[np.int64]
Lines = tuple[Row, Row, Row, Flags, Row]
"""Lines (n, 6), radius that holds the metal, turning so far (radians), bends up to each line, and the stretches."""

HOLDS, TURNING, FROM, TO, GROWS, LAST = range(6, 12)
"""Columns of a stretch behind its line (0 to 5): radius round it that holds all the metal of its lines, turning so far,
its lines from and to, 1 for the run beside the bend being made, 1 for the last before the end of the bar."""

_AT_ONCE = 1.9  # radians of an arc that one stretch may hold


@compiled
def line_of(lines: Row, i: int) -> tuple[float, float, float, float, float, float]:
    """Return a row of lines or stretches as a line."""
    return lines[i, 0], lines[i, 1], lines[i, 2], lines[i, 3], lines[i, 4], lines[i, 5]


@compiled
def held_together(lines: Row, held: Row, first: int, after: int, into: Row) -> None:
    """Write the line from the start of one line to the end of a later one, and the radius that holds all between."""
    for axis in range(3):
        into[axis] = lines[first, axis]
        into[3 + axis] = lines[after - 1, axis] + lines[after - 1, 3 + axis] - lines[first, axis]
    along = into[3] * into[3] + into[4] * into[4] + into[5] * into[5]
    most = held[first]
    for i in range(first + 1, after):  # a capsule is convex: it holds a chain whose corners it holds
        x, y, z = lines[i, 0] - into[0], lines[i, 1] - into[1], lines[i, 2] - into[2]
        s = (x * into[3] + y * into[4] + z * into[5]) / along if along > 0.0 else 0.0
        s = min(1.0, max(0.0, s))
        x, y, z = x - s * into[3], y - s * into[4], z - s * into[5]
        most = max(most, max(held[i - 1], held[i]) + math.sqrt(x * x + y * y + z * z))
    into[HOLDS] = most


@compiled
def lines_of_side(first: float, bends: Row, made: Flags, rows: Row, thick: float, error: float) -> Lines:
    """Return the lines of one side, and the stretches that hold several of them, see ``Lines``.

    The turning of the run beside the bend being made is 0; of an arc's chord it is counted to the chord's further end.
    A straight is a stretch of its own; an arc is held in one for every 1.9 radians.
    """
    count = stretches = 1
    for i in range(len(made)):
        pieces = chords(bends[i, RADIUS], bends[i, ANGLE], error) if made[i] else 0
        count += 1 + pieces
        stretches += 1 + (min(pieces, max(1, math.ceil(bends[i, ANGLE] / _AT_ONCE))) if made[i] else 0)
    many = len(rows)
    lines = np.empty((count * many, 6))
    held = np.full(count * many, thick)
    turning = np.zeros(count * many)
    depth = np.zeros(count * many, dtype=np.int64)
    wide = np.zeros((stretches * many, 12))
    frame = np.zeros(12)
    frame[3] = frame[7] = frame[11] = 1.0
    run_on(frame, first, lines[0])
    wide[0, :6] = lines[0]
    wide[0, HOLDS] = thick
    wide[0, TO] = wide[0, GROWS] = 1.0
    at = k = 1
    total = 0.0
    for i in range(len(made)):
        length = bends[i, STRAIGHT]
        if made[i]:
            pieces = chords(bends[i, RADIUS], bends[i, ANGLE], error)
            gap = arc_lines(frame, bends[i], pieces, lines[at:])
            bent(frame, bends[i], frame)
            for j in range(pieces):
                held[at + j] += gap
                turning[at + j] = total + bends[i, ANGLE] * (j + 1) / pieces
                depth[at + j] = i + 1
            parts = min(pieces, max(1, math.ceil(bends[i, ANGLE] / _AT_ONCE)))
            for part in range(parts):
                start, after = at + pieces * part // parts, at + pieces * (part + 1) // parts
                held_together(lines, held, start, after, wide[k])
                wide[k, TURNING], wide[k, FROM], wide[k, TO] = turning[after - 1], start, after
                k += 1
            at += pieces
            total += bends[i, ANGLE]
        else:
            length += bends[i, ARC]
        run_on(frame, length, lines[at])
        turning[at] = total
        depth[at] = i + 1
        wide[k, :6] = lines[at]
        wide[k, HOLDS], wide[k, TURNING], wide[k, FROM], wide[k, TO] = thick, total, at, at + 1
        at += 1
        k += 1
    wide[stretches - 1, LAST] = 1.0
    for r in range(1, many):  # rows of a flat piece lie over one another, in planes of their own
        lines[r * count : (r + 1) * count] = lines[:count]
        held[r * count : (r + 1) * count] = held[:count]
        turning[r * count : (r + 1) * count] = turning[:count]
        depth[r * count : (r + 1) * count] = depth[:count]
        wide[r * stretches : (r + 1) * stretches] = wide[:stretches]
        wide[r * stretches : (r + 1) * stretches, FROM : TO + 1] += r * count
    for r in range(many):
        lines[r * count : (r + 1) * count, 2] += rows[r]
        wide[r * stretches : (r + 1) * stretches, 2] += rows[r]
    return lines, held, turning, depth, wide
