"""How the ends of a piece are made: cut to sit on other bars, or each by itself."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bentwork.fastening.threads import Thread
from bentwork.files.job_build_shape import Entry
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_ends import EndTable
from bentwork.jobs.end_asked import OwnEnd, OwnEnds
from bentwork.parts.stay import EndAsked
from bentwork.stock.bar import Stock
from bentwork.stock.section import Tube

__all__ = ["own_ends_from", "wants_room"]

_KEYS = ("end_a", "end_b")
_MEET = "its two ends meet in the seam."


def own_ends_from(entry: Entry, stock: Stock | None, *, closed: bool) -> OwnEnds:
    """Return the ends of a piece that are made by themselves; what is wrong with them is told, and with ``ends``.

    Args:
        entry: the table of the piece.
        stock: its stock; None when it is not known.
        closed: whether the piece is closed.
    """
    if closed:
        for key in ("ends", *_KEYS):
            if getattr(entry.read, key) is not None:
                entry.fault(key, f"no {key}, because the piece is closed", f"Take it out: {_MEET}")
    elif entry.read.ends is not None and all(map(entry.has, _KEYS)):
        do = "It is for an end that neither end_a nor end_b tells of. Take one of the three out."
        entry.fault("ends", "no ends beside both end_a and end_b", do)
    one, other = (
        None if table is None else _end(entry, key, table, stock)
        for key, table in zip(_KEYS, (entry.read.end_a, entry.read.end_b), strict=True)
    )
    return one, other


def wants_room(path: Path, hole: float | None, end: float | None, faults: Faults) -> None:
    """Tell when the end of a bar would lie in its hole.

    Args:
        path: of the table with ``end``.
        hole: its diameter, mm; None where it has none.
        end: from the middle of the hole to the end of the bar, mm; None where it is not given.
        faults: gathers what is wrong.
    """
    if hole is not None and end is not None and end <= hole / 2.0:
        faults.add((*path, "end"), "from the middle of the hole to the end of the bar, more than half the hole")


def _end(entry: Entry, key: str, table: Mapping[str, Any], stock: Stock | None) -> OwnEnd | None:
    path: Path = (*entry.path, key)
    faults = entry.faults
    before = faults.count
    read = check(EndTable, path, table, entry.ruler.units, faults)
    given = given_keys(EndTable, table)
    _goes_together(path, given, faults)
    if "flattened" in given and stock is not None and not isinstance(stock.section, Tube):
        faults.add((*path, "flattened"), "a flattened end of round tube only", "Saw it, or change the stock.")
    hole = read.hole.clearance_hole if isinstance(read.hole, Thread) else read.hole
    wants_room(path, hole, read.end, faults)
    if faults.count > before:
        return None
    if read.cut is not None:
        return OwnEnd(read.cut, read.round)
    made = EndAsked("flattened", hole, read.end, flat=read.flattened)
    if hole is not None and read.flattened is not None and made.beyond + hole / 2.0 >= read.flattened:
        least = entry.ruler.length(made.beyond + hole / 2.0)
        do = "Press it flat for longer, or give end = …, from the middle of the hole to the end of the bar."
        faults.add((*path, "flattened"), f"more than {least}, so that the hole is in the flat", do)
        return None
    return OwnEnd(round=read.round, made=made)


def _goes_together(path: Path, given: set[str], faults: Faults) -> None:
    """Tell which keys are missing, and which have no meaning beside the others."""
    if not given & {"cut", "flattened"}:
        words = "cut = …, degrees off a square cut, or flattened = …, how long it is pressed flat"
        faults.add((*path, "cut"), words, "Add one of the two.")
    if {"cut", "flattened"} <= given:
        faults.add((*path, "flattened"), "either cut or flattened", "Take one of the two out.")
        return
    for key in ("hole", "end"):
        if key in given and "cut" in given:
            faults.add((*path, key), f"no {key} beside cut", "Take it out: the hole of a flattened end is told here.")
    if "end" in given and "hole" not in given and "cut" not in given:
        do = "Add hole = …, or take end out."
        faults.add((*path, "end"), "the hole that it is measured from, hole = 6.5 beside it", do)
