"""``[finish]``: what is put on the frame."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bentwork.files.job_check import check
from bentwork.files.job_faults import Faults
from bentwork.files.job_model_finish import FinishTable
from bentwork.files.job_names import Built, looked_up
from bentwork.jobs.finish_asked import FinishAsked
from bentwork.stock.bar import Stock
from bentwork.units import Units

__all__ = ["finish_from"]


def finish_from(
    table: Mapping[str, Any] | None, stocks: Built[Stock] | None, units: Units, faults: Faults
) -> FinishAsked:
    """Return the finish that is asked for; what is usual where the job says nothing.

    Args:
        table: as ``tomllib`` read it; None where the job has none.
        stocks: of the job; None when nothing is known of them.
        units: of the job.
        faults: gathers what is wrong.
    """
    if table is None:
        return FinishAsked()
    read = check(FinishTable, ("finish",), table, units, faults)
    for number, name in enumerate(read.galvanised):
        looked_up(("finish", "galvanised", number), name, "stock", stocks, faults)
    if read.two_pack and read.system != "paint":
        faults.add(("finish", "two_pack"), 'system = "paint" beside it', "Only paint has two packs: take it out.")
    return FinishAsked(read.system, read.colour, read.two_pack, read.galvanised, read.vented, said=True)
