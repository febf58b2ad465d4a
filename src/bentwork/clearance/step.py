"""One bend at the bender, with some bends already made: how near does anything come?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, bodies_of, rows
from bentwork.clearance.kinds import Cases, Side, cases_for, ways_off
from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.side_lines import bar_gap, lift_gaps, lines_of_side, sweep_gaps
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.tolerances import CLEARANCE_CHORD
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["BAR", "NOTHING", "Near", "StepClearance", "bar_to_itself", "step_clearance"]

When = Literal["put on", "bending", "opening", "lifted off"]
BAR = "bar"
"""Name of the bar itself among the bodies."""

NOTHING = 1e4
"""Millimetres; what is further away is not measured."""

Table = NDArray[np.float64]
Lines = tuple[Table, Table, Table, NDArray[np.int64]]


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
        reach: where the bar meets itself, how many bends outward on the free and on the held side it takes for that.
    """

    body: str
    gap: float
    by: str
    when: When
    angle: float
    way: str = ""
    reach: tuple[int, int] = (0, 0)


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


@dataclass(frozen=True, slots=True)
class _Scene:
    """One step, ready for the kernels."""

    bender: Bender
    solids: tuple[Solid, ...]
    settings: Table
    pull: float
    wanted: float
    sides: dict[Side, Lines]
    all_of_them: bool
    limit: float
    cases: dict[Side, Cases]
    bodies: dict[Side, Table]


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
    scene = _scene(piece, bender, mounting, bend, held, made, all_of_them=all_of_them, limit=limit)
    count = len(piece.rows)
    bar = _bar(scene, count, piece.closed)
    nears = [*_swept(scene, count, formed=False), *bar, *_lifts(scene, count)]
    lever = lever_gaps(bender, mounting, piece.depth, scene.pull)
    nears += [Near(body, gap, part, "bending", angle) for body, gap, part, angle in lever if gap < limit]
    formed = _swept(scene, count, formed=True) if limit == NOTHING else []
    moving = sorted([*formed, *bar], key=lambda near: near.gap)
    return StepClearance(tuple(sorted(nears, key=lambda near: near.gap)), moving[0] if moving else None)


def bar_to_itself(piece: Workpiece, bender: Bender, bend: int, held: End, made: Iterable[int] = ()) -> Near | None:
    """Return how near the bar comes to itself in a step, as ``step_clearance`` would; None where it cannot."""
    scene = _scene(piece, bender, None, bend, held, made, all_of_them=False, limit=NOTHING)
    return next(iter(_bar(scene, len(piece.rows), piece.closed)), None)


def _scene(
    piece: Workpiece,
    bender: Bender,
    mounting: Mounting | None,
    bend: int,
    held: End,
    made: Iterable[int],
    *,
    all_of_them: bool,
    limit: float,
) -> _Scene:
    done = frozenset(made)
    if not (0 <= bend < piece.bends and bend not in done and done <= set(range(piece.bends))):
        raise ValueError(f"bend {bend} of {piece.bends} cannot be made after {sorted(done)}")
    solids, held_sees, free_sees = _bodies(bender, mounting, piece.depth)
    ends: dict[Side, End] = {"held": held, "free": "B" if held == "A" else "A"}
    return _Scene(
        bender,
        solids,
        piece.settings(bend, bender),
        piece.pulls[bend],
        piece.angles[bend],
        {side: _lines(piece, bend, end, done) for side, end in ends.items()},
        all_of_them,
        limit,
        {side: cases_for(bender.kind, side) for side in ends},
        {"held": held_sees, "free": free_sees},
    )


@lru_cache(maxsize=64)
def _bodies(bender: Bender, mounting: Mounting | None, depth: float) -> tuple[tuple[Solid, ...], Table, Table]:
    """The bodies, and their tables as the held and the free side see them."""
    room = bodies_of(bender, mounting, depth) if mounting else ()
    solids = (*bodies_of(bender, None, depth), *room)
    numbered = [(solid, 0) for solid in solids]
    return solids, rows(numbered, True), rows(numbered, False)


def _lines(piece: Workpiece, bend: int, end: End, done: frozenset[int]) -> Lines:
    first, bends = piece.side(bend, end)
    others = range(bend - 1, -1, -1) if end == "A" else range(bend + 1, piece.bends)
    made = np.array([other in done for other in others], dtype=np.int64)
    lines: Lines = lines_of_side(first, bends, made, np.array(piece.rows), piece.thick, CLEARANCE_CHORD)
    return lines


def _swept(scene: _Scene, rows_of_bar: int, *, formed: bool) -> list[Near]:
    """The smallest gap of each side to each body, on the way up and springing back."""
    found = []
    for side, lines in scene.sides.items():
        cases = scene.cases[side]
        gaps, when = np.full(len(scene.solids), scene.limit), np.zeros(len(scene.solids))
        sweep_gaps(
            *lines[:3],
            scene.bodies[side],
            cases.bending,
            0.0,
            scene.pull,
            scene.settings,
            False,
            formed,
            rows_of_bar,
            scene.all_of_them,
            gaps,
            when,
        )
        up = gaps.copy()
        sweep_gaps(
            *lines[:3],
            scene.bodies[side],
            cases.opening,
            scene.wanted,
            scene.pull,
            scene.settings,
            True,
            formed,
            rows_of_bar,
            scene.all_of_them,
            gaps,
            when,
        )
        for solid, gap, was, t in zip(scene.solids, gaps, up, when, strict=True):
            if gap < scene.limit:
                phase: When = "bending" if gap == was else "opening"
                found.append(Near(solid.name, float(gap), side, phase, math.degrees(t)))
    return found


def _bar(scene: _Scene, rows_of_bar: int, closed: bool) -> list[Near]:
    """The smallest gap of the bar to itself."""
    free, held = scene.cases["free"].in_bar, scene.cases["held"].in_bar
    least, found = scene.limit, []
    phases: tuple[tuple[When, float], ...] = (("bending", 0.0), ("opening", scene.wanted))
    for (phase, first), case, other in zip(phases, free, held, strict=True):
        free_side, held_side = scene.sides["free"], scene.sides["held"]
        gap, t, i, j = bar_gap(
            *free_side[:3], *held_side[:3], case, other, first, scene.pull, scene.settings, least, closed, rows_of_bar
        )
        if gap < least:
            least = gap
            reach = int(free_side[3][i]), int(held_side[3][j])
            found = [Near(BAR, float(gap), "free", phase, math.degrees(t), "", reach)]
    return found


def _lifts(scene: _Scene, rows_of_bar: int) -> list[Near]:
    """The smallest gap while the bar is put on and while it is lifted off, each the better of its ways."""
    found = []
    phases: tuple[tuple[When, float], ...] = (("put on", 0.0), ("lifted off", scene.wanted))
    for phase, angle in phases:
        ways: list[Near] = []
        for way in ways_off(scene.bender.kind, "free", angle):
            nears = [Near("", scene.limit, "", phase, 0.0)]
            for side, lines in scene.sides.items():
                case = scene.cases[side].bending if phase == "put on" else scene.cases[side].let_go
                gaps = np.full(len(scene.solids), scene.limit)
                directions = ways_off(scene.bender.kind, side, angle)[way]
                lift_gaps(*lines[:3], scene.bodies[side], case, angle, directions, scene.settings, rows_of_bar, gaps)
                nears += [
                    Near(solid.name, float(gap), side, phase, math.degrees(angle), way)
                    for solid, gap in zip(scene.solids, gaps, strict=True)
                ]
            ways.append(min(nears, key=lambda near: near.gap))
        best = max(ways, key=lambda near: near.gap)
        if best.gap < scene.limit:
            found.append(best)
    return found
