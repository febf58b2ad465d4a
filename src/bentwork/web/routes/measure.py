"""What the frame must fit: measured points, stays to them, room to be left, doors."""

from __future__ import annotations

from fastapi import APIRouter

from bentwork.web.desk import AtDesk
from bentwork.web.measure_out import measure_out
from bentwork.web.wire import Faults
from bentwork.web.wire_measure import MeasuredOut

__all__ = ["router"]

router = APIRouter(tags=["measure"], responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs/{name}/measured")
def measured(desk: AtDesk, name: str) -> MeasuredOut:
    """Return what the frame of a job must fit."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        return measure_out(worked.at.sum, worked.result)
