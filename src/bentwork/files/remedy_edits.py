"""From a remedy to what it changes in the job file: a riser lowers everything round the bender, and so on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from bentwork.jobs.job import Job
from bentwork.jobs.work import PiecePlan, order_problem
from bentwork.piece.corners import Corners
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_remedies import Remedy, changed_by
from bentwork.tooling.shop import Mounting
from bentwork.units import Ruler

__all__ = ["Edit", "remedy_edits"]

Edit = tuple[tuple[str | int, ...], Any]
"""Where in the file, and what stands there then."""

_KEYS = {"start": "from", "end": "to"}


def remedy_edits(job: Job, plan: PiecePlan, remedy: Remedy, data: Mapping[str, Any]) -> tuple[Edit, ...] | None:
    """Return what to write into the job file to try a remedy; None for one that is not a matter of the file.

    Args:
        job: as read.
        plan: of the piece that it cures, or of its opposite hand.
        remedy: one of the plan's.
        data: the tables of the file, as written. What the workshop owns and the file only names cannot be changed here.
    """
    if plan.what is None or plan.line is None or plan.bender is None:
        return None
    mountings = [one for one in job.mountings.values() if one.bender == plan.bender.name]
    problem = order_problem(plan.spec, plan.stock, plan.what, mountings, plan.line.table)
    changed = changed_by(problem, remedy)
    if changed is None:
        return None
    edits = tuple(_edits(job, plan, problem, changed))
    return (
        edits if edits and all(_there(path, data) for path, _ in edits) and _means_it(job, plan, edits, data) else None
    )


def _edits(job: Job, plan: PiecePlan, problem: OrderProblem, changed: OrderProblem) -> Iterator[Edit]:
    ruler, bender = job.ruler, problem.bender.name
    for name in ("radius", "plate", "follower", "hook", "needs"):
        yield from _changes(
            ("bender", bender, name), getattr(problem.bender, name), getattr(changed.bender, name), ruler
        )
    for old, new in zip(problem.mountings, changed.mountings, strict=True):
        yield from _mounting(old, new, ruler)
    yield from _changes(("piece", plan.spec.name, "trim"), problem.trim, changed.trim, ruler)


def _mounting(old: Mounting, new: Mounting, ruler: Ruler) -> Iterator[Edit]:
    for name in ("vise", "bench", "floor"):
        yield from _changes(("mounting", old.name, name), getattr(old, name), getattr(new, name), ruler)
    for number, (one, other) in enumerate(zip(old.bodies, new.bodies, strict=True)):
        yield from _changes(("mounting", old.name, "bodies", number), one, other, ruler)


def _changes(path: tuple[str | int, ...], old: Any, new: Any, ruler: Ruler) -> Iterator[Edit]:
    """Yield the values that differ; a part that is of another kind as a whole. Values are those of frozen parts."""
    if old == new:
        return
    if not (is_dataclass(old) and is_dataclass(new)):
        yield path, _written(new, ruler)
        return
    names = [field.name for field in fields(old)]
    if any((getattr(old, name) is None) != (getattr(new, name) is None) for name in names):
        told = {name: getattr(new, name) for name in names}
        yield path, {_KEYS.get(name, name): _written(value, ruler) for name, value in told.items() if value is not None}
        return
    for name in names:
        yield from _changes((*path, _KEYS.get(name, name)), getattr(old, name), getattr(new, name), ruler)


def _written(value: Any, ruler: Ruler) -> Any:
    if isinstance(value, str):
        return value
    if isinstance(value, Sequence):
        return [_written(one, ruler) for one in value]
    return ruler.number(value)


def _there(path: Sequence[str | int], data: Mapping[str, Any]) -> bool:
    """Whether the table around a value is in the file; a table of needs may be added."""
    here: Any = data
    for key in path[:2]:
        if not (isinstance(here, Mapping) and key in here):
            return False
        here = here[key]
    return len(path) < 4 or (isinstance(here, Mapping) and path[2] in here)


def _means_it(job: Job, plan: PiecePlan, edits: Sequence[Edit], data: Mapping[str, Any]) -> bool:
    """Whether another radius of the bender is another radius of this piece, and of no other."""
    if all(path[-1] != "radius" or len(path) != 3 for path, _ in edits):
        return True
    own = data["piece"][plan.spec.name] if plan.spec.name in data.get("piece", {}) else {"radius": None}
    alone = all(spec.name == plan.spec.name or spec.bender != plan.spec.bender for spec in job.pieces)
    return alone and isinstance(plan.spec.shape, Corners) and "radius" not in own and plan.spec.modelled is None
