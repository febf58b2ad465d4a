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
from bentwork.planning.order_near import balls, narrowed
from bentwork.planning.order_sift import all_near

__all__ = ["COARSE", "side_masks"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]
Masks = NDArray[np.uint16]

_COARSE, _FINE, _STRAIGHT = range(3)  # an arc is looked at as few chords, then if need be as many; then what follows
COARSE = 1.9
"""Radians that one chord of an arc may turn through in the first look; half of them can be passed on it alone."""


@compiled
def side_masks(
    first: float, bends: Row, needs: Row, rows: Row, thick: float, error: float, start: int, role_bits: Flags,
    bodies: Row, cases: Flags, ways: Row, way_count: int, settings: Row, must: int, stuck: Flags, give_up: bool,
) -> Masks:  # fmt: skip
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
        stuck: (2,), the first set to 1 where the bar cannot be put on or lifted off in one of the ways.
        give_up: return as soon as it is stuck; what is returned is then not whole.
    """
    m = len(bends)
    found = np.zeros((2 ** (m + 1) - 1, 5), dtype=np.uint16)
    frames, lines = np.zeros((m + 1, 12)), np.zeros((400, 6))
    run = np.zeros(m + 1)  # straight bar beside the bend so far; below 0 once a bend is made
    masks = np.zeros((m + 2, 5), dtype=np.int64)  # the last ones to try
    choice, nodes = np.zeros(m + 1, dtype=np.int64), np.zeros(m + 1, dtype=np.int64)
    masks[0, :] = start
    if way_count < 2:
        masks[0, 2] = masks[0, 4] = 0
    near_counts, near_hits, walls = all_near(bodies, role_bits, m + 1, way_count)
    roles, spans, paces, lifts, boxes, at, lifted, left = view_of(cases, ways, settings, bodies.shape[1])
    beyond, gap = balls(bends, COARSE, error)
    _walk(
        first, bends, needs, rows, thick, error, role_bits, bodies, cases, ways, way_count, settings, must, stuck,
        give_up, found, frames, lines, run, masks, choice, nodes, roles, spans, paces, lifts, boxes, at, lifted, left,
        near_counts, near_hits, walls, beyond, np.empty(6), gap,
    )  # fmt: skip
    return found


@compiled
def _walk(
    first: float, bends: Row, needs: Row, rows: Row, thick: float, error: float, role_bits: Flags, bodies: Row,
    cases: Flags, ways: Row, way_count: int, settings: Row, must: int, stuck: Flags, give_up: bool, found: Masks,
    frames: Row, lines: Row, run: Row, masks: Flags, choice: Flags, nodes: Flags, roles: Row, spans: Row, paces: Row,
    lifts: Row, boxes: Row, at: Row, lifted: Row, left: Flags, near_counts: Flags, near_hits: Flags, walls: Row,
    beyond: Row, box: Row, most_gap: float,
) -> None:  # fmt: skip
    """Walk the tree and write what is found; everything from ``found`` on is room to work in.

    All that is done at every node is compiled into this one function, and what looks at lines stands in it but once: to
    hand so many arrays over would take longer than to look.
    """
    bends, needs, rows, role_bits, bodies = lent(bends), lent(needs), lent(rows), lent(role_bits), lent(bodies)
    cases, ways, settings, stuck, found = lent(cases), lent(ways), lent(settings), lent(stuck), lent(found)
    frames, lines, run, masks = lent(frames), lent(lines), lent(run), lent(masks)
    choice, nodes = lent(choice), lent(nodes)
    near_counts, near_hits, walls = lent(near_counts), lent(near_hits), lent(walls)
    beyond, box = lent(beyond), lent(box)
    view = lent(roles), lent(spans), lent(paces), lent(lifts), lent(boxes), lent(at), lent(lifted), lent(left)
    m, trial = len(bends), len(bends) + 1
    tall = max(abs(rows[0]), abs(rows[-1]))
    frames[0, 3] = frames[0, 7] = frames[0, 11] = 1.0
    depth, i, length, part = 0, 0, first, _STRAIGHT
    run[0] = first
    while True:
        near = near_counts[depth], near_hits[depth], walls[depth]
        while part <= _STRAIGHT and masks[depth, 0] != 0:
            into, count, gap = depth, 1, 0.0
            if part == _STRAIGHT:
                run_on(frames[depth], length, lines[0])
            else:
                count = chords(bends[i, RADIUS], bends[i, ANGLE], error)
                if part == _COARSE:
                    into, count = trial, max(1, int(np.ceil(bends[i, ANGLE] / COARSE)))
                    for j in range(5):
                        masks[trial, j] = masks[depth, j]
                gap = arc_lines(frames[i], bends[i], count, lines)
            look_all(
                lines, count, depth == 0, thick + gap, rows, part == _STRAIGHT and run[depth] >= 0.0, masks[into],
                role_bits, bodies, stuck[1 if part == _COARSE else 0 :], cases, ways, way_count, view, settings, near,
            )  # fmt: skip
            if part == _COARSE:
                part = _STRAIGHT
                for j in range(5):
                    if masks[trial, j] != masks[depth, j]:
                        part = _FINE
            else:
                part += 1
        if give_up and stuck[0]:
            return
        # a node has been looked at: keep it, then go deeper, or back to the next choice
        if depth == m and run[depth] >= 0.0:
            for role in range(2):
                if run[depth] < needs[2 + role] - 1e-9:
                    masks[depth, 0] &= ~role_bits[role]
        for j in range(5):
            found[2**depth - 1 + nodes[depth], j] = masks[depth, j]
        if depth < m and masks[depth, 0] != 0:
            depth += 1
            narrowed(
                frames[depth - 1], beyond[depth - 1], tall, thick + most_gap, masks[depth - 1, 0], role_bits, bodies,
                ways, way_count, view, settings, near, box, (near_counts[depth], near_hits[depth], walls[depth]),
            )  # fmt: skip
            choice[depth] = 0
        else:
            while depth > 0 and choice[depth] == 1:
                depth -= 1
            if depth == 0:
                return
            choice[depth] = 1
        i, made = depth - 1, choice[depth]
        nodes[depth] = nodes[i] | (made << i)
        for j in range(5):
            masks[depth, j] = masks[i, j]
        run[depth], length = run[i], bends[i, STRAIGHT]
        if made == 0:
            length += bends[i, ARC]
            if run[i] >= 0.0:
                run[depth] += length
            if (must >> i) & 1:
                masks[depth, 0] = 0
        elif run[i] >= 0.0:
            for role in range(2):
                if run[i] < needs[role] - 1e-9:
                    masks[depth, 0] &= ~role_bits[role]
            run[depth] = -1.0
        part = _STRAIGHT if made == 0 else _COARSE
        if near_counts[depth, :, 0].sum() == 0:
            part = _STRAIGHT + 1  # whatever is bent, nothing comes near: where it lies is all one
        elif made == 0:
            for j in range(12):
                frames[depth, j] = frames[i, j]
        else:
            bent(frames[i], bends[i], frames[depth])
