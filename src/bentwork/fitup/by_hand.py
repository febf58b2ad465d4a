"""Setting bends by hand, and what work and bar cost: figures that weigh one way on against another."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.fitup.controls import Limits
from bentwork.stock.material import Material

__all__ = ["ByHand", "Costs", "SoFar", "by_hand_of", "limits_by_hand"]


@dataclass(frozen=True, slots=True)
class ByHand:
    """How bends that are made can be set by hand. Common practice, no source.

    Args:
        most: degrees in all by which one bend may be set.
        wrung: degrees by which one straight may be wrung at a go.
        wrung_each: and in all, for each mm of it.
        times: how often one bend may be set.
        wrung_straight: shortest straight that can be wrung, mm.
        sd: what a correction is out by whatever its size, one standard deviation, degrees.
        share: and in proportion to its size.
        least: least that is set or wrung: less is no more than luck, and a finder does not tell it.
    """

    most: float = 3.0
    wrung: float = 3.0
    wrung_each: float = 0.05
    wrung_straight: float = 80.0
    times: int = 4
    sd: float = 0.2
    share: float = 0.15
    least: float = 0.5


@dataclass(frozen=True, slots=True)
class SoFar:
    """What has been done by hand to a bar so far. One number for each bend, degrees or times; empty for nothing.

    Args:
        set_by: by how much each bend has been set in all, every way counted.
        set_times: how often.
        wrung_by: by how much the straight before each bend has been wrung in all.
    """

    set_by: tuple[float, ...] = ()
    set_times: tuple[int, ...] = ()
    wrung_by: tuple[float, ...] = ()

    def left(self, straights: Sequence[float], hand: ByHand) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Return by how many degrees each bend may still be set, and the straight before it wrung; 0 for not at all.

        Args:
            straights: before each bend, mm.
            hand: what can be done by hand.
        """
        by, times, wrung = self._of_each(len(straights))
        return (
            tuple(
                max(0.0, hand.most - one) if often < hand.times else 0.0 for one, often in zip(by, times, strict=True)
            ),
            tuple(
                max(0.0, min(hand.wrung, hand.wrung_each * max(0.0, long) - one))
                for long, one in zip(straights, wrung, strict=True)
            ),
        )

    def and_then(self, sets: Mapping[int, float], wrings: Mapping[int, float], bends: int) -> SoFar:
        """Return what has been done once more is: degrees by bend, from 0."""
        by, times, wrung = self._of_each(bends)
        return SoFar(
            tuple(one + abs(sets.get(k, 0.0)) for k, one in enumerate(by)),
            tuple(often + (k in sets) for k, often in enumerate(times)),
            tuple(one + abs(wrings.get(k, 0.0)) for k, one in enumerate(wrung)),
        )

    def _of_each(self, bends: int) -> tuple[list[float], list[int], list[float]]:
        by, times, wrung = (
            [*map(abs, one), *[0] * (bends - len(one))] for one in (self.set_by, self.set_times, self.wrung_by)
        )
        return list(by), [int(often) for often in times], list(wrung)


@dataclass(frozen=True, slots=True)
class Costs:
    """What it costs, in any one currency; work is counted in it too.

    Args:
        bar: of one piece.
        bend: work of one bend.
        correction: work of one correction by hand.
    """

    bar: float = 10.0
    bend: float = 2.0
    correction: float = 0.25


_SOFT, _HARD = 15.0, 8.0  # elongation after fracture, per cent
_MOST_WRUNG = 5.0  # degrees
_OF_THE_ELONGATION = 0.05
_LEAST = 0.25, 0.5  # degrees
_OF_THE_SCATTER = 0.5


def by_hand_of(material: Material, across: float, scatter: float = 1.0) -> ByHand:
    """Return what can be done by hand to bar of a material; by its elongation after fracture.

    A bend has used up much of what the outside can stretch, and setting it stretches the other face as well. What
    stretches by 15 % and more (structural steel, soft aluminium, copper) is set by 3 degrees; below 8 % a bend is
    opened or closed by 1 degree at most, once or twice. A straight has not been worked yet: wrung by an angle for each
    mm, its skin is sheared by half the bar times that angle, and a twentieth of the elongation is little, in one go or
    in several. Nobody wrings further than 5 degrees at a go by eye; below 8 % it is left alone. Common practice, no
    source; the shear by geometry.

    What is less than half of what bends by this hand scatter is not asked of it: half a degree of an ordinary hand,
    what a finder just tells, and a quarter of the best. Common practice, no source.

    Args:
        material: of the bar.
        across: the bar from side to side where it is widest, mm.
        scatter: of the angle of one bend, by the maker's hand or what the bender says, one standard deviation, degrees.
    """
    least = min(max(_LEAST[0], _OF_THE_SCATTER * scatter), _LEAST[1])
    elongation = material.elongation.value
    each = math.degrees(elongation / 100.0 * _OF_THE_ELONGATION / (across / 2.0))
    if elongation >= _SOFT:
        return ByHand(wrung=_MOST_WRUNG, wrung_each=each, least=least)
    if elongation >= _HARD:
        return ByHand(most=2.0, wrung=_MOST_WRUNG, wrung_each=each, times=3, least=least)
    return ByHand(most=1.0, wrung=0.0, times=2, least=least)


def limits_by_hand(limits: Limits, hand: ByHand) -> Limits:
    """Return limits with what can be done by hand."""
    return replace(
        limits,
        set_by_hand=hand.most,
        wrung=hand.wrung,
        wrung_each=hand.wrung_each,
        wrung_straight=hand.wrung_straight,
    )
