"""A line of what is to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Good", "Sort"]

Sort = Literal["bar", "bit", "filler", "paint", "abrasive", "bolt"]


@dataclass(frozen=True, slots=True)
class Good:
    """One line.

    Args:
        sort: what it is for.
        name: of it.
        amount: how much.
        unit: of the amount: bars, kg, l, m²; empty for pieces.
        length: of one bar, or of the welds, mm; 0 where it has none.
        mass: kg; None where it does not count.
        price: of all of it; None when it is not known.
        why: where the amount is from; ``{length}`` stands for the length.
    """

    sort: Sort
    name: str
    amount: float
    unit: str
    length: float = 0.0
    mass: float | None = None
    price: float | None = None
    why: str = ""
