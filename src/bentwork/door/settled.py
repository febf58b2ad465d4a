"""Readings that were questioned and are settled, and entries of the log in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

from bentwork.piece.bend_table import BendTable
from bentwork.sheets.size_words import size_words
from bentwork.units import Ruler, angle
from bentwork.workshop.log_entries import Logged, LoggedBend
from bentwork.workshop.store import Workshop

__all__ = ["ReadingKind", "entry_words", "settled"]

ReadingKind = Literal["angle", "rotation", "position", "size"]

_FIELDS = {"angle": "angle_deg", "rotation": "rotation_deg", "position": "position_mm", "size": "length_mm"}


def settled(
    workshop: Workshop, entry: Logged, kind: ReadingKind, value: float | None, new_id: str, today: str
) -> Logged:
    """Keep the answer to a question about a reading as a new entry; said again, it is kept once.

    Of a bend the last entry counts; a size is struck out, since all of them count.

    Args:
        workshop: whose log it is.
        entry: that was questioned.
        kind: which of its readings.
        value: as it was meant, degrees or mm; None where it is right as it is.
        new_id: that the answer goes by.
        today: the day.

    Raises:
        InputError: it cannot have been meant so, or another measurement came under ``new_id``.
        WorkshopError: it could not be kept.
    """
    if entry.struck:  # told already, or taken back meanwhile
        return entry
    known = workshop.log.entry(new_id)
    if known is not None and known.sure:
        return known
    new: dict[str, Any] = {"entry_id": new_id, "made_on": today, "sure": True, "id": None}
    if value is not None:
        new[_FIELDS[kind]] = value
    answer: Logged = replace(entry, **new)
    if isinstance(answer, LoggedBend):
        return workshop.log.add(replace(answer, mark_mm=None, turn_deg=None, pulled_deg=None))
    kept = workshop.log.add(answer)
    workshop.log.strike_out(entry.entry_id, "settled by another entry", today)
    return kept


def entry_words(entry: Logged, table: BendTable | None, ruler: Ruler) -> str:
    """Return what was measured: ``bend 3, 89.5°``, ``across, corner 2 to corner 6, 512 mm``."""
    if isinstance(entry, LoggedBend):
        return f"bend {entry.bend}, {angle(entry.angle_deg)}"
    bends = len(table.bends) if table else 0
    what = size_words(entry.kind, entry.from_place, entry.to_place, entry.way, bends)
    return f"{what}, {ruler.length(entry.length_mm)}"
