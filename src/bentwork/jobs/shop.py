"""What buying goes by: what the saw takes, how many test bends, what is used up and what that costs."""

from __future__ import annotations

from dataclasses import dataclass, field

from bentwork.parts.consumables import Coat
from bentwork.parts.cutting import Saw

__all__ = ["Shop"]


@dataclass(frozen=True, slots=True)
class Shop:
    """What a job says of the workshop as far as buying goes.

    Args:
        saw: what it takes.
        said: the job gives the width of the saw.
        spares: lengths to cut beyond what is made, by the name of their piece.
        test_bends: lengths for test bends, for every stock on every bender; None for what is usual.
        filler_price: of a kilogram; None when it is not known.
        disc_price: of an abrasive disc; None when it is not known.
        coats: paints; empty for what is usual.
    """

    saw: Saw = field(default_factory=Saw)
    said: bool = False
    spares: tuple[tuple[str, int], ...] = ()
    test_bends: int | None = None
    filler_price: float | None = None
    disc_price: float | None = None
    coats: tuple[Coat, ...] = ()
