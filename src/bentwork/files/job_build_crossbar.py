"""``[crossbar.NAME]``: bars between two straights of other pieces, which become pieces themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bentwork.files.job_check import check, check_keys, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_model import MOST
from bentwork.files.job_model_parts import CrossbarTable
from bentwork.files.job_names import Built, looked_up
from bentwork.files.job_words import listed, near, told
from bentwork.jobs.crossbar import crossbar_specs, lay
from bentwork.jobs.crossbar_asked import Crossbar, Side
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import Rail, rail_of, sides_of
from bentwork.stock.bar import Stock
from bentwork.units import Units

__all__ = ["Made", "crossbar_from"]


@dataclass(frozen=True, slots=True)
class Made:
    """Crossbars as asked for, and the pieces that they become."""

    asked: Crossbar
    specs: tuple[PieceSpec, ...]


def crossbar_from(
    name: str,
    table: Mapping[str, Any],
    pieces: Built[PieceSpec] | None,
    stocks: Built[Stock] | None,
    units: Units,
    faults: Faults,
) -> Made | None:
    """Return the crossbars of a table; None when something is wrong with them, which is told.

    Args:
        name: what the job calls them.
        table: as ``tomllib`` read it.
        pieces: of the job, by name; None when nothing is known of them.
        stocks: likewise.
        units: of lengths.
        faults: gathers what is wrong.
    """
    path, before = ("crossbar", name), faults.count
    read = check(CrossbarTable, path, table, units, faults)
    given = given_keys(CrossbarTable, table)
    check_keys(CrossbarTable, path, table, (("stock", "between"), ()), "a crossbar", faults)
    if not given & {"count", "spacing"}:
        faults.add((*path, "count"), "how many there are, or the spacing from middle to middle", "Add count = …")
    stock = looked_up((*path, "stock"), read.stock, "stock", stocks, faults) if read.stock is not None else None
    if read.between is None or read.stock is None or stock is None or faults.count > before:
        return None
    sides = (Side(*read.between[0]), Side(*read.between[1]))
    rails = _rails(name, sides, pieces, stocks or {}, faults)
    asked = Crossbar(
        name, read.stock, sides, read.count, read.spacing, read.first, read.last, read.ends, read.shift, read.off
    )
    return None if rails is None else _made(asked, rails, stock, pieces or {}, faults)


def _rails(
    name: str, sides: tuple[Side, Side], pieces: Built[PieceSpec] | None, stocks: Built[Stock], faults: Faults
) -> tuple[Rail, Rail] | None:
    whole = {key: spec for key, spec in (pieces or {}).items() if spec is not None}
    unknown = pieces is None or len(whole) < len(pieces)
    names = {copy: spec for spec in whole.values() for copy in (*spec.copy_names, spec.name)}
    found = []
    for number, side in enumerate(sides):
        where = ("crossbar", name, "between", number)
        spec = names.get(side.piece)
        if spec is None:
            if not unknown:
                meant = near(side.piece, names)
                do = f"Did you mean {told(meant)}?" if meant is not None else ""
                faults.add((*where, 0), f"the name of a piece: {listed(map(told, names))}", do)
            continue
        if side.number > sides_of(spec):
            faults.add((*where, 1), f"a side of {side.piece}, from 1 to {sides_of(spec)}", "Side 1 begins at point 1.")
            continue
        rail = rail_of(whole, {key: stock for key, stock in stocks.items() if stock is not None}, side)
        if rail is None:
            faults.add((*where, 1), f"a side of {side.piece} with a straight in it", "Its bends leave nothing of it.")
            continue
        found.append(rail)
    return (found[0], found[1]) if len(found) == 2 else None


def _made(
    asked: Crossbar, rails: tuple[Rail, Rail], stock: Stock, pieces: Built[PieceSpec], faults: Faults
) -> Made | None:
    path = ("crossbar", asked.name)
    try:
        laid = lay(asked, rails, stock.section)
    except ValueError as error:
        faults.add((*path, "between"), "two straights with room for the bars between them", f"{error}.".capitalize())
        return None
    if len(laid) > MOST:
        faults.add((*path, "spacing"), f"a spacing that asks for {MOST} bars at most", found=f"{len(laid)} bars")
        return None
    specs = crossbar_specs(asked, laid)
    taken = [spec.name for spec in specs if spec.name in pieces]
    if taken:
        faults.add(path, "a name that no piece has", "Call it something else.", found=f"the name {told(taken[0])}")
        return None
    return Made(asked, specs)
