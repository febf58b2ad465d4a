"""The benders of a job: what each of their sizes is, and benders to start from."""

from __future__ import annotations

from dataclasses import asdict, replace
from functools import lru_cache
from typing import Any

from fastapi import APIRouter, HTTPException

from bentwork.errors import Fault, InputError
from bentwork.files.bender_text import BenderWish, start_bender
from bentwork.files.job_text import data_of
from bentwork.jobs.job import Job
from bentwork.sheets.bender_parts import BarAt
from bentwork.sheets.bender_picture import bar_at, bender_picture, letters_of
from bentwork.tooling.bender import Bender, Needs
from bentwork.tooling.sizes import sizes_of
from bentwork.tooling.surroundings import BENCH, BODY, FLOOR, VISE
from bentwork.tooling.whole_bender import PARTS, other_follower, whole_bender
from bentwork.units import INCH, Ruler
from bentwork.web.desk import AtDesk
from bentwork.web.job_store import JobText
from bentwork.web.routes.jobs import written
from bentwork.web.wire import Faults, JobOut
from bentwork.web.wire_benders import BenderGuide, GuidesOut, PartGuide, SizeGuide, StartBenderIn
from bentwork.web.wire_picture import PictureOut, picture_out

__all__ = ["router"]

router = APIRouter(tags=["benders"], responses={409: {"model": Faults}, 422: {"model": Faults}})

_ROOM = (170.0, 130.0)  # of a drawing, mm: what a tablet shows without turning the page


@router.get("/jobs/{name}/benders")
def guides(desk: AtDesk, name: str) -> GuidesOut:
    """Return every size of every bender of a job, with its words."""
    at = desk.jobs.read(name)
    job, _ = desk.room.read(at)
    own = data_of(at.text, at.path.name).get("bender", {})
    benders = [_guide(job, bender, own=called in own) for called, bender in job.benders.items()]
    around = {"vise": asdict(VISE), "bench": asdict(BENCH), "body": asdict(BODY)}
    started = {part: _numbers(one, job.ruler) for part, one in around.items()}
    return GuidesOut(sum=at.sum, benders=benders, around={**started, "floor": job.ruler.number(FLOOR)})


@router.post("/jobs/{name}/benders")
def add_bender(desk: AtDesk, name: str, asked: StartBenderIn) -> JobOut:
    """Add a bender to a job file, with sizes to start from and a comment on each."""
    return written(desk, name, asked.sum, lambda at: _with_bender(at, asked))


def _with_bender(at: JobText, asked: StartBenderIn) -> JobText:
    wish = BenderWish(asked.archetype, asked.name, asked.radius, asked.size, job=at.data, source=at.path.name)
    try:
        text = start_bender(wish)
    except InputError as error:
        faults = [Fault(one.where.removeprefix("--"), one.found, one.wanted) for one in error.faults]
        raise InputError(error.source, faults) from None
    return JobText(at.name, at.path, at.with_text(text))


@router.get("/jobs/{name}/benders/{bender}/picture")
def picture(desk: AtDesk, name: str, bender: str) -> PictureOut:
    """Return the drawing of a bender, with the letter of every size."""
    job, _ = desk.room.read(desk.jobs.read(name))
    if bender not in job.benders:
        raise HTTPException(404, "This job has no such bender.")
    return _drawn(job.benders[bender], _bar(job, job.benders[bender]))


@lru_cache(maxsize=64)
def _drawn(bender: Bender, bar: BarAt) -> PictureOut:
    return picture_out(bender_picture(bender, bar, _ROOM).drawing)


def _bar(job: Job, bender: Bender) -> BarAt:
    spec = next((piece for piece in job.pieces if piece.bender == bender.name), None)
    return bar_at(bender, job.stocks[spec.stock].section if spec else None, spec.way if spec else "easy")


def _guide(job: Job, bender: Bender, *, own: bool) -> BenderGuide:
    bar = _bar(job, bender)
    step = INCH / 16.0 if job.ruler.units == "in" else 1.0
    try:
        whole, other = whole_bender(bender, bar.depth, step), other_follower(bender, bar.depth, step)
    except ValueError:  # it cannot go round this bar: what is given can still be corrected
        whole, other = bender, None
    letters = letters_of(bender)
    told = [
        SizeGuide(path=list(size.path), letter=letters.get(size.path), says=size.says, measure=size.measure)
        for size in sizes_of(_all_told(whole))
    ]
    parts = []
    for part in PARTS:
        value = getattr(whole, part)
        if value is None:
            continue
        follower = other if part == "follower" else None
        parts.append(
            PartGuide(
                name=part,
                given=getattr(bender, part) not in (None, Needs()),
                sizes=[size for size in told if size.path[0] == part],
                start=_numbers(asdict(value), job.ruler),
                other=_numbers(asdict(follower), job.ruler) if follower else None,
            )
        )
    return BenderGuide(name=bender.name, own=own, radius=told[0], parts=parts)


def _all_told(bender: Bender) -> Bender:
    """Return a bender none of whose sizes is 0, which would say that there is none to tell of."""
    die = replace(bender.die, groove_depth=bender.die.groove_depth or 1.0) if bender.die else None
    block = bender.block
    if block:
        block = replace(block, punch_radius=block.punch_radius or 1.0, shoulder_radius=block.shoulder_radius or 1.0)
    needs = Needs(*[value or 1.0 for value in asdict(bender.needs).values()])
    return replace(bender, die=die, block=block, needs=needs)


def _numbers(table: dict[str, Any], ruler: Ruler) -> dict[str, Any]:
    """Return a part as it stands in a job file: lengths in the job's units, what is not there left out."""
    found: dict[str, Any] = {}
    for key, value in table.items():
        if isinstance(value, tuple | list):
            found[key] = [ruler.number(one) for one in value]
        elif value is not None:
            found[key] = ruler.number(value) if isinstance(value, int | float) else value
    return found
