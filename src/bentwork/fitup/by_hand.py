"""Setting bends by hand, and what work and bar cost: figures that weigh one way on against another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.fitup.controls import Limits
from bentwork.stock.material import Material

__all__ = ["ByHand", "Costs", "SoFar", "by_hand_of", "limits_by_hand"]


@dataclass(frozen=True, slots=True)
class ByHand:
    """How bends that are made can be set by hand. Common practice, no source.

    Args:
        most: degrees in all by which one bend may be set.
        wrung: degrees in all by which one straight may be wrung.
        wrung_each: and by how many for each mm of it.
        times: how often one bend may be set, or one straight wrung.
        wrung_straight: shortest straight that can be wrung, mm.
        sd: what a correction is out by whatever its size, one standard deviation, degrees.
        share: and in proportion to its size.
    """

    most: float = 3.0
    wrung: float = 3.0
    wrung_each: float = math.inf
    wrung_straight: float = 80.0
    times: int = 4
    sd: float = 0.2
    share: float = 0.15


@dataclass(frozen=True, slots=True)
class SoFar:
    """What has been done by hand to a bar so far. One number for each bend, degrees or times; empty for nothing.

    Args:
        set_by: by how much each bend has been set in all, every way counted.
        set_times: how often.
        wrung_by: by how much the straight before each bend has been wrung in all.
        wrung_times: how often.
    """

    set_by: tuple[float, ...] = ()
    set_times: tuple[int, ...] = ()
    wrung_by: tuple[float, ...] = ()
    wrung_times: tuple[int, ...] = ()

    def left(self, straights: Sequence[float], hand: ByHand) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Return by how many degrees each bend may still be set, and the straight before it wrung; 0 for not at all.

        Args:
            straights: before each bend, mm.
            hand: what can be done by hand.
        """
        bends = len(straights)

        def rest(most: Sequence[float], by: tuple[float, ...], times: tuple[int, ...]) -> tuple[float, ...]:
            used = [*by, *[0.0] * (bends - len(by))]
            often = [*times, *[0] * (bends - len(times))]
            return tuple(
                max(0.0, limit - abs(one)) if count < hand.times else 0.0
                for limit, one, count in zip(most, used, often, strict=True)
            )

        wrung = [min(hand.wrung, hand.wrung_each * max(0.0, straight)) for straight in straights]
        return rest([hand.most] * bends, self.set_by, self.set_times), rest(wrung, self.wrung_by, self.wrung_times)


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


def by_hand_of(material: Material, across: float) -> ByHand:
    """Return what can be done by hand to bar of a material; by its elongation after fracture.

    A bend has used up much of what the outside can stretch, and setting it stretches the other face as well. What
    stretches by 15 % and more (structural steel, soft aluminium, copper) is set by 3 degrees; below 8 % a bend is
    opened or closed by 1 degree at most, once or twice. A straight has not been worked yet: wrung by an angle for each
    mm, its skin is sheared by half the bar times that angle, and a twentieth of the elongation is little. Nobody
    wrings further than 5 degrees by eye; below 8 % it is left alone. Common practice, no source; the shear by geometry.

    Args:
        material: of the bar.
        across: the bar from side to side where it is widest, mm.
    """
    elongation = material.elongation.value
    each = math.degrees(elongation / 100.0 * _OF_THE_ELONGATION / (across / 2.0))
    if elongation >= _SOFT:
        return ByHand(wrung=_MOST_WRUNG, wrung_each=each)
    if elongation >= _HARD:
        return ByHand(most=2.0, wrung=_MOST_WRUNG, wrung_each=each, times=3)
    return ByHand(most=1.0, wrung=0.0, times=2)


def limits_by_hand(limits: Limits, hand: ByHand) -> Limits:
    """Return limits with what can be done by hand."""
    return replace(
        limits,
        set_by_hand=hand.most,
        wrung=hand.wrung,
        wrung_each=hand.wrung_each,
        wrung_straight=hand.wrung_straight,
    )
