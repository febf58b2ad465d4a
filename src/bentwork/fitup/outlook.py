"""How a piece that is half made will turn out, when what goes wrong from here on is measured and mended.

By straight lines, so that a telephone answers at once: the error of a bend that is still to be made throws what matters
along its own slopes, and all that can be done afterwards takes back of it what least squares can take. What the gauge
does not see stays, until the finished piece is laid on its drawing and its ends are looked at. ``attempts`` does the
same with whole bars, and takes its time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.by_hand import ByHand
from bentwork.fitup.controls import Limits
from bentwork.fitup.made import Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.readings import USUAL_SD
from bentwork.fitup.taken_back import Drawn, Left, Tools

__all__ = ["Foreseen", "Outlook", "foreseen"]

_GAUGES = (USUAL_SD["angle"], USUAL_SD["position"], USUAL_SD["rotation"])


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a piece will turn out. Lengths in mm.

    Args:
        good: chance that it keeps every tolerance.
        gap: what it is expected to miss by: of a closed piece the distance between its ends, of an open one how far
            the worst spot lies off; the mean.
        gap_sd: one standard deviation of that.
        worst: share of a tolerance that is used up if all goes as it is likeliest to.
        fails: what most often lies outside its tolerance, by the name of its group; None where nothing does.
    """

    good: float
    gap: float
    gap_sd: float
    worst: float
    fails: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Foreseen:
    """What chance does to a piece from here on, by the slopes of one way on; ways near it are weighed by them.

    Args:
        matters: what matters of it.
        tools: all that can be done.
        slopes: of what matters over the unknowns, in tolerances, shape (k, 5 n).
        misses: what one standard deviation of each cause leaves, shape (k, c).
        sets: what is set by hand for it on the way, shape (p, c); None where nothing is set on the finished piece.
        hand: what may be set by hand when all bends are made; None: nothing.
        chance: the pieces that are made up.
    """

    matters: Matters
    tools: Tools
    slopes: Floats
    misses: Floats
    sets: Floats | None
    hand: ByHand | None
    chance: Drawn

    def outlook(
        self, values: Floats, longer: float, *, added: Floats | None = None, left: Left | None = None
    ) -> Outlook:
        """Return how the piece will turn out on one way.

        Args:
            values: what it is to become, shape (5, n).
            longer: how much longer end B is left, mm.
            added: what one standard deviation of each error of a correction by hand does, shape (c, 5, n).
            left: what may still be set by hand then, see ``Tools``; None for as much as before.
        """
        scales = self.matters.scales
        middle = self.matters.of(values[:, :, np.newaxis], longer=longer)[:, 0] / scales
        more = np.zeros((0, self.slopes.shape[1])) if added is None else added.reshape(len(added), -1)
        misses = np.concatenate((self.misses, self.slopes @ more.T), axis=1)
        causes = self.chance.causes[: misses.shape[1]]
        if self.sets is not None and self.hand is not None:
            sets = self.sets @ causes[: self.sets.shape[1]]
            bounds = self.tools.bounds(left)
            drawn = self.tools.set_by_hand(middle, misses, causes, sets, self.hand, self.chance, bounds)
            middle = self.tools.at_best(middle, bounds)
        else:
            drawn = middle[:, np.newaxis] + misses @ causes
        drawn = drawn * scales[:, np.newaxis]
        gap = _missed_by(self.matters, drawn)
        outside = self.matters.used(drawn) > 1.0
        often = outside.sum(axis=1)
        return Outlook(
            float(np.mean(~outside.any(axis=0))),
            float(gap.mean()),
            float(gap.std()),
            float(self.matters.worst((middle * scales)[:, np.newaxis])[0]),
            self.matters.groups[int(np.argmax(often))].name if often.any() else None,
        )


def foreseen(
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
    left: Left | None = None,
    samples: int = 500,
) -> Foreseen:
    """Return what chance does to a piece from here on.

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
        left: for each bend, by how many degrees it may still be set by hand, and the straight before it be wrung; None
            for as much as the hand says.
        samples: how many pieces are drawn.
    """
    _, by, by_end = matters.with_slopes(values[:, :, np.newaxis], longer=longer)
    scales = matters.scales
    slopes = by[..., 0].reshape(len(scales), -1) / scales[:, np.newaxis]
    order_left = [number - 1 for number in order if not found.made[number - 1]]
    order_left += [k for k, one in enumerate(found.made) if not one and k not in order_left]
    tools = Tools(matters, values[:, :, np.newaxis], by, by_end, limits, left)
    made = [[k for k in range(len(found.made)) if k not in order_left[step:]] for step in range(1, len(order_left) + 1)]
    takes = [tools.takes_back(bends, by_hand=hand is not None) for bends in made] if mended else []
    causes = [
        *_to_come(found, slopes, order_left, takes),
        *_known(found, slopes, order_left, takes),
    ]
    misses = np.array([miss for miss, _ in causes]).reshape(-1, len(scales)).T
    sets = None
    if mended and hand is not None:
        nothing = np.zeros(len(tools.hands.all))
        sets = np.array([nothing if so is None else so for _, so in causes]).reshape(len(causes), -1).T
    read = 0 if sets is None else len(scales)  # who sets nothing looks at nothing
    chance = Drawn.of(rng, len(causes) + len(tools.hands.all), read, samples)
    return Foreseen(matters, tools, slopes, misses, sets, hand, chance)


_Cause: TypeAlias = tuple[Floats, Floats | None]
"""What one standard deviation of it leaves of misses, in tolerances, and what is set by hand for it on the way."""


_Taken: TypeAlias = Sequence[tuple[Floats, Floats]]
"""What is left of misses seen after each of the bends to come, see ``Tools.takes_back``; empty where none is mended."""


def _to_come(found: Actual, slopes: Floats, left: Sequence[int], taken: _Taken) -> list[_Cause]:
    """What the errors of bends still to be made leave: the part that the gauge sees is taken back by those after it."""
    roots, causes = found.scatter.flat, list[_Cause]()
    for step, bend in enumerate(left):
        takes = taken[step] if taken else None
        for place in range(3):
            row = 3 * bend + place
            throw, size = slopes @ roots[row], float(np.abs(roots[row]).max())
            if takes is None or size == 0.0:
                causes.append((throw, None))
                continue
            seen = size**2 / (size**2 + _GAUGES[place] ** 2)
            told, untold = np.sqrt(seen) * throw, np.sqrt(1.0 - seen) * throw
            causes += [(takes[0] @ told, takes[1] @ told), (untold, None)]
    return causes


def _known(found: Actual, slopes: Floats, left: Sequence[int], taken: _Taken) -> list[_Cause]:
    """What is not known of the bends that are made, and of what all bends have in common."""
    roots = found.scatter.flat
    own_left = {3 * bend + place for bend in left for place in range(3)}
    rest = [row for row in range(len(roots)) if row not in own_left]
    if not rest:
        return []
    unsure = np.linalg.cholesky(found.spread[np.ix_(rest, rest)] + 1e-12 * np.eye(len(rest)))
    known = slopes @ roots[rest].T
    if taken:
        # What all bends have in common is learnt from the next bend made.
        first, _ = taken[0]
        shared = [k for k, row in enumerate(rest) if row >= len(found.scatter.own)]
        known[:, shared] = first @ known[:, shared]
    return [(column, None) for column in (known @ unsure).T]


def _missed_by(matters: Matters, out: Floats) -> Floats:
    if matters.closed:
        return np.asarray(np.sqrt(np.sum(out[:3] ** 2, axis=0)))
    sizes = [np.sqrt(np.sum(out[list(group.rows)] ** 2, axis=0)) for group in matters.groups]
    return np.max(np.array(sizes), axis=0) if sizes else np.zeros(out.shape[1])
