"""Fixings: where the frame is held by what it is fitted to, and how stiffly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import Bolt
from bentwork.carry.nearest import nearest_station
from bentwork.carry.tabs import Standing, held_in
from bentwork.space import Vec, cross, perpendicular, unit

__all__ = ["FIXED", "PINNED", "Fixing", "Held", "held_by"]

FIXED = (math.inf,) * 6
PINNED = (math.inf, math.inf, math.inf, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Fixing:
    """A place where the frame is held.

    Args:
        name: what findings call it.
        piece: name of the piece or copy that is held.
        at: a place on it or beside it, mm; the nearest point of its centreline is held.
        stiffness: along three directions, N/mm, and about them, N mm per radian; infinite is held, 0 is free.
            ``FIXED`` and ``PINNED`` are the two usual ones.
        along: first of the three directions, any length; None for x, y, z. The other two are at right angles.
        bolt: the bolt it is held by; None when it is not known.
        bolts: how many share the force.
    """

    name: str
    piece: str
    at: Vec
    stiffness: tuple[float, ...] = PINNED
    along: Vec | None = None
    bolt: Bolt | None = None
    bolts: int = 1

    def __post_init__(self) -> None:
        if len(self.stiffness) != 6 or any(math.isnan(k) or k < 0.0 for k in self.stiffness):
            raise ValueError(f"fixing {self.name}: six stiffnesses of 0 or more are wanted")
        if self.bolts < 1:
            raise ValueError(f"fixing {self.name} has at least one bolt, not {self.bolts}")

    @property
    def directions(self) -> tuple[Vec, Vec, Vec]:
        """The three directions, unit vectors, right-handed."""
        if self.along is None:
            return (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
        first = unit(self.along)
        second = perpendicular(first)
        return first, second, cross(first, second)


@dataclass(frozen=True, slots=True)
class Held:
    """A fixing found on the frame.

    Args:
        fixing: as asked for.
        bar: number of the bar.
        station: from end A, mm.
        away: from the place asked for to the centreline, mm.
        tab: number of the tab in whose hole it holds; None where it holds the bar itself.
    """

    fixing: Fixing
    bar: int
    station: float
    away: float
    tab: int | None = None


def held_by(
    bars: Sequence[Bar], fixings: Sequence[Fixing], tabs: Sequence[Standing] = ()
) -> tuple[tuple[Held, ...], tuple[Fixing, ...]]:
    """Return every fixing with the bar it holds, and those that name no piece of the frame.

    One in the hole of a tab holds the bar where the tab stands on it.
    """
    found, missing = [], []
    for fixing in fixings:
        mine = [number for number, bar in enumerate(bars) if fixing.piece in (bar.name, bar.of)]
        if not mine:
            missing.append(fixing)
            continue
        tab = held_in(bars, tabs, fixing.piece, fixing.at, fixing.name)
        if tab is not None:
            one = tabs[tab]
            found.append(Held(fixing, one.bar, one.station, math.dist(one.tab.foot, fixing.at), tab))
            continue
        near = [(*nearest_station(bars[number], fixing.at), number) for number in mine]
        away, station, number = min((apart, at, number) for at, apart, number in near)
        found.append(Held(fixing, number, station, away))
    return tuple(found), tuple(missing)
