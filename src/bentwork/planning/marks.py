"""Marks on the straight bar, for both schools of marking: all from end A, and each from the bend just made."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.bending.known import Known
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.tooling.bender import Bender

__all__ = ["End", "Mark", "as_learnt", "marks_for"]

End = Literal["A", "B"]


@dataclass(frozen=True, slots=True)
class Mark:
    """The marks of one bend. Lengths in mm, angles in degrees.

    Args:
        bend: number of the bend, from 1 at end A.
        start: where the bend starts, from end A of the straight bar, trim included.
        end: where it ends.
        from_last: where the tool is set to, held at A, measured from the end of the bend before (from end A for the
            first); half the bend further on where its middle is lined up.
        rotation: turn of the bend plane from the bend before.
        direction: where round the bar the bend turns to, from the first bend; one scribed line serves all.
        round_bar: the same as a distance round the bar's skin; None where the section is not round.
        behind: how far towards the free end of what the tool is set to the bend really begins, as test bends showed.
        moved: how much further from end A than drawn everything stands that follows the bend on the straight bar.
    """

    bend: int
    start: float
    end: float
    from_last: float
    rotation: float
    direction: float
    round_bar: float | None
    behind: float = 0.0
    moved: float = 0.0

    @property
    def centre(self) -> float:
        """Middle of the bend, from end A."""
        return (self.start + self.end) / 2.0

    @property
    def centre_from_last(self) -> float:
        """Middle of the bend, from the end of the bend before."""
        return self.from_last + (self.end - self.start) / 2.0

    def lined_up(self, bender: Bender | None, held: End) -> float:
        """Return what goes on the tool: the middle, or the start as seen from the held side, less what it is behind."""
        behind = self.behind if held == "A" else -self.behind
        if bender is not None and bender.lines_up == "centre":
            return self.centre - behind
        return (self.start if held == "A" else self.end) - behind


def marks_for(table: BendTable, trim: float = 0.0, diameter: float | None = None) -> tuple[Mark, ...]:
    """Return the marks of every bend as it is drawn.

    Args:
        table: the piece.
        trim: spare length on end A, mm.
        diameter: of a round bar or tube, mm; None for other sections.
    """
    marks = []
    end_before = 0.0
    for number, (bend, (start, end), direction) in enumerate(
        zip(table.bends, table.spans, table.directions, strict=True), 1
    ):
        start, end = start + trim, end + trim
        skin = None if diameter is None else math.radians(direction) * diameter / 2.0
        marks.append(Mark(number, start, end, start - end_before, bend.rotation, direction, skin))
        end_before = end
    return tuple(marks)


def as_learnt(marks: Sequence[Mark], table: BendTable, what: Known) -> tuple[tuple[Mark, ...], float]:
    """Return the marks where test bends have shown that they must go; as drawn where they have shown nothing.

    A bend that springs back is left wider than the die, so that it starts earlier and takes less bar from corner to
    corner; all that follows moves. The shape that is bent stays the drawn one, corner point by corner point.

    Args:
        marks: as drawn.
        table: the piece.
        what: is known of the bar on the bender; its die makes every bend.

    Returns:
        The marks, and how much more bar the bends take in all than is drawn, mm; less is below 0.
    """
    learnt = []
    moved = end_before = 0.0
    behind = what.starts_behind
    for mark, bend in zip(marks, table.bends, strict=True):
        shift = what.shift(bend.angle)
        if shift is None:
            return tuple(marks), 0.0
        later, less = _drawn_wider(bend, what.set_up.bender.radius)
        later += shift.start.mean + behind
        start = mark.start + moved + later
        moved += shift.onward.mean + less
        end = mark.end + moved - later
        since = start - behind - end_before
        learnt.append(Mark(mark.bend, start, end, since, mark.rotation, mark.direction, mark.round_bar, behind, moved))
        end_before = end
    return tuple(learnt), moved


def _drawn_wider(bend: Bend, radius: float) -> tuple[float, float]:
    """Return how much longer the setback of a bend is than one drawn to the die's radius, and how much more it gains.

    A return of 180 degrees and more has no corner: it starts where it is drawn, and the bar it takes is the die's.
    """
    turn, wider = math.radians(bend.angle), bend.radius - radius
    if bend.angle >= 180.0:
        return 0.0, -wider * turn
    setback = wider * math.tan(turn / 2.0)
    return setback, 2.0 * setback - wider * turn
