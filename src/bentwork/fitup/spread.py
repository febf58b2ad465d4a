"""By how much a piece is expected to miss, by the slopes and by chance, and which bend matters most.

By the slopes: covariance J S J' (first order; any textbook of error analysis). By chance: bars drawn at random and
walked along exactly. Where both disagree, the errors are too large for straight lines and chance is right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.made import Floats
from bentwork.fitup.matters import Group, Matters
from bentwork.fitup.scatter import OWN_ERRORS, Scatter

__all__ = ["GroupSpread", "Share", "Spread", "misses", "shares", "spread"]

_AT_ONCE = 4096  # bars whose arrays lie in the processor's own memory


@dataclass(frozen=True, slots=True)
class GroupSpread:
    """By how much one thing is out. Lengths in mm, angles in degrees.

    Args:
        name: of the group.
        tolerance: that it must keep.
        rms: root mean square of what it is out by, by chance.
        linear_rms: the same by the slopes.
        worst_in_20: what 19 pieces of 20 stay within, by chance.
        kept: share of pieces that keep the tolerance, by chance.
    """

    name: str
    tolerance: float
    rms: float
    linear_rms: float
    worst_in_20: float
    kept: float

    @property
    def disagreement(self) -> float:
        """By how much slopes and chance disagree, a fraction of the larger."""
        most = max(self.rms, self.linear_rms)
        return abs(self.rms - self.linear_rms) / most if most > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Spread:
    """By how much a piece is expected to miss.

    Args:
        good: share of pieces that keep every tolerance.
        good_sd: of that share, from the number of pieces drawn.
        groups: one for each thing that matters.
        samples: how many pieces were drawn.
    """

    good: float
    good_sd: float
    groups: tuple[GroupSpread, ...]
    samples: int

    @property
    def disagreement(self) -> float:
        """The worst of those of the groups."""
        return max((group.disagreement for group in self.groups), default=0.0)


@dataclass(frozen=True, slots=True)
class Share:
    """How much of what a piece misses by comes from one source.

    Args:
        bend: number from 1; 0 for what all bends have in common.
        kind: ``angle``, ``place`` or ``rotation``; ``all`` for what all bends have in common.
        share: of the expected sum of squares, each over its tolerance.
    """

    bend: int
    kind: str
    share: float


def misses(matters: Matters, values: Floats, errors: Floats) -> Floats:
    """Return by how much bars are out, shape (k, m).

    Args:
        matters: what matters.
        values: the bar as intended, shape (5, n).
        errors: of each bar, shape (5, n, m).
    """
    found = [
        matters.of(values[:, :, np.newaxis] + errors[:, :, first : first + _AT_ONCE])
        for first in range(0, errors.shape[2], _AT_ONCE)
    ]
    return np.concatenate(found, axis=1)


def spread(
    matters: Matters, scatter: Scatter, rng: np.random.Generator, *, samples: int = 4000, values: Floats | None = None
) -> Spread:
    """Return by how much a piece is expected to miss.

    Args:
        matters: what matters.
        scatter: of its unknowns.
        rng: source of chance.
        samples: how many pieces are drawn.
        values: what is intended, shape (5, n); None: as drawn.
    """
    intended = matters.nominal.values if values is None else values
    out = np.concatenate(
        [
            misses(matters, intended, scatter.drawn(rng, min(_AT_ONCE, samples - first)))
            for first in range(0, samples, _AT_ONCE)
        ],
        axis=1,
    )
    middle, by, _ = matters.with_slopes((intended + scatter.bias)[:, :, np.newaxis])
    roots = scatter.flat
    linear = by[..., 0].reshape(by.shape[0], -1) @ roots.T
    good = float(np.mean(matters.worst(out) <= 1.0))
    groups = tuple(
        _group(group, out, middle[:, 0], linear) for group in matters.groups if math.isfinite(group.tolerance)
    )
    return Spread(good, math.sqrt(max(good * (1.0 - good), 1.0 / samples) / samples), groups, samples)


def _group(group: Group, out: Floats, middle: Floats, linear: Floats) -> GroupSpread:
    rows = list(group.rows)
    size = np.sqrt(np.sum(out[rows] ** 2, axis=0))
    return GroupSpread(
        name=group.name,
        tolerance=group.tolerance,
        rms=float(np.sqrt(np.mean(size**2))),
        linear_rms=float(np.sqrt(np.sum(middle[rows] ** 2) + np.sum(linear[rows] ** 2))),
        worst_in_20=float(np.quantile(size, 0.95)),
        kept=float(np.mean(size <= group.tolerance)),
    )


def shares(matters: Matters, scatter: Scatter, values: Floats | None = None) -> tuple[Share, ...]:
    """Return where what a piece misses by comes from, the largest share first; by the slopes.

    Own errors are those of ``scatter_of``: three for each bend. The rotation of a bend is that with which it was
    turned, which all later bends share.
    """
    intended = matters.nominal.values if values is None else values
    _, by, _ = matters.with_slopes(intended[:, :, np.newaxis])
    slopes = by[..., 0].reshape(by.shape[0], -1) / matters.scales[:, np.newaxis]
    parts: dict[tuple[int, str], float] = {}
    for place, root in enumerate(scatter.own):
        bend, kind = place // 3 + 1, OWN_ERRORS[place % 3]
        parts[bend, kind] = float(np.sum((slopes @ root.ravel()) ** 2))
    together = sum(float(np.sum((slopes @ root.ravel()) ** 2)) for root in scatter.common)
    parts[0, "all"] = together
    total = sum(parts.values())
    found = [Share(bend, kind, part / total if total > 0.0 else 0.0) for (bend, kind), part in parts.items()]
    return tuple(sorted(found, key=lambda one: -one.share))
