"""Why a mark is no longer where the sheet has it: which bend that is made moved it most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, STRETCH, Floats
from bentwork.fitup.mend import Mend
from bentwork.fitup.mending import goal
from bentwork.jobs.as_made import AsMade
from bentwork.jobs.fitting import Fitting
from bentwork.planning.steps import Step
from bentwork.sheets.outlook_words import Why

__all__ = ["Moved", "moved"]

_TRIFLE = 0.25  # mm: half of what a tape tells
_MOST_OF_IT = 0.5


@dataclass(frozen=True, slots=True)
class Moved:
    """How a mark was moved from where the sheet has it.

    Args:
        bend: of the mark.
        by: mm; above 0 towards end B.
        why: what moved it most, see ``outlook_words.moved_words``.
        of: number of that bend; 0 where it is no single one.
        off: by how much that bend is out, degrees or mm; of ``drawn in`` how much more bar it took.
    """

    bend: int
    by: float
    why: Why
    of: int
    off: float


def moved(fitting: Fitting, made: AsMade, best: Mend, steps: tuple[Step, ...]) -> tuple[Moved, ...]:
    """Return the marks that have moved, each with what moved it most.

    By the slopes: the marks are those of least squares, so that each error of a bend that is made moves them by as much
    as it does alone.

    Args:
        fitting: the bar before it was bent.
        made: what it is believed to be.
        best: the best way on.
        steps: that are left.
    """
    controls, bender = best.plan.controls, fitting.what.set_up.bender
    _, by = goal(fitting.matters, controls, fitting.limits, best.plan.changes, True)
    slopes = by[..., 0]
    _, rows, _ = fitting.matters.with_slopes(best.plan.values, longer=best.plan.longer)
    throws = rows[..., 0] / fitting.matters.scales[:, None, None]
    inside = slopes.T @ slopes + 1e-9 * np.eye(slopes.shape[1])
    answers = -np.linalg.solve(inside, slopes[: len(throws)].T)
    off = made.found.values - fitting.start
    found = []
    for step in steps:
        sheet = next(mark for mark in fitting.plan.marks if mark.bend == step.bend)
        shift = step.mark - sheet.lined_up(bender, step.held)
        if abs(shift) < _TRIFLE:
            continue
        row = next((k for k, one in enumerate(controls.all) if (one.what, one.bend) == ("place", step.bend - 1)), None)
        parts = [] if row is None else _parts(answers[row], throws, off, made.found.values[ANGLE], made.made)
        late = float(made.found.out[PLACE, step.bend - 1])
        parts.append((-late, "begins", 0, late))
        worth, why, of, out = max(parts, key=lambda one: one[0] * np.sign(shift))
        if worth * np.sign(shift) < _MOST_OF_IT * abs(shift):
            why, of, out = "bends", 0, 0.0
        found.append(Moved(step.bend, shift, why, of, out))
    return tuple(found)


def _parts(
    answer: Floats, throws: Floats, off: Floats, angles: Floats, made: tuple[int, ...]
) -> list[tuple[float, Why, int, float]]:
    """What each error of each bend that is made moves a mark by, mm, and how large the error is."""
    found: list[tuple[float, Why, int, float]] = []
    names: tuple[tuple[Why, int], ...] = (("angle", ANGLE), ("rotation", DIRECTION), ("place", PLACE))
    for bend in made:
        k = bend - 1
        each = (answer @ throws[:, :, k]) * off[:, k]
        found += [(float(each[kind]), why, bend, float(off[kind, k])) for why, kind in names]
        takes = float(off[RADIUS, k] * np.radians(angles[k]) - off[STRETCH, k])
        found.append((float(each[RADIUS] + each[STRETCH]), "drawn in", bend, takes))
    return found
