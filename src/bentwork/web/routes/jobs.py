"""A job with everything about it, and changes to it."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any

from fastapi import APIRouter

from bentwork.files.job_text import data_of
from bentwork.files.plan_json import plan_document
from bentwork.jobs.not_placed import left_out
from bentwork.jobs.work import PiecePlan
from bentwork.piece.corners import Corners
from bentwork.units import Ruler
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.job_store import ChangedError, Edit, JobText
from bentwork.web.routes.scene import scene_of
from bentwork.web.wire import Changes, Faults, JobOut, NewText, ReadoutOut, UnitOut

__all__ = ["job_out", "router", "written"]

router = APIRouter(tags=["jobs"], responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs/{name}")
def read_job(desk: AtDesk, name: str, at_once: bool = False) -> JobOut:
    """Return everything about a job; ``at_once``: what its frame carries may be left out for now."""
    return job_out(desk, desk.jobs.read(name), at_once=at_once)


@router.get("/jobs/{name}/sum")
def sum_of_job(desk: AtDesk, name: str) -> str:
    """Return the sum of the file as it is now, for the page to notice changes made elsewhere."""
    return desk.jobs.read(name).sum


@router.post("/jobs/{name}/changes")
def change_job(desk: AtDesk, name: str, asked: Changes) -> JobOut:
    """Change values in a job file, if it can be read afterwards, and return everything about it."""
    edits = [Edit(tuple(one.path), one.value, one.how, one.seen or asked.sum) for one in asked.changes]
    return written(desk, name, asked.sum, lambda at: desk.jobs.changed(at, edits, asked.states))


@router.get("/jobs/{name}/text")
def read_text(desk: AtDesk, name: str) -> NewText:
    """Return the text of a job file as it stands, whether anything in it is right or not."""
    at = desk.jobs.read(name)
    return NewText(sum=at.sum, text=at.text)


@router.put("/jobs/{name}/text")
def write_text(desk: AtDesk, name: str, asked: NewText) -> JobOut:
    """Write the whole text of a job file, if it can be read, and return everything about it."""

    def made(at: JobText) -> JobText:
        return desk.jobs.retold(at, asked.text, asked.sum, asked.seen, mine_counts=asked.mine_counts)

    return written(desk, name, asked.sum, made)


@router.post("/jobs/{name}/text/check")
def check_text(desk: AtDesk, name: str, asked: NewText) -> JobOut:
    """Return what a text would give, without writing it."""
    return job_out(desk, JobText(name, desk.place.job(name), asked.text.encode()))


def written(desk: Desk, name: str, seen: str, made: Callable[[JobText], JobText]) -> JobOut:
    """Write a state that can be read, and return everything about it; a wrong one is refused as a whole.

    Args:
        desk: the server's.
        name: of the job.
        seen: sum of the state that the page saw.
        made: returns the new state from the one that is there; asked again where that changes while it is worked out.

    Raises:
        ChangedError: the new state cannot be made of what is there.
        InputError: it is wrong; every fault is told.
        FileError: it cannot be written; what stood there still does.
    """
    desk.room.changing(name)
    while True:
        at = desk.jobs.read(name)
        new = made(at)
        out = job_out(desk, new, at_once=True)
        try:
            desk.jobs.write(new, at.sum)
        except ChangedError:
            continue
        return out if at.sum == seen else out.model_copy(update={"onto": at.text})


def job_out(desk: Desk, at: JobText, *, at_once: bool = False) -> JobOut:
    """Return everything about a state of a job; ``at_once``: see ``WorkRoom.worked``.

    Raises:
        InputError: the file is wrong; every fault is told.
    """
    began = time.perf_counter()
    worked = desk.room.worked(at, at_once=at_once)
    document = plan_document(worked.result)
    return JobOut(
        name=at.name,
        sum=at.sum,
        text=at.text,
        title=worked.job.name,
        version=worked.job.version,
        units=worked.job.ruler.units,
        fraction=worked.job.ruler.fraction,
        mass=UnitOut(name=worked.job.ruler.mass_unit, size=1.0 / worked.job.ruler.in_mass_unit(1.0)),
        force=UnitOut(name=worked.job.ruler.force_unit, size=1.0 / worked.job.ruler.in_force_unit(1.0)),
        data=_in_json(data_of(at.text, at.path.name)),
        findings=document["findings"],
        pieces=document["pieces"],
        scene=scene_of(worked),
        left_out=list(left_out(worked.result)),
        readouts=[_readout(plan, worked.job.ruler) for plan in worked.result.pieces],
        took_ms=round(1000.0 * (time.perf_counter() - began), 1),
        finished=worked.finished,
    )


def _readout(plan: PiecePlan, ruler: Ruler) -> ReadoutOut:
    shape, fits = plan.spec.shape, plan.line is not None
    return ReadoutOut(
        piece=plan.spec.name,
        cut_length=ruler.length(plan.cut_length) if fits else None,
        mass=ruler.mass(plan.mass) if fits else None,
        bends=len(plan.table.bends) if plan.table else 0,
        points=list(shape.bent_at(plan.spec.seam)) if isinstance(shape, Corners) and fits else [],
    )


def _in_json(value: Any) -> Any:  # noqa: ANN401 - whatever a file holds
    """Return data of the file as JSON can say it: it has no inf, which the file says of what holds; the word stays."""
    if isinstance(value, dict):
        return {key: _in_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_in_json(item) for item in value]
    return str(value) if isinstance(value, float) and not math.isfinite(value) else value
