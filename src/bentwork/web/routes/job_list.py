"""The list of jobs: what is in the folder, a card of each, copies, and what is put away and brought back."""

from __future__ import annotations

from contextlib import suppress

from fastapi import APIRouter

from bentwork.errors import BentworkError, InputError
from bentwork.files.job_edit import set_value
from bentwork.files.job_text import data_of
from bentwork.jobs.frame_picture import frame_picture
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.job_store import JobText
from bentwork.web.wire import Faults, JobRow
from bentwork.web.wire_picture import PictureOut, picture_out
from bentwork.web.wire_start import JobCard, JobNamed, Removed

__all__ = ["PICTURE", "router"]

router = APIRouter(tags=["job list"], responses={409: {"model": Faults}, 422: {"model": Faults}})

PICTURE = (80.0, 56.0)
"""Width and height of a frame's picture, mm of its strokes' weights."""


@router.get("/jobs")
def list_jobs(desk: AtDesk) -> list[JobRow]:
    """Return every job of the folder, those that were written last first; nothing is planned for it."""
    rows = [_row(desk, name) for name in desk.place.names()]
    return sorted((row for row in rows if row), key=lambda row: -row.changed)


@router.get("/jobs/{name}/picture")
def picture(desk: AtDesk, name: str) -> PictureOut:
    """Return the picture of a frame; nothing is planned for it."""
    job, _ = desk.room.read(desk.jobs.read(name))
    return picture_out(frame_picture(job, *PICTURE))


@router.get("/jobs/{name}/card")
def card(desk: AtDesk, name: str) -> JobCard:
    """Return how much there is to say about a job; it is worked out for that."""
    try:
        worked = desk.room.worked(desk.jobs.read(name))
    except InputError:
        return JobCard(stops=None, watches=None)
    levels = [finding.level for finding in worked.result.findings]
    return JobCard(stops=levels.count("stop"), watches=levels.count("watch"))


@router.post("/jobs/{name}/copy")
def copy_job(desk: AtDesk, name: str) -> JobNamed:
    """Copy a job file, comments and all; the copy says so in its name."""
    at = desk.jobs.read(name)
    text = at.text
    with suppress(InputError):  # a file that is wrong is copied as it is
        title = data_of(text, at.path.name).get("name", name)
        if isinstance(title, str):
            text = set_value(text, ("name",), f"{title[:110]}, copy")
    return JobNamed(name=desk.jobs.made(name, text).name)


@router.delete("/jobs/{name}")
def put_away(desk: AtDesk, name: str, sum: str) -> Removed:
    """Put a job file away, in the state that the page saw; it can be brought back."""
    return Removed(name=name, kept=desk.jobs.put_away(name, sum))


@router.post("/removed/{kept}/back")
def bring_back(desk: AtDesk, kept: str) -> JobNamed:
    """Bring a job file back that was put away."""
    return JobNamed(name=desk.jobs.brought_back(kept))


def _row(desk: Desk, name: str) -> JobRow | None:
    try:
        at = desk.jobs.read(name)
        changed = at.path.stat().st_mtime
    except (BentworkError, OSError):  # taken away in this very moment
        return None
    try:
        job, _ = desk.room.read(at)
    except InputError as error:
        return _told(at, changed, _title(at), 0, len(error.faults))
    return _told(at, changed, job.name, len(job.pieces), 0)


def _title(at: JobText) -> str:
    with suppress(InputError):
        return str(data_of(at.text, at.path.name).get("name", at.name))
    return at.name


def _told(at: JobText, changed: float, title: str, pieces: int, faults: int) -> JobRow:
    return JobRow(name=at.name, title=title, sum=at.sum, changed=changed, pieces=pieces, faults=faults)
