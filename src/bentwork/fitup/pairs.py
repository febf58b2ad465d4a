"""Left against right: by how much the two bars of a mirrored pair differ from one another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.fitup.matters import Matters
from bentwork.fitup.scatter import Scatter
from bentwork.fitup.spread import misses

__all__ = ["PairSpread", "pair_spread"]


@dataclass(frozen=True, slots=True)
class PairSpread:
    """How a left and a right one differ, lengths in mm.

    Args:
        rms: root mean square of the largest distance between spots of one and the mirrored other.
        worst_in_20: what 19 pairs of 20 stay within.
        both_good: share of pairs of which both keep every tolerance.
        alike: share of pairs whose spots lie within the tolerance of position of one another.
    """

    rms: float
    worst_in_20: float
    both_good: float
    alike: float


def pair_spread(
    matters: Matters, scatter: Scatter, rng: np.random.Generator, *, one_day: bool = True, samples: int = 4000
) -> PairSpread:
    """Return how a left and a right one differ.

    A mirrored bar has all directions of the other sign; laid on its mirrored drawing it is a bar of the same drawing.
    What springback is misjudged by, both have in common, when they are bent of one batch on one bender.

    Args:
        matters: what matters, with spots.
        scatter: of one bar.
        rng: source of chance.
        one_day: whether both are of one batch and bent with the same knowledge.
        samples: how many pairs are drawn.
    """
    shared = rng.standard_normal((len(scatter.common), samples))
    other = shared if one_day else rng.standard_normal(shared.shape)
    outs = [misses(matters, matters.nominal.values, scatter.drawn(rng, samples, common)) for common in (shared, other)]
    spots = [group for group in matters.groups if group.name in {spot.name for spot in matters.spots}]
    apart = np.zeros(samples)
    for group in spots:
        rows = list(group.rows)
        np.maximum(apart, np.sqrt(np.sum((outs[0][rows] - outs[1][rows]) ** 2, axis=0)), out=apart)
    both = np.maximum(*(matters.worst(out) for out in outs))
    return PairSpread(
        rms=float(np.sqrt(np.mean(apart**2))),
        worst_in_20=float(np.quantile(apart, 0.95)),
        both_good=float(np.mean(both <= 1.0)),
        alike=float(np.mean(apart <= matters.tolerance.position)),
    )
