"""Stays as the job asks for them: from where to where, how their ends are made, what they must clear."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.parts.stay import EndAsked
from bentwork.parts.stay_path import Way
from bentwork.space import Vec

__all__ = ["StayAsked", "StayLaid"]


@dataclass(frozen=True, slots=True)
class StayAsked:
    """A stay as the job asks for it.

    Args:
        name: what the job calls it.
        stock: name of its stock.
        start: name of a measured point, or a place, mm.
        end: likewise.
        piece: of the frame that it starts at; None where it starts at no piece.
        ends: how both ends are made.
        bender: name of its bender; None where it has none.
        radius: of its bends, mm; None where it cannot be bent.
        clearance: wanted to the bars of the frame, mm.
        sure: how surely slots and holes are to reach, such as 0.95.
        mirror_in: coordinate (0, 1, 2) and place, mm, of the plane that its other hand is made in; None for one hand.
    """

    name: str
    stock: str
    start: str | Vec
    end: str | Vec
    piece: str | None = None
    ends: tuple[EndAsked, EndAsked] = (EndAsked(), EndAsked())
    bender: str | None = None
    radius: float | None = None
    clearance: float = 3.0
    sure: float = 0.95
    mirror_in: tuple[int, float] | None = None


@dataclass(frozen=True, slots=True)
class StayLaid:
    """A stay where it stands.

    Args:
        asked: for.
        start: the middle of its first hole, or where its middle line meets the frame's, mm.
        end: likewise of its second end.
        way: from one to the other.
        cut_back: how much of the way is left off where it is welded on to a bar, at either end, mm.
        off: how far it starts from the middle line of its piece, mm; None where it names none.
    """

    asked: StayAsked
    start: Vec
    end: Vec
    way: Way
    cut_back: tuple[float, float]
    off: float | None
