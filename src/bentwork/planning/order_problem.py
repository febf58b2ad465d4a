"""What the order search is asked, and what it answers. Lengths in mm, angles in degrees."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from bentwork.clearance.step import Near
from bentwork.clearance.workpiece import End, Workpiece, workpiece
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import distance
from bentwork.stock.section import Section, Way
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = [
    "MOST_MENDED",
    "MOST_MOUNTINGS",
    "Blocked",
    "Order",
    "OrderProblem",
    "OrderStep",
    "Progress",
    "default_weights",
]

Progress = Callable[[int, int], bool]
"""Called now and then with how much is done and of how much; return True to stop and take the best found so far."""

_WEIGHTS = 100  # steps of a weight; whole numbers, so that ties are ties on every machine
MOST_MOUNTINGS = 8
"""So many can be weighed up at once."""

MOST_MENDED = 14
"""Remedies are tried for pieces of up to so many bends: each of them is planned anew, some thirty times in all."""


@dataclass(frozen=True, slots=True)
class OrderProblem:
    """A piece to be bent on a bender.

    Args:
        table: the piece.
        pulls: angle that each bend is pulled to, degrees.
        section: of the bar.
        bender: it is bent on.
        mountings: of that bender; none for nothing round it.
        way: which way the section is bent.
        trim: spare length on each end, mm.
        required_clearance: least gap to anything, mm.
        made: numbers of the bends that are made already, from 1.
        weights: how much it is worth to make each bend early; None for how far an error of it throws an end.

    Raises:
        ValueError: counts or numbers make no sense, a mounting is of another bender, or there are too many.
    """

    table: BendTable
    pulls: tuple[float, ...]
    section: Section
    bender: Bender
    mountings: tuple[Mounting, ...] = ()
    way: Way = "easy"
    trim: float = 0.0
    required_clearance: float = 0.0
    made: frozenset[int] = frozenset()
    weights: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        bends = len(self.table.bends)
        if len(self.pulls) != bends or not all(math.isfinite(pull) and pull > 0.0 for pull in self.pulls):
            raise ValueError(f"{bends} bends need {bends} angles to pull to, each above 0")
        if not (math.isfinite(self.required_clearance) and self.required_clearance >= 0.0):
            raise ValueError(f"the clearance wanted is 0 or more, not {self.required_clearance:g}")
        if not (math.isfinite(self.trim) and self.trim >= 0.0):
            raise ValueError(f"the trim is 0 or more, not {self.trim:g}")
        if not self.made <= set(range(1, bends + 1)):
            raise ValueError(f"bends are numbered from 1 to {bends}; {sorted(self.made)} cannot be made")
        if self.weights is not None and (
            len(self.weights) != bends or not all(math.isfinite(w) and w >= 0.0 for w in self.weights)
        ):
            raise ValueError(f"{bends} bends need {bends} weights, each 0 or more")
        for mounting in self.mountings:
            if mounting.bender != self.bender.name:
                raise ValueError(f"{mounting.name} is a mounting of {mounting.bender}, not of {self.bender.name}")
        if len(self.mountings) > MOST_MOUNTINGS:
            raise ValueError(f"at most {MOST_MOUNTINGS} mountings can be weighed up, not {len(self.mountings)}")

    @property
    def piece(self) -> Workpiece:
        """The bar, ready for the bender."""
        return workpiece(self.table, self.pulls, self.section, self.way, self.trim, self.bender)

    @property
    def places(self) -> tuple[Mounting | None, ...]:
        """The mountings; None alone where nothing stands round the bender."""
        return self.mountings or (None,)

    @property
    def whole_weights(self) -> tuple[int, ...]:
        """Weights as whole numbers from 0 to 100."""
        weights = default_weights(self.table) if self.weights is None else self.weights
        most = max(weights, default=0.0)
        return tuple(round(_WEIGHTS * weight / most) if most > 0.0 else 0 for weight in weights)


@lru_cache(maxsize=64)
def default_weights(table: BendTable) -> tuple[float, ...]:
    """Return how far an error of each bend throws the ends of the piece: the distance to the further end, mm.

    A bend whose error throws far is best made early: the bends after it can still be set to make up for it.
    """
    line = Centreline(table)
    ends = line.start.origin, line.end.origin
    middles = [(start + end) / 2.0 for start, end in table.spans]
    points = [line.pose(station).origin for station in middles]
    return tuple(max(distance(point, end) for end in ends) for point in points)


@dataclass(frozen=True, slots=True)
class OrderStep:
    """One step. ``bend`` from 1; ``mounting`` None where none is given.

    Args:
        bend: number of the bend, whose mark is lined up.
        held: the end on whose side the bar is held.
        mounting: name of the mounting.
        turn: turn of the bar from the step before, degrees, right-hand rule about A to B; 0 in the first.
        clearance: smallest gap, never above the true one, mm; infinite where there is nothing to come near.
        nearest: what comes nearest; None where nothing does.
        moving: the nearest of what moves past a bend made; None where nothing does.
    """

    bend: int
    held: End
    mounting: str | None
    turn: float
    clearance: float
    nearest: Near | None
    moving: Near | None


@dataclass(frozen=True, slots=True)
class Blocked:
    """Why a bend cannot be made in one way.

    Args:
        bend: number of the bend, from 1.
        held: the end held.
        mounting: name of the mounting; None where none is given.
        body: what it hits; ``straight`` or ``end`` where hook or follower find too little straight bar.
        depth: by how much the gap (or the straight) is too small, mm.
        near: what comes near, None for a straight.
    """

    bend: int
    held: End
    mounting: str | None
    body: str
    depth: float
    near: Near | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """The answer.

    Args:
        steps: in order; empty when no order was found.
        feasible: every bend can be made.
        proven: nothing is better (or, when not feasible, there is no order at all): all orders were weighed up.
        reversals: how often the bar is turned end for end.
        changes: how often the mounting is changed.
        turns: how often the bar is turned about itself.
        blocked: when not feasible, what is in the way of each bend that stays, in every way it was tried.
        reached: numbers of the bends that can be made, where not all can: the largest number of them.
    """

    steps: tuple[OrderStep, ...]
    feasible: bool
    proven: bool
    reversals: int
    changes: int
    turns: int
    blocked: tuple[Blocked, ...] = ()
    reached: tuple[int, ...] = ()

    @property
    def clearance(self) -> float:
        """Smallest gap of all steps, mm; infinite without any."""
        return min((step.clearance for step in self.steps), default=math.inf)
