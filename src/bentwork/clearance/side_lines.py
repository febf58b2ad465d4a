"""One side of the bar as lines, for one set of bends made, and its smallest gaps. Compiled; mm and radians."""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import BY_DESIGN, LETS_GO, STATION
from bentwork.clearance.motion import STILL, Settings, placed
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, Row, arc_lines, bent, chords, run_on
from bentwork.clearance.sweep import grown, least_lifted, least_to_bar, least_to_body, turned

__all__ = ["bar_gap", "lift_gaps", "lines_of_side", "sweep_gaps"]

Flags = NDArray[np.int64]


@compiled
def lines_of_side(
    first: float, bends: Row, made: Flags, rows: Row, thick: float, error: float
) -> tuple[Row, Row, Row, Flags]:
    """Return lines (n, 6), radius that holds the metal, turning so far (radians), and bends up to each line.

    The turning of the run beside the bend being made is 0; of an arc's chord it is counted to the chord's further end.
    """
    count = 1
    for i in range(len(made)):
        count += 1 + (chords(bends[i, RADIUS], bends[i, ANGLE], error) if made[i] else 0)
    many = len(rows)
    lines = np.empty((count * many, 6))
    held = np.full(count * many, thick)
    turning = np.zeros(count * many)
    depth = np.zeros(count * many, dtype=np.int64)
    frame = np.zeros(12)
    frame[3] = frame[7] = frame[11] = 1.0
    run_on(frame, first, lines[0])
    at = 1
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
            at += pieces
            total += bends[i, ANGLE]
        else:
            length += bends[i, ARC]
        run_on(frame, length, lines[at])
        turning[at] = total
        depth[at] = i + 1
        at += 1
    for r in range(1, many):  # rows of a flat piece lie over one another, in planes of their own
        lines[r * count : (r + 1) * count] = lines[:count]
        held[r * count : (r + 1) * count] = held[:count]
        turning[r * count : (r + 1) * count] = turning[:count]
        depth[r * count : (r + 1) * count] = depth[:count]
    for r in range(many):
        lines[r * count : (r + 1) * count, 2] += rows[r]
    return lines, held, turning, depth


@compiled
def _line(lines: Row, i: int) -> tuple[float, float, float, float, float, float]:
    return lines[i, 0], lines[i, 1], lines[i, 2], lines[i, 3], lines[i, 4], lines[i, 5]


@compiled
def sweep_gaps(
    lines: Row, held: Row, turning: Row, bodies: Row, cases: Flags, first: float, last: float, settings: Settings,
    back: bool, formed_only: bool, rows: int, all_of_them: bool, gaps: Row, when: Row,
) -> None:  # fmt: skip
    """Lower ``gaps`` (n bodies) to the smallest gap of any line to each body between two angles, and note when.

    ``lines``, ``held``, ``turning`` are of one side, in ``rows``; ``bodies`` as that side sees them; ``cases`` of its
    motion for a body of station 0 and of station 1, -1 for none. ``back``: the bar opens, and what is taken away before
    it is let go is left out. ``formed_only``: only lines beyond the first bend made count, against what they move past.
    ``all_of_them``: measure the gap to every body; else those that are not the nearest may be told too large.
    """
    count = len(lines) // rows
    least = math.inf
    for gap in gaps:
        least = min(least, gap)
    for b in range(len(bodies)):
        case = cases[int(bodies[b, STATION])]
        if case < 0 or (back and bodies[b, LETS_GO] != 0.0) or (formed_only and case == STILL):
            continue
        for i in range(len(lines)):
            if turning[i] == 0.0 and (formed_only or bodies[b, BY_DESIGN] != 0.0):
                continue
            below = (gaps[b] if all_of_them else min(gaps[b], least)) + held[i] + 0.02
            found, t = least_to_body(_line(lines, i), i % count == 0, bodies[b], case, first, last, settings, below)
            if found - held[i] < gaps[b]:
                gaps[b] = found - held[i]
                when[b] = t
                least = min(least, gaps[b])


@compiled
def lift_gaps(
    lines: Row, held: Row, turning: Row, bodies: Row, case: Flags, t: float, ways: Row, settings: Settings, rows: int,
    gaps: Row,
) -> None:  # fmt: skip
    """Lower ``gaps`` (n bodies) to the smallest gap while one side is carried away from where it is at t.

    ``ways`` is the way it is carried, as bodies of station 0 and 1 see it, (2, 3); ``case`` the one for each station.
    """
    count = len(lines) // rows
    for b in range(len(bodies)):
        if bodies[b, LETS_GO] != 0.0:
            continue
        station = int(bodies[b, STATION])
        way = (ways[station, 0], ways[station, 1], ways[station, 2])
        pose = placed(case[station], t, settings)
        for i in range(len(lines)):
            if turning[i] == 0.0 and bodies[b, BY_DESIGN] != 0.0:
                continue
            line = grown(_line(lines, i), i % count == 0, case[station], t, settings)
            found = least_lifted(turned(line, pose), way, bodies[b], gaps[b] + held[i]) - held[i]
            gaps[b] = min(gaps[b], found)


@compiled
def bar_gap(
    lines: Row, held: Row, turning: Row, others: Row, others_held: Row, others_turning: Row,
    case: int, other_case: int, first: float, last: float, settings: Settings, below: float, ends_meet: bool, rows: int,
) -> tuple[float, float, int, int]:  # fmt: skip
    """Return the smallest gap between two sides of the bar, when, and the two lines; ``below`` where none is smaller.

    Where the bar is nearest to itself the line across makes no acute corner with it, so that bar and line across turn
    by 360 degrees or more in all (Fenchel), the two corners by no more than 90 each: between the two places the bar
    turns by 180 degrees or more. Pairs are looked at only from the angle on at which they can. ``ends_meet``: the two
    outermost straights of a closed piece come together by design; each of the ``rows`` ends with one.
    """
    when, one, two = last, 0, 0
    count, other_count = len(lines) // rows, len(others) // rows
    for i in range(len(lines)):
        for j in range(len(others)):
            if ends_meet and i % count == count - 1 and j % other_count == other_count - 1:
                continue
            start = max(first, math.pi - 1e-9 - turning[i] - others_turning[j])
            if start > last:
                continue
            apart = held[i] + others_held[j]
            found, t = least_to_bar(
                _line(lines, i), i % count == 0, _line(others, j), j % other_count == 0, case, other_case, start, last,
                settings, below + apart + 0.02,
            )  # fmt: skip
            if found - apart < below:
                below = found - apart
                when, one, two = t, i, j
    return below, when, one, two
