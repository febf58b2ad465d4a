"""The chance that a piece comes out good at the first attempt: many made-up bars, measured and mended after each bend.

Each bar has errors of its own, which its maker knows only by the gauge; after each bend what is left is planned anew by
``mending.best_plan``, for all bars at once. Gauges read angle, rotation and position, straight in the unknowns, so that
what is believed follows by one gain for all bars (Kalman's; any textbook of estimation).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.fitup.by_hand import ByHand, limits_by_hand
from bentwork.fitup.controls import Controls, Limits, What, controls_for
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Bar, Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.mending import best_plan
from bentwork.fitup.readings import USUAL_SD
from bentwork.fitup.scatter import Scatter

__all__ = ["Attempts", "attempts"]

_FREE = (ANGLE, DIRECTION, PLACE)
_BENDS: tuple[What, ...] = ("angle", "direction", "place", "end B")
_TURNS = 5
_GOOD_ENOUGH = 0.75  # of the tolerance, as it is seen
_LITTLE = 1.0  # degrees
_MOST = (6, 3, 2, 2)  # corrections at each look


@dataclass(frozen=True, slots=True)
class Attempts:
    """Shares of pieces that come out good.

    Args:
        unmended: when marks and pulls are followed to the end, whatever comes out; a closed piece is cut to length.
        mended: when what is left is planned anew after each bend.
        by_hand: when made bends are set by hand at the end as well. Of closed pieces of many bends more come out good
            when bends are also set by hand as they are made, as ``mend`` advises: this is the lower end.
        samples: how many bars were made up: each share is out by up to the root of a quarter of that.
    """

    unmended: float
    mended: float
    by_hand: float
    samples: int


def attempts(
    matters: Matters,
    scatter: Scatter,
    rng: np.random.Generator,
    *,
    values: Floats | None = None,
    order: Sequence[int] | None = None,
    limits: Limits | None = None,
    hand: ByHand | None = None,
    samples: int = 200,
) -> Attempts:
    """Return how many pieces come out good.

    Args:
        matters: what matters.
        scatter: of the unknowns about what is intended.
        rng: source of chance.
        values: the bar as it is expected to come, shape (5, n), with its real radius; None: as drawn.
        order: numbers of the bends in their order; None: as drawn.
        limits: how far the work may leave the drawing.
        hand: what can be set by hand.
        samples: bars to make up.
    """
    hand = ByHand() if hand is None else hand
    limits = limits_by_hand(Limits() if limits is None else limits, hand)
    bar, count = matters.nominal, matters.nominal.bends
    start = bar.values if values is None else values
    maker = _Maker(matters, scatter, rng, start, samples)
    steps = list(range(1, count + 1)) if order is None else list(order)
    plain = start[:, :, np.newaxis] + maker.errors
    made: list[int] = []
    for number in steps:
        maker.plan(made, limits)
        made.append(number)
        maker.measure(bar, made, number - 1)
    real = maker.intended + maker.errors
    longer = maker.cut(limits)
    mended = float(np.mean(matters.worst(matters.of(real, longer=longer)) <= 1.0))
    by_hand = maker.set_by_hand(made, limits, hand)
    return Attempts(_cut_good(matters, plain, limits), mended, max(mended, by_hand), samples)


def _cut_good(matters: Matters, real: Floats, limits: Limits) -> float:
    longer: Floats | float = 0.0
    if matters.closed:
        longer = np.clip(matters.of(real)[0], -limits.shorter, limits.longer)
    return float(np.mean(matters.worst(matters.of(real, longer=longer)) <= 1.0))


class _Maker:
    """Bars of which the truth and what is believed go side by side; both change from bend to bend."""

    def __init__(
        self, matters: Matters, scatter: Scatter, rng: np.random.Generator, start: Floats, samples: int
    ) -> None:
        self.matters, self.rng, self.samples = matters, rng, samples
        self.flat = scatter.flat
        self.truth = rng.standard_normal((len(self.flat), samples))
        self.believed = np.zeros_like(self.truth)
        self.covariance = np.eye(len(self.flat))
        self.bias = scatter.bias[:, :, np.newaxis]
        self.intended = np.repeat(start[:, :, np.newaxis], samples, axis=2)

    def _off(self, sizes: Floats) -> Floats:
        return np.asarray((self.flat.T @ sizes).reshape(self.intended.shape) + self.bias)

    @property
    def errors(self) -> Floats:
        """By how much the bars are really off what is intended."""
        return self._off(self.truth)

    def state(self, made: Sequence[int]) -> Floats:
        """The bars as they are believed to be, and as drawn where they are not bent."""
        state = self.intended + self._off(self.believed)
        left = [k for k in range(state.shape[1]) if k + 1 not in made]
        for kind in _FREE:
            state[kind, left] = self.matters.nominal.values[kind, left, np.newaxis]
        return state

    def plan(self, made: Sequence[int], limits: Limits) -> None:
        """Plan what is left."""
        controls = controls_for(self.matters.nominal, self.state(made), made, limits).only(_BENDS)
        found = best_plan(self.matters, controls, limits, turns=_TURNS)
        left = [k for k in range(self.intended.shape[1]) if k + 1 not in made]
        aims = found.values - self._off(self.believed)
        for kind in _FREE:
            self.intended[kind, left] = aims[kind, left]

    def measure(self, bar: Bar, made: Sequence[int], bend: int) -> None:
        """Read angle, place and, where a neighbour is made, rotations; believe accordingly."""
        rows, sds = [], []
        for kind, sd in ((ANGLE, USUAL_SD["angle"]), (PLACE, USUAL_SD["position"])):
            rows.append(self._row({(kind, bend): 1.0}))
            sds.append(sd)
        for low in (bend - 1, bend):
            if 0 <= low < bar.bends - 1 and {low + 1, low + 2} <= set(made):
                rows.append(self._row({(DIRECTION, low): -1.0, (DIRECTION, low + 1): 1.0}))
                sds.append(USUAL_SD["rotation"])
        self._believe(np.array(rows), np.array(sds), np.zeros((len(rows), self.samples)))

    def _row(self, weights: dict[tuple[int, int], float]) -> Floats:
        pick = np.zeros(self.intended.shape[:2])
        for place, weight in weights.items():
            pick[place] = weight
        return np.asarray(self.flat @ pick.ravel())

    def _believe(self, rows: Floats, sds: Floats, extra: Floats) -> None:
        """Take readings in; ``extra`` is what the truth has besides its errors, in the units of the readings."""
        noise = sds[:, np.newaxis] * self.rng.standard_normal((len(rows), self.samples))
        news = rows @ (self.truth - self.believed) + extra + noise
        gain = self.covariance @ rows.T @ np.linalg.inv(rows @ self.covariance @ rows.T + np.diag(sds**2))
        self.believed = self.believed + gain @ news
        self.covariance = self.covariance - gain @ rows @ self.covariance

    def cut(self, limits: Limits) -> Floats | float:
        """How much longer end B is left, by what is seen of the gap."""
        if not self.matters.closed:
            return 0.0
        gap = self.matters.of(self.intended + self.errors)[0]
        seen = gap + USUAL_SD["gap"] * self.rng.standard_normal(self.samples)
        return np.asarray(np.clip(seen, -limits.shorter, limits.longer))

    def set_by_hand(self, made: Sequence[int], limits: Limits, hand: ByHand) -> float:
        """Look at what matters of the finished piece, set it by hand, look again; the share that is good in the end."""
        matters = self.matters
        real = self.intended + self.errors
        _, by, _ = matters.with_slopes(self.state(made)[:, :, :1])
        rows = by[..., 0].reshape(len(matters.scales), -1) @ self.flat.T
        sds = np.full(len(matters.scales), USUAL_SD["across"])
        if matters.closed:
            sds[:6] = (USUAL_SD["gap"], USUAL_SD["sideways"], USUAL_SD["upwards"], *[USUAL_SD["angle"]] * 3)
        for turn in range(min(len(_MOST), hand.times)):
            state = self.state(made)
            extra = matters.of(real) - matters.of(state) - rows @ (self.truth - self.believed)
            self._believe(rows, sds, extra)
            state = self.state(made)
            controls = controls_for(matters.nominal, state, made, limits if turn == 0 else _finer(limits))
            if not controls.all:
                break
            found = best_plan(matters, controls, limits, turns=_TURNS)
            used = _largest(controls, found.changes, _MOST[turn])
            found = best_plan(matters, controls, limits, turns=_TURNS, used=used)
            # What looks good is left alone.
            changes = np.where(matters.worst(matters.of(state, longer=found.longer)) > _GOOD_ENOUGH, found.changes, 0.0)
            by_hand = np.array([[float(one.what != "end B")] for one in controls.all]) * (changes != 0.0)
            slip = by_hand * np.hypot(hand.sd, hand.share * changes) * self.rng.standard_normal(changes.shape)
            real, _ = controls_for(matters.nominal, real, made, limits).apply(changes + slip)
            self.intended = controls.apply(changes)[0] - self._off(self.believed)
        return _cut_good(matters, real, limits)


def _largest(controls: Controls, changes: Floats, most: int) -> NDArray[np.bool_]:
    """Which corrections by hand to make: of each bar the few largest, over what is allowed; shape (p, m)."""
    by_hand = np.array([one.what != "end B" for one in controls.all])
    share = np.where(by_hand[:, np.newaxis], np.abs(changes) / controls.high[:, np.newaxis], 0.0)
    least = np.sort(share, axis=0)[-min(most, len(share))]
    return np.asarray((share >= least) | ~by_hand[:, np.newaxis])


def _finer(limits: Limits) -> Limits:
    """What is left to be set at a second look."""
    return replace(limits, set_by_hand=min(limits.set_by_hand, _LITTLE), wrung=min(limits.wrung, _LITTLE))
