"""What is believed of a bar once bends of it were set by hand: no better known until it is measured again."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.by_hand import ByHand
from bentwork.fitup.made import ANGLE, DIRECTION, RADIUS, Floats
from bentwork.fitup.mend import Correction
from bentwork.fitup.scatter import Scatter, TurnedFrom

__all__ = ["after_correction"]


def after_correction(
    found: Actual,
    done: Sequence[Correction],
    hand: ByHand | None = None,
    *,
    last: int | None = None,
    turned_from: TurnedFrom = "the bend before",
) -> Scatter:
    """Return the scatter of a bar about what was intended for it, after some work by hand.

    Readings taken before are in it; those to come are new ones, see ``actual.actual``. The first errors are still three
    to a bend, of the bends that are left.

    Args:
        found: what was believed before the work by hand.
        done: what was done.
        hand: how far that may be out.
        last: number of the bend made last, from which the next is turned; None: the one furthest from end A.
        turned_from: how directions are found. A straight that is wrung takes the bend made last along, or the scribed
            line behind it, and with that all bends that are still to be turned from there.
    """
    hand = ByHand() if hand is None else hand
    count = len(found.made)
    last = max((k + 1 for k, made in enumerate(found.made) if made), default=0) if last is None else last
    roots = found.scatter.roots
    left = [3 * k + place for k, made in enumerate(found.made) if not made for place in range(3)]
    own = np.zeros((3 * count, *found.intended.shape))
    own[left] = roots[left]
    rest = [row for row in range(len(roots)) if row not in left]
    unsure = np.linalg.cholesky(found.spread[np.ix_(rest, rest)] + 1e-12 * np.eye(len(rest)))
    known = np.einsum("rs,rkn->skn", unsure, roots[rest])
    bias = found.out.copy()
    errors: list[Floats] = []
    for one in done:
        k, sd = one.bend - 1, float(np.hypot(hand.sd, hand.share * one.by))
        way = np.zeros_like(bias)
        if one.what == "wring":
            by_line = turned_from == "the scribed line"
            way[DIRECTION] = [float(j >= k if by_line or found.made[j] else last > k) for j in range(count)]
            bias += one.by * way
        else:
            angle, radius = float(found.values[ANGLE, k]), float(found.values[RADIUS, k])
            way[ANGLE, k], way[RADIUS, k] = 1.0, -radius / angle
            bias[ANGLE, k] += one.by
            bias[RADIUS, k] += radius * angle / (angle + one.by) - radius
        errors.append(sd * way)
    shape = (-1, *found.intended.shape)
    slips = np.array(errors).reshape(shape) if errors else np.zeros((0, *bias.shape))
    return Scatter(bias, np.concatenate((own, _fewer(known, slips))), np.zeros((0, *bias.shape)))


def _fewer(*roots: Floats) -> Floats:
    """As few errors as do the same: no more than there are unknowns, however often something was set by hand."""
    flat = np.concatenate(roots)
    shape = flat.shape[1:]
    _, sizes, ways = np.linalg.svd(flat.reshape(len(flat), -1), full_matrices=False)
    kept = sizes > _NOTHING * max(float(sizes.max(initial=0.0)), 1.0)
    return np.asarray((sizes[kept, np.newaxis] * ways[kept]).reshape(-1, *shape))


_NOTHING = 1e-6
