"""Marks on the straight bar, for both schools of marking: all from end A, and each from the bend just made."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.piece.bend_table import BendTable

__all__ = ["Mark", "marks_for"]


@dataclass(frozen=True, slots=True)
class Mark:
    """The marks of one bend. Lengths in mm, angles in degrees.

    Args:
        bend: number of the bend, from 1 at end A.
        start: where the bend starts, from end A of the straight bar, trim included.
        end: where it ends.
        from_last: where it starts, measured from the end of the bend before (from end A for the first).
        rotation: turn of the bend plane from the bend before.
        direction: where round the bar the bend turns to, from the first bend; one scribed line serves all.
        round_bar: the same as a distance round the bar's skin; None where the section is not round.
    """

    bend: int
    start: float
    end: float
    from_last: float
    rotation: float
    direction: float
    round_bar: float | None

    @property
    def centre(self) -> float:
        """Middle of the bend, from end A."""
        return (self.start + self.end) / 2.0

    @property
    def centre_from_last(self) -> float:
        """Middle of the bend, from the end of the bend before."""
        return self.from_last + (self.end - self.start) / 2.0


def marks_for(table: BendTable, trim: float = 0.0, diameter: float | None = None) -> tuple[Mark, ...]:
    """Return the marks of every bend.

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
