"""The best way on: what is left to bend, and what may be set by hand, so that the piece is expected to miss by least.

What is least is the sum of squares of all that matters, each over its tolerance; a straight that gets too short for the
bender counts as well, and so, very little, does leaving the drawing. Errors that are still to come add to the expected
square whatever is chosen (to first order), so that the best plan for the likeliest bar is the best plan.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bentwork.fitup.controls import Controls, Limits, straights_of
from bentwork.fitup.least import least, stepped
from bentwork.fitup.made import RADIUS, Floats
from bentwork.fitup.matters import Matters

__all__ = ["Plan", "best_plan", "goal", "plan_of", "sharpened", "stressed", "weights_of"]

_SHORT = 3.0  # tolerances for each mm that a straight lacks
_AWAY = {"angle": 300.0, "direction": 300.0, "place": 300.0, "end B": 300.0}
"""Leaving the drawing by so much, degrees or mm, counts as much as a tolerance used up: it decides between plans that
are otherwise as good as equal."""

_BY_HAND = 8.0
"""The same for work by hand, which is never quite what was meant: by so many degrees it may cost a tolerance."""

_LITTLE = 0.5  # degrees


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """What is to be done to bars.

    Args:
        controls: what can be done.
        changes: what is, shape (p, m).
        values: what comes of it, shape (5, n, m).
        longer: how much longer end B is left, mm, shape (m,).
        out: what the bars are then out by, shape (k, m).
        cost: half the sum of squares, shape (m,).
        goal: that of ``goal``, and its slopes where they are known.
    """

    controls: Controls
    changes: Floats
    values: Floats
    longer: Floats
    out: Floats
    cost: Floats
    goal: tuple[Floats, Floats | None]


@lru_cache(maxsize=64)
def weights_of(controls: Controls) -> Floats:
    """Return what using each control by a degree or mm costs, in tolerances, shape (p,).

    What may be set by hand is kept for what goes wrong with the bends that are still to come, by their share.
    """
    to_come = controls.made.count(False) / max(len(controls.made), 1)
    return np.array(
        [
            1.0 / _AWAY[one.what] if one.what in _AWAY else 1.0 / _BY_HAND + to_come / max(one.high, _LITTLE)
            for one in controls.all
        ]
    )


def goal(
    matters: Matters,
    controls: Controls,
    limits: Limits,
    changes: Floats,
    slopes: bool,
    stress: Floats | None = None,
) -> tuple[Floats, Floats]:
    """Return what is to be least, in tolerances, and its slopes over the changes, shapes (k, m) and (k, p, m).

    Args:
        matters: what matters.
        controls: what can be done.
        limits: how far.
        changes: that are made, shape (p, m).
        slopes: whether slopes are wanted.
        stress: how much each of the numbers that matter counts, shape (k,); None: all as much.
    """
    values, longer = controls.apply(changes)
    weights = weights_of(controls)
    scales = matters.scales if stress is None else matters.scales / stress
    lacks, lacks_by = _too_short(matters, controls, limits, values, longer, slopes)
    if not slopes:
        out = matters.of(values, longer=longer)
        return np.concatenate((out / scales[:, None], lacks, weights[:, None] * changes)), np.zeros(0)
    out, by, by_end = matters.with_slopes(values, longer=longer)
    rows = controls.slopes(by, by_end, values) / scales[:, None, None]
    away = np.repeat(np.diag(weights)[:, :, None], changes.shape[1], axis=2)
    return (
        np.concatenate((out / scales[:, None], lacks, weights[:, None] * changes)),
        np.concatenate((rows, lacks_by, away)),
    )


def best_plan(
    matters: Matters,
    controls: Controls,
    limits: Limits,
    *,
    turns: int = 30,
    still: float = 1e-6,
) -> Plan:
    """Return the best plan for each bar.

    Each is begun from the drawing: of some hundred pieces that were far off, none ended better from elsewhere.

    Args:
        matters: what matters.
        controls: what can be done.
        limits: how far.
        turns: steps of the search at most.
        still: share of the cost that is no gain any more.
    """
    size = controls.state.shape[2]

    def residuals(changes: Floats, slopes: bool) -> tuple[Floats, Floats]:
        return goal(matters, controls, limits, changes, slopes)

    begin = np.zeros((len(controls.all), size))
    changes, misses, by = least(residuals, begin, controls.low, controls.high, turns=turns, still=still)
    return _plan(matters, controls, changes, misses, by)


def sharpened(matters: Matters, plan: Plan, limits: Limits) -> Plan:
    """Return a plan for one bar that uses up less of the tolerance that is used up most.

    Least squares share a miss out; a piece is judged by its worst. What is worst is stressed, and the plan made again.
    """
    best, controls, stress = plan, plan.controls, np.ones(len(matters.scales))
    least_worst = float(matters.worst(plan.out)[0])
    if least_worst < _SHARP_FROM or not controls.all:
        return plan
    low, high = controls.low[:, np.newaxis], controls.high[:, np.newaxis]
    changes = plan.changes
    for turn in range(_SHARPENED + 1):
        misses, by = plan.goal
        if turn or by is None:
            misses, by = goal(matters, controls, limits, changes, turn < _SHARPENED)
            plan = _plan(matters, controls, changes, misses)
        worst = float(matters.worst(plan.out)[0])
        if worst < least_worst:
            best, least_worst = plan, worst
        if worst < _SHARP_FROM or turn == _SHARPENED:
            break
        stress = stress * stressed(matters, plan.out)
        weigh = np.append(stress, np.ones(len(misses) - len(stress)))
        misses, by = misses * weigh[:, np.newaxis], by * weigh[:, np.newaxis, np.newaxis]
        changes = stepped(misses, by, changes, low, high, _DAMPED)
    return best


def plan_of(matters: Matters, controls: Controls, limits: Limits, changes: Floats) -> Plan:
    """Return what comes of changes, shape (p, m), whether they are best or not."""
    return _plan(matters, controls, changes, goal(matters, controls, limits, changes, False)[0])


def _plan(matters: Matters, controls: Controls, changes: Floats, misses: Floats, by: Floats | None = None) -> Plan:
    values, longer = controls.apply(changes)
    out = misses[: len(matters.scales)] * matters.scales[:, None]
    return Plan(controls, changes, values, longer, out, 0.5 * np.sum(misses**2, axis=0), (misses, by))


def stressed(matters: Matters, out: Floats) -> Floats:
    """Return how much each number is to count when what is worst of one bar is to count most, shape (k,)."""
    used = matters.used(out)[:, 0]
    worst = float(used.max(initial=0.0))
    if worst == 0.0:
        return np.ones(len(matters.scales))
    # A number counts with its group.
    return np.asarray(np.sqrt(0.5 + 1.5 * ((matters.members > 0.0).T @ (used / worst) ** 2)))


_SHARPENED, _SHARP_FROM = 3, 0.5
_DAMPED = np.array([1e-3])


def _too_short(
    matters: Matters, controls: Controls, limits: Limits, values: Floats, longer: Floats, slopes: bool
) -> tuple[Floats, Floats]:
    """By how much straights lack what the bender needs, times ``_SHORT``; those drawn shorter need no more."""
    bar = matters.nominal
    straights = straights_of(values, bar.shares, bar.length + longer)
    needed = np.full(bar.bends + 1, limits.needed.between)
    needed[0] = needed[-1] = limits.needed.end
    needed = np.minimum(needed, bar.straights)[:, None]
    lack = np.maximum(0.0, needed - straights) * _SHORT
    if not slopes:
        return lack, np.zeros(0)
    found = np.zeros((*lack.shape[:1], len(controls.all), lack.shape[1]))
    if not lack.any():
        return lack, found
    short = np.where(lack > 0.0, -_SHORT, 0.0)
    shares = bar.shares
    for k, control in enumerate(controls.all):
        b = control.bend
        if control.what == "place":
            found[b, k], found[b + 1, k] = short[b], -short[b + 1]
        elif control.what == "angle":
            takes = values[RADIUS, b] * np.pi / 180.0
            found[b, k] = -shares[b] * takes * short[b]
            found[b + 1, k] = -(1.0 - shares[b]) * takes * short[b + 1]
        elif control.what == "end B":
            found[-1, k] = short[-1]
    return lack, found
