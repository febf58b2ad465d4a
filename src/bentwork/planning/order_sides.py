"""Which shapes of one side of the bar clear the bender at one bend: a tree over the bends outward. Compiled.

A node of the tree is a choice, made or still straight, for the bends from the one being made out to some depth. What
its own stretch of bar hits, every node beyond it hits as well, so that a blocked node takes its whole branch with it.
Node (depth d, choice b) stands at 2^d - 1 + b; bit i of b tells whether the i-th bend outward is made.

Bits of a mask: 2 * mounting + 0 where end A is held, + 1 where end B is held.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled, lent
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, arc_lines, bent, chords, run_on
from bentwork.planning.order_look import look_all, view_of
from bentwork.planning.order_near import all_near, balls, narrowed

__all__ = ["COARSE", "side_masks"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

COARSE = 1.9
"""Radians that one chord of an arc may turn through in the first look; half of them can be passed on it alone."""


@compiled
def side_masks(
    first: float, bends: Row, needs: Row, rows: Row, thick: float, error: float, start: int, role_bits: Flags,
    bodies: Row, cases: Flags, ways: Row, way_count: int, settings: Row, must: int, stuck: Flags, give_up: bool,
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
        give_up: return as soon as it is stuck; what is returned is then not whole.
    """
    m = len(bends)
    found = np.zeros((2 ** (m + 1) - 1, 5), dtype=np.int64)
    frames, lines = np.zeros((m + 1, 12)), np.zeros((400, 6))
    run = np.zeros(m + 1)  # straight bar beside the bend so far; below 0 once a bend is made
    masks, trial = np.zeros((m + 1, 5), dtype=np.int64), np.zeros(5, dtype=np.int64)
    choice, nodes = np.zeros(m + 1, dtype=np.int64), np.zeros(m + 1, dtype=np.int64)
    unheard = np.zeros(1, dtype=np.int64)
    roles, spans, paces, lifts, boxes, lifted = view_of(cases, settings)
    masks[0, :] = start
    if way_count < 2:
        masks[0, 2] = masks[0, 4] = 0
    near = all_near(bodies, m + 1, way_count)
    beyond, gap = balls(bends, COARSE, error)
    _walk(
        first, bends, needs, rows, thick, error, role_bits, bodies, cases, ways, way_count, settings, must, stuck,
        give_up, found, frames, lines, run, masks, trial, choice, nodes, unheard, roles, spans, paces, lifts, boxes,
        lifted, near, beyond, gap,
    )  # fmt: skip
    return found


@compiled
def _walk(
    first: float, bends: Row, needs: Row, rows: Row, thick: float, error: float, role_bits: Flags, bodies: Row,
    cases: Flags, ways: Row, way_count: int, settings: Row, must: int, stuck: Flags, give_up: bool, found: Flags,
    frames: Row, lines: Row, run: Row, masks: Flags, trial: Flags, choice: Flags, nodes: Flags, unheard: Flags,
    roles: Row, spans: Row, paces: Row, lifts: Row, boxes: Row, lifted: Row, near: Flags, beyond: Row, most_gap: float,
) -> None:  # fmt: skip
    """Walk the tree and write what is found; everything from ``found`` on is room to work in."""
    bends, needs, rows, role_bits, bodies = lent(bends), lent(needs), lent(rows), lent(role_bits), lent(bodies)
    cases, ways, settings, stuck, found = lent(cases), lent(ways), lent(settings), lent(stuck), lent(found)
    frames, lines, run, masks, trial = lent(frames), lent(lines), lent(run), lent(masks), lent(trial)
    choice, nodes, unheard = lent(choice), lent(nodes), lent(unheard)
    near, beyond = lent(near), lent(beyond)
    view = lent(roles), lent(spans), lent(paces), lent(lifts), lent(boxes), lent(lifted)
    m = len(bends)
    tall = max(abs(rows[0]), abs(rows[-1]))
    frames[0, 3] = frames[0, 7] = frames[0, 11] = 1.0
    run_on(frames[0], first, lines[0])
    run[0] = first
    look_all(
        lines, 1, True, thick, rows, True, masks[0], role_bits, bodies, stuck, cases, ways,
        way_count, view, settings, near[0],
    )  # fmt: skip
    depth = 0
    while not (give_up and stuck[0]):
        # a node has been looked at: keep it, then go deeper, or back to the next choice
        if depth == m and run[depth] >= 0.0:
            for role in range(2):
                if run[depth] < needs[2 + role] - 1e-9:
                    masks[depth, 0] &= ~role_bits[role]
        found[2**depth - 1 + nodes[depth]] = masks[depth]
        deeper = depth < m and masks[depth, 0] != 0
        if deeper:
            narrowed(
                frames[depth], beyond[depth], tall, thick + most_gap, masks[depth, 0], role_bits, bodies, ways,
                way_count, view, settings, near[max(0, depth - 1)], near[depth],
            )  # fmt: skip
            depth += 1
            choice[depth] = 0
        else:
            while depth > 0 and choice[depth] == 1:
                depth -= 1
            if depth == 0:
                return
            choice[depth] = 1
        i = depth - 1
        made = choice[depth]
        nodes[depth] = nodes[i] | (made << i)
        masks[depth] = masks[i]
        run[depth] = run[i]
        far_off = near[i, 0, 0] + near[i, 1, 0] == 0  # whatever is bent, nothing comes near: where it lies is all one
        if not far_off:
            frames[depth] = frames[i]
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
            if masks[depth, 0] == 0 or far_off:
                continue
            count = max(1, int(np.ceil(bends[i, ANGLE] / COARSE)))
            gap = arc_lines(frames[i], bends[i], count, lines)
            trial[:] = masks[depth]
            look_all(
                lines, count, False, thick + gap, rows, False, trial, role_bits, bodies, unheard, cases, ways,
                way_count, view, settings, near[i],
            )  # fmt: skip
            same = True
            for j in range(5):
                same = same and trial[j] == masks[depth, j]
            if not same:
                count = chords(bends[i, RADIUS], bends[i, ANGLE], error)
                gap = arc_lines(frames[i], bends[i], count, lines)
                look_all(
                    lines, count, False, thick + gap, rows, False, masks[depth], role_bits, bodies, stuck, cases, ways,
                    way_count, view, settings, near[i],
                )  # fmt: skip
            bent(frames[depth], bends[i], frames[depth])
            if masks[depth, 0] == 0:
                continue
        if far_off:
            continue
        run_on(frames[depth], length, lines[0])
        look_all(
            lines, 1, False, thick, rows, run[depth] >= 0.0, masks[depth], role_bits, bodies, stuck, cases, ways,
            way_count, view, settings, near[i],
        )  # fmt: skip
