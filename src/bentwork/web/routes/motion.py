"""The work at the bender: bar and tool through every step, and remedies to try."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter, HTTPException

from bentwork.files.job_text import data_of
from bentwork.files.plan_json import told_remedy
from bentwork.files.remedy_edits import remedy_edits
from bentwork.jobs.motion import orders_of
from bentwork.jobs.motion_skin import outline
from bentwork.jobs.papers import subjects
from bentwork.jobs.work import PiecePlan
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.job_store import Edit, JobText
from bentwork.web.motion_out import steps_seen, summary_of
from bentwork.web.routes.jobs import written
from bentwork.web.wire import Faults, JobOut
from bentwork.web.wire_motion import MotionOut, RemedyToTry, TryRemedy
from bentwork.web.workroom import Worked

__all__ = ["router"]

router = APIRouter(tags=["motion"], responses={404: {"model": Faults}, 409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs/{name}/motion")
def motion(
    desk: AtDesk,
    name: str,
    piece: str,
    as_drawn: bool = True,
    order: Literal["plan", "drawn", "blocked"] | None = None,
) -> MotionOut:
    """Return the work on one hand of a piece; in the best order there is, unless another is asked for."""
    worked = desk.room.worked(desk.jobs.read(name))
    plan = _plan(worked, piece, as_drawn=as_drawn)
    orders = orders_of(plan)
    if not orders or (order is not None and order not in orders):
        raise HTTPException(404, f"There is no such order of {piece}.")
    asked = order or orders[0]
    subject = next(s for s in subjects(worked.result, "") if s.piece == piece and s.as_drawn == as_drawn)
    assert plan.bender is not None
    steps = steps_seen(worked.job, plan, subject, asked)
    return MotionOut(
        sum=worked.at.sum,
        piece=piece,
        as_drawn=as_drawn,
        order=asked,
        orders=list(orders),
        bender=plan.bender.name,
        hand=plan.bender.hand,
        outlines=[loop.round(4).tolist() for loop in outline(plan.stock.section)],
        steps=steps,
        remedies=_remedies(worked, plan),
        summary=summary_of(steps, asked, described=plan.order is not None),
    )


@router.post("/jobs/{name}/remedy")
def try_remedy(desk: AtDesk, name: str, asked: TryRemedy) -> JobOut:
    """Write a remedy into the job file, if it can be read afterwards, and return everything about the job."""
    return written(desk, name, asked.sum, lambda _: _with_remedy(desk, desk.jobs.still(name, asked.sum), asked))


def _with_remedy(desk: Desk, at: JobText, asked: TryRemedy) -> JobText:
    worked = desk.room.worked(at)
    plan = _plan(worked, asked.piece, as_drawn=asked.as_drawn)
    if not 0 <= asked.number < len(plan.remedies):
        raise HTTPException(404, f"There is no such remedy for {asked.piece}.")
    edits = remedy_edits(worked.job, plan, plan.remedies[asked.number], data_of(at.text, at.path.name))
    if edits is None:
        raise HTTPException(404, "This remedy is not a matter of the job file.")
    return desk.jobs.changed(at, [Edit(path, value, seen=at.sum) for path, value in edits], {})


def _plan(worked: Worked, piece: str, *, as_drawn: bool) -> PiecePlan:
    plan = next((plan for plan in worked.result.pieces if plan.spec.name == piece), None)
    found = plan if as_drawn or plan is None else plan.opposite
    if found is None:
        raise HTTPException(404, f"There is no piece {piece!r} of this hand.")
    return found


def _remedies(worked: Worked, plan: PiecePlan) -> list[RemedyToTry]:
    data = data_of(worked.at.text, worked.at.path.name)
    told = []
    for number, remedy in enumerate(plan.remedies):
        edits = remedy_edits(worked.job, plan, remedy, data)
        told.append(RemedyToTry(says=told_remedy(remedy, worked.job.ruler), number=None if edits is None else number))
    return told
