"""What would help a frame most for the fewest grams, as it goes over the wire."""

from __future__ import annotations

from typing import Any

from bentwork.carry.changes import Help
from bentwork.jobs.braced import BRACE_CAUTION, ends_told, new_piece
from bentwork.jobs.carried import Carried, helps
from bentwork.jobs.carried_words import help_words
from bentwork.units import Ruler
from bentwork.web.tries_out import written
from bentwork.web.wire import Change
from bentwork.web.wire_carry import HelpOut, HelpsOut

__all__ = ["helps_out"]


def helps_out(sum_of_file: str, found: Carried | None) -> HelpsOut:
    """Return what would help; nothing for a job that says nothing of a load."""
    told = [] if found is None else [_help(one, found) for one in helps(found)]
    return HelpsOut(sum=sum_of_file, helps=told, caution=BRACE_CAUTION if any(one.lines_mm for one in told) else "")


def _help(one: Help, found: Carried) -> HelpOut:
    bracing, ruler = one.change.bracing, found.job.ruler
    return HelpOut(
        says=help_words(one, ruler),
        first=one.first,
        where=list(ends_told(bracing, ruler)) if bracing else [],
        lines_mm=[[list(spot.place) for spot in brace.ends] for brace in bracing.braces] if bracing else [],
        changes=_changes(one, found, ruler),
    )


def _changes(one: Help, found: Carried, ruler: Ruler) -> list[Change]:
    """Return what makes the added bars a piece of the job; none for another size, which is a stock of its own."""
    piece = new_piece(found.job, one.change.bracing) if one.change.bracing else None
    if piece is None:
        return []
    value: dict[str, Any] = {
        "stock": piece.stock,
        "points": [[written(c, ruler) for c in point] for point in piece.points],
    }
    if piece.mirror is not None:
        axis, at = piece.mirror
        value |= {"mirror": True, "mirror_in": {"axis": axis, "at": written(at, ruler)}}
    return [Change(path=["piece", piece.name], value=value)]
