"""The small parts of a frame: crossbars and their ends, the jig for them, tabs."""

from __future__ import annotations

from fastapi import APIRouter

from bentwork.web.desk import AtDesk
from bentwork.web.parts_out import parts_out
from bentwork.web.wire import Faults
from bentwork.web.wire_parts import PartsOut

__all__ = ["router"]

router = APIRouter(tags=["parts"], responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs/{name}/parts")
def parts(desk: AtDesk, name: str) -> PartsOut:
    """Return the small parts of the frame of a job."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        return parts_out(worked.at.sum, worked.result)
