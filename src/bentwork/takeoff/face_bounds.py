"""Between which parameters faces lie, told by the edges round them in space alone. Lengths in mm, angles in radians.

What a file says of edges among the parameters of faces may be missing or, at a seam, a turn off. Where a face is a
rectangle of its parameters, as those of bars are, the edges themselves say it better.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import Edges, Floats
from bentwork.takeoff.face_table import CONE, CYLINDER, TORUS, Ints

__all__ = ["rectangles"]

CROOKED = 2e-3
"""Edges along a parameter line stay on it within this, mm: twice what coordinates of three decimals are off."""
TURN = 2.0 * pi
GAP = 1e-6
"""What does not go all round leaves more than this, rad."""


def rectangles(kinds: Ints, rows: Floats, rims: Ints, ways: Ints, starts: Ints, edges: Edges) -> tuple[Floats, Floats]:
    """Return u and v from and to of faces, (n, 4), and about how large an area goes round to the left, (n,).

    Not a number and 0 for those that are no such rectangle. A cylinder may be cut aslant at its ends and have holes,
    and a torus holes, where their other edges tell how far they go round. The area is one of parameters, below 0 where
    a face is gone round the wrong way.

    Args:
        kinds: of surface, as in ``FaceTable``; cylinders, cones and tori alone are asked.
        rows: their surfaces as there, (n, 14 or more).
        rims: the edges round one face after the other, a seam twice.
        ways: 1 where a face runs with its edge, -1 where against it.
        starts: where those of each face begin, and where those of the last one end.
        edges: of the solid.
    """
    found, areas = np.full((len(kinds), 4), np.nan), np.zeros(len(kinds))
    points, firsts, counts = edges.spread()
    free = np.zeros(edges.count, dtype=bool)
    free[list(edges.others)] = True
    # A torus that reaches its own axis has no direction there.
    round_ones = (kinds == CYLINDER) | (kinds == CONE) | ((kinds == TORUS) & (rows[:, 13] < (1.0 - 1e-6) * rows[:, 12]))
    told = np.logical_and.reduceat(counts.take(rims) > 0, starts[:-1]) & (starts[1:] > starts[:-1])
    told &= (kinds != CONE) | ~np.logical_or.reduceat(free.take(rims), starts[:-1])
    chosen = (round_ones & told).nonzero()[0]
    if len(chosen) == 0:
        return found, areas
    sizes = (starts[1:] - starts[:-1]).take(chosen)
    ends = sizes.cumsum()
    heads = ends - sizes
    at = np.arange(ends[-1]) + (starts.take(chosen) - heads).repeat(sizes)
    own = rims.take(at)
    whose = np.arange(len(chosen)).repeat(sizes)
    curved = free.take(own)
    surfaces = kinds.take(chosen), rows.take(chosen, axis=0)
    u, v, around, along, off, swept = _parameters(*surfaces, whose, own, curved, points, firsts, counts)
    askew = np.maximum(np.minimum((u[1] - u[0]) * around, (v[1] - v[0]) * along), off) > CROOKED
    straight = ~np.logical_or.reduceat(askew & ~curved, heads)
    tori = kinds.take(chosen) == TORUS
    # Where a face goes all round it meets itself in a seam, in pieces where a hole cuts it; without one, the kernel has
    # to make it.
    keys = whose * edges.count + own
    order = keys.argsort()
    again = (keys.take(order[1:]) == keys.take(order[:-1])).nonzero()[0]
    twice = np.zeros(len(keys), dtype=bool)
    twice[order[again]] = twice[order[again + 1]] = True
    standing = (u[1] - u[0]) * around <= CROOKED
    u_seam, v_seam = (np.logical_or.reduceat(twice & some, heads) for some in (standing, ~standing))
    us, wide, u_shift = _round_about(u, around, whose, heads)
    for k in (straight & ~wide & ~tori).nonzero()[0].tolist():
        part = slice(heads[k], ends[k])
        us[:, k], wide[k] = _covered(u[:, part], twice[part])
    vs, v_shift = np.array((np.minimum.reduceat(v[0], heads), np.maximum.reduceat(v[1], heads))), np.zeros(len(own))
    if tori.any():
        tubes, v_wide, turns = _round_about(v, along, whose, heads)
        vs, wide, v_shift = np.where(tori, tubes, vs), wide & (v_wide | ~tori), turns * tori.repeat(sizes)
    tubular = tori & (vs[1] - vs[0] > TURN - 1e-9)
    right = straight & wide & (u_seam == (us[1] - us[0] > TURN - 1e-9)) & (v_seam == tubular)
    found[chosen[right]] = np.array((*_in_first_turn(us), *np.where(tori, _in_first_turn(vs), vs))).T[right]
    # By Green's theorem: along u where v goes all round, else along v, so that seams do not count.
    (du, dv, u_dv, v_du), across = swept, tubular.repeat(sizes)
    left = ways.take(at) * np.where(across, u_dv + u_shift * dv, -(v_du + v_shift * du))
    areas[chosen[right]] = np.add.reduceat(left, heads)[right]
    return found, areas


def _parameters(
    kinds: Ints,
    rows: Floats,
    whose: Ints,
    own: Ints,
    curved: NDArray[np.bool_],
    points: Floats,
    firsts: Ints,
    counts: Ints,
) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
    """Return from where to where each edge of a face runs in u and in v, (2, n) each, and mm to a unit of both.

    After these how far each lies off its face, mm; how far it goes in u and in v, and the integrals of u dv and v du,
    (4, n).
    """
    sizes = counts.take(own)
    ends = sizes.cumsum()
    heads = ends - sizes
    within = np.arange(ends[-1])
    face = whose.repeat(sizes)
    rows = rows.take(face, axis=0)
    kinds = kinds.take(face)
    from_origin = points.take(within + (firsts.take(own) - heads).repeat(sizes), axis=0) - rows[:, :3]
    up, a, b = (np.einsum("ij,ij->i", from_origin, rows[:, k : k + 3]) for k in (3, 6, 9))
    out = np.sqrt(a * a + b * b)
    tori = kinds == TORUS
    cones = kinds == CONE
    u, v, off = np.arctan2(b, a), up, out - rows[:, 12]
    if cones.any():
        lean = np.where(cones, rows[:, 13], 0.0)
        v = np.where(cones, up / np.cos(lean), v)
        off = np.where(cones, (off - up * np.tan(lean)) * np.cos(lean), off)
    if tori.any():
        v = np.where(tori, np.arctan2(up, off), v)
        off = np.where(tori, np.hypot(off, up) - rows[:, 13], off)
    u, v = _unrolled(u, heads, sizes, True), _unrolled(v, heads, sizes, tori)
    spans = [np.array([some.reduceat(value, heads) for some in (np.minimum, np.maximum)]) for value in (u, v)]
    steps = np.zeros((4, len(u)))
    steps[0, :-1], steps[1, :-1] = u[1:] - u[:-1], v[1:] - v[:-1]
    steps[:2, ends - 1] = 0.0
    steps[2, :-1], steps[3, :-1] = (u[1:] + u[:-1]) / 2.0 * steps[1, :-1], (v[1:] + v[:-1]) / 2.0 * steps[0, :-1]
    for k in (curved & ~tori.take(heads)).nonzero()[0].tolist():
        part = slice(heads[k], ends[k])
        spans[1][:, k] = -_crest(u[part], -v[part]), _crest(u[part], v[part])
    along = np.where(tori, rows[:, 13], 1.0)
    swept = np.add.reduceat(steps, heads, axis=1)
    return (
        spans[0],
        spans[1],
        np.maximum.reduceat(out, heads),
        along.take(heads),
        np.maximum.reduceat(np.abs(off), heads),
        swept,
    )


def _crest(u: Floats, v: Floats) -> float:
    """Return how far up a curve on a cylinder goes; about its highest sample it is taken for a slanting cut."""
    at, last = int(v.argmax()), len(v) - 1
    around = float(u[-1] - u[0])
    closed = abs(v[-1] - v[0]) < 1e-9 and abs(around - TURN * round(around / TURN)) < 1e-9
    if 0 < at < last:
        before, after = at - 1, at + 1
        aside = (float(u[before] - u[at]), float(u[after] - u[at]))
    elif closed:
        before, after = last - 1, 1
        aside = (float(u[before] - u[last]), float(u[after] - u[0]))
    else:
        return float(v[at])
    # v = a + b cos(u) + c sin(u) through three of them, u from the highest.
    (b1, c1), (b2, c2) = ((cos(step) - 1.0, sin(step)) for step in aside)
    down = (float(v[before] - v[at]), float(v[after] - v[at]))
    whole = b1 * c2 - b2 * c1
    if abs(whole) < 1e-15:
        return float(v[at])
    b, c = (down[0] * c2 - down[1] * c1) / whole, (b1 * down[1] - b2 * down[0]) / whole
    if not min(aside) <= atan2(c, b) <= max(aside):
        return float(v[at])
    return float(v[at]) - b + hypot(b, c)


def _unrolled(values: Floats, heads: Ints, sizes: Ints, angles: NDArray[np.bool_] | bool) -> Floats:
    """Return angles along each edge without their leaps of a turn."""
    steps = np.zeros(len(values))
    steps[1:] = values[1:] - values[:-1]
    steps -= TURN * np.rint(steps / TURN) * angles
    steps[heads[1:]] = 0.0
    run = steps.cumsum()
    offset: Floats = (values.take(heads) - run.take(heads)).repeat(sizes)
    return run + offset


def _covered(spans: Floats, twice: NDArray[np.bool_]) -> tuple[Floats, bool]:
    """Return from where to where edges go round a cylinder or cone, and whether that is sure.

    Args:
        spans: of its edges, (2, n).
        twice: those that are seams.
    """
    seams = spans[0, twice]
    if len(seams):
        off = (seams - seams[0] + TURN / 2.0) % TURN - TURN / 2.0
        return np.array((seams[0], seams[0] + TURN)), bool((np.abs(off) < GAP).all())
    order = (spans[0] % TURN).argsort()
    lows = (spans[0] % TURN)[order]
    highs = np.maximum.accumulate(lows + (spans[1] - spans[0])[order])
    highs = np.maximum(highs, highs[-1] - TURN)
    after = np.append(lows[1:], lows[0] + TURN)
    widest = int((after - highs).argmax())
    return np.array((after[widest] - TURN, highs[widest])), bool(after[widest] - highs[widest] > GAP)


def _in_first_turn(spans: Floats) -> Floats:
    """Return spans of angles, (2, n), turned so that their middles lie between nothing and a turn.

    From where a circle is drawn hangs on the last digit of what a file says.
    """
    turned: Floats = spans - TURN * np.floor((spans.mean(axis=0) + GAP) / TURN)
    return turned


def _round_about(spans: Floats, unit: Floats, whose: Ints, heads: Ints) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Return the widest span of each face, (2, n), whether all others lie in it, and by how much they are turned."""
    widths = spans[1] - spans[0]
    widest = np.maximum.reduceat(widths, heads)
    at = (widths == widest.take(whose)).nonzero()[0][::-1]
    firsts = np.zeros(len(heads), dtype=np.intp)
    firsts[whose.take(at)] = at  # of what is written to one place the last one stays
    reference = spans.take(firsts, axis=1)
    middles = (spans[0] + spans[1]) / 2.0
    shift = TURN * np.rint((middles.take(firsts).take(whose) - middles) / TURN)
    low, high = spans + shift
    past = np.maximum(reference[0].take(whose) - low, high - reference[1].take(whose)) * unit
    inside = np.logical_and.reduceat(past <= CROOKED, heads)
    return reference, inside & (widest * np.maximum.reduceat(unit, heads) > CROOKED), shift
