"""``[piece.NAME]``: the piece that is asked for, of which stock, on which bender, how many of it and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bentwork.files.job_build_ends import own_ends_from
from bentwork.files.job_build_holes import holes_from
from bentwork.files.job_build_shape import Entry, shape_from
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_model import PieceTable, ToleranceTable
from bentwork.files.job_names import Built, looked_up, the_only
from bentwork.files.job_words import listed, told
from bentwork.fitup.tolerance import Tolerance
from bentwork.jobs.job import Mirror, PieceSpec, Placed
from bentwork.jobs.modelled import Modelled, ModelReader
from bentwork.piece.corners import Corners
from bentwork.stock.bar import Stock
from bentwork.tooling.bender import Bender
from bentwork.units import Ruler

__all__ = ["piece_from", "tolerance_from"]


def piece_from(
    name: str,
    table: Mapping[str, Any],
    stocks: Built[Stock] | None,
    benders: Built[Bender] | None,
    ruler: Ruler,
    faults: Faults,
    models: ModelReader | None = None,
    tolerance: Tolerance | None = None,
) -> PieceSpec | None:
    """Return the piece of a table; None when something is wrong with it, which is told.

    Args:
        name: of the piece.
        table: as ``tomllib`` read it.
        stocks: every stock of the job; None when nothing is known of them.
        benders: every bender of the job; likewise.
        ruler: how lengths are read and shown in this job.
        faults: gathers what is wrong.
        models: reads bars of CAD models; None where none can be read.
        tolerance: of the job; None for common practice.
    """
    before = faults.count
    read = check(PieceTable, ("piece", name), table, ruler.units, faults)
    entry = Entry(name, table, read, given_keys(PieceTable, table), ruler, faults, models)
    _look_up_stock(entry, stocks)
    bender_name, bender = _bender(entry, benders)
    undecided = benders is None or bender_name is not None or entry.has("bender")
    shape = shape_from(entry, bender, ask_radius=bender is None and not undecided)
    modelled = shape if isinstance(shape, Modelled) else None
    way = modelled.way if modelled and modelled.way in ("easy", "hard") else read.way
    count = _count(entry)
    mirror_in = _mirror_in(entry)
    stock = (stocks or {}).get(read.stock or "")
    own_ends = own_ends_from(entry, stock, closed=_closed(shape))
    holes = holes_from(entry, stock, way, _sides(shape))
    if faults.count > before or read.stock is None or shape is None:
        return None
    return PieceSpec(
        name=name,
        stock=read.stock,
        shape=Placed(shape.line.table, shape.line.start) if isinstance(shape, Modelled) else shape,
        bender=bender_name,
        seam=read.seam,
        count=count,
        mirror=read.mirror,
        mirror_in=mirror_in,
        hand=read.hand,
        at=tuple(read.at or ()),
        trim=read.trim,
        required_clearance=read.required_clearance,
        way=way,
        modelled=modelled,
        tolerance=tolerance_from(read.tolerance, tolerance or Tolerance()),
        ends=read.ends,
        holes=holes,
        own_ends=own_ends,
    )


def _closed(shape: Corners | Placed | Modelled | None) -> bool:
    if isinstance(shape, Corners):
        return shape.closed
    return shape is not None and (shape.line if isinstance(shape, Modelled) else shape).table.closed


def _sides(shape: Corners | Placed | Modelled | None) -> int | None:
    """Return how many sides a shape has; None where it is not known."""
    if isinstance(shape, Corners):
        return shape.sides
    return None if shape is None else len((shape.line if isinstance(shape, Modelled) else shape).table.straights)


def tolerance_from(table: ToleranceTable | None, usual: Tolerance) -> Tolerance:
    """Return a tolerance: what a table says, and what is usual where it says nothing."""
    said = {} if table is None else {key: value for key, value in table if value is not None}
    return replace(usual, **said)


def _look_up_stock(entry: Entry, stocks: Built[Stock] | None) -> None:
    if entry.read.stock is not None:
        looked_up((*entry.path, "stock"), entry.read.stock, "stock", stocks, entry.faults)
    elif not entry.has("stock"):
        names = listed(map(told, stocks)) if stocks else "that of a [stock.NAME] table"
        entry.fault("stock", f"the name of its stock: {names}", "Add stock = …")


def _bender(entry: Entry, benders: Built[Bender] | None) -> tuple[str | None, Bender | None]:
    """Return name and bender: the one that is named, or the only one there is."""
    if entry.read.bender is not None:
        path = (*entry.path, "bender")
        return entry.read.bender, looked_up(path, entry.read.bender, "bender", benders, entry.faults)
    return (None, None) if entry.has("bender") else the_only(benders)


def _count(entry: Entry) -> int:
    """Return how many are made: as many as there are shifts, where shifts are given."""
    count, at = entry.read.count, entry.read.at
    if at is None:
        return count if count is not None else 1
    if count is not None and count != len(at):
        wanted = f"{len(at)}, as many as there are shifts in at"
        entry.fault("count", wanted, "Take count out, or give a shift for each.")
    return len(at)


def _mirror_in(entry: Entry) -> Mirror | None:
    plane = entry.read.mirror_in
    if plane is None:
        return None
    if not entry.read.mirror and not entry.wrong("mirror"):
        do = "It says where the opposite hand stands; without mirror = true none is made."
        entry.fault("mirror_in", "mirror = true beside it", do)
    return Mirror("xyz".index(plane.axis), plane.at)
