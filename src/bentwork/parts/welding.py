"""In which order a frame is welded so that it comes out straight, and how it is tacked.

A weld shrinks as it cools and pulls the bars towards it. The order lets the pulls meet their opposites:

1. Everything is fitted and tacked before anything is welded: a tacked frame holds itself and can still be set.
2. The seams of closed pieces come first: nothing hangs on them yet, and they can be trued.
3. Then from the middle of the frame outwards, so that ends stay free to move; among those about as far out, always the
   one farthest from the weld before: it has had time to cool, and its pull is on the other side.
4. One side of every weld first, all round the frame; then the other side of every weld, in the same order.

Shop practice as welding schools tell it (from the middle outwards, opposite sides in turn, tacks first; seen in several
public guides); the rings of rule 3 are ours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.space import Vec, distance

__all__ = ["Round", "Tacks", "WeldPlace", "order_of", "tacks_for"]

Round = Literal["ring", "pair"]
"""How a weld runs: all round the end of a bar, or as two fillets beside a bar that crosses another."""

_RING = 0.1
"""Welds whose distance from the middle differs by no more than this share of the farthest count as equally far."""

_TACK_EVERY = 40.0
"""From tack to tack along a weld, mm, at most (common practice on thin bar, no source)."""

_TACK_THROATS, _LEAST_TACK, _MOST_TACK = 3.0, 5.0, 15.0
"""A tack is three throats long, 5 to 15 mm (common practice, no source; guides for plate ask four thicknesses)."""


@dataclass(frozen=True, slots=True)
class WeldPlace:
    """A weld that is to be put into an order.

    Args:
        name: in words, different for each.
        place: mm.
        length: of the weld, mm.
        throat: mm.
        runs: how it runs.
        seam: of a closed piece.
    """

    name: str
    place: Vec
    length: float
    throat: float
    runs: Round = "ring"
    seam: bool = False


@dataclass(frozen=True, slots=True)
class Tacks:
    """How a weld is tacked.

    Args:
        count: how many tacks.
        length: of each, mm.
        apart: from middle to middle along the weld, mm.
        turns: where round the bar each stands, degrees from the side that is welded first, in the order they are made;
            empty for two fillets, where they stand at the ends.
    """

    count: int
    length: float
    apart: float
    turns: tuple[float, ...] = ()


def order_of(welds: Sequence[WeldPlace]) -> tuple[int, ...]:
    """Return the order in which one side of every weld is made: numbers of the welds, from 0.

    The same welds give the same order, however they are numbered: what is equally good goes by name.
    """
    if not welds:
        return ()
    middle = _middle([weld.place for weld in welds])
    far = [distance(weld.place, middle) for weld in welds]
    ring = _RING * max(far) + 1e-6
    seams = [number for number, weld in enumerate(welds) if weld.seam]
    others = [number for number, weld in enumerate(welds) if not weld.seam]
    found: list[int] = []
    for left in (seams, others):
        while left:
            least = min(far[number] for number in left)
            near = [number for number in left if far[number] <= least + ring]
            chosen = min(near, key=lambda number: _weight(number, welds, far, found))
            found.append(chosen)
            left.remove(chosen)
    return tuple(found)


def _weight(number: int, welds: Sequence[WeldPlace], far: Sequence[float], made: Sequence[int]) -> tuple[float, str]:
    """What comes first has the least: nearest to the middle at the beginning, then farthest from the weld before."""
    weld = welds[number]
    if not made:
        return (round(far[number], 3), weld.name)
    return (-round(distance(weld.place, welds[made[-1]].place), 3), weld.name)


def _middle(places: Sequence[Vec]) -> Vec:
    """The middle of the box round all welds: many welds on one side do not draw it there."""
    x, y, z = ((min(axis) + max(axis)) / 2.0 for axis in zip(*places, strict=True))
    return (x, y, z)


def tacks_for(weld: WeldPlace) -> Tacks:
    """Return how a weld is tacked: opposite places first, so that one tack pulls back what the other has pulled."""
    length = min(max(_TACK_THROATS * weld.throat, _LEAST_TACK), _MOST_TACK)
    if weld.runs == "pair":
        each = weld.length / 2.0
        return Tacks(4 if each > 3.0 * length else 2, length, each)
    count = max(2, math.ceil(weld.length / _TACK_EVERY - 1e-9))
    count += count % 2  # each has its opposite
    even = [360.0 * k / count for k in range(count)]
    half = count // 2
    turns = tuple(turn for k in range(half) for turn in (even[k], even[k + half]))
    return Tacks(count, length, weld.length / count, turns)
