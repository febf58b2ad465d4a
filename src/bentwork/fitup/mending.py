"""The best way on: what is left to bend, and what may be set by hand, so that the piece is expected to miss by least.

What is least is the sum of squares of all that matters, each over its tolerance; a straight that gets too short for the
bender counts as well, and so, very little, does leaving the drawing. Errors that are still to come add to the expected
square whatever is chosen (to first order), so that the best plan for the likeliest bar is the best plan.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.fitup.controls import Controls, Limits, straights_of
from bentwork.fitup.least import least
from bentwork.fitup.made import RADIUS, Floats
from bentwork.fitup.matters import Matters

__all__ = ["Plan", "best_plan", "goal", "plan_of", "sharpened", "stressed", "weights_of"]

_SHORT = 3.0  # tolerances for each mm that a straight lacks
_AWAY = {"angle": 300.0, "direction": 300.0, "place": 300.0, "end B": 300.0}
"""Leaving the drawing by so much, degrees or mm, counts as much as a tolerance used up: it decides between plans that
are otherwise as good as equal."""

_BY_HAND = {"set by hand": 8.0, "wrung": 8.0}
"""The same for work by hand, which is never quite what was meant: by so many degrees it may cost a tolerance."""

_STARTS = 4


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
    """

    controls: Controls
    changes: Floats
    values: Floats
    longer: Floats
    out: Floats
    cost: Floats


def weights_of(controls: Controls) -> Floats:
    """Return what using each control by a degree or mm costs, in tolerances, shape (p,)."""
    return np.array([1.0 / (_AWAY | _BY_HAND)[control.what] for control in controls.all])


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
    starts: int = _STARTS,
    used: NDArray[np.bool_] | None = None,
) -> Plan:
    """Return the best plan for each bar.

    One bar is begun from several places, and the best end is taken; of many bars each only from the drawing.

    Args:
        matters: what matters.
        controls: what can be done.
        limits: how far.
        turns: steps of the search at most.
        starts: places to begin from, of a single bar.
        used: which controls may be used for which bar, shape (p, m); None: all.
    """
    size = controls.state.shape[2]

    def residuals(changes: Floats, slopes: bool) -> tuple[Floats, Floats]:
        return goal(matters, controls, limits, changes, slopes)

    count = len(controls.all)
    low, high = controls.low, controls.high
    if used is not None:
        low, high = (np.where(used, bound[:, np.newaxis], 0.0) for bound in (low, high))
    changes, cost = least(residuals, np.zeros((count, size)), low, high, turns=turns)
    if size == 1 and starts > 1 and count and float(cost[0]) > _AS_GOOD:
        # Golden steps through the bounds: anywhere, and always the same.
        spread = (np.arange(1, starts)[None, :] * _GOLDEN * np.arange(1, count + 1)[:, None]) % 1.0
        begun = controls.low[:, None] + spread * (controls.high - controls.low)[:, None] * 0.5
        begun = begun + 0.25 * (controls.high - controls.low)[:, None]
        others, costs = least(residuals, begun, controls.low, controls.high, turns=turns)
        best = int(np.argmin(costs))
        if costs[best] < cost[0]:
            changes, cost = others[:, best : best + 1], costs[best : best + 1]
    values, longer = controls.apply(changes)
    return Plan(controls, changes, values, longer, matters.of(values, longer=longer), cost)


def sharpened(matters: Matters, plan: Plan, limits: Limits) -> Plan:
    """Return a plan for one bar that uses up less of the tolerance that is used up most.

    Least squares share a miss out; a piece is judged by its worst. What is worst is stressed, and the plan made again.
    """
    worst = float(matters.worst(plan.out)[0])
    best, stress, controls = plan, np.ones(len(matters.scales)), plan.controls
    for _ in range(_SHARPENED):
        if worst < _SHARP_FROM or not plan.controls.all:
            break
        stress = stress * stressed(matters, plan.out)

        def residuals(changes: Floats, slopes: bool, stress: Floats = stress) -> tuple[Floats, Floats]:
            return goal(matters, controls, limits, changes, slopes, stress)

        changes, _ = least(residuals, plan.changes, controls.low, controls.high, turns=6, still=1e-3)
        plan = plan_of(matters, controls, limits, changes)
        worst = float(matters.worst(plan.out)[0])
        if worst < float(matters.worst(best.out)[0]):
            best = plan
    return best


def plan_of(matters: Matters, controls: Controls, limits: Limits, changes: Floats) -> Plan:
    """Return what comes of changes, shape (p, m), whether they are best or not."""
    values, longer = controls.apply(changes)
    misses, _ = goal(matters, controls, limits, changes, False)
    out = misses[: len(matters.scales)] * matters.scales[:, None]
    return Plan(controls, changes, values, longer, out, 0.5 * np.sum(misses**2, axis=0))


def stressed(matters: Matters, out: Floats) -> Floats:
    """Return how much each number is to count when what is worst of one bar is to count most, shape (k,)."""
    found, worst = np.ones(len(matters.scales)), float(matters.worst(out)[0])
    for group in matters.groups:
        rows = list(group.rows)
        used = float(np.linalg.norm(out[rows, 0])) / group.tolerance
        found[rows] = np.sqrt(0.5 + 1.5 * (used / worst) ** 4) if worst > 0.0 else 1.0
    return found


_SHARPENED, _SHARP_FROM = 3, 0.5
_AS_GOOD = 0.02  # half the sum of squares: a fifth of a tolerance in all
_GOLDEN = 0.6180339887498949


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
    short = np.where(lack > 0.0, -_SHORT, 0.0)
    found = np.zeros((*lack.shape[:1], len(controls.all), lack.shape[1]))
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
