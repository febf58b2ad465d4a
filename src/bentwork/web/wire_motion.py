"""What goes over the wire of the work at the bender: bar and tool through every step. Lengths in mm, angles in degrees.

A place is x, y and a turn about the die's axis; between two keys every number is taken in proportion.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bentwork.web.wire import Vec, Wire

__all__ = ["BodySeen", "ClosestOut", "HitOut", "KeyOut", "MotionOut", "RemedyToTry", "StepSeen", "TryRemedy"]

Place = Annotated[list[float], Field(min_length=3, max_length=3)]
Ring = Annotated[list[float], Field(min_length=9, max_length=9, description="origin, width and height of the section")]
Heat = Literal["straw", "brown", "purple", "blue", "hit"]


class KeyOut(Wire):
    """Where everything is at one moment of a step."""

    when: Literal["put on", "bending", "opening", "lifted off"]
    angle_deg: float
    angle: str
    lift_mm: Vec
    die: Place
    arm: Place
    bar: list[Place] = Field(description="between the two sides of the bar, which hang on the first and the last")
    gap: str = Field(description="to what comes nearest in this step, or how deep in it; empty where it does not count")
    heat: Heat | None


class BodySeen(Wire):
    """A body of the bender or of what stands round it, in the frame of what it moves with."""

    name: str
    shape: Literal["box", "cylinder", "capsule"]
    half_mm: Vec
    middle_mm: Vec
    axes: list[Vec] = Field(min_length=3, max_length=3)
    moves: Literal["room", "die", "arm"]
    away: bool
    sketched: bool


class ClosestOut(Wire):
    """The nearest approach of a step; ``body`` ``bar`` is the bar itself."""

    body: str
    by: str
    gap_mm: float
    gap: str
    says: str
    when: str
    key: int
    heat: Heat
    one_mm: Vec
    other_mm: Vec


class HitOut(Wire):
    """What is hit in a step."""

    body: str
    by: str
    depth_mm: float
    says: str


class StepSeen(Wire):
    """One step: its words as on the shop sheet, and its motion."""

    title: str
    bend: int
    held: Literal["A", "B"]
    mounting: str | None
    hold: str
    mark: str
    from_last: str
    turn: str
    line: str
    pull: str
    between: str
    leaves: str
    keys: list[KeyOut]
    held_rings: list[Ring]
    free_rings: list[Ring]
    wide: Vec
    high: Vec
    bodies: list[BodySeen]
    closest: ClosestOut | None
    hits: list[HitOut]
    blocked: str


class RemedyToTry(Wire):
    """What would give an order; ``number`` is None where it is not a matter of the job file."""

    says: str
    number: int | None


class MotionOut(Wire):
    """The work at the bender on one hand of a piece, in one order."""

    sum: str
    piece: str
    as_drawn: bool
    order: Literal["plan", "drawn", "blocked"]
    orders: list[Literal["plan", "drawn", "blocked"]]
    bender: str
    hand: Literal["left", "right"]
    outlines: list[list[Annotated[list[float], Field(min_length=4, max_length=4)]]]
    steps: list[StepSeen]
    remedies: list[RemedyToTry]
    summary: str


class TryRemedy(Wire):
    """Which remedy of which hand of a piece to try, on the state of the file that the page saw."""

    sum: str
    piece: str
    as_drawn: bool = True
    number: int
