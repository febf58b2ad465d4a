"""The work at the bender, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.bending.known import Known
from bentwork.piece.bend import half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import End, Mark
from bentwork.tooling.bender import Bender

__all__ = ["Step", "as_drawn", "pulled"]


@dataclass(frozen=True, slots=True)
class Step:
    """One bend at the bender. Lengths in mm from end A, angles in degrees, forces in N, the moment in N m.

    Args:
        step: number of the step, from 1.
        bend: number of the bend.
        held: the end on whose side the bar is held.
        mark: the mark that is lined up on the tool, whichever end is held.
        turn: turn of the bar about itself from the pose of the step before, right-hand rule about A to B; 0 in step 1.
        bend_to: angle to pull to.
        springback: what the bend opens when it is let go.
        mounting: name of the mounting; None where none is given.
        least: the pull may be as little as this, in 9 cases of 10; None where nothing tells how sure it is.
        most: or as much as this.
        moment: in the bar on the die; None where it is not known.
        lever_force: at the lever's end; None without a lever of known length.
        push: of ram or punch; None where rollers or V-block are not known.
        stroke: of ram or punch from where it touches the bar; None likewise.
        clearance: smallest gap of the whole step, never above the true one; None where nothing is known to come near.
        nearest: name of the body there.
        moving: name of what comes nearest to the bends that are made already; None where nothing does.
        moving_clearance: the gap there.
    """

    step: int
    bend: int
    held: End
    mark: float
    turn: float
    bend_to: float
    springback: float
    mounting: str | None = None
    least: float | None = None
    most: float | None = None
    moment: float | None = None
    lever_force: float | None = None
    push: float | None = None
    stroke: float | None = None
    clearance: float | None = None
    nearest: str | None = None
    moving: str | None = None
    moving_clearance: float | None = None


def as_drawn(
    table: BendTable,
    marks: Sequence[Mark],
    bender: Bender | None,
    mounting: str | None = None,
    what: Known | None = None,
) -> tuple[Step, ...]:
    """Return the steps in the order of the drawing, from end A on, end A held throughout.

    The bar runs through the bender from its held side, so a bend plane that is rotated one way on the piece is brought
    back to the plane of the bender by turning the bar the other way.

    Args:
        table: the piece.
        marks: of every bend.
        bender: that bends it; None where none is named.
        mounting: name of the bender's mounting.
        what: is known of the bar on the bender; None without a bender.
    """
    steps = []
    for bend, mark in zip(table.bends, marks, strict=True):
        step = Step(
            step=mark.bend,
            bend=mark.bend,
            held="A",
            mark=mark.lined_up(bender, "A"),
            turn=half_turn(-mark.rotation),
            bend_to=bend.angle,
            springback=0.0,
            mounting=mounting,
        )
        steps.append(step if what is None else pulled(step, bend.angle, what))
    return tuple(steps)


def pulled(step: Step, wanted: float, what: Known) -> Step:
    """Return a step with what is known of its pull."""
    # What the job says of springback has no interval.
    sure = what.pull(wanted) if what.source in ("test bends", "handbook") else None
    bend_to = sure.bend_to if sure else what.bend_to(wanted)
    loads = what.loads(wanted, bend_to)
    return replace(
        step,
        bend_to=bend_to,
        springback=bend_to - wanted,
        least=sure.low if sure else None,
        most=sure.high if sure else None,
        moment=loads.moment if loads else None,
        lever_force=loads.hand if loads else None,
        push=loads.push if loads else None,
        stroke=loads.stroke if loads else None,
    )
