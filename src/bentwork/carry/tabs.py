"""Tabs on the frame: what they weigh, what their welds soften, and those that hold a fixing or a strap in their hole.

A tab is stiff beside a bar: what is held in its hole is held as far off the bar as the hole is. It is bent as a
cantilever from its end on the bar.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import Bolt
from bentwork.carry.nearest import nearest_station
from bentwork.space import Vec, along
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Square

__all__ = ["Standing", "TabOn", "held_in", "standing_on"]

_IN_THE_HOLE = 3.0
"""What is asked for so near to the middle of a hole, mm, is held in it; common practice, no source."""


@dataclass(frozen=True, slots=True)
class TabOn:
    """A tab where it stands. Lengths in mm.

    Args:
        name: what findings call it.
        piece: name of the bar that it stands on.
        foot: the place on the bar's middle line that it stands on.
        hole: the middle of its hole.
        ways: unit vectors: from the bar to the hole, across the tab, along the bolt.
        reach: from the middle of the hole to where it meets the bar.
        width: across it.
        thickness: along the bolt.
        edge: from the middle of the hole to the nearest edge.
        hole_size: diameter of the hole or of the thread in it.
        material: what it is made of.
        mass: kg.
        welded: it is welded to the bar.
        softened: the weld has softened the metal round the hole.
        tapped: a thread is cut into it.
        bolt: that goes with its thread; None when that is not known, or of a kind that is not reckoned.
        fixing: name of the fixing that it is for; empty where that is seen by the place alone.
    """

    name: str
    piece: str
    foot: Vec
    hole: Vec
    ways: tuple[Vec, Vec, Vec]
    reach: float
    width: float
    thickness: float
    edge: float
    hole_size: float
    material: Material
    mass: float = 0.0
    welded: bool = True
    softened: bool = False
    tapped: bool = False
    bolt: Bolt | None = None
    fixing: str = ""

    @property
    def root(self) -> Vec:
        """Where it meets the bar, in its middle."""
        return along(self.hole, self.ways[0], -self.reach)

    @property
    def section(self) -> Flat | Square:
        """Its own section, bent in its thickness the easy way."""
        return (Flat if self.width >= self.thickness else Square)(self.width, self.thickness)

    def holding(self, bolt: Bolt | None) -> Bolt | None:
        """Return the bolt in its hole: as asked for, with what the tab itself says of hole, edges and thickness."""
        if bolt is None:
            return self.bolt
        return replace(
            bolt,
            thickness=bolt.thickness or self.thickness,
            tapped=bolt.tapped or self.tapped,
            end_distance=bolt.end_distance or self.edge,
            side_distance=bolt.side_distance or self.width / 2.0,
            hole=bolt.hole or max(self.hole_size, bolt.size),
            welded=bolt.welded or self.softened,
        )


@dataclass(frozen=True, slots=True)
class Standing:
    """A tab found on the frame: number of its bar, mm from end A of that."""

    tab: TabOn
    bar: int
    station: float


def standing_on(bars: Sequence[Bar], tabs: Sequence[TabOn]) -> tuple[Standing, ...]:
    """Return the tabs that stand on a bar of the frame; those that name no bar of it are left out."""
    number = {bar.name: k for k, bar in enumerate(bars)}
    return tuple(
        Standing(tab, number[tab.piece], nearest_station(bars[number[tab.piece]], tab.foot)[0])
        for tab in tabs
        if tab.piece in number
    )


def held_in(bars: Sequence[Bar], tabs: Sequence[Standing], piece: str, at: Vec, fixing: str = "") -> int | None:
    """Return the number of the tab that holds something; None for none.

    Args:
        bars: of the frame.
        tabs: that stand on them.
        piece: name of the piece or copy that is held.
        at: where, mm: the tab of that piece holds it whose hole it lies in.
        fixing: name of the fixing: a tab that is for it holds it, wherever its hole is.
    """
    for number, one in enumerate(tabs):
        if fixing and one.tab.fixing == fixing:
            return number
    near = [
        (math.dist(one.tab.hole, at), number)
        for number, one in enumerate(tabs)
        if piece in (bars[one.bar].name, bars[one.bar].of)
    ]
    apart, number = min(near, default=(math.inf, -1))
    return number if apart <= _IN_THE_HOLE else None
