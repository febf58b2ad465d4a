"""The steps that are left of a bar, with the marks, turns and pulls that make the best of what is made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bentwork.clearance.step import StepClearance, step_clearance
from bentwork.findings import Finding, by_weight
from bentwork.fitup.made import DIRECTION, Bar
from bentwork.fitup.mend import Mend, Onward
from bentwork.jobs.as_made import AsMade
from bentwork.jobs.bench import Bench
from bentwork.jobs.fitting import Fitting
from bentwork.jobs.moved import moved
from bentwork.jobs.orders import order_of
from bentwork.jobs.work import order_problem
from bentwork.piece.bend import half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import Mark
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.ordered import in_order
from bentwork.planning.steps import Step, pulled
from bentwork.tooling.shop import Mounting

__all__ = ["mended"]

_TRIFLE_DEG, _TRIFLE_MM = 0.05, 0.05
"""A step that is mended by less than this stays as it is planned: nobody sets a bender closer."""


def mended(bench: Bench, fitting: Fitting, made: AsMade, best: Mend, mountings: Sequence[Mounting] = ()) -> Bench:
    """Return a bench whose steps ahead are the best way on.

    The step that is next is measured against bender and surroundings, in the shape that the bar is believed to have.
    Where it comes too close, another order is looked for; where there is none, that step stays as it is planned.

    Args:
        bench: with the steps that are left by the plan.
        fitting: the bar before it was bent.
        made: what it is believed to be.
        best: the best way on.
        mountings: of its bender.
    """
    found = _mended(bench, fitting, made, best, mountings)
    return replace(found, moved=moved(fitting, made, best, found.ahead))


def _mended(bench: Bench, fitting: Fitting, made: AsMade, best: Mend, mountings: Sequence[Mounting]) -> Bench:
    bar = fitting.bar.with_values(best.plan.values[..., 0])
    ahead = _steps(bench.ahead, fitting, made, best)
    found = replace(bench, ahead=ahead, marks=_marks(bar, fitting))
    problem = _problem(bench, fitting, bar, mountings)
    if problem is None:
        return found
    gap = _clearance(problem, ahead[0], bench)
    wanted = bench.plan.spec.required_clearance
    if gap.gap >= min(wanted, ahead[0].clearance or 0.0):
        nearest = gap.nearest
        first = replace(ahead[0], clearance=gap.gap if nearest else None, nearest=nearest.body if nearest else None)
        return replace(found, ahead=(first, *ahead[1:]))
    order = order_of(problem).order
    if order.feasible:
        other = in_order(order, problem, bench.plan.marks, fitting.what)
        numbered = tuple(replace(step, step=number) for number, step in enumerate(other, len(bench.made) + 1))
        note = Finding(
            "note",
            "order-planned-anew",
            "As the bar has come out, the next bend by the plan would hit something; the rest was planned anew.",
            "The bends that are made lie otherwise than they are drawn.",
            "Go by the steps as they are shown now, not by a sheet that was printed before.",
        ).about(bench.plan.spec.name)
        return replace(
            found,
            ahead=_steps(numbered, fitting, made, best),
            anew=True,
            findings=by_weight([*found.findings, note]),
        )
    watch = Finding(
        "watch",
        "mend-comes-close",
        f"Bend {ahead[0].bend} is shown as it is planned: mended it would come too close to "
        f"{gap.nearest.body if gap.nearest else 'something'}.",
        "Nor is there another order for the bends that are left.",
        "Watch it while you pull, and stop when it touches; what the bend misses is for the later ones.",
        bend=ahead[0].bend,
    ).about(bench.plan.spec.name)
    return replace(found, ahead=(bench.ahead[0], *ahead[1:]), findings=by_weight([*found.findings, watch]))


def _problem(bench: Bench, fitting: Fitting, bar: Bar, mountings: Sequence[Mounting]) -> OrderProblem | None:
    """Return what may be hit, with the bar as it is; None where nothing is known of that, or it cannot be drawn."""
    plan = bench.plan
    if plan.order is None or not bench.ahead:
        return None
    try:
        table: BendTable = bar.table(closed=fitting.matters.closed)
        return order_problem(plan.spec, plan.stock, fitting.what, mountings, table, frozenset(bench.done))
    except ValueError:
        return None


def _clearance(problem: OrderProblem, step: Step, bench: Bench) -> StepClearance:
    mounting = next((one for one in problem.mountings if one.name == step.mounting), None)
    made = [bend - 1 for bend in bench.done]
    return step_clearance(problem.piece, problem.bender, mounting, step.bend - 1, step.held, made)


def _steps(ahead: Sequence[Step], fitting: Fitting, made: AsMade, best: Mend) -> tuple[Step, ...]:
    onward = {one.bend: one for one in best.onward}
    last = float(made.meant[DIRECTION, made.made[-1] - 1])
    steps = []
    for step in ahead:
        one = onward[step.bend]
        steps.append(_step(step, one, half_turn(last - one.aim_direction), fitting))
        last = one.aim_direction
    return tuple(steps)


def _step(step: Step, one: Onward, turn: float, fitting: Fitting) -> Step:
    mark = fitting.mark(step.bend, one.aim_place)
    if abs(mark - step.mark) >= _TRIFLE_MM:
        step = replace(step, mark=mark)
    if abs(half_turn(turn - step.turn)) >= _TRIFLE_DEG:
        step = replace(step, turn=turn)
    other = pulled(step, one.aim_angle, fitting.what)
    return other if abs(other.bend_to - step.bend_to) >= _TRIFLE_DEG else step


def _marks(bar: Bar, fitting: Fitting) -> tuple[Mark, ...]:
    """Return where every bend lies, as it is believed or as it is mended."""
    starts, used, trim = bar.starts, bar.used, fitting.plan.spec.trim
    found = []
    before = 0.0
    for k, mark in enumerate(fitting.plan.marks):
        start = float(starts[k]) + trim
        end = start + float(used[k])
        direction = float(bar.values[DIRECTION, k])
        found.append(replace(mark, start=start, end=end, from_last=start - before, direction=direction))
        before = end
    return tuple(found)
