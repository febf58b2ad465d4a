"""How a piece that is half made will turn out, when what goes wrong from here on is measured and mended.

By straight lines, so that a telephone answers at once: the error of a bend that is still to be made throws what matters
along its own slopes, and all that can be done afterwards takes back of it what least squares can take. What the gauge
does not see stays, until the finished piece is laid on its drawing and its ends are looked at. ``attempts`` does the
same with whole bars, and takes its time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.by_hand import ByHand
from bentwork.fitup.controls import Controls, Limits, controls_for
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.readings import USUAL_SD

__all__ = ["Outlook", "outlook"]

_OWN = (ANGLE, PLACE, DIRECTION)
_GAUGES = (USUAL_SD["angle"], USUAL_SD["position"], USUAL_SD["rotation"])
_SEAM_SDS = (USUAL_SD["gap"], USUAL_SD["sideways"], USUAL_SD["upwards"])


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a piece will turn out. Lengths in mm.

    Args:
        good: chance that it keeps every tolerance.
        gap: what it is expected to miss by: of a closed piece the distance between its ends, of an open one how far
            the worst spot lies off; the mean.
        gap_sd: one standard deviation of that.
        worst: share of a tolerance that is used up if all goes as it is likeliest to.
    """

    good: float
    gap: float
    gap_sd: float
    worst: float


def outlook(
    matters: Matters,
    found: Actual,
    values: Floats,
    longer: float,
    limits: Limits,
    rng: np.random.Generator,
    *,
    order: Sequence[int] = (),
    hand: ByHand | None = None,
    mended: bool = True,
    added: Floats | None = None,
    samples: int = 1000,
) -> Outlook:
    """Return how a piece will turn out.

    Args:
        matters: what matters of it.
        found: what it is believed to be; the first errors of its scatter are three to a bend, as of ``scatter_of``.
        values: what it is to become, shape (5, n).
        longer: how much longer end B is left, mm.
        limits: how far the work may leave the drawing.
        rng: source of chance.
        order: numbers of the bends still to be made, in their order; those left out follow as drawn.
        hand: what may be set by hand when all bends are made; None: nothing.
        mended: whether what goes wrong from here on is mended.
        added: what one standard deviation of each error of a correction by hand does, shape (c, 5, n).
        samples: how many pieces are drawn.
    """
    out, by, by_end = matters.with_slopes(values[:, :, np.newaxis], longer=longer)
    scales = matters.scales
    slopes = by[..., 0].reshape(len(scales), -1) / scales[:, np.newaxis]
    left = [number - 1 for number in order if not found.made[number - 1]]
    left += [k for k, one in enumerate(found.made) if not one and k not in left]
    roots = found.scatter.flat
    throws = slopes @ roots.T
    state = values[:, :, np.newaxis]
    tools = _Tools(matters, state, by, by_end, limits, hand if mended else None)
    at_hand = tools.takes_back(list(range(len(found.made)))) if mended and hand is not None else None
    columns: list[Floats] = []
    own_left: list[int] = []
    for step, bend in enumerate(left):
        takes = tools.takes_back([k for k in range(len(found.made)) if k not in left[step + 1 :]]) if mended else None
        for place in range(3):
            row = 3 * bend + place
            own_left.append(row)
            throw = throws[:, row]
            size = float(np.abs(roots[row]).max())
            if takes is None or size == 0.0:
                columns.append(throw)
                continue
            seen = size**2 / (size**2 + _GAUGES[place] ** 2)
            columns.append(np.sqrt(seen) * (takes @ throw))
            unseen = throw if at_hand is None else at_hand @ throw
            columns.append(np.sqrt(1.0 - seen) * unseen)
    rest = [row for row in range(len(roots)) if row not in set(own_left)]
    if rest:
        unsure = np.linalg.cholesky(found.spread[np.ix_(rest, rest)] + 1e-12 * np.eye(len(rest)))
        known = throws[:, rest].copy()
        if mended and left:
            # What all bends have in common is learnt from the next bend made.
            first = tools.takes_back([k for k in range(len(found.made)) if k not in left[1:]])
            shared = [k for k, row in enumerate(rest) if row >= len(found.scatter.own)]
            known[:, shared] = first @ known[:, shared]
        if at_hand is not None:
            known = at_hand @ known
        columns += list((known @ unsure).T)
    middle = out[:, 0] / scales
    if at_hand is not None:
        middle = at_hand @ middle
        gauge = np.diag(_last_sds(matters) / scales)
        columns += list((gauge - at_hand @ gauge).T)
    if added is not None and len(added):
        slips = slopes @ added.reshape(len(added), -1).T
        columns += list((slips if at_hand is None else at_hand @ slips).T)
    whole = np.array(columns).T if columns else np.zeros((len(scales), 1))
    drawn = (middle[:, np.newaxis] + whole @ rng.standard_normal((whole.shape[1], samples))) * scales[:, np.newaxis]
    gap = _missed_by(matters, drawn)
    return Outlook(
        float(np.mean(matters.worst(drawn) <= 1.0)),
        float(gap.mean()),
        float(gap.std()),
        float(matters.worst((middle * scales)[:, np.newaxis])[0]),
    )


def _last_sds(matters: Matters) -> Floats:
    """Readings of the finished piece, one standard deviation of each: at the seam, and on the full-size drawing."""
    sds = np.full(len(matters.scales), USUAL_SD["across"])
    if matters.closed:
        sds[:6] = (*_SEAM_SDS, *[USUAL_SD["angle"]] * 3)
    return sds


def _missed_by(matters: Matters, out: Floats) -> Floats:
    if matters.closed:
        return np.asarray(np.sqrt(np.sum(out[:3] ** 2, axis=0)))
    sizes = [np.sqrt(np.sum(out[list(group.rows)] ** 2, axis=0)) for group in matters.groups]
    return np.max(np.array(sizes), axis=0) if sizes else np.zeros(out.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class _Tools:
    """What can be taken back, by slopes over everything that can still be done."""

    matters: Matters
    state: Floats
    by: Floats
    by_end: Floats
    limits: Limits
    hand: ByHand | None

    def takes_back(self, made: Sequence[int]) -> Floats:
        """What is left of a throw after everything that can be done once these bends (from 0) are made, (k, k)."""
        matters, scales = self.matters, self.matters.scales
        controls = controls_for(matters.nominal, self.state, [k + 1 for k in made], self.limits)
        if self.hand is None:
            controls = controls.only(("angle", "direction", "place", "end B"))
        if not controls.all:
            return np.eye(len(scales))
        rows = controls.slopes(self.by, self.by_end, self.state)[..., 0] / scales[:, np.newaxis]
        room = (controls.high - controls.low) / 4.0
        rows = rows * _steady(controls, room)
        inside = rows.T @ rows + np.eye(rows.shape[1])
        return np.asarray(np.eye(len(scales)) - rows @ np.linalg.solve(inside, rows.T))


def _steady(controls: Controls, room: Floats) -> Floats:
    """How far each control is used freely: a quarter of its bounds, so that it seldom meets them."""
    return np.where(np.isfinite(room), np.maximum(room, 1e-6), 10.0) if controls.all else room
