"""A bar that would help, as the job has it: where each end goes in words, and the piece it would be."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.carry.braces import Brace, Bracing
from bentwork.jobs.job import Job
from bentwork.sheets.stock_words import section_words
from bentwork.units import Ruler

__all__ = ["BRACE_CAUTION", "NewPiece", "ends_told", "new_piece"]

BRACE_CAUTION = (
    "Braces are taken for welded. Bars and payload are kept clear of; carrier, wheels and straps are yours to look at."
)


@dataclass(frozen=True, slots=True)
class NewPiece:
    """What makes it a piece of the job.

    Args:
        name: of the piece.
        stock: name of the stock that it is cut from.
        points: its two ends, mm, to a tenth.
        mirror: axis and place, mm, of the plane that a second one is mirrored in; None for one.
    """

    name: str
    stock: str
    points: tuple[tuple[float, ...], tuple[float, ...]]
    mirror: tuple[str, float] | None


def ends_told(bracing: Bracing, ruler: Ruler) -> tuple[str, ...]:
    """Return a line for the bar, or for the first of a pair: what it is of, how long, where each end goes."""
    brace = bracing.braces[0]
    kind = f"{section_words(brace.bar.section, ruler)}, {brace.bar.material.name}"
    lines = [f"{ruler.length(brace.bar.length)} of {kind}"]
    lines += [f"one end on {_end(bracing, brace, 0, ruler)}", f"the other on {_end(bracing, brace, 1, ruler)}"]
    if len(bracing.braces) == 2:
        lines.append("the second one mirrored on the other side")
    return tuple(lines)


def _end(bracing: Bracing, brace: Brace, end: int, ruler: Ruler) -> str:
    spot = brace.ends[end]
    bar = bracing.structure.bars[spot.bar]
    from_a = "" if bar.closed else f", {ruler.length(spot.station)} from its end A"
    return f"{bar.name} at {ruler.point(spot.place)}{from_a}"


def new_piece(job: Job, bracing: Bracing) -> NewPiece | None:
    """Return the piece that it would be; None where the job has no such stock."""
    bar = bracing.braces[0].bar
    stock = next(
        (name for name, one in job.stocks.items() if (one.section, one.material) == (bar.section, bar.material)), None
    )
    if stock is None:
        return None
    ends = (bar.line.start.origin, bar.line.end.origin)
    first, second = (tuple(round(c, 1) + 0.0 for c in end) for end in ends)
    plane = bracing.plane
    return NewPiece(bar.of, stock, (first, second), None if plane is None else ("xyz"[plane.axis], plane.at))
