"""What is to be bought for a job, how the bars are cut, and the frame on the scales."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from bentwork.door.spares import advised
from bentwork.jobs.buying import buying, weighed
from bentwork.web.buy_out import buy_out
from bentwork.web.desk import AtDesk
from bentwork.web.wire import Faults
from bentwork.web.wire_buy import BuyOut

__all__ = ["router"]

router = APIRouter(tags=["buy"], responses={409: {"model": Faults}, 422: {"model": Faults}})

Mass = Annotated[float | None, Query(gt=0.0, le=5000.0, allow_inf_nan=False)]


@router.get("/jobs/{name}/buy")
def buy(desk: AtDesk, name: str, weighed_kg: Mass = None, spares: bool = False) -> BuyOut:
    """Return what to buy; with the spare lengths that fit-up advises, and what the scales say, where asked for."""
    worked = desk.room.worked(desk.jobs.read(name))
    with desk.room.alone:
        extra = advised(worked.result, desk.place.workshop) if spares else dict(worked.job.shop.spares)
        bought = buying(worked.result, extra)
        scales = None if weighed_kg is None or not bought.parts else weighed(bought, weighed_kg)
        return buy_out(worked.at.sum, bought, extra, scales)
