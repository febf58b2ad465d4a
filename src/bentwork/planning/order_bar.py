"""Which shapes of the two sides of the bar clear one another at one bend. Compiled.

Nodes as in ``order_sides``. What two nodes hit with their own stretches, all nodes beyond them hit as well; so a pair
is looked at only where the pairs before it are clear, and only with the stretches of its own.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.sides import ANGLE, ARC, RADIUS, STRAIGHT, arc_lines, bent, chords, run_on
from bentwork.clearance.sweep import clears_bar
from bentwork.planning.order_sides import COARSE

__all__ = ["pair_masks", "stretches"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]
Masks = NDArray[np.uint16]


@compiled
def stretches(first: float, bends: Row, error: float, alive: Masks) -> tuple[Row, Flags, Row]:
    """Return the stretch of bar that each node adds.

    Args:
        first: straight beside the bend being made.
        bends: of this side, outward, (m, 5).
        error: how far chords may lie from their arc.
        alive: mask of every node; those of mask 0 are left empty.

    Returns:
        lines (nodes, most, 8): px, py, pz, ux, uy, uz, how far the metal may lie from it, turning up to it; first the
        straight, then the coarse chords, then the fine ones; how many coarse and fine chords each node has (nodes, 2);
        and the turning up to and with each node (nodes,).
    """
    m = len(bends)
    nodes = 2 ** (m + 1) - 1
    most = 1
    for i in range(m):
        coarse = max(1, int(np.ceil(bends[i, ANGLE] / COARSE)))
        most = max(most, 1 + coarse + chords(bends[i, RADIUS], bends[i, ANGLE], error))
    lines = np.zeros((nodes, most, 8))
    counts = np.zeros((nodes, 2), dtype=np.int64)
    turning = np.zeros(nodes)
    frames = np.zeros((nodes, 12))
    frames[0, 3] = frames[0, 7] = frames[0, 11] = 1.0
    run_on(frames[0], first, lines[0, 0])
    for depth in range(1, m + 1):
        i = depth - 1
        for b in range(2**depth):
            node = 2**depth - 1 + b
            if alive[node] == 0:
                continue
            parent = 2**i - 1 + (b & (2**i - 1))
            frames[node] = frames[parent]
            turning[node] = turning[parent]
            length = bends[i, STRAIGHT]
            if (b >> i) & 1:
                at = 1
                for k in range(2):
                    count = max(1, int(np.ceil(bends[i, ANGLE] / COARSE)))
                    if k == 1:
                        count = chords(bends[i, RADIUS], bends[i, ANGLE], error)
                    gap = arc_lines(frames[parent], bends[i], count, lines[node, at:, :6])
                    for j in range(count):
                        lines[node, at + j, 6] = gap
                        lines[node, at + j, 7] = turning[parent] + bends[i, ANGLE] * (j + 1) / count
                    counts[node, k] = count
                    at += count
                bent(frames[parent], bends[i], frames[node])
                turning[node] += bends[i, ANGLE]
            else:
                length += bends[i, ARC]
            run_on(frames[node], length, lines[node, 0, :6])
            lines[node, 0, 7] = turning[node]
    return lines, counts, turning


@compiled
def _apart(p: Row, p_grows: bool, q: Row, q_grows: bool, apart: float, rows: Row, cases: Flags, settings: Row) -> bool:
    """Tell whether two lines stay apart, on the way up and springing back; p lies on the free side."""
    pull, wanted = settings[2], settings[3]
    first = math.pi - 1e-9 - p[7] - q[7]
    if first > pull:
        return True
    thick = apart + p[6] + q[6]
    for a in rows:
        line = (p[0], p[1], p[2] + a, p[3], p[4], p[5])
        for b in rows:
            other = (q[0], q[1], q[2] + b, q[3], q[4], q[5])
            if not clears_bar(
                line, p_grows, other, q_grows, thick, cases[1, 0], cases[0, 0], max(0.0, first), pull, settings
            ):
                return False
            start = max(wanted, first)
            if not clears_bar(line, p_grows, other, q_grows, thick, cases[1, 1], cases[0, 1], start, pull, settings):
                return False
    return True


@compiled
def _own_apart(
    p: Row,
    p_counts: Flags,
    p_root: bool,
    q: Row,
    q_counts: Flags,
    q_root: bool,
    ends_meet: bool,
    apart: float,
    rows: Row,
    cases: Flags,
    settings: Row,
) -> bool:
    """Tell whether the stretches of two nodes stay apart: first coarse chords, then fine ones."""
    for i in range(1 + p_counts[0]):
        for j in range(1 + q_counts[0]):
            if i == 0 and j == 0 and ends_meet:
                continue
            if _apart(p[i], p_root, q[j], q_root, apart, rows, cases, settings):
                continue
            if i == 0 and j == 0:
                return False
            for k in range(1 + p_counts[0], 1 + p_counts[0] + p_counts[1]) if i > 0 else range(1):
                for h in range(1 + q_counts[0], 1 + q_counts[0] + q_counts[1]) if j > 0 else range(1):
                    if not _apart(p[k], p_root, q[h], q_root, apart, rows, cases, settings):
                        return False
    return True


@compiled
def pair_masks(
    outer: tuple[Row, Flags, Row], inner: tuple[Row, Flags, Row], outer_alive: Masks, inner_alive: Masks,
    outer_bends: int, inner_bends: int, outer_is_b: bool, closed: bool, apart: float, rows: Row, cases: Flags,
    settings: Row,
) -> Flags:  # fmt: skip
    """Return for every pair of leaves (outer choice, inner choice) bit 0 if clear with end A held, bit 1 with end B.

    Args:
        outer: stretches of one side.
        inner: of the other.
        outer_alive: mask of every node of the one.
        inner_alive: of the other.
        outer_bends: bends on the one side.
        inner_bends: on the other.
        outer_is_b: the outer side is the one towards end B.
        closed: the ends meet by design.
        apart: between centrelines of rows, the clearance wanted included.
        rows: offsets of the rows.
        cases: of the held and the free side against one another; bending, opening: (2, 2).
        settings: of the motion.
    """
    m, w = outer_bends, inner_bends
    wide = 2 ** (w + 1) - 1
    clear = np.zeros((m + 1, wide), dtype=np.uint8)  # one row for each depth of the walk through the outer side
    leaves = np.zeros((2**m, 2**w), dtype=np.int64)
    choice = np.zeros(m + 1, dtype=np.int64)
    nodes = np.zeros(m + 1, dtype=np.int64)
    held_a, held_b = 0x5555, 0xAAAA
    depth = 0
    while True:
        p = 2**depth - 1 + nodes[depth]
        live = outer_alive[p]
        if live != 0:
            for q in range(wide):
                both = live & inner_alive[q]
                bits = (1 if both & held_a else 0) | (2 if both & held_b else 0)
                if depth > 0:
                    bits &= clear[depth - 1, q]
                q_depth = 0
                if q > 0:
                    while 2 ** (q_depth + 1) - 1 <= q:
                        q_depth += 1
                    parent = 2 ** (q_depth - 1) - 1 + ((q - 2**q_depth + 1) & (2 ** (q_depth - 1) - 1))
                    bits &= clear[depth, parent]
                if bits != 0 and outer[2][p] + inner[2][q] + settings[2] >= math.pi - 1e-9:
                    meet = closed and depth == m and q_depth == w
                    for hold in range(2):
                        if bits & (1 << hold):
                            outer_free = outer_is_b == (hold == 0)
                            if outer_free:
                                good = _own_apart(
                                    outer[0][p],
                                    outer[1][p],
                                    p == 0,
                                    inner[0][q],
                                    inner[1][q],
                                    q == 0,
                                    meet,
                                    apart,
                                    rows,
                                    cases,
                                    settings,
                                )
                            else:
                                good = _own_apart(
                                    inner[0][q],
                                    inner[1][q],
                                    q == 0,
                                    outer[0][p],
                                    outer[1][p],
                                    p == 0,
                                    meet,
                                    apart,
                                    rows,
                                    cases,
                                    settings,
                                )
                            if not good:
                                bits &= ~(1 << hold)
                clear[depth, q] = bits
            if depth == m:
                for b in range(2**w):
                    leaves[nodes[depth], b] = clear[depth, 2**w - 1 + b]
        if live != 0 and depth < m:
            depth += 1
            choice[depth] = 0
        else:
            while depth > 0 and choice[depth] == 1:
                depth -= 1
            if depth == 0:
                return leaves
            choice[depth] = 1
        nodes[depth] = nodes[depth - 1] | (choice[depth] << (depth - 1))
