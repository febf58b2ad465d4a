"""A joint between two bars: how it is made, and which turns it leaves free."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import Bolt
from bentwork.carry.touching import TOUCHES_WITHIN, Touch, touches
from bentwork.space import Vec, norm, sub, unit

__all__ = ["Joint", "Made", "Wanted", "joints_of"]

Made = Literal["welded", "bolted", "pinned"]


@dataclass(frozen=True, slots=True)
class Joint:
    """Two bars joined.

    Args:
        touch: where.
        made: welded: the two ends move as one; bolted: with one bolt they may turn about it, with more they may not;
            pinned: they may turn every way.
        axis: of the bolt; None for the line from bar to bar.
        bolts: how many.
        throat: of the fillet weld all round, mm; None to take 0.7 of the thinner wall.
        bolt: size and class of the bolt and what it sits in; None when it is not known.
        confirmed: whether the maker has said so; otherwise it is only that the bars touch.
    """

    touch: Touch
    made: Made = "welded"
    axis: Vec | None = None
    bolts: int = 1
    throat: float | None = None
    bolt: Bolt | None = None
    confirmed: bool = False

    def __post_init__(self) -> None:
        if self.bolts < 1:
            raise ValueError(f"a bolted joint has at least one bolt, not {self.bolts}")
        if self.throat is not None and not (math.isfinite(self.throat) and self.throat > 0.0):
            raise ValueError(f"the throat of a weld is a size above 0 mm, not {self.throat:g}")

    @property
    def free_turns(self) -> tuple[Vec, ...]:
        """Axes that the second bar may turn about; unit vectors."""
        if self.made == "pinned":
            return ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        if self.made == "welded" or self.bolts > 1:
            return ()
        return (self.bolt_axis,)

    @property
    def bolt_axis(self) -> Vec:
        """Direction of the bolt, unit vector: as given, or from bar to bar."""
        if self.axis is not None:
            return unit(self.axis)
        between = sub(self.touch.places[1], self.touch.places[0])
        return unit(between) if norm(between) > 1e-9 else (0.0, 0.0, 1.0)

    def words(self, bars: Sequence[Bar]) -> str:
        """Return what it is, in a few words, such as ``loop and crossbar 1``."""
        a, b = self.touch.bars
        return f"{bars[a].name} and {bars[b].name}"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the maker says of the joints between two pieces; either name may also be that of one copy.

    Args:
        pieces: names of the two.
        made: how they are joined; None: they only pass one another.
        axis: of the bolt.
        bolts: how many.
        throat: of the weld, mm.
        bolt: the bolt.
        gap: largest gap that is bridged, mm; None for the usual one.
        near: take only the touch nearest to this place, mm.
    """

    pieces: tuple[str, str]
    made: Made | None = "welded"
    axis: Vec | None = None
    bolts: int = 1
    throat: float | None = None
    bolt: Bolt | None = None
    gap: float | None = None
    near: Vec | None = None

    def about(self, one: Bar, other: Bar) -> bool:
        """Tell whether it speaks of these two bars, either way round."""
        first, second = self.pieces
        names, others = {one.name, one.of}, {other.name, other.of}
        return (first in names and second in others) or (second in names and first in others)


def joints_of(
    bars: Sequence[Bar], wanted: Sequence[Wanted] = (), within: float = TOUCHES_WITHIN
) -> tuple[tuple[Joint, ...], tuple[Wanted, ...]]:
    """Return the joints of the frame, and what was wanted but is nowhere within reach.

    Bars that touch are joints even if nobody named them (``confirmed`` false): to be listed for the maker.

    Args:
        bars: of the frame.
        wanted: what the maker says; the first that speaks of two bars counts.
        within: largest gap that is taken for a joint when nobody says otherwise, mm.
    """
    farthest = max([within, *(ask.gap for ask in wanted if ask.gap is not None)])
    met = touches(bars, farthest)
    chosen = {number: _nearest(bars, met, ask) for number, ask in enumerate(wanted) if ask.near is not None}
    found, served = [], set()
    for touch in met:
        one, other = bars[touch.bars[0]], bars[touch.bars[1]]
        ask = next(
            (
                (number, ask)
                for number, ask in enumerate(wanted)
                if ask.about(one, other)
                and touch.gap <= (within if ask.gap is None else ask.gap)
                and chosen.get(number, touch) is touch
            ),
            None,
        )
        if ask is None:
            if touch.gap <= within:
                found.append(Joint(touch))
            continue
        number, said = ask
        served.add(number)
        if said.made is not None:
            found.append(Joint(touch, said.made, said.axis, said.bolts, said.throat, said.bolt, True))
    missing = tuple(ask for number, ask in enumerate(wanted) if number not in served)
    return tuple(found), missing


def _nearest(bars: Sequence[Bar], met: Sequence[Touch], ask: Wanted) -> Touch | None:
    """The touch of the two pieces that is nearest to the place asked for."""
    near = ask.near
    mine = [touch for touch in met if ask.about(bars[touch.bars[0]], bars[touch.bars[1]])]
    if near is None or not mine:
        return None
    return min(mine, key=lambda touch: norm(sub(touch.places[0], near)))
