"""All test bends on the table: each is judged by the others, and left out when it is clearly wrong and they agree."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.doubts import Doubt, away, causes_of
from bentwork.bending.posterior import Posterior, robust_middle, weight_of
from bentwork.bending.readings import Reading, Readings, readings_of
from bentwork.bending.test_bend import TestBend

__all__ = ["Kept", "Table"]

_ODD = 3.2
_CLEARLY_WRONG = 4.0
"""Standard deviations: of a thousand right readings, one or two look odd, and hardly any clearly wrong."""

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
        kept = list(self.everything)
        out: list[tuple[int, Reading]] = []
        odd = self._odd(kept)
        while odd:
            number, reading, far = max(odd, key=lambda one: one[2])
            others = sum(reading in kinds for kinds in kept) - 1
            all_of_it = sum(reading in kinds for kinds in self.everything)
            if far < _CLEARLY_WRONG or others < 2 or 2 * others <= all_of_it:
                break
            out.append((number, reading))
            kept[number] = () if reading == "angles" else tuple(kind for kind in kept[number] if kind != reading)
            odd = self._odd(kept)
        if out and any(far >= _CLEARLY_WRONG for _, _, far in odd):
            # Those that are left do not agree either: nobody can say who is wrong.
            kept, out, odd = list(self.everything), [], self._odd(self.everything)
        if not (odd or out):
            return kept, ()
        others_of = _Others(self.before, self.readings(kept))
        doubts = [self._doubt(others_of, kept, number, reading, True) for number, reading in out]
        doubts += [self._doubt(others_of, kept, number, reading, False) for number, reading, _ in odd]
        return kept, tuple(doubts)

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
        return Doubt(
            bend=bend,
            reading=reading,
            away=away(others, self.said[number].only((reading,))),
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
