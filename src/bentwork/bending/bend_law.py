"""What follows for a bend when the unknowns are so and so: springback, radius, start, bar drawn in, marks.

Every quantity comes with its slopes over the unknowns, so that its scatter follows from theirs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from bentwork.bending.handbook import ERROR, FACTOR, LATE, LOST, OFFSET, STRENGTH, STRETCH, Geometry, Handbook
from bentwork.forming.moment import Floats

__all__ = ["BendLaw", "Quantity"]

Quantity: TypeAlias = tuple[float, Floats]
"""A value and its slopes over the unknowns, shape (m,)."""

_LARGEST_EXPONENT = 20.0
_RIGHT_ANGLE = 90.0


@dataclass(frozen=True, slots=True)
class BendLaw:
    """The bends of one batch.

    Args:
        book: the set-up's handbook.
        place: of the batch among the batches.
    """

    book: Handbook
    place: int

    def springback(self, wanted: float, at: Floats) -> Quantity:
        """Return springback of a bend, degrees."""
        factor, slopes = self._factor(at)
        value, _, by_strength = self.book.springback(wanted, self._strength(at))
        slopes[FACTOR], slopes[LOST], slopes[self._own] = factor * value, 1.0, factor * by_strength
        return factor * value + float(at[LOST]), slopes

    def by_handbook(self, wanted: float) -> float:
        """Return springback of a bend before any test bend, degrees: ``springback`` at the handbook's middle."""
        return self.book.likeliest(wanted) + self.book.lost

    def left(self, pulled: float, at: Floats) -> float:
        """Return the angle that is left of a pull, degrees, 0 or more; nothing is left of a pull of 0 or less."""
        if pulled <= 0.0:
            return 0.0
        factor, _ = self._factor(at)
        _, kept, opens, *_ = self.book.opening(self._strength(at))
        at_kept = kept + self.springback(kept, at)[0]
        if pulled >= at_kept:
            return kept + (pulled - at_kept) / (1.0 + factor * opens)
        low, high = 0.0, kept
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if middle + self.springback(middle, at)[0] < pulled else (low, middle)
        return low

    def fixed(self, at: Floats) -> Quantity:
        """Return the part of springback that does not depend on the angle, degrees."""
        factor, slopes = self._factor(at)
        lag, kept, opens, lag_by, kept_by, opens_by = self.book.opening(self._strength(at))
        value = lag - kept * (1.0 + opens)
        by_strength = lag_by - kept_by * (1.0 + opens) - kept * opens_by
        slopes[FACTOR], slopes[LOST], slopes[self._own] = factor * value, 1.0, factor * by_strength
        return factor * value + float(at[LOST]), slopes

    def proportional(self, at: Floats) -> Quantity:
        """Return the part of springback in proportion to the angle left, degrees for each degree."""
        factor, slopes = self._factor(at)
        opens, opens_by = self.book.opening(self._strength(at))[2::3]
        slopes[FACTOR], slopes[self._own] = factor * opens, factor * opens_by
        return factor * opens, slopes

    def radius(self, at: Floats) -> Quantity:
        """Return the centreline radius that is left, mm."""
        factor, slopes = self._factor(at)
        opens, opens_by = self.book.opening(self._strength(at))[2::3]
        die, error = self.book.likely.radius, 1.0 + float(at[ERROR])
        slopes[ERROR] = die * (1.0 + factor * opens)
        slopes[FACTOR], slopes[self._own] = die * error * factor * opens, die * error * factor * opens_by
        return die * error * (1.0 + factor * opens), slopes

    def places(self, g: Geometry, at: Floats) -> tuple[Floats, Floats]:
        """Return where a bend of some angle lies, mm, and the slopes of that over the unknowns.

        Returns:
            shape (4,): from the mark on the tool to the corner point (of returns, to the start), by how much both legs
            are longer than the bar (of returns, less the arc), the bar that the bend takes, and from the mark to where
            it is seen to begin, a little too late; shape (4, m).
        """
        radius, radius_by = self.radius(at)
        wider, stretch, offset = radius - self.book.likely.relaxed_radius, float(at[STRETCH]), float(at[OFFSET])
        corner = offset + g.corner + wider * g.corner_by_radius + stretch * g.corner_by_stretch
        slopes = np.array([g.corner_by_radius, g.gain_by_radius, g.arc_by_radius, g.seen_by_radius])
        slopes = slopes[:, np.newaxis] * radius_by
        slopes[:, STRETCH] += (g.corner_by_stretch, g.gain_by_stretch, g.arc_by_stretch, g.corner_by_stretch)
        slopes[0, OFFSET] = slopes[3, OFFSET] = slopes[3, LATE] = 1.0
        values = (
            corner,
            g.gain + wider * g.gain_by_radius + stretch * g.gain_by_stretch,
            g.arc + wider * g.arc_by_radius + stretch * g.arc_by_stretch,
            corner - g.tangent * radius + float(at[LATE]),
        )
        return np.array(values), slopes

    def start(self, at: Floats) -> Quantity:
        """Return how far behind the mark a right-angled bend starts, or its middle lies, mm."""
        g, bend = self.book.geometry(_RIGHT_ANGLE), self.book.likely
        slopes = np.zeros(at.size)
        slopes[OFFSET] = 1.0
        beside = 0.0 if self.centred else g.corner - bend.relaxed_radius
        return float(at[OFFSET]) + beside, slopes

    def drawn_in(self, at: Floats) -> Quantity:
        """Return by how much both legs of a right angle together are longer than the bar, mm."""
        values, slopes = self.places(self.book.geometry(_RIGHT_ANGLE), at)
        return float(values[1]), slopes[1]

    def stretch(self, at: Floats) -> Quantity:
        """Return how much longer the bar gets in a right-angled bend, mm."""
        slopes = np.zeros(at.size)
        slopes[STRETCH] = self.book.likely.radius * math.radians(_RIGHT_ANGLE)
        return float(slopes[STRETCH] * at[STRETCH]), slopes

    def shifts(self, angle: float, at: Floats) -> tuple[Quantity, Quantity, Quantity]:
        """Return how the marks of start and middle and all that comes after move, mm; see ``learnt.Shift``."""
        radius, turn = self.book.likely.radius, math.radians(angle)
        g = self.book.geometry(angle)
        values, (corner_by, gain_by, arc_by, _) = self.places(g, at)
        corner, gain, arc, _ = map(float, values)
        setback = radius * g.tangent
        longer, longer_by = (arc - radius * turn) / 2.0, arc_by / 2.0
        onward = 2.0 * setback - radius * turn - gain, -gain_by
        if self.centred:
            centre, centre_by = setback - radius * turn / 2.0 - corner, -corner_by
            return (centre - longer, centre_by - longer_by), (centre, centre_by), onward
        start, start_by = setback - corner, -corner_by
        return (start, start_by), (start + longer, start_by + longer_by), onward

    @property
    def centred(self) -> bool:
        """Whether the mark on the tool is that of the middle of a bend."""
        return self.book.set_up.bender.lines_up == "centre"

    @property
    def _own(self) -> int:
        return STRENGTH + self.place

    def _strength(self, at: Floats) -> float:
        return float(at[self._own])

    def _factor(self, at: Floats) -> tuple[float, Floats]:
        return math.exp(min(_LARGEST_EXPONENT, float(at[FACTOR]))), np.zeros(at.size)
