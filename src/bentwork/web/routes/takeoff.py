"""Take-off by dropping a file: it is sent, read, shown, and what the maker chooses becomes a job or goes into one."""

from __future__ import annotations

import re

from fastapi import APIRouter, HTTPException, Request

from bentwork.door.taken import chosen, taken_into, taken_job
from bentwork.errors import Fault, InputError
from bentwork.sheets.outline import outline
from bentwork.sheets.stock_words import section_words
from bentwork.stock.section import Round
from bentwork.takeoff.bar import Bar, Solid, TakeOff
from bentwork.units import Ruler, Units, about_commas, parse_length
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.faults_out import errors_out
from bentwork.web.job_store import JobText
from bentwork.web.routes.jobs import written
from bentwork.web.take_offs import Reading
from bentwork.web.wire import FaultOut, Faults, JobOut
from bentwork.web.wire_picture import picture_out
from bentwork.web.wire_start import JobNamed
from bentwork.web.wire_takeoff import BarOut, SolidOut, TakeIntoIn, TakeJobIn, TakeOffAt, TakeOffOut

__all__ = ["router"]

router = APIRouter(tags=["take-off"], responses={409: {"model": Faults}, 422: {"model": Faults}})

_WIDE, _HIGH = 60.0, 36.0  # of an outline, mm
_UNFIT = re.compile(r"[^\w .()+-]+")
_BODY = {"content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}


@router.post("/takeoff", openapi_extra={"requestBody": {"required": True, **_BODY}})
async def send(desk: AtDesk, request: Request, file: str, units: Units = "mm", radius: str = "") -> TakeOffAt:
    """Take in a model, a drawing or a table as it comes, and begin to read it.

    It is written to a file of its own piece by piece, never held whole; so this one route waits by ``await``.
    """
    try:
        corner = parse_length(radius, units) if radius.strip() else None
    except ValueError as error:
        raise InputError("take-off", [Fault("radius", repr(radius), str(error), about_commas(radius))]) from None
    if corner is not None and not corner > 0.0:
        raise InputError("take-off", [Fault("radius", repr(radius), "a radius above 0")])
    reading = desk.take_offs.begun(_file_name(file))
    try:
        with reading.path.open("wb") as into:
            async for part in request.stream():
                into.write(part)
    except BaseException:
        reading.discard()
        raise
    desk.take_offs.read(reading, units, corner)
    return TakeOffAt(id=reading.id)


@router.get("/takeoff/{id}")
def look(desk: AtDesk, id: str, units: Units = "mm") -> TakeOffOut:
    """Return how far a file is read, and what was found once it is."""
    reading = _reading(desk, id)
    told = errors_out(reading.error) if reading.error else []
    return TakeOffOut(
        id=id,
        file=reading.file,
        state=reading.state,
        stage=reading.progress.stage,
        done=reading.progress.done,
        total=reading.progress.total,
        seconds=round(reading.progress.seconds, 1),
        share=reading.share,
        errors=[FaultOut(**one) for one in told],
        notes=list(reading.result.notes) if reading.result else [],
        solids=[_solid(solid, Ruler(units)) for solid in reading.result.solids] if reading.result else [],
    )


@router.delete("/takeoff/{id}")
def stop(desk: AtDesk, id: str) -> TakeOffAt:
    """Stop reading a file, and forget it."""
    desk.take_offs.stop(id)
    return TakeOffAt(id=id)


@router.post("/takeoff/{id}/job")
def make_job(desk: AtDesk, id: str, asked: TakeJobIn) -> JobNamed:
    """Make a new job of the solids that the maker chose."""
    name = asked.name.strip()
    if not name:
        raise InputError("take-off", [Fault("name", "nothing", "a name for the job")])
    text = taken_job(chosen(_result(desk, id), asked.take, placed=asked.placed), asked.units, name, asked.material)
    return JobNamed(name=desk.jobs.made(name, text).name)


@router.post("/takeoff/{id}/into")
def put_into(desk: AtDesk, id: str, asked: TakeIntoIn) -> JobOut:
    """Put the solids that the maker chose into a job that is there."""
    solids = chosen(_result(desk, id), asked.take, placed=asked.placed)

    def made(_: JobText) -> JobText:
        at = desk.jobs.still(asked.job, asked.sum)  # pressed twice it would otherwise be put in twice
        return JobText(at.name, at.path, at.with_text(taken_into(at.text, solids, asked.material)))

    return written(desk, asked.job, asked.sum, made)


def _reading(desk: Desk, name: str) -> Reading:
    reading = desk.take_offs.get(name)
    if reading is None:
        raise HTTPException(404, "This file is not known any more: drop it once more.")
    return reading


def _result(desk: Desk, name: str) -> TakeOff:
    result = _reading(desk, name).result
    if result is None:
        raise HTTPException(404, "This file is not read yet.")
    return result


def _file_name(told: str) -> str:
    """Return a plain name for a file, its ending kept: what it is is seen from that and from what is in it."""
    plain = _UNFIT.sub("-", re.split(r"[/\\]", told)[-1]).strip(" .-")
    return plain[-100:].lstrip(" .-") or "model"


def _solid(solid: Solid, ruler: Ruler) -> SolidOut:
    return SolidOut(
        index=solid.index,
        name=solid.name,
        kind=solid.kind,
        reason=solid.reason,
        same_as=solid.same_as,
        mirror_of=solid.mirror_of,
        bars=[_bar(bar, ruler) for bar in solid.bars],
    )


def _bar(bar: Bar, ruler: Ruler) -> BarOut:
    section = bar.section or Round(max(bar.length / 200.0, 0.1))  # of lines without a section a thin one
    drawn = outline(bar.line, section, "hard" if bar.way == "hard" else "easy", _WIDE, _HIGH)
    return BarOut(
        section=section_words(bar.section, ruler) if bar.section else "",
        length=ruler.length(bar.length),
        bends=len(bar.line.table.bends),
        closed=bar.line.table.closed,
        picture=picture_out(drawn),
    )
