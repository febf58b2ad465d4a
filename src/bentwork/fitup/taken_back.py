"""How much of a miss can still be taken back: by the bends that are left, and by hand.

Each error is taken back by straight lines as soon as it is seen, by what is then left to bend and to set, with the
weights of ``mending.goal``. What is left of all of them together is looked at on the finished piece and set by hand
within what each bend and straight stands in all: bounded least squares, one piece at a time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.fitup.by_hand import ByHand
from bentwork.fitup.controls import Controls, Limits, What, controls_for
from bentwork.fitup.made import Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.mending import weights_of
from bentwork.fitup.readings import USUAL_SD
from bentwork.fitup.walking import within_bounds

__all__ = ["Drawn", "Left", "Tools"]

Ints: TypeAlias = NDArray[np.intp]

Left: TypeAlias = tuple[Sequence[float], Sequence[float]]
"""For each bend, by how many degrees it may still be set by hand, and the straight before it be wrung."""

_BENDS: tuple[What, ...] = ("angle", "direction", "place", "end B")
_HANDS: tuple[What, ...] = ("set by hand", "wrung")
_SET_AT_ONCE = 6  # corrections in the last go, as ``mend`` asks for at most
_SWEEPS = 12
_LOOKS = 3
_A_FEW = 3  # corrections at a second and third look
_LOOKS_GOOD = 0.6  # of the tolerance, as it is seen: it is left alone
_SEAM_SDS = (USUAL_SD["gap"], USUAL_SD["sideways"], USUAL_SD["upwards"])


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Standard normal numbers for pieces that are made up, shapes (c, m), and for each look (r, k, m) and (r, 6, m)."""

    causes: Floats
    readings: Floats
    slips: Floats

    @classmethod
    def of(cls, rng: np.random.Generator, causes: int, readings: int, samples: int) -> Drawn:
        """Return so many. From chance at the same beginning the same readings come whatever the number of causes is."""
        looks = [rng.standard_normal((_LOOKS, size, samples)) for size in (readings, _SET_AT_ONCE)]
        return cls(rng.standard_normal((causes, samples)), *looks)


@dataclass(frozen=True, slots=True, eq=False)
class Tools:
    """Everything that can be done, by its slopes.

    Args:
        matters: what matters.
        state: the bar, shape (5, n, 1).
        by: slopes of what matters over the unknowns, shape (k, 5, n, 1).
        by_end: over the length left at end B, shape (k, 1).
        limits: how far the work may leave the drawing.
        left: for each bend, by how many degrees it may still be set by hand, and the straight before it be wrung; None
            for as much as the limits say.
    """

    matters: Matters
    state: Floats
    by: Floats
    by_end: Floats
    limits: Limits
    left: Left | None = None
    hands: Controls = field(init=False)
    """Everything that can be set by hand on the finished piece, and end B."""

    def __post_init__(self) -> None:
        bends = self.matters.nominal.bends
        found = controls_for(self.matters.nominal, self.state, range(1, bends + 1), self.limits, self.left)
        object.__setattr__(self, "hands", found.only((*_HANDS, "end B")))

    def takes_back(self, made: Sequence[int], *, by_hand: bool) -> tuple[Floats, Floats]:
        """Return what is left of misses seen once these bends (from 0) are made, and what is set by hand for it.

        Args:
            made: the bends.
            by_hand: whether something is set by hand as well.

        Returns:
            shapes (k, k) and (p, k), p being ``hands``.
        """
        controls = controls_for(
            self.matters.nominal, self.state, [k + 1 for k in made], self.limits, self.left if by_hand else None
        ).only((*_BENDS, *_HANDS) if by_hand else _BENDS)
        size, places = len(self.matters.scales), {(one.what, one.bend): k for k, one in enumerate(self.hands.all)}
        set_so = np.zeros((len(places), size))
        if not controls.all:
            return np.eye(size), set_so
        rows = self._rows(controls)
        weights = np.maximum(weights_of(controls), 1.0 / np.maximum(controls.high - controls.low, 1e-6))
        uses = -np.linalg.solve(rows.T @ rows + np.diag(weights**2), rows.T)
        if by_hand:
            for one, use in zip(controls.all, uses, strict=True):
                if (one.what, one.bend) in places:
                    set_so[places[one.what, one.bend]] = use
        return np.eye(size) + rows @ uses, set_so

    def bounds(self, left: Left | None = None) -> tuple[Floats, Floats]:
        """Return how far each of ``hands`` may go, shapes (p, 1): 0 for what may not be set any more.

        Args:
            left: what may still be set by hand; None for as much as at first.
        """
        low, high = self.hands.low, self.hands.high
        if left is not None:
            rest = {"set by hand": left[0], "wrung": left[1]}
            most = np.array([rest[one.what][one.bend] if one.what in rest else math.inf for one in self.hands.all])
            low, high = np.maximum(low, -most), np.minimum(high, most)
        return low[:, np.newaxis], high[:, np.newaxis]

    def at_best(self, middle: Floats, bounds: tuple[Floats, Floats]) -> Floats:
        """Return what is left of one miss when it is set by hand as far as that goes, in tolerances, shape (k,)."""
        controls = self.hands
        if not controls.all:
            return middle
        rows, seen = self._rows(controls), middle[:, np.newaxis]
        sets = _bounded(rows, weights_of(controls), seen, np.zeros((len(controls.all), 1)), *bounds)
        return np.asarray((seen + rows @ sets)[:, 0])

    def set_by_hand(
        self,
        middle: Floats,
        misses: Floats,
        causes: Floats,
        before: Floats,
        hand: ByHand,
        drawn: Drawn,
        bounds: tuple[Floats, Floats],
    ) -> Floats:
        """Return what pieces miss by, in tolerances, when they were looked at and set by hand, shape (k, m).

        Args:
            middle: what is expected to be missed, in tolerances, shape (k,).
            misses: what one standard deviation of each cause does, shape (k, c).
            causes: how large each is, shape (c, m).
            before: what was set by hand on the way, shape (p, m).
            hand: what can be done by hand.
            drawn: standard normal numbers.
            bounds: how far each of ``hands`` may go.
        """
        scales, controls = self.matters.scales, self.hands
        out = middle[:, np.newaxis] + misses @ causes
        if not controls.all:
            return np.asarray(out)
        sds = (_last_sds(self.matters) / scales)[:, np.newaxis]
        rows, weights, (low, high) = self._rows(controls), weights_of(controls), bounds
        by_hand = np.array([one.what in _HANDS for one in controls.all])
        seen = _told(misses @ misses.T, sds, middle, out, drawn.readings[0])
        sets = _bounded(rows, weights, seen, before, low, high)
        used = np.sqrt(np.mean((sets - before) ** 2, axis=1)) * by_hand
        last = np.argsort(-used)[:_SET_AT_ONCE]
        slips = np.minimum(hand.sd, used[last])[:, np.newaxis] * drawn.slips[0, : len(last)]
        out = out + rows @ (sets - before) + rows[:, last] @ slips
        nothing = np.zeros(len(scales))
        for look in range(1, min(_LOOKS, hand.times)):
            seen = _told(out @ out.T / out.shape[1], sds, nothing, out, drawn.readings[look])
            again = np.flatnonzero(self.matters.worst(seen * scales[:, np.newaxis]) > _LOOKS_GOOD)
            seen, been, ends = seen[:, again], sets[:, again], out[:, again]
            for place in range(_A_FEW if len(again) else 0):
                step, chosen = _one_more(rows, weights, seen, low - been, high - been, hand.least * by_hand)
                been[chosen, np.arange(len(step))] += step
                ways, slips = rows[:, chosen], drawn.slips[look, place, again]
                seen = seen + ways * step
                slip = np.hypot(hand.sd, hand.share * step) * slips * by_hand[chosen] * (step != 0.0)
                ends = ends + ways * (step + slip)
            sets[:, again], out[:, again] = been, ends
        return np.asarray(out)

    def _rows(self, controls: Controls) -> Floats:
        slopes = controls.slopes(self.by, self.by_end, self.state)[..., 0]
        return np.asarray(slopes / self.matters.scales[:, np.newaxis])


def _bounded(rows: Floats, weights: Floats, seen: Floats, before: Floats, low: Floats, high: Floats) -> Floats:
    """What is set in all, of each control and piece, shape (p, m), so that what is seen is missed by least."""
    inside = rows.T @ rows + np.diag(weights**2)
    wanted = rows.T @ (rows @ before - seen)
    sets = np.clip(np.linalg.solve(inside, wanted), low, high)
    low, high = (np.ascontiguousarray(np.broadcast_to(bound, sets.shape)) for bound in (low, high))
    within_bounds(inside, np.ascontiguousarray(wanted), low, high, sets, _SWEEPS)
    return np.asarray(sets)


def _told(spread: Floats, sds: Floats, middle: Floats, out: Floats, chance: Floats) -> Floats:
    """What readings tell of misses that scatter so about a middle, shape (k, m): Kalman's gain."""
    gain = np.linalg.solve(spread + np.diag(sds[:, 0] ** 2), spread).T
    there = middle[:, np.newaxis]
    return np.asarray(there + gain @ (out - there + sds * chance))


def _one_more(
    rows: Floats, weights: Floats, seen: Floats, low: Floats, high: Floats, least: Floats
) -> tuple[Floats, Ints]:
    """The one correction of each piece that gains most, and which it is, shapes (m,); by ``least`` or more."""
    inside = np.sum(rows * rows, axis=0) + weights**2
    wanted, least = -rows.T @ seen, least[:, np.newaxis]
    steps = np.clip(wanted / inside[:, np.newaxis], low, high)
    steps = np.where(np.abs(steps) < least, np.clip(np.copysign(least, steps), low, high), steps)
    gains = np.where(np.abs(steps) < least, 0.0, steps * wanted - 0.5 * inside[:, np.newaxis] * steps**2)
    chosen, each = np.argmax(gains, axis=0), np.arange(steps.shape[1])
    return np.where(gains[chosen, each] > 0.0, steps[chosen, each], 0.0), chosen


def _last_sds(matters: Matters) -> Floats:
    """Readings of the finished piece, one standard deviation of each: at the seam, and across or over a table."""
    sds = np.full(len(matters.scales), USUAL_SD["across"])
    if matters.closed:
        sds[:6] = (*_SEAM_SDS, *[USUAL_SD["angle"]] * 3)
    return sds
