"""Crossbars as the job asks for them: between which two straights, how many, how far apart, how their ends are cut."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.parts.meeting import Ends
from bentwork.space import Vec

__all__ = ["Crossbar", "Side"]


@dataclass(frozen=True, slots=True)
class Side:
    """A straight as the job names it.

    Args:
        piece: name of the piece, or of one of its copies.
        number: side 1 begins at corner point 1; of a bend table the number of the straight from end A.
    """

    piece: str
    number: int


@dataclass(frozen=True, slots=True)
class Crossbar:
    """Crossbars as the job asks for them.

    Args:
        name: what the job calls them.
        stock: name of their stock.
        between: the two straights they stand between; places are measured along the first.
        count: how many; None for as many as have room at the spacing.
        spacing: from middle to middle, mm; None to divide the straight.
        first: from the beginning of the first straight to the middle of the first bar, mm.
        last: from the middle of the last bar to the end of the first straight, mm.
        ends: butted or coped.
        shift: how far the far end stands along the first straight, mm; 0 for bars square to it.
        off: shift of their middle lines out of those of the straights, mm.
    """

    name: str
    stock: str
    between: tuple[Side, Side]
    count: int | None = None
    spacing: float | None = None
    first: float | None = None
    last: float | None = None
    ends: Ends = "butted"
    shift: float = 0.0
    off: Vec = (0.0, 0.0, 0.0)
