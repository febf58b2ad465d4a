"""How a frame is welded and finished, and its brackets in the flat."""

from __future__ import annotations

from fastapi import APIRouter

from bentwork.web.desk import AtDesk
from bentwork.web.weld_finish_out import weld_finish_out
from bentwork.web.wire import Faults
from bentwork.web.wire_weld_finish import WeldAndFinishOut

__all__ = ["router"]

router = APIRouter(tags=["weld and finish"], responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/jobs/{name}/weld-and-finish")
def weld_and_finish(desk: AtDesk, name: str) -> WeldAndFinishOut:
    """Return how the frame of a job is welded and finished, and its brackets in the flat."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        return weld_finish_out(worked.at.sum, worked.result)
