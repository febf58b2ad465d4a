"""The smallest gaps of one step: sides to bodies, bar to itself, and while it is put on and lifted off. Compiled.

Several lines are first held as one stretch; they are measured one by one only where that comes nearer than what has
been found already. Lengths in mm, angles in radians.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import BY_DESIGN, HIGHEST, LETS_GO, LOWEST, STATION, level_gap, to_body
from bentwork.clearance.motion import STILL, Settings, placed
from bentwork.clearance.side_lines import (
    FROM,
    GROWS,
    HOLDS,
    LAST,
    TO,
    TURNING,
    Lines,
    line_of,
    lines_of_side,
)
from bentwork.clearance.sweep import (
    clears_bar,
    clears_body,
    clears_lift,
    grown,
    least_lifted,
    least_to_bar,
    least_to_body,
    turned,
)

__all__ = ["BODY", "FREE", "GAP", "HELD", "PHASE", "ROLE", "WAY", "WHEN", "step_gaps"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

HELD, FREE = range(2)
GAP, WHEN, PHASE = range(3)
"""Columns of a gap: mm; angle; 0 on the way up, 1 springing back."""

WAY, ROLE, BODY = range(1, 4)
"""Columns of the gap of putting on or lifting off behind its ``GAP``: number of the way, of the side, of the body."""

_ROUND_OFF = 1e-9  # mm
_SURE = 0.02  # mm; how sure a smallest gap is, see ``sweep``


@compiled
def _sweep(
    side: Lines, role: int, bodies: Row, cases: Flags, first: float, last: float, settings: Settings, phase: int,
    formed: bool, all_of_them: bool, gaps: Row, formed_gaps: Row, least: Row,
) -> None:  # fmt: skip
    """Lower the gaps of one side to every body, (2, n, 3).

    If ``formed``, also those of lines beyond the first bend made, against what they move past. ``least`` holds the
    smallest of either kind so far.
    """
    lines, held, wide = side[0], side[1], side[4]
    back = phase == 1
    for b in range(bodies.shape[1]):
        case = cases[role, phase, int(bodies[role, b, STATION])]
        if case < 0 or (back and bodies[role, b, LETS_GO] != 0.0):
            continue
        for k in range(len(wide)):
            beside = wide[k, TURNING] == 0.0
            if beside and bodies[role, b, BY_DESIGN] != 0.0:
                continue
            moves = formed and not beside and case != STILL
            below = gaps[role, b, GAP]
            if not all_of_them:
                below = min(below, least[0])
            if moves:
                below = max(below, min(formed_gaps[role, b, GAP], least[1]))
            if level_gap(wide[k, 2], wide[k, 5], bodies[role, b, LOWEST], bodies[role, b, HIGHEST]) >= (
                below + wide[k, HOLDS]
            ):
                continue
            start, after, grows = int(wide[k, FROM]), int(wide[k, TO]), wide[k, GROWS] != 0.0
            body = bodies[role, b]
            if after - start > 1 and clears_body(
                line_of(wide, k), False, below + wide[k, HOLDS], body, case, first, last, settings
            ):
                continue
            for i in range(start, after):
                near = below + held[i] + _SURE
                if level_gap(lines[i, 2], lines[i, 5], bodies[role, b, LOWEST], bodies[role, b, HIGHEST]) >= (
                    below + held[i] - _ROUND_OFF
                ):
                    continue  # as near in height as what has been found already, as in every flat piece
                found, t = least_to_body(line_of(lines, i), grows, body, case, first, last, settings, near)
                found -= held[i]
                if found < gaps[role, b, GAP]:
                    gaps[role, b, GAP], gaps[role, b, WHEN], gaps[role, b, PHASE] = found, t, float(phase)
                    least[0] = min(least[0], found)
                if moves and found < formed_gaps[role, b, GAP]:
                    row = formed_gaps[role, b]
                    row[GAP], row[WHEN], row[PHASE] = found, t, float(phase)
                    least[1] = min(least[1], found)


@compiled
def _glanced(
    side: Lines, role: int, bodies: Row, cases: Flags, settings: Settings, formed: bool, least: Row
) -> None:  # fmt: skip
    """Lower ``least`` to a little above the gaps of straights at three instants, so that little need be followed."""
    wide, pull = side[4], settings[2]
    for b in range(bodies.shape[1]):
        case, body = cases[role, 0, int(bodies[role, b, STATION])], bodies[role, b]
        for k in range(len(wide)):
            beside = wide[k, TURNING] == 0.0
            if wide[k, TO] - wide[k, FROM] > 1.0 or (beside and bodies[role, b, BY_DESIGN] != 0.0):
                continue
            for i in range(1 if case == STILL else 3):
                t = 0.5 * i * pull
                line = grown(line_of(wide, k), wide[k, GROWS] != 0.0, case, t, settings)
                x = turned(line, placed(case, t, settings))
                gap = to_body(x[0], x[1], x[2], x[3], x[4], x[5], body, math.inf) - wide[k, HOLDS] + 2.0 * _SURE
                least[0] = min(least[0], gap)
                if formed and not beside and case != STILL:
                    least[1] = min(least[1], gap)


@compiled
def _carried(
    sides: tuple[Lines, Lines], bodies: Row, cases: Flags, phase: int, t: float, ways: Row, settings: Settings,
    enough: float, into: Row,
) -> None:  # fmt: skip
    """Write the smallest gap while the bar is put on (phase 0) or lifted off, by the best way.

    Body -1 where that is not below ``enough``. ``ways`` by role, phase, way and station, (2, 2, w, 2, 3).
    """
    best = -math.inf
    for way in range(ways.shape[2]):
        least, role_of, body_of = enough, -1, -1
        for role in range(2):
            side = sides[0] if role == 0 else sides[1]
            lines, held, wide = side[0], side[1], side[4]
            for b in range(bodies.shape[1]):
                if bodies[role, b, LETS_GO] != 0.0:
                    continue
                station = int(bodies[role, b, STATION])
                case = cases[role, 0 if phase == 0 else 2, station]
                w = ways[role, phase, way, station]
                aside = (w[0], w[1], w[2])
                pose = placed(case, t, settings)
                for k in range(len(wide)):
                    if wide[k, TURNING] == 0.0 and bodies[role, b, BY_DESIGN] != 0.0:
                        continue
                    grows = wide[k, GROWS] != 0.0
                    line = turned(grown(line_of(wide, k), grows, case, t, settings), pose)
                    body = bodies[role, b]
                    if clears_lift(line, least + wide[k, HOLDS], body, aside):
                        continue
                    for i in range(int(wide[k, FROM]), int(wide[k, TO])):
                        line = turned(grown(line_of(lines, i), grows, case, t, settings), pose)
                        found = least_lifted(line, aside, body, least + held[i]) - held[i]
                        if found < least:
                            least, role_of, body_of = found, role, b
        if least > best:
            best = least
            into[GAP], into[WAY], into[ROLE], into[BODY] = least, way, role_of, body_of
        if least >= enough:
            return


@compiled
def _bar(
    free: Lines, held_side: Lines, in_bar: Flags, settings: Settings, below: float, ends_meet: bool
) -> tuple[float, float, int]:
    """Return the smallest gap between two sides of the bar, when, and in which phase.

    Where the bar is nearest to itself the line across makes no acute corner with it, so that bar and line across turn
    by 360 degrees or more in all (Fenchel), the two corners by no more than 90 each: between the two places the bar
    turns by 180 degrees or more. Pairs are looked at only from the angle on at which they can. ``ends_meet``: the two
    outermost straights of a closed piece come together by design. Phase -1 where no gap
    is below ``below``.
    """
    pull = settings[2]
    when, in_phase = pull, -1
    wide, other_wide = free[4], held_side[4]
    for phase in range(2):
        case, other_case = in_bar[FREE, phase], in_bar[HELD, phase]
        first = 0.0 if phase == 0 else settings[3]
        for k in range(len(wide)):
            for h in range(len(other_wide)):
                if ends_meet and wide[k, LAST] != 0.0 and other_wide[h, LAST] != 0.0:
                    continue
                start = max(first, math.pi - 1e-9 - wide[k, TURNING] - other_wide[h, TURNING])
                if start > pull:
                    continue
                grows, other_grows = wide[k, GROWS] != 0.0, other_wide[h, GROWS] != 0.0
                if (wide[k, TO] - wide[k, FROM] > 1.0 or other_wide[h, TO] - other_wide[h, FROM] > 1.0) and clears_bar(
                    line_of(wide, k), grows, line_of(other_wide, h), other_grows,
                    below + wide[k, HOLDS] + other_wide[h, HOLDS], case, other_case, start, pull, settings,
                ):  # fmt: skip
                    continue
                for i in range(int(wide[k, FROM]), int(wide[k, TO])):
                    for j in range(int(other_wide[h, FROM]), int(other_wide[h, TO])):
                        start = max(first, math.pi - 1e-9 - free[2][i] - held_side[2][j])
                        if start > pull:
                            continue
                        apart = free[1][i] + held_side[1][j]
                        near = below + apart + _SURE
                        x, y = line_of(free[0], i), line_of(held_side[0], j)
                        low = max(min(x[2], x[2] + x[5]) + min(y[2], y[2] + y[5]),
                                  -max(x[2], x[2] + x[5]) - max(y[2], y[2] + y[5]))  # fmt: skip
                        if low >= near:
                            continue
                        found, t = least_to_bar(
                            x, grows, y, other_grows, case, other_case, start, pull, settings, near
                        )  # fmt: skip
                        if found - apart < below:
                            below, when, in_phase = found - apart, t, phase
    return below, when, in_phase


@compiled
def step_gaps(
    held_first: float, held_bends: Row, held_made: Flags, free_first: float, free_bends: Row, free_made: Flags,
    rows: Row, thick: float, error: float, bodies: Row, cases: Flags, in_bar: Flags, ways: Row, settings: Settings,
    limit: float, all_of_them: bool, formed: bool, ends_meet: bool,
) -> tuple[Row, Row, tuple[float, float, int], Row]:  # fmt: skip
    """Return the smallest gaps of a step.

    Args:
        held_first: straight of the held side beside the bend being made.
        held_bends: bends of that side outward, see ``sides``, (m, 5).
        held_made: which of them are made, (m,).
        free_first: the same of the free side.
        free_bends: the same of the free side.
        free_made: the same of the free side.
        rows: offsets of the rows that hold the bar.
        thick: radius of a row.
        error: how far chords may lie from their arc.
        bodies: as the held and the free side see them, (2, n, columns).
        cases: see ``kinds.case_table``, (2, 3, 2).
        in_bar: see ``kinds.case_table``, (2, 2).
        ways: see ``kinds.way_table``, (2, 2, w, 2, 3).
        settings: of the motion.
        limit: what stays this far away is not measured.
        all_of_them: measure every body; else only the smallest gap of all is told rightly.
        formed: measure what moves and is bent already.
        ends_meet: the ends of the piece meet by design.

    Returns:
        gaps of both sides to every body (2, n, 3); the same of what moves past a body and is bent already; of the bar
        to itself, see ``_bar``; of putting on and lifting off (2, 4).
    """
    n = bodies.shape[1]
    gaps, formed_gaps, carried = np.zeros((2, n, 3)), np.zeros((2, n, 3)), np.zeros((2, 4))
    gaps[:, :, GAP], formed_gaps[:, :, GAP], carried[:, BODY] = limit, limit, -1.0
    least = np.full(2, limit)
    held_side = lines_of_side(held_first, held_bends, held_made, rows, thick, error)
    free = lines_of_side(free_first, free_bends, free_made, rows, thick, error)
    pull, wanted = settings[2], settings[3]
    if not all_of_them:
        _glanced(held_side, HELD, bodies, cases, settings, formed, least)
        _glanced(free, FREE, bodies, cases, settings, formed, least)
    for phase in range(2):
        first = wanted if phase == 1 else 0.0
        _sweep(held_side, HELD, bodies, cases, first, pull, settings, phase, formed, all_of_them, gaps, formed_gaps,
               least)  # fmt: skip
        _sweep(free, FREE, bodies, cases, first, pull, settings, phase, formed, all_of_them, gaps, formed_gaps,
               least)  # fmt: skip
    below = limit
    if not all_of_them:
        below = max(least[0], least[1]) if formed else least[0]
    bar = _bar(free, held_side, in_bar, settings, below, ends_meet)
    for phase in range(2):
        enough = limit if all_of_them else min(least[0], bar[0])
        angle = wanted if phase == 1 else 0.0
        _carried((held_side, free), bodies, cases, phase, angle, ways, settings, enough, carried[phase])
        least[0] = min(enough, carried[phase, GAP])
    return gaps, formed_gaps, bar, carried
