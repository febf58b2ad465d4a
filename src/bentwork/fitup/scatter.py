"""How far every unknown of a bar may be out: the hand's own scatter at each bend, and what all bends have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bentwork.fitup.made import ANGLE, DIRECTION, KINDS, PLACE, Bar, Floats
from bentwork.tooling.bender import Accuracy

__all__ = ["OWN_ERRORS", "Scatter", "TurnedFrom", "scatter_of"]

OWN_ERRORS = ("angle", "place", "rotation")
"""The errors of one bend in a scatter, in this order, bend by bend."""

TurnedFrom = Literal["the bend before", "the scribed line"]
"""How the maker finds a direction: by turning the bar from where it was for the step before, so that errors add up, or
by a line scribed along the bar, so that they do not."""


@dataclass(frozen=True, slots=True, eq=False)
class Scatter:
    """A normal distribution of the unknowns of a bar of n bends, about what is intended.

    Args:
        bias: by how much they are out on average, shape (5, n).
        own: what one standard deviation of each error of this bar alone does, shape (p, 5, n).
        common: the same of errors that bars of one batch, bent on one bender, share, shape (q, 5, n).
    """

    bias: Floats
    own: Floats
    common: Floats

    @property
    def roots(self) -> Floats:
        """Own and common errors together, shape (p + q, 5, n)."""
        return np.concatenate((self.own, self.common))

    @property
    def flat(self) -> Floats:
        """The same with all unknowns in a row, shape (p + q, 5 n)."""
        return self.roots.reshape(len(self.own) + len(self.common), self.bias.size)

    @property
    def covariance(self) -> Floats:
        """Shape (5 n, 5 n)."""
        return np.asarray(self.flat.T @ self.flat)

    def drawn(self, rng: np.random.Generator, size: int, common: Floats | None = None) -> Floats:
        """Return errors of so many bars by chance, shape (5, n, size).

        Args:
            rng: source of chance.
            size: how many.
            common: standard normal numbers of the common errors, shape (q, size); None: drawn too. Bars of a pair
                have the same.
        """
        shape = self.bias.shape
        shared = rng.standard_normal((len(self.common), size)) if common is None else common
        flat = self.flat
        errors = flat[: len(self.own)].T @ rng.standard_normal((len(self.own), size))
        errors += flat[len(self.own) :].T @ shared
        return np.asarray(errors.reshape(*shape, size) + self.bias[:, :, np.newaxis])


def scatter_of(
    bar: Bar,
    accuracy: Accuracy,
    *,
    common: Floats | None = None,
    order: Sequence[int] | None = None,
    turned_from: TurnedFrom = "the bend before",
    bias: Accuracy | None = None,
) -> Scatter:
    """Return the scatter of a bar that is still to be bent.

    Args:
        bar: as it is intended.
        accuracy: scatter of one bend: the bender's, or the maker's hand once it is known.
        common: errors common to all bends, shape (q, 5, n), see ``comes_out``; None for none.
        order: bend numbers from 1 in the order in which they are bent; None: as drawn.
        turned_from: how directions are found.
        bias: by how much angle, rotation and position are out on average.

    Raises:
        ValueError: the order is not one of these bends.
    """
    count = bar.bends
    steps = list(range(count)) if order is None else [number - 1 for number in order]
    if sorted(steps) != list(range(count)):
        raise ValueError(f"an order of {count} bends has each of them once, not {list(order or ())}")
    off = np.zeros((len(KINDS), count))
    own = np.zeros((3 * count, len(KINDS), count))
    for place, bend in enumerate(steps):
        own[3 * bend, ANGLE, bend] = accuracy.angle
        own[3 * bend + 1, PLACE, bend] = accuracy.position
        # Which way the first bend turns to is nobody's error: the piece is looked at from there.
        if place:
            turned = steps[place:] if turned_from == "the bend before" else [bend]
            own[3 * bend + 2, DIRECTION, turned] = accuracy.rotation
            if bias is not None:
                off[DIRECTION, turned] += bias.rotation
    if bias is not None:
        off[ANGLE] += bias.angle
        off[PLACE] += bias.position
    shared = np.zeros((0, len(KINDS), count)) if common is None else common
    return Scatter(off, own, shared)
