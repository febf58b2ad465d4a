"""What the frame of a job carries, under a payload that may be tried, and what it would, made of something else."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from bentwork.files.catalogue import materials
from bentwork.files.job_text import data_of
from bentwork.jobs.carried import carried
from bentwork.jobs.what_if import what_if
from bentwork.web.carry_out import carry_out
from bentwork.web.carry_start import nothing_asked
from bentwork.web.desk import AtDesk
from bentwork.web.helps_out import helps_out
from bentwork.web.tries_out import no_tries, tries_out
from bentwork.web.wire import Faults
from bentwork.web.wire_carry import CarryOut, HelpsOut, TriesOut

__all__ = ["router"]

router = APIRouter(tags=["carry"], responses={409: {"model": Faults}, 422: {"model": Faults}})

Mass = Annotated[float | None, Query(gt=0.0, le=5000.0, allow_inf_nan=False)]
Radius = Annotated[float | None, Query(gt=0.0, le=10_000.0, allow_inf_nan=False)]


@router.get("/jobs/{name}/carry")
def carry(desk: AtDesk, name: str, mass: Mass = None, case: int | None = None) -> CarryOut:
    """Return what the frame carries; with another payload and under another load case where they are given."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        found = carried(worked.result, mass)
        if found is None:
            return nothing_asked(worked.at.sum, worked.result)
        payload = worked.job.load.payload
        data = data_of(worked.at.text, worked.at.path.name)
        return carry_out(worked.at.sum, data, found, payload.mass if payload else 0.0, case)


@router.get("/jobs/{name}/carry/helps")
def helps(desk: AtDesk, name: str) -> HelpsOut:
    """Return what would help most for the fewest grams: bigger sections, and bars that could be added."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        return helps_out(worked.at.sum, carried(worked.result))


@router.get("/jobs/{name}/carry/what-if")
def tries(desk: AtDesk, name: str, stock: str | None = None, radius_mm: Radius = None) -> TriesOut:
    """Return one stock in other sections and metals, and with another bend radius where one is given."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        about = carried(worked.result)
        known = {**materials(), **{one.name: one for one in worked.job.materials}}
        radii = () if radius_mm is None else (radius_mm,)
        found = None if about is None else what_if(worked.result, about, known, stock, radii)
        if found is None:
            return no_tries(worked.at.sum)
        return tries_out(worked.at.sum, data_of(worked.at.text, worked.at.path.name), worked.job, found)
