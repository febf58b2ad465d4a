"""Offcuts in the workshop: bars of their own length on the rack, found again by section and metal in every job."""

from __future__ import annotations

from dataclasses import replace

from bentwork.bending.stock_key import StockKey
from bentwork.errors import Fault, InputError
from bentwork.stock.bar import Stock
from bentwork.workshop.own_things import OwnStock
from bentwork.workshop.store import Workshop

__all__ = ["OFFCUT", "offcuts_in", "put_offcut", "take_offcut"]

OFFCUT = "offcut"
"""The delivery that an offcut on the rack is noted under."""


def offcuts_in(workshop: Workshop) -> tuple[OwnStock, ...]:
    """Return the offcuts on the rack."""
    return tuple(one for one in workshop.stock.all() if one.batch == OFFCUT and one.bar_length_mm and one.bars)


def put_offcut(workshop: Workshop, stock: Stock, length: float, count: int = 1) -> OwnStock:
    """Lay offcuts on the rack; returns what lies there of them now.

    Args:
        workshop: whose rack it is.
        stock: what they are cut from.
        length: of each, mm.
        count: how many.
    """
    kept = _like(workshop, stock, length)
    now = replace(kept, bars=kept.bars + count)
    workshop.stock.put(now)
    return now


def take_offcut(workshop: Workshop, stock: Stock, length: float, count: int = 1) -> OwnStock:
    """Take offcuts off the rack; returns what is left of them.

    Raises:
        InputError: there are not so many.
    """
    kept = _like(workshop, stock, length)
    if kept.bars < count:
        there = ", ".join(
            f"{one.bar_length_mm:g} mm" for one in offcuts_in(workshop) if one.stock_key == kept.stock_key
        )
        wanted = f"an offcut that is there: {there}" if there else f"an offcut; none of {stock.name} is there"
        raise InputError("workshop", [Fault("offcut", f"{count} of {length:g} mm", wanted)])
    left = replace(kept, bars=kept.bars - count)
    if left.bars:
        workshop.stock.put(left)
    else:
        workshop.stock.remove(left.name)
    return left


def _like(workshop: Workshop, stock: Stock, length: float) -> OwnStock:
    """Return what lies on the rack of this length, none of it where there is none."""
    key = StockKey(stock.section, stock.material.name)
    alike = [
        one for one in offcuts_in(workshop) if one.stock_key == key and abs((one.bar_length_mm or 0.0) - length) < 0.05
    ]
    return alike[0] if alike else OwnStock(f"offcut {key} {length:g}", key, OFFCUT, length, 0)
