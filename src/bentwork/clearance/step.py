"""One bend at the bender, with some bends already made: how near does anything come?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import bodies_of, rows_of
from bentwork.clearance.kinds import ROLES, case_table, way_table
from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.step_gaps import BODY, GAP, PHASE, ROLE, WAY, WHEN, step_gaps
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.tolerances import CLEARANCE_CHORD
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["BAR", "NOTHING", "Near", "Stand", "StepClearance", "step_clearance"]

When = Literal["put on", "bending", "opening", "lifted off"]
BAR = "bar"
"""Name of the bar itself among the bodies."""

NOTHING = 1e4
"""Millimetres; what is further away is not measured."""

_SWEPT: tuple[When, When] = ("bending", "opening")
_CARRIED: tuple[When, When] = ("put on", "lifted off")
Table = NDArray[np.float64]
Flags = NDArray[np.int64]
_Side = tuple[float, Table, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Near:
    """How near one thing comes.

    Args:
        body: name of the body; ``bar`` for the bar itself.
        gap: smallest gap to the skin of the bar (or of the lever), mm, never above the true one; below 0 it is hit.
        by: what comes near it: ``held`` or ``free`` side of the bar, ``follower``, ``arm`` or ``hook``.
        when: being put on, on the way up, springing back, or being lifted off.
        angle: of the bend at that moment, degrees.
        way: in which the bar is put on or lifted off: ``up`` along the die's axis, ``aside`` out of its open side.
    """

    body: str
    gap: float
    by: str
    when: When
    angle: float
    way: str = ""


@dataclass(frozen=True, slots=True)
class StepClearance:
    """What comes near in one step.

    Args:
        nears: nearest first; the smallest gap to each body by each side, lever and lifts included.
        moving: the nearest of what moves past a part of the bar that is bent already; None where nothing does.
    """

    nears: tuple[Near, ...]
    moving: Near | None

    @property
    def nearest(self) -> Near | None:
        """What comes nearest; None where there is nothing at all."""
        return self.nears[0] if self.nears else None

    @property
    def gap(self) -> float:
        """Smallest gap of the whole step, mm; infinite where there is nothing at all."""
        return self.nears[0].gap if self.nears else math.inf


class Stand:
    """A bar at a bender on a mounting, ready to measure any of its steps; what steps share is worked out once.

    ``own`` has the names of what is there on every mounting: the bender's bodies and the bar.

    Args:
        piece: the bar.
        bender: it is bent on.
        mounting: what stands round it; None for nothing.

    Raises:
        ValueError: a body makes no sense.
    """

    def __init__(self, piece: Workpiece, bender: Bender, mounting: Mounting | None) -> None:
        self.piece, self.bender, self.mounting = piece, bender, mounting
        room = bodies_of(bender, mounting, piece.depth) if mounting else ()
        own = bodies_of(bender, None, piece.depth)
        self.own = frozenset((BAR, *(solid.name for solid in own))) - {solid.name for solid in room}
        self.names = tuple(solid.name for solid in (*own, *room))
        self.bodies = rows_of(bender, None, piece.depth)
        if mounting:
            self.bodies = np.concatenate([self.bodies, rows_of(bender, mounting, piece.depth)], axis=1)
        self.cases, self.in_bar = case_table(bender.kind)
        self.offsets = np.array(piece.rows)
        self._ways: dict[int, tuple[Table, tuple[str, ...]]] = {}
        self._sides: dict[tuple[int, End], _Side] = {}
        self._settings: dict[int, Table] = {}

    def step(
        self,
        bend: int,
        held: End,
        made: Iterable[int] = (),
        *,
        all_of_them: bool = True,
        moving: bool = True,
        limit: float = NOTHING,
    ) -> StepClearance:
        """Return how near anything comes while a bend is made; see ``step_clearance``.

        Args:
            bend: number of the bend, from 0 at end A.
            held: the end on whose side the bar is held.
            made: numbers of the bends that are made already.
            all_of_them: measure every body; else only the nearest and the nearest that moves are told rightly.
            moving: measure what moves by itself.
            limit: what stays this far away or further is not measured and not told, mm.

        Raises:
            ValueError: no such bend, or it is made already.
        """
        sides = self._both(bend, held, made)
        ways, way_names = self._ways_off(bend)
        gaps, formed, bar, carried = step_gaps(
            *sides,
            self.offsets,
            self.piece.thick,
            CLEARANCE_CHORD,
            self.bodies,
            self.cases,
            self.in_bar,
            ways,
            self._setting(bend),
            limit,
            all_of_them,
            moving,
            self.piece.closed,
        )
        own = self._bar(bar)
        nears = [*self._swept(gaps, limit), *own]
        for phase, row in zip(_CARRIED, carried, strict=True):
            if row[BODY] >= 0.0:
                angle = 0.0 if phase == "put on" else math.degrees(self.piece.angles[bend])
                name, by = self.names[int(row[BODY])], ROLES[int(row[ROLE])]
                nears.append(Near(name, float(row[GAP]), by, phase, angle, way_names[int(row[WAY])]))
        least = limit if all_of_them else min((near.gap for near in nears), default=limit)
        lever = lever_gaps(self.bender, self.mounting, self.piece.depth, self.piece.pulls[bend], least)
        nears += [Near(body, gap, part, "bending", angle) for body, gap, part, angle in lever]
        nearest_moving = min([*self._swept(formed, limit), *own], key=_gap, default=None) if moving else None
        return StepClearance(tuple(sorted(nears, key=_gap)), nearest_moving)

    def _both(self, bend: int, held: End, made: Iterable[int]) -> tuple[float, Table, Flags, float, Table, Flags]:
        done = frozenset(made)
        if not (0 <= bend < self.piece.bends and bend not in done and done <= set(range(self.piece.bends))):
            raise ValueError(f"bend {bend} of {self.piece.bends} cannot be made after {sorted(done)}")
        (first, bends, others), (free_first, free_bends, free_others) = (
            self._side(bend, end) for end in (held, "B" if held == "A" else "A")
        )
        return first, bends, _made(others, done), free_first, free_bends, _made(free_others, done)

    def _side(self, bend: int, end: End) -> _Side:
        if (bend, end) not in self._sides:
            others = range(bend - 1, -1, -1) if end == "A" else range(bend + 1, self.piece.bends)
            self._sides[bend, end] = (*self.piece.side(bend, end), tuple(others))
        return self._sides[bend, end]

    def _setting(self, bend: int) -> Table:
        if bend not in self._settings:
            self._settings[bend] = self.piece.settings(bend, self.bender)
        return self._settings[bend]

    def _ways_off(self, bend: int) -> tuple[Table, tuple[str, ...]]:
        if bend not in self._ways:
            self._ways[bend] = way_table(self.bender.kind, self.piece.angles[bend])
        return self._ways[bend]

    def _swept(self, gaps: Table, limit: float) -> list[Near]:
        """The smallest gap of each side to each body, on the way up and springing back."""
        return [
            Near(name, float(row[GAP]), side, _SWEPT[int(row[PHASE])], math.degrees(row[WHEN]))
            for side, of_side in zip(ROLES, gaps, strict=True)
            for name, row in zip(self.names, of_side, strict=True)
            if row[GAP] < limit
        ]

    def _bar(self, found: tuple[float, float, int]) -> list[Near]:
        """The smallest gap of the bar to itself."""
        gap, when, phase = found
        if phase < 0:
            return []
        return [Near(BAR, float(gap), "free", _SWEPT[phase], math.degrees(when))]


def _gap(near: Near) -> float:
    return near.gap


def _made(others: tuple[int, ...], done: frozenset[int]) -> Flags:
    return np.array([other in done for other in others], dtype=np.int64)


def step_clearance(
    piece: Workpiece,
    bender: Bender,
    mounting: Mounting | None,
    bend: int,
    held: End,
    made: Iterable[int] = (),
    *,
    all_of_them: bool = True,
    limit: float = NOTHING,
) -> StepClearance:
    """Return how near anything comes while a bend is made, from putting the bar on to lifting it off.

    Follower and arm are taken away before the bar is lifted off, and are not in the way of putting it on.

    Args:
        piece: the bar.
        bender: it is bent on.
        mounting: what stands round the bender; None for nothing.
        bend: number of the bend, from 0 at end A.
        held: the end on whose side the bar is held.
        made: numbers of the bends that are made already.
        all_of_them: measure every body; else only the nearest and the nearest that moves are told rightly.
        limit: what stays this far away or further is not measured and not told, mm; nor is what moves, by itself.

    Raises:
        ValueError: no such bend, it is made already, or a body makes no sense.
    """
    stand = Stand(piece, bender, mounting)
    return stand.step(bend, held, made, all_of_them=all_of_them, moving=limit == NOTHING, limit=limit)
