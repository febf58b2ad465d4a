"""The ends of a piece: how much spare bar to leave on them, and where the seam of a closed one is best put."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.made import Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.fitup.spread import misses
from bentwork.fitup.tolerance import Tolerance
from bentwork.piece.corners import Corners, Seam
from bentwork.tooling.bender import Accuracy

__all__ = ["SeamPlace", "Trim", "best_first", "seam_places", "trim_for"]

_ROUNDED_TO = 5.0  # mm: nobody leaves 7.3 mm on
_FROM_BEND = 25.0
"""How far a seam stays from a bend, mm: the width of the softened zone beside a weld, common practice, no source."""

_TORCH = 80.0  # mm of straight that a torch and a hand get at; common practice, no source
_LIGHT = 1.0 / 3.0
"""Share of the strength up to which a seam carries little: no other is looked for on its account; ours, no source."""

_FRACTIONS = (0.5, 1.0 / 3.0, 2.0 / 3.0)


@dataclass(frozen=True, slots=True)
class Trim:
    """Spare length to leave on an end and cut off when the bends are made, mm.

    Args:
        end_a: on end A.
        end_b: on end B.
        enough: share of pieces for which it is enough, unmended.
    """

    end_a: float
    end_b: float
    enough: float


def trim_for(matters: Matters, scatter: Scatter, rng: np.random.Generator, *, samples: int = 4000) -> Trim:
    """Return how much spare length 39 pieces of 40 need on each end, rounded up to 5 mm.

    A closed piece gets it all on end B, where it is cut to meet end A. The ends of an open one are counted from
    where the piece fits its drawing best.

    Args:
        matters: what matters, with both ends among the spots of an open piece.
        scatter: of its unknowns.
        rng: source of chance.
        samples: how many pieces are drawn.
    """
    out = misses(matters, matters.nominal.values, scatter.drawn(rng, samples))
    if matters.closed:
        short = out[0]
        left = _rounded_up(float(np.quantile(short, 0.975)))
        return Trim(0.0, left, float(np.mean(short <= left)))
    lacks = [_lacks(matters, out, name) for name in ("end A", "end B")]
    a, b = (_rounded_up(float(np.quantile(one, 0.975))) for one in lacks)
    return Trim(a, b, float(np.mean((lacks[0] <= a) & (lacks[1] <= b))))


def _lacks(matters: Matters, out: Floats, name: str) -> Floats:
    """By how much an end lies further in than drawn, along its own last straight, mm, shape (m,)."""
    group = next((group for group in matters.groups if group.name == name), None)
    if group is None:
        return np.zeros(out.shape[1])
    way = np.array([-1.0, 0.0, 0.0]) if name == "end A" else matters.scribed[1]
    return np.asarray(-(way @ out[list(group.rows)]))


def _rounded_up(length: float) -> float:
    return float(_ROUNDED_TO * np.ceil(max(0.0, length) / _ROUNDED_TO))


@dataclass(frozen=True, slots=True)
class SeamPlace:
    """A place for the seam. Lengths in mm.

    Args:
        seam: side and fraction of its straight.
        straight: length of the straight it lies in.
        from_bend: to the nearer bend.
        miss: what the ends are expected to miss by, root mean square of gap and offset together, unmended.
        load: share of the strength that a load takes there, in the worst case; None where nobody has said.
        reached: whether a torch gets at it, and the weld softens no bend.
    """

    seam: Seam
    straight: float
    from_bend: float
    miss: float
    load: float | None
    reached: bool

    @property
    def light(self) -> bool:
        """Whether it carries little, or nobody has said what it carries."""
        return self.load is None or self.load <= _LIGHT


def seam_places(
    corners: Corners,
    accuracy: Accuracy,
    *,
    tolerance: Tolerance | None = None,
    common: Callable[[int], Floats] | None = None,
    load_at: Callable[[Seam], float] | None = None,
    ends_need: float = 0.0,
) -> tuple[SeamPlace, ...]:
    """Return where a seam may go, the best first: reached by a torch, little loaded, in a long straight, closing best.

    The welder's rule is the middle of a straight, the longest that is not loaded, never in a bend; middles come before
    thirds where all else is equal.

    Args:
        corners: of a closed piece.
        accuracy: scatter of one bend.
        tolerance: of what matters.
        common: errors common to so many bends, shape (q, 5, n).
        load_at: share of the strength that a load takes at a place; None where that is not known.
        ends_need: shortest end that the bender can hold or press, mm.

    Raises:
        ValueError: the piece is open.
    """
    if not corners.closed:
        raise ValueError("only a closed piece has a seam")
    found = []
    for side in range(1, corners.sides + 1):
        straight = corners.slack(side - 1)
        for fraction in _FRACTIONS:
            from_bend = straight * min(fraction, 1.0 - fraction)
            if from_bend < max(ends_need, 1.0):
                continue
            bar = on_the_bar(corners.centreline((side, fraction)).table)
            matters = what_matters(bar, closed=True, tolerance=tolerance, spots=())
            scatter = scatter_of(bar, accuracy, common=None if common is None else common(bar.bends))
            _, by, _ = matters.with_slopes(bar.values[:, :, np.newaxis])
            throws = by[:3, ..., 0].reshape(3, -1) @ scatter.flat.T
            load = None if load_at is None else load_at((side, fraction))
            reached = from_bend >= _FROM_BEND and straight >= _TORCH
            found.append(
                SeamPlace((side, fraction), straight, from_bend, float(np.sqrt(np.sum(throws**2))), load, reached)
            )
    return best_first(found)


def best_first(places: Sequence[SeamPlace]) -> tuple[SeamPlace, ...]:
    """Return places for a seam in the order in which they are to be chosen."""
    return tuple(sorted(places, key=_worth))


def _worth(place: SeamPlace) -> tuple[bool, float, float, float]:
    load = 0.0 if place.load is None or place.light else round(place.load, 1)
    return not place.reached, load, round(place.miss / 5.0) - place.straight / 100.0, -place.from_bend
