"""All test bends on the table: each is judged by the others, and left out when it is clearly wrong and they agree.

One that no bar does, by all that the handbook knows, is set aside until another one like it confirms it, or the maker
has read it twice: a slip of the pen must not take over how far every job pulls. One that is clearly wrong while too few
others agree stays, and is believed the less.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.doubts import Doubt, away, causes_of
from bentwork.bending.posterior import Posterior, robust_middle, updated, weight_of
from bentwork.bending.readings import Reading, Readings, readings_of
from bentwork.bending.repeat import believed_less
from bentwork.bending.test_bend import TestBend

__all__ = ["ABSURD", "Kept", "Table"]

_ODD = 3.2
_CLEARLY_WRONG = 4.0
"""Standard deviations: of a thousand right readings, one or two look odd, and hardly any clearly wrong."""

ABSURD = 5.0
"""Standard deviations off the handbook from which angles are set aside until another test bend like them confirms them:
one bar in a million lies so far off."""

Kept = list[tuple[Reading, ...]]
"""Which readings of each test bend count."""


class Table:
    """The test bends of one set-up.

    Args:
        before: unknowns by the handbook.
        laws: of the batch of each.
        bends: the test bends.
    """

    def __init__(self, before: Posterior, laws: Sequence[BendLaw], bends: Sequence[TestBend]) -> None:
        self.before, self.laws, self.bends = before, laws, bends
        self.said = [readings_of(law, bend) for law, bend in zip(laws, bends, strict=True)]
        self.everything: Kept = [tuple(dict.fromkeys(one.kinds)) for one in self.said]

    def readings(self, kept: Kept) -> list[Readings]:
        """Return what counts of each."""
        return [one.only(kinds) for one, kinds in zip(self.said, kept, strict=True)]

    def judged(self) -> tuple[Kept, tuple[Doubt, ...]]:
        """Return which readings of each test bend count, and what is odd."""
        aside = self._absurd()
        everything = [() if number in aside else kinds for number, kinds in enumerate(self.everything)]
        kept = list(everything)
        set_aside: list[tuple[int, Reading]] = [(number, "angles") for number in aside]
        out = list(set_aside)
        odd = self._odd(kept)
        while odd:
            number, reading, far = max(odd, key=lambda one: one[2])
            others = sum(reading in kinds for kinds in kept) - 1
            all_of_it = sum(reading in kinds for kinds in everything)
            if far < _CLEARLY_WRONG or others < 2 or 2 * others <= all_of_it:
                break
            out.append((number, reading))
            kept[number] = () if reading == "angles" else tuple(kind for kind in kept[number] if kind != reading)
            odd = self._odd(kept)
        if len(out) > len(set_aside) and any(far >= _CLEARLY_WRONG for _, _, far in odd):
            # Those that are left do not agree either: nobody can say who is wrong.
            kept, out, odd = list(everything), set_aside, self._odd(everything)
        if not (odd or out):
            return kept, ()
        others_of = _Others(self.before, self.readings(kept))
        doubts = [self._doubt(others_of, kept, number, reading, True) for number, reading in out]
        doubts += [self._doubt(others_of, kept, number, reading, False) for number, reading, _ in odd]
        return kept, tuple(doubts)

    def _absurd(self) -> list[int]:
        """Return the test bends whose angles no bar leaves by the handbook, and that nothing confirms."""
        angles = [one.only(("angles",)) for one in self.said]
        far = [number for number, one in enumerate(angles) if away(self.before, one) > ABSURD]
        unsure = [number for number in far if not self.bends[number].sure]
        return [number for number in unsure if not any(self._confirms(other, angles[number]) for other in far)]

    def _confirms(self, other: int, angles: Readings) -> bool:
        if self.said[other].bend is angles.bend:
            return False
        taught, _ = updated(self.before, [self.said[other].only(("angles",))])
        return away(taught, angles) <= _ODD

    def believed(self, kept: Kept, doubts: Sequence[Doubt]) -> list[Readings]:
        """Return what counts of each, those believed less that lie too far off for what they can be held against.

        One test bend alone is held against the handbook: where it is odd, both are in doubt, and what is known lies
        between them. Of several, one that is clearly wrong stays only where too few agree to say so.
        """
        readings = self.readings(kept)
        alone = [number for number, kinds in enumerate(kept) if "angles" in kinds]
        if len(alone) == 1:
            own = readings[alone[0]]
            far = away(self.before, own.only(("angles",)))
            readings[alone[0]] = believed_less(own, "angles", self._times(self.before, alone[0], "angles", far))
            return readings
        others_of = _Others(self.before, readings)
        for doubt in doubts:
            number = next(number for number, bend in enumerate(self.bends) if bend is doubt.bend)
            if not doubt.left_out and doubt.away >= _CLEARLY_WRONG:
                times = self._times(others_of.without(number), number, doubt.reading, doubt.away)
                readings[number] = believed_less(readings[number], doubt.reading, times)
        return readings

    def _times(self, others: Posterior, number: int, reading: Reading, far: float) -> float:
        """Return how many times its usual error a reading must have to be odd no more."""
        own = self.said[number].only((reading,))
        _, slopes = own.against(others.mean)
        known = float(np.mean(np.diagonal(slopes @ others.covariance @ slopes.T)))  # in the reading's own variances
        return math.sqrt(max(1.0, (far / _ODD) ** 2 * (1.0 + known) - known))

    def _odd(self, kept: Kept) -> list[tuple[int, Reading, float]]:
        """Return every reading that lies far off what the other test bends foretell."""
        found = []
        others = _Others(self.before, self.readings(kept))
        for number, kinds in enumerate(kept):
            for reading in kinds:
                far = away(others.without(number), self.said[number].only((reading,)))
                if far > _ODD:
                    found.append((number, reading, far))
        return found

    def _doubt(self, others_of: _Others, kept: Kept, number: int, reading: Reading, out: bool) -> Doubt:
        others = others_of.without(number)
        law, bend = self.laws[number], self.bends[number]
        alone = not any(kinds for i, kinds in enumerate(kept) if i != number)
        far = away(others, self.said[number].only((reading,)))
        return Doubt(
            bend=bend,
            reading=reading,
            away=far,
            against="handbook" if alone else "others",
            left_out=out,
            causes=causes_of(others, law, bend, self.everything[number]),
        )


class _Others:
    """What all test bends but one say; one that is far out itself says little."""

    def __init__(self, before: Posterior, readings: Sequence[Readings]) -> None:
        # A robust middle first: near it the model is straight, and taking one test bend away is a matter of sums.
        counting = [one for one in readings if one.kinds]
        self._at = robust_middle(before, counting)
        self._information, self._pull = before.information.copy(), before.information @ (before.mean - self._at)
        self._parts = []
        for one in readings:
            out, slopes = one.against(self._at)
            weight = weight_of(out)
            part = weight * (slopes.T @ slopes), weight * (slopes.T @ out)
            self._parts.append(part)
            self._information += part[0]
            self._pull = self._pull + part[1]

    def without(self, number: int) -> Posterior:
        """Return the unknowns as all but this one have them."""
        own_information, own_pull = self._parts[number]
        information = self._information - own_information
        return Posterior(self._at + np.linalg.solve(information, self._pull - own_pull), information)
