"""The jobs: their list, one of them with everything about it, and changes to it."""

from __future__ import annotations

import time
from contextlib import suppress

from fastapi import APIRouter

from bentwork.errors import BentworkError, InputError
from bentwork.files.job_text import data_of
from bentwork.files.plan_json import plan_document
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.job_store import JobText
from bentwork.web.routes.scene import scene_of
from bentwork.web.wire import Changes, Faults, JobOut, JobRow, NewText
from bentwork.web.workroom import Worked

__all__ = ["job_out", "router"]

router = APIRouter(tags=["jobs"], responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs")
def list_jobs(desk: AtDesk) -> list[JobRow]:
    """Return every job of the folder, those that were written last first."""
    rows = [_row(desk, name) for name in desk.place.names()]
    return sorted((row for row in rows if row), key=lambda row: -row.changed)


@router.get("/jobs/{name}")
def read_job(desk: AtDesk, name: str) -> JobOut:
    """Return everything about a job."""
    return job_out(desk, desk.jobs.read(name))


@router.get("/jobs/{name}/sum")
def sum_of_job(desk: AtDesk, name: str) -> str:
    """Return the sum of the file as it is now, for the page to notice changes made elsewhere."""
    return desk.jobs.read(name).sum


@router.post("/jobs/{name}/changes")
def change_job(desk: AtDesk, name: str, asked: Changes) -> JobOut:
    """Change values in a job file, if it can be read afterwards, and return everything about it."""
    new = desk.jobs.changed(name, asked.sum, [(tuple(one.path), one.value) for one in asked.changes])
    return _written(desk, new, asked.sum)


@router.put("/jobs/{name}/text")
def write_text(desk: AtDesk, name: str, asked: NewText) -> JobOut:
    """Write the whole text of a job file, if it can be read, and return everything about it."""
    return _written(desk, JobText(name, desk.place.job(name), asked.text.encode()), asked.sum)


@router.post("/jobs/{name}/text/check")
def check_text(desk: AtDesk, name: str, asked: NewText) -> JobOut:
    """Return what a text would give, without writing it."""
    return job_out(desk, JobText(name, desk.place.job(name), asked.text.encode()))


def _written(desk: Desk, new: JobText, seen: str) -> JobOut:
    """Write a state that can be read, and return everything about it; a wrong one is refused as a whole."""
    out = job_out(desk, new)
    desk.jobs.write(new, seen)
    return out


def job_out(desk: Desk, at: JobText) -> JobOut:
    """Return everything about a state of a job.

    Raises:
        InputError: the file is wrong; every fault is told.
    """
    began = time.perf_counter()
    worked = desk.room.worked(at)
    document = plan_document(worked.result)
    return JobOut(
        name=at.name,
        sum=at.sum,
        text=at.text,
        title=worked.job.name,
        version=worked.job.version,
        units=worked.job.ruler.units,
        fraction=worked.job.ruler.fraction,
        data=data_of(at.text, at.path.name),
        findings=document["findings"],
        pieces=document["pieces"],
        scene=scene_of(worked),
        took_ms=round(1000.0 * (time.perf_counter() - began), 1),
    )


def _row(desk: Desk, name: str) -> JobRow | None:
    try:
        at = desk.jobs.read(name)
        changed = at.path.stat().st_mtime
    except (BentworkError, OSError):  # taken away in this very moment
        return None
    faults, worked = 0, None
    try:
        worked = desk.room.worked(at)
    except InputError as error:
        faults = len(error.faults)
    return _told(at, changed, faults, worked)


def _told(at: JobText, changed: float, faults: int, worked: Worked | None) -> JobRow:
    title = at.name
    if worked:
        title = worked.job.name
    else:
        with suppress(InputError):
            title = str(data_of(at.text, at.path.name).get("name", at.name))
    levels = [finding.level for finding in worked.result.findings] if worked else []
    return JobRow(
        name=at.name,
        title=title,
        sum=at.sum,
        changed=changed,
        pieces=len(worked.job.pieces) if worked else 0,
        stops=levels.count("stop"),
        watches=levels.count("watch"),
        faults=faults,
    )
