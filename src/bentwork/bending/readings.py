"""What one test bend says about the unknowns: its readings against what they should be, and how far each may be out.

The true angle is known by the gauge only, and every other reading hangs on it: a misread angle shifts springback and
legs together. So the errors of one bend's readings are taken as they hang together, to first order in the gauge's
error (second order where a leg's length is steep in the angle).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.handbook import Geometry, Handbook
from bentwork.bending.test_bend import TestBend
from bentwork.forming.moment import Floats

__all__ = ["REPEAT_SD_DEG", "Reading", "Readings", "readings_of"]

Reading = Literal["angles", "legs", "start"]

REPEAT_SD_DEG = 0.3
"""What springback differs from one bend to the next of the same bar on the same bender, one standard deviation;
common practice, no source."""

_SEEN_SD_MM = 1.0  # of the place where a bend is seen to begin, on top of the tape's; common practice, no source
_FINEST = 0.01  # of a degree or a millimetre: readings said to be better would hang together too closely for sums
_GAUGE, _PULLED, _LINE_UP, _MARK, _BAR, _HELD, _FREE, _SEEN = range(8)


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """Readings of one test bend that can be compared with the model, each made to have one standard deviation of 1.

    Args:
        bend: they were read off.
        law: of its batch.
        kinds: what each reading is, n of them.
        rows: how they follow from the bend: weights of springback and of ``BendLaw.places``, shape (n, 5).
        read: what was read; of the legs what is left when the bar, the mark and the way to the outside are taken off.
        geometry: of the bend.
        covariance: of their errors, shape (n, n).
    """

    bend: TestBend
    law: BendLaw
    kinds: tuple[Reading, ...]
    rows: Floats
    read: Floats
    geometry: Geometry
    covariance: Floats
    whiten: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # Turns differences of readings into standard deviations that know nothing of one another.
        object.__setattr__(self, "whiten", np.linalg.inv(np.linalg.cholesky(self.covariance)))

    def only(self, kinds: Iterable[Reading]) -> Readings:
        """Return these kinds of readings alone."""
        kept = [row for row, kind in enumerate(self.kinds) if kind in tuple(kinds)]
        if len(kept) == len(self.kinds):
            return self
        return replace(
            self,
            kinds=tuple(self.kinds[row] for row in kept),
            rows=self.rows[kept],
            read=self.read[kept],
            covariance=self.covariance[np.ix_(kept, kept)],
        )

    def against(self, unknowns: Floats) -> tuple[Floats, Floats]:
        """Return by how much each reading is out, in standard deviations, and how that falls as each unknown grows.

        Args:
            unknowns: shape (m,).

        Returns:
            shapes (n,) and (n, m).
        """
        law, size = self.law, len(self.kinds)
        expected, slopes = np.zeros(size), np.zeros((size, unknowns.size))
        if self.springback_counts:
            sprung, sprung_by = law.springback(self.bend.left_deg, unknowns)
            expected, slopes = self.rows[:, 0] * sprung, np.outer(self.rows[:, 0], sprung_by)
        if self.taped:
            places, places_by = law.places(self.geometry, unknowns)
            expected, slopes = expected + self.rows[:, 1:] @ places, slopes + self.rows[:, 1:] @ places_by
        return self.whiten @ (self.read - expected), self.whiten @ slopes

    @property
    def springback_counts(self) -> bool:
        """Whether the angles count."""
        return "angles" in self.kinds

    @property
    def taped(self) -> bool:
        """Whether any reading of the tape counts."""
        return any(kind != "angles" for kind in self.kinds)


def readings_of(law: BendLaw, bend: TestBend) -> Readings:
    """Return what a test bend says.

    Args:
        law: of its batch.
        bend: made on this set-up.
    """
    book, angle = law.book, bend.left_deg
    geometry = book.geometry(angle)
    half = bend.stock_key.section.depth(bend.way) / 2.0 if bend.legs_to == "outside" else 0.0
    found = _lines(bend, half * geometry.tangent)
    rows = np.array([line.weights for line in found], dtype=np.float64)
    slope, steepness = _by_angle(book, angle, geometry.tangent, half)
    errors = np.zeros((len(found), 8))
    for row, line in enumerate(found):
        for source, weight in line.errors.items():
            errors[row, source] = weight
    # What is expected is worked out from the angle as it is read: the gauge's error comes in the other way round.
    errors[:, _GAUGE] = -rows @ slope
    gauge, tape = max(bend.gauge_sd_deg, _FINEST), max(bend.tape_sd_mm, _FINEST)
    seen = math.hypot(tape, _SEEN_SD_MM)
    once_more = math.hypot(gauge, REPEAT_SD_DEG)
    sds = np.array([gauge, once_more, book.set_up.bender.scatter.position, tape, tape, tape, tape, seen])
    steep = rows @ steepness * gauge**2
    covariance = (errors * sds**2) @ errors.T + 0.5 * np.outer(steep, steep)
    return Readings(
        bend=bend,
        law=law,
        kinds=tuple(line.kind for line in found),
        rows=rows,
        read=np.array([line.read for line in found]),
        geometry=geometry,
        covariance=covariance,
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """One reading: what it is, what it says, what it follows from, and whose errors it carries."""

    kind: Reading
    read: float
    weights: tuple[float, float, float, float, float]
    errors: dict[int, float]


def _lines(bend: TestBend, face: float) -> list[_Line]:
    """Return what can be compared; ``face`` is what the outside adds to each leg, mm."""
    found = [_Line("angles", bend.pulled_deg - bend.left_deg, (1, 0, 0, 0, 0), {_PULLED: 1.0})]
    bar, mark, held, free = bend.bar_mm, bend.mark_mm, bend.held_leg_mm, bend.free_leg_mm
    if mark is not None and held is not None:
        errors = {_HELD: 1.0, _MARK: -1.0, _LINE_UP: 1.0}
        found.append(_Line("legs", held - mark - face, (0, 1, 0, 0, 0), errors))
    if mark is not None and free is not None and bar is not None:
        errors = {_FREE: 1.0, _BAR: -1.0, _MARK: 1.0, _LINE_UP: -1.0}
        found.append(_Line("legs", free - bar + mark - face, (0, -1, 1, 0, 0), errors))
    if mark is None and held is not None and free is not None and bar is not None:
        errors = {_HELD: 1.0, _FREE: 1.0, _BAR: -1.0}
        found.append(_Line("legs", held + free - bar - 2.0 * face, (0, 0, 1, 0, 0), errors))
    if bend.start_shift_mm is not None:
        found.append(_Line("start", bend.start_shift_mm, (0, 0, 0, 0, 1), {_SEEN: 1.0, _LINE_UP: 1.0}))
    return found


def _by_angle(book: Handbook, angle: float, tangent: float, half: float) -> tuple[Floats, Floats]:
    """Return how what is told of a bend grows with its angle, per degree, and how that grows, per degree².

    Springback counts with the angle itself, of which it is the rest to the pull. Corner, gain and start are those of an
    ideal arc, good enough to say how far they are out when the angle is; the face outside is added to the legs.
    """
    radius, degree = book.likely.relaxed_radius, math.radians(1.0)
    opens = min(2.0, book.springback(angle, book.strength)[1])
    steep = 0.5 * (1.0 + tangent**2) * degree
    steeper = steep * tangent * degree
    centre = -0.5 * radius * degree if book.set_up.bender.lines_up == "centre" else 0.0
    corner, gain = (radius + half) * steep, 2.0 * (radius + half) * steep - radius * degree
    more = (radius + half) * steeper
    slope = [1.0 + opens, corner + centre, gain, radius * degree, centre]
    return np.array(slope), np.array([0.0, more, 2.0 * more, 0.0, 0.0])
