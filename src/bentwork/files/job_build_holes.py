"""``holes`` of a piece: where they are, how large, and that the piece is one that can have them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bentwork.fastening.threads import Thread
from bentwork.files.job_build_shape import Entry
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_holes import HoleTable
from bentwork.jobs.hole_asked import HoleAsked, drilled_into_bar, side_drilled
from bentwork.stock.bar import Stock
from bentwork.stock.section import Round, Section, SquareTube, Tube, Way
from bentwork.units import Ruler

__all__ = ["holes_from"]

_BAR = ("round", "walls")
_FLAT = ("at", "slot", "runs", "thread", "grade")
"""Keys of a hole that is drilled into a bar, and of one that is laid out in the flat."""


def holes_from(entry: Entry, stock: Stock | None, way: Way, sides: int | None) -> tuple[HoleAsked, ...]:
    """Return the holes of a piece; what is wrong with them is told.

    Args:
        entry: the table of the piece.
        stock: its stock; None when it is not known.
        way: that it is bent.
        sides: how many sides the piece has; None when its shape is not known.
    """
    tables = entry.read.holes or ()
    if not tables:
        return ()
    section = None if stock is None else stock.section
    found = [_hole(entry, number, table, sides, section, way) for number, table in enumerate(tables)]
    return tuple(hole for hole in found if hole is not None)


def _hole(
    entry: Entry, number: int, table: Mapping[str, Any], sides: int | None, section: Section | None, way: Way
) -> HoleAsked | None:
    path: Path = (*entry.path, "holes", number)
    faults = entry.faults
    before = faults.count
    read = check(HoleTable, path, table, entry.ruler.units, faults)
    given = given_keys(HoleTable, table)
    _place(path, read, given, sides, faults, somewhere=section is None or not drilled_into_bar(section, way))
    size = _size(path, read, given, faults)
    if section is not None:
        _in_such_a_bar(path, read, given, section, way, entry.ruler, faults)
    if size is None or faults.count > before:
        return None
    diameter, thread, tapped = size
    if read.slot is not None:
        if tapped:
            faults.add((*path, "slot"), "no slot beside a thread", "Take one of the two out.")
        elif read.slot <= diameter:
            faults.add(
                (*path, "slot"), "the length of the slot from end to end, more than its width", "Make it longer."
            )
    if faults.count > before:
        return None
    return HoleAsked(
        diameter,
        read.at,
        read.along,
        read.side,
        read.across,
        read.slot or 0.0,
        read.runs,
        thread,
        tapped,
        read.grade,
        read.round or 0.0,
        read.walls != "one",
    )


def _place(path: Path, read: HoleTable, given: set[str], sides: int | None, faults: Faults, *, somewhere: bool) -> None:
    if not somewhere and "along" not in given:
        faults.add((*path, "along"), "how far from end A", "Add along = …")
    elif not given & {"at", "along"}:
        faults.add((*path, "along"), "how far from end A, or at = [x, y, z]", "Add along = … or at = …")
    if "at" in given:
        for key in ("along", "side", "across"):
            if key in given:
                faults.add((*path, key), f"no {key} beside at", "Take one of the two out.")
    if read.side is not None and sides is not None and read.side > sides:
        faults.add((*path, "side"), f"a number from 1 to {sides}: the piece has {sides} sides")


def _in_such_a_bar(
    path: Path, read: HoleTable, given: set[str], section: Section, way: Way, ruler: Ruler, faults: Faults
) -> None:
    """Tell which keys have no meaning in a hole of such a bar, and what it has no room for."""
    drilled, sided = drilled_into_bar(section, way), not isinstance(section, Round | Tube)
    bar = _BARS[section.kind] if drilled else "flat bar bent the easy way"
    for key in (*_FLAT, *(() if sided else ("across",))) if drilled else _BAR:
        if key in given:
            faults.add((*path, key), f"no {key} in a hole of {bar}", "Take it out.")
    if not drilled:
        return
    turn = read.round or 0.0
    if sided and abs(turn - 90.0 * round(turn / 90.0)) > 1e-6:
        faults.add((*path, "round"), "0, 90, 180 or -90: a hole is drilled square to a side")
    size = read.diameter.clearance_hole if isinstance(read.diameter, Thread) else read.diameter
    _, wide = side_drilled(section, way, turn)
    if size is not None and size >= wide:
        side = "the side that it is drilled into" if sided else "the bar"
        faults.add((*path, "diameter"), f"less than {side}, {ruler.length(wide)}")
    elif size is not None and sided and abs(read.across) >= (wide - size) / 2.0:
        most = ruler.length((wide - size) / 2.0)
        faults.add((*path, "across"), f"less than {most} beside the middle: the hole would run over the edge")
    if read.walls == "one" and not isinstance(section, Tube | SquareTube):
        faults.add((*path, "walls"), '"both", because the bar is solid', "Take walls out.")


_BARS = {
    "round": "round bar and tube",
    "tube": "round bar and tube",
    "square": "square bar and tube",
    "square-tube": "square bar and tube",
    "flat": "flat bar bent the hard way",
}
"""What a hole is drilled into."""


def _size(path: Path, read: HoleTable, given: set[str], faults: Faults) -> tuple[float, Thread | None, bool] | None:
    """Size of the hole, the thread it has to do with, and whether that is cut into it."""
    if {"diameter", "thread"} <= given:
        faults.add((*path, "thread"), "either a diameter or a thread", "A thread is drilled for by itself.")
        return None
    if read.thread is not None:
        return read.thread.diameter, read.thread, True
    if isinstance(read.diameter, Thread):
        return read.diameter.clearance_hole, read.diameter, False
    if read.diameter is not None:
        return read.diameter, None, False
    if not given & {"diameter", "thread"}:
        words = 'its diameter, the bolt that goes through it, diameter = "M6", or thread = "M6"'
        faults.add((*path, "diameter"), words, "Add one.")
    return None
