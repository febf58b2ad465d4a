"""``[tab.NAME]``: flat pieces with a hole on a bar, at a place or at a fixing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from bentwork.carry.fixing import Fixing
from bentwork.fastening.threads import METRIC, Thread
from bentwork.files.job_build_carry import Reading
from bentwork.files.job_build_stock import material_named
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_model_parts import TabTable
from bentwork.files.job_names import Built, looked_up
from bentwork.jobs.tab_asked import TabAsked
from bentwork.parts.tab import Plan
from bentwork.space import Vec, add
from bentwork.stock.bar import Stock
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Square

__all__ = ["TabReading", "tab_from"]


@dataclass(frozen=True, slots=True)
class TabReading:
    """What tabs are read with.

    Args:
        pieces: names of pieces, units, faults.
        stocks: of the job; None when nothing is known of them.
        fixings: of the job; likewise.
        own: materials of the job file itself.
        library: gives the materials that come with the package.
    """

    pieces: Reading
    stocks: Built[Stock] | None
    fixings: Built[Fixing] | None
    own: Built[Material] | None
    library: Callable[[], Mapping[str, Material]]


def tab_from(name: str, table: Mapping[str, Any], reading: TabReading) -> TabAsked | None:
    """Return the tabs of a table; None when something is wrong with them, which is told.

    Args:
        name: what the job calls them.
        table: as ``tomllib`` read it.
        reading: what it is read with.
    """
    path, faults = ("tab", name), reading.pieces.faults
    before = faults.count
    read = check(TabTable, path, table, reading.pieces.units, faults)
    given = given_keys(TabTable, table)
    fixings = _fixings(path, read, reading)
    piece = read.piece or (fixings[0].piece if fixings else None)
    if read.piece is not None:
        reading.pieces.piece((*path, "piece"), read.piece)
    elif piece is None and "piece" not in given and "fixing" not in given:
        faults.add((*path, "piece"), "the name of the piece it stands on", "Add piece = …")
    if not given & {"at", "fixing"}:
        faults.add((*path, "at"), "the middle of its hole, [x, y, z], or a fixing", "Add at = … or fixing = …")
    if {"at", "fixing"} <= given:
        faults.add((*path, "at"), "either a place or a fixing", "Take one of the two out; off moves it from there.")
    axis = reading.pieces.direction((*path, "axis"), read.axis) or next(
        (one.along for one in fixings if one.along), None
    )
    if axis is None and "axis" not in given:
        faults.add((*path, "axis"), "the direction of its bolt, such as [0, 1, 0]", "Add axis = …")
    runs = reading.pieces.direction((*path, "runs"), read.runs)
    metal = _metal(path, read, given, reading)
    hole = _hole(path, read, given, fixings, reading)
    if faults.count > before or metal is None or hole is None or axis is None or piece is None:
        return None
    thickness, width, material = metal
    size, thread, tapped = hole
    middles: tuple[Vec, ...] = tuple(read.at) if read.at is not None else tuple(one.at for one in fixings)
    plan = Plan(thickness, read.width or width, size, read.end, read.rounded)
    holes = tuple(add(middle, read.off) for middle in middles)
    names = () if read.at is not None else tuple(one.name for one in fixings)
    return TabAsked(
        name, piece, holes, axis, plan, material, thread, tapped, read.grade, runs, read.welded, names, read.stock or ""
    )


def _fixings(path: tuple[str, str], read: TabTable, reading: TabReading) -> tuple[Fixing, ...]:
    found = []
    for number, name in enumerate(read.fixing or ()):
        one = looked_up((*path, "fixing", number), name, "fixing", reading.fixings, reading.pieces.faults)
        if one is not None:
            found.append(one)
    return tuple(found)


def _metal(
    path: tuple[str, str], read: TabTable, given: set[str], reading: TabReading
) -> tuple[float, float | None, Material] | None:
    """Thickness, width and material: of the stock, or as they are given."""
    faults = reading.pieces.faults
    if "stock" in given:
        for key in ("thickness", "material"):
            if key in given:
                faults.add((*path, key), f"no {key} beside stock", "Take one of the two out.")
        stock = looked_up((*path, "stock"), read.stock, "stock", reading.stocks, faults) if read.stock else None
        if stock is None:
            return None
        if not isinstance(stock.section, Flat | Square):
            faults.add((*path, "stock"), "flat bar", "Or give thickness, width and material.")
            return None
        return stock.section.height, stock.section.width, stock.material
    if "thickness" not in given:
        faults.add((*path, "thickness"), "its thickness, or the name of a flat stock", "Add stock = … or thickness = …")
    if "material" not in given:
        faults.add((*path, "material"), 'the name of a material, such as "S235"', "Add material = …")
    if read.material is None or read.thickness is None:
        return None
    material = material_named((*path, "material"), read.material, reading.own, reading.library, faults)
    return None if material is None else (read.thickness, None, material)


def _hole(
    path: tuple[str, str], read: TabTable, given: set[str], fixings: tuple[Fixing, ...], reading: TabReading
) -> tuple[float, Thread | None, bool] | None:
    """Size of the hole, the thread it has to do with, and whether that is cut into the tab."""
    faults = reading.pieces.faults
    if {"hole", "thread"} <= given:
        faults.add((*path, "thread"), "either a hole or a thread", "A thread is drilled for by itself.")
        return None
    if read.thread is not None:
        return read.thread.diameter, read.thread, True
    if isinstance(read.hole, Thread):
        return read.hole.clearance_hole, read.hole, False
    if read.hole is not None:
        return read.hole, None, False
    bolt = next((one.bolt for one in fixings if one.bolt is not None), None)
    if bolt is not None and not given & {"hole", "thread"}:
        thread = METRIC[bolt.size]
        return (bolt.size, thread, True) if bolt.tapped else (bolt.hole_size, thread, False)
    if not given & {"hole", "thread"}:
        faults.add((*path, "hole"), 'its hole: hole = "M6" for a bolt to go through, or thread = "M6"', "Add one.")
    return None
