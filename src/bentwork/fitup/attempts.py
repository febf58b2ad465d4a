"""The chance that a piece comes out good at the first attempt: many made-up bars, measured and mended after each bend.

Each bar has errors of its own, which its maker knows only by the gauge; after each bend what is left is planned anew by
``mending.best_plan``, for all bars at once. Gauges read angle, rotation and position, straight in the unknowns, so that
what is believed follows by one gain for all bars (Kalman's; any textbook of estimation).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.actual import actual
from bentwork.fitup.by_hand import ByHand, limits_by_hand
from bentwork.fitup.controls import Limits, What, controls_for
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Bar, Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.mending import best_plan
from bentwork.fitup.outlook import foreseen
from bentwork.fitup.readings import USUAL_SD
from bentwork.fitup.scatter import Scatter

__all__ = ["Attempts", "attempts"]

_FREE = (ANGLE, DIRECTION, PLACE)
_BENDS: tuple[What, ...] = ("angle", "direction", "place", "end B")
_TURNS = 5
_PIECES = 1000


@dataclass(frozen=True, slots=True)
class Attempts:
    """Shares of pieces that come out good.

    Args:
        unmended: when marks and pulls are followed to the end, whatever comes out; a closed piece is cut to length.
        mended: when what is left is planned anew after each bend.
        by_hand: when bends are set by hand as well, as they are made and on the finished piece, see ``foreseen``.
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
    unbent = actual(bar, start, scatter, [], [])
    ahead = foreseen(matters, unbent, bar.values, 0.0, limits, rng, order=steps, hand=hand, samples=_PIECES)
    by_hand = ahead.outlook(bar.values, 0.0).good
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
