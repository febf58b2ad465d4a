"""At the bench: from a plan and from what was measured so far to the bends that are done and the step that is next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from bentwork.findings import Finding, by_weight
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.far_off import far_off
from bentwork.jobs.measured import Asked, MadeBend, Measured
from bentwork.jobs.moved import Moved
from bentwork.jobs.orders import order_of
from bentwork.jobs.work import PiecePlan, Result, order_problem
from bentwork.piece.bend import half_turn
from bentwork.planning.marks import Mark
from bentwork.planning.order_problem import Progress
from bentwork.planning.ordered import in_order, order_findings
from bentwork.planning.steps import Step
from bentwork.units import Units

__all__ = ["Advice", "Bench", "Outlook", "bench"]

Advice = Literal["carry on", "correct", "start again"]


@dataclass(frozen=True, slots=True)
class Outlook:
    """How the finished piece is expected to come out; None is what is not known.

    Args:
        advice: what to do now.
        correct: number of a bend that is made, and by how many degrees to bend it further (below 0: open it).
        expected_gap: what the ends of a closed piece will miss one another by, mm; of an open piece, laid on its
            drawing where it fits best, how far the worst of its corners and ends will lie off.
        expected_gap_sd: how sure that is, one standard deviation, mm.
        wring: number of a bend that is made, and by how many degrees to wring the straight before it, so that what lies
            behind turns by the right-hand rule about A to B.
        chance: that it keeps every tolerance when all goes on like this.
        fails: what most often lies outside its tolerance then: ``gap``, ``offset``, ``twist``, ``turn about the bar``
            or the name of a corner or end.
    """

    advice: Advice | None = None
    correct: tuple[tuple[int, float], ...] | None = None
    expected_gap: float | None = None
    expected_gap_sd: float | None = None
    chance: float | None = None
    wring: tuple[tuple[int, float], ...] = ()
    fails: str | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """One bar at the bench.

    Args:
        bar: which one.
        plan: of the piece, of this bar's hand.
        made: the bends that are made, in the order in which they were made, each by its last reading.
        past: the steps in which they were made, numbered as they were made.
        ahead: the steps that are left; empty where the piece cannot be made, or not be finished.
        findings: what there is to say here and now, weightiest first; what the plan says comes with it where it stops.
        anew: the steps ahead are not those of the plan.
        outlook: how it will come out.
        logged: everything that was measured, oldest first.
        measure: what is best measured now, what tells most first; empty where the bar is known well.
        moved: marks of the steps ahead that are no longer where the sheet has them, each with the reason.
        units: of the job, in which lengths are read and logged.
        marks: of bends that are made as they are believed to lie, of those that are left as they are mended; empty
            where all is as planned.
    """

    bar: Bar
    plan: PiecePlan
    made: tuple[MadeBend, ...]
    past: tuple[Step, ...]
    ahead: tuple[Step, ...]
    findings: tuple[Finding, ...]
    anew: bool = False
    outlook: Outlook = field(default_factory=Outlook)
    logged: tuple[Measured, ...] = ()
    marks: tuple[Mark, ...] = ()
    measure: tuple[Asked, ...] = ()
    moved: tuple[Moved, ...] = ()
    units: Units = "mm"

    @property
    def done(self) -> tuple[int, ...]:
        """Numbers of the bends that are made, in the order in which they were made."""
        return tuple(made.bend for made in self.made)

    @property
    def finished(self) -> bool:
        """Tell whether every bend is made."""
        table = self.plan.table
        return table is not None and len(self.made) == len(table.bends)

    @property
    def next(self) -> Step | None:
        """The step that is next; None where nothing is left to do, or nothing can be done."""
        return self.ahead[0] if self.ahead else None


def bench(result: Result, bar: Bar, logged: Sequence[Measured] = (), progress: Progress | None = None) -> Bench:
    """Return how a bar stands.

    Args:
        result: of its job.
        bar: which one.
        logged: what was measured on it, oldest first; of several readings of a bend the last one counts.
        progress: called while an order is searched, see ``order_problem.Progress``.

    Raises:
        InputError: the job has no such bar.
    """
    plan = plan_of(result, bar)
    count = len(plan.table.bends) if plan.table else 0
    logged = tuple(one for one in logged if not isinstance(one, MadeBend) or one.bend <= count)
    made = _made(one for one in logged if isinstance(one, MadeBend))
    by_bend = {step.bend: step for step in plan.steps}
    past = tuple(
        replace(by_bend[one.bend], step=number, held=one.held or by_bend[one.bend].held)
        for number, one in enumerate(made, 1)
        if one.bend in by_bend
    )
    units = result.job.ruler.units
    said = [*far_off(plan, made, units), *_older(result, made)]
    if not plan.feasible:
        stops = [finding for finding in plan.findings if finding.level == "stop"]
        return Bench(bar, plan, made, past, (), by_weight([*stops, *said]), logged=logged, units=units)
    ahead, anew, about = _ahead(result, plan, made, progress)
    if past and ahead and plan.table:
        ways = plan.table.directions
        ahead = (replace(ahead[0], turn=half_turn(ways[past[-1].bend - 1] - ways[ahead[0].bend - 1])), *ahead[1:])
    ahead = tuple(replace(step, step=number) for number, step in enumerate(ahead, len(made) + 1))
    return Bench(bar, plan, made, past, ahead, by_weight([*about, *said]), anew, logged=logged, units=units)


def _made(logged: Iterator[MadeBend]) -> tuple[MadeBend, ...]:
    """Keep the last reading of each bend, in the order of the first ones: a bend is measured again, not made again."""
    last: dict[int, MadeBend] = {}
    for one in logged:
        first = last.get(one.bend)
        last[one.bend] = replace(one, held=one.held or (first.held if first else None))
    return tuple(last.values())


def _ahead(
    result: Result, plan: PiecePlan, made: Sequence[MadeBend], progress: Progress | None
) -> tuple[tuple[Step, ...], bool, tuple[Finding, ...]]:
    """Return the steps that are left, whether they are planned anew, and what there is to say about that."""
    done = frozenset(one.bend for one in made)
    left = tuple(step for step in plan.steps if step.bend not in done)
    as_planned = done == {step.bend for step in plan.steps[: len(done)]}
    if as_planned or not left or plan.order is None or plan.what is None or plan.table is None:
        return left, False, ()
    mountings = result.job.mountings_of(plan.spec.bender)
    problem = order_problem(plan.spec, plan.stock, plan.what, mountings, plan.table, done)
    order = order_of(problem, progress).order
    if not order.feasible:
        bends = _listed(done)
        stop = Finding(
            "stop",
            "no-order-left",
            "The bends that are left cannot be made in any order any more.",
            f"{bends} made, and of the rest each hits something, whichever end is held.",
            "Do not force it. Open a bend by hand only if the metal allows; else start again with a new bar.",
        )
        # What would help a bar that is still straight is no help here.
        blocked = (replace(one, do="") for one in order_findings(order, problem))
        return (), True, tuple(one.about(plan.spec.name) for one in (stop, *blocked))
    planned = ", ".join(str(step.bend) for step in plan.steps)
    anew = Finding(
        "note",
        "order-planned-anew",
        "The bends were made in another order than planned; the rest was planned anew.",
        f"The plan's order is {planned}; made so far: {', '.join(str(one.bend) for one in made)}.",
        "Go by the steps as they are shown now, not by a sheet that was printed before.",
    )
    close = [one for one in order_findings(order, problem) if one.code == "comes-close"]
    return in_order(order, problem, plan.marks, plan.what), True, tuple(f.about(plan.spec.name) for f in (anew, *close))


def _older(result: Result, made: Sequence[MadeBend]) -> Iterator[Finding]:
    older = [one.bend for one in made if one.version and one.version != result.job.version]
    if older:
        yield Finding(
            "watch",
            "job-changed-since",
            f"{_listed(older)} logged to another version of this job file.",
            f"The file is of version {result.job.version} now; what is left is planned by it.",
            "If the shape of this piece was changed meanwhile, compare the bends that are made with the new sheet.",
        )


def _listed(bends: Sequence[int] | frozenset[int]) -> str:
    numbers = [str(bend) for bend in sorted(bends)]
    if len(numbers) == 1:
        return f"Bend {numbers[0]} is"
    return f"Bends {', '.join(numbers[:-1])} and {numbers[-1]} are"
