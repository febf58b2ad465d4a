"""What is measured on a bar at the bench: a bend as it came out, and sizes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

__all__ = ["Asked", "MadeBend", "Measured", "MeasuredSize"]


@dataclass(frozen=True, slots=True)
class MeasuredSize:
    """A size that was measured on a bar, mm.

    Args:
        kind: along a leg, across between two corners, the gap between the ends, how far end B lies to one side of end
            A, how far a corner stands off a flat table, or how high a place lies over the table on which a bend lies
            flat.
        length: the reading; a height is above 0 on the side from which the flat bend is seen to turn left, A to B.
        start: where from: 0 is end A, a number the corner of that bend, one more than the last bend end B; of a height
            the bend that lies flat with both its legs.
        end: where to; of a height the place that is measured.
        measured_to: the outside, middle or inside of the bar.
        sd: how far the reading may be out; None for a tape.
        way: of an offset: to the side to which bend 1 turns, or up along its axis.
        sure: the reading was questioned, and is right.
    """

    kind: Literal["leg", "across", "gap", "offset", "rock", "height"]
    length: float
    start: int | None = None
    end: int | None = None
    measured_to: Literal["outside", "middle", "inside"] = "outside"
    sd: float | None = None
    way: Literal["side", "up"] | None = None
    sure: bool = False


@dataclass(frozen=True, slots=True)
class MadeBend:
    """A bend that was made, as it was measured.

    Args:
        bend: its number, from 1 at end A.
        angle: found, degrees.
        held: the end that was held; None when nobody said.
        rotation: found against the nearest bend before it, towards end A, that was made, degrees; None when it was not
            measured.
        position: where it was found to begin, as marks are, mm; None when it was not measured.
        version: of the job file that it was bent to; empty when nobody said.
        pulled: angle that it was pulled to; None when nobody said.
        angle_sd: how far the readings of angles may be out; None for a finder.
        position_sd: the same of the position; None for a tape.
        mark: that was lined up on the tool, mm from end A; None when nobody said.
        turn: by how much the bar was turned from the step before, degrees; None when nobody said.
        sure: the reading was questioned, and is right.
    """

    bend: int
    angle: float
    held: Literal["A", "B"] | None = None
    rotation: float | None = None
    position: float | None = None
    version: str = ""
    pulled: float | None = None
    angle_sd: float | None = None
    position_sd: float | None = None
    mark: float | None = None
    turn: float | None = None
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """Something to measure.

    Args:
        kind: what: as of ``MeasuredSize``, or the rotation of a bend against the nearest one before it that is made.
        start: where from; the bend, for a rotation.
        end: where to; the bend that a rotation is against.
        way: of an offset.
        about: what it should be by the drawing, mm or degrees, outside of the bar.
        tells: how much of what is not known yet it takes away, a share of 1.
    """

    kind: Literal["leg", "across", "gap", "offset", "rock", "height", "rotation"]
    start: int | None
    end: int | None
    way: Literal["side", "up"] | None
    about: float
    tells: float


Measured: TypeAlias = MadeBend | MeasuredSize
"""Anything that was measured on a bar."""
