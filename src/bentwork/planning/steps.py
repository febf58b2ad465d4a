"""The work at the bender, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.forming.springback import pull_for
from bentwork.piece.bend import half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import Mark
from bentwork.tooling.bender import Bender

__all__ = ["Step", "as_drawn", "mark_to_line_up"]

End = Literal["A", "B"]


@dataclass(frozen=True, slots=True)
class Step:
    """One bend at the bender. Lengths in mm from end A, angles in degrees.

    Args:
        step: number of the step, from 1.
        bend: number of the bend.
        held: the end on whose side the bar is held.
        mark: the mark that is lined up on the tool, whichever end is held.
        turn: turn of the bar about itself from the pose of the step before, right-hand rule about A to B; 0 in step 1.
        bend_to: angle to pull to.
        springback: what the bend opens when it is let go.
        mounting: name of the mounting; None where none is given.
    """

    step: int
    bend: int
    held: End
    mark: float
    turn: float
    bend_to: float
    springback: float
    mounting: str | None = None


def mark_to_line_up(mark: Mark, bender: Bender | None, held: End) -> float:
    """Return which mark goes on the tool: the middle, or the tangent point on the held side."""
    if bender is not None and bender.lines_up == "centre":
        return mark.centre
    return mark.start if held == "A" else mark.end


def as_drawn(
    table: BendTable, marks: Sequence[Mark], bender: Bender | None, mounting: str | None = None
) -> tuple[Step, ...]:
    """Return the steps in the order of the drawing, from end A on, end A held throughout.

    The bar runs through the bender from its held side, so a bend plane that is rotated one way on the piece is brought
    back to the plane of the bender by turning the bar the other way.
    """
    steps = []
    for bend, mark in zip(table.bends, marks, strict=True):
        pull = pull_for(bend.angle, bender.springback if bender else None)
        steps.append(
            Step(
                step=mark.bend,
                bend=mark.bend,
                held="A",
                mark=mark_to_line_up(mark, bender, "A"),
                turn=half_turn(-mark.rotation),
                bend_to=pull.bend_to,
                springback=pull.springback,
                mounting=mounting,
            )
        )
    return tuple(steps)
