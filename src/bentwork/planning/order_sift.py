"""Lists of bodies that the bar may hit, and the first quick look by boxes, which most of them do not survive. Compiled.

A list is of one side of the bar (held, free) and one station, so that all in it is looked at alike: list 2 * role +
station. What a quick look needs is kept in the list itself.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled, compiled_in
from bentwork.clearance.distances import BOX, LETS_GO, MOUNTING, STATION

__all__ = ["BITS", "BODY", "HIT", "LIFT", "LIFTS", "SWEEP", "Near", "all_near", "listed", "sift"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]

BODY, BITS, HIT = range(3)
"""Rows of a list: number of the body, bits of the masks that it concerns, what it may be hit in."""

SWEEP, LIFT = 1, 2
LIFTS = sum(LIFT << way for way in range(4))
"""What a body may be hit in, as bits: the sweep there and back; put on up, aside; lifted off up, aside."""

Near = tuple[Flags, Flags, Row]
"""Lists of bodies: how many each has, and all that they may be hit in (4, 2); the rows above (4, 3, n); lowest x, y, z
and highest x, y, z (4, 6, n)."""


@compiled
def all_near(bodies: Row, role_bits: Flags, depths: int, way_count: int) -> Near:
    """Return room for lists by depth, (depths, ...); in the first ones are all bodies.

    Args:
        bodies: as the held and the free side see them, (2, n, columns).
        role_bits: bits for which a side is held, and free, (2,).
        depths: how many.
        way_count: how many ways there are to put the bar on and lift it off.
    """
    n = bodies.shape[1]
    counts, hits = np.zeros((depths, 4, 2), dtype=np.int64), np.zeros((depths, 4, 3, n), dtype=np.int64)
    walls = np.zeros((depths, 4, 6, n))
    for role in range(2):
        for b in range(n):
            hit, bits = SWEEP, role_bits[role]
            for way in range(way_count if bodies[role, b, LETS_GO] == 0.0 else 0):
                hit |= (LIFT << way) | (LIFT << (2 + way))
            if bodies[role, b, MOUNTING] >= 0.0:
                bits &= 3 << (2 * int(bodies[role, b, MOUNTING]))
            which = 2 * role + int(bodies[role, b, STATION])
            count = counts[0, which, 0]
            hits[0, which, BODY, count], hits[0, which, BITS, count] = b, bits
            for axis in range(6):
                walls[0, which, axis, count] = bodies[role, b, BOX + axis]
            listed(hit, (counts[0], hits[0], walls[0]), which, count, (counts[0], hits[0], walls[0]))
    return counts, hits, walls


@compiled_in
def listed(hit: int, near: Near, which: int, e: int, into: Near) -> None:
    """Put a body of one list at the end of the same list of others, with what it may still be hit in."""
    at = into[0][which, 0]
    into[0][which, 0], into[0][which, 1] = at + 1, into[0][which, 1] | hit
    into[1][which, BODY, at], into[1][which, BITS, at] = near[1][which, BODY, e], near[1][which, BITS, e]
    into[1][which, HIT, at] = hit
    for axis in range(6):
        into[2][which, axis, at] = near[2][which, axis, e]


@compiled_in
def sift(near: Near, which: int, bottom: float, top: float, thick: float, lifted: Row, phases: int, left: Flags) -> int:
    """Write in what each body of a list may still be hit, and return all of that together.

    Args:
        near: lists.
        which: number of the list.
        bottom: lowest z of what moves past the bodies.
        top: highest z of it.
        thick: how near a body may come to it.
        lifted: boxes of all that it passes when put on and lifted off, by phase and way, and one as wide as all of
            them: lowest x, y, z and highest x, y, z, (5, 6).
        phases: 1 where it is lifted off as it is put on, and has boxes for that alone; else 2.
        left: where to write, (n,).
    """
    count, hits, walls = near[0][which, 0], near[1], near[2]
    squared, together, both = thick * thick, 0, LIFT if phases == 2 else LIFT | (LIFT << 2)
    for e in range(count):
        hit = hits[which, HIT, e]
        z0, z1 = walls[which, 2, e], walls[which, 5, e]
        if bottom - z1 >= thick or z0 - top >= thick:
            hit &= LIFTS
        if hit & LIFTS:
            x0, x1 = walls[which, 0, e], walls[which, 3, e]
            if x0 - lifted[4, 3] >= thick or lifted[4, 0] - x1 >= thick:
                hit &= SWEEP
            else:
                y0, y1 = walls[which, 1, e], walls[which, 4, e]
                for k in range(2 * phases):
                    if hit & (LIFT << k):
                        gx = max(0.0, max(x0 - lifted[k, 3], lifted[k, 0] - x1))
                        gy = max(0.0, max(y0 - lifted[k, 4], lifted[k, 1] - y1))
                        gz = max(0.0, max(z0 - lifted[k, 5], lifted[k, 2] - z1))
                        if gx * gx + gy * gy + gz * gz >= squared:
                            hit &= ~(both << k)
        left[e] = hit
        together |= hit
    return together
