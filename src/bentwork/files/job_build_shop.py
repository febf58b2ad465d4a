"""``[shop]`` and ``[paint.NAME]``: what the saw takes, what is used up and what that costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bentwork.files.job_check import check, given_keys, wanted_of
from bentwork.files.job_faults import Faults
from bentwork.files.job_model_shop import PaintTable, ShopTable
from bentwork.files.job_names import Built, looked_up
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.shop import Shop
from bentwork.parts.consumables import Coat
from bentwork.parts.cutting import Saw
from bentwork.units import Units

__all__ = ["paint_from", "shop_from"]

_MOST_SPARES = 100
_WIDEST_CUT = 20.0  # mm; cut-off discs and chop saws take a tenth of it: more is a slip of the pen


def shop_from(read: ShopTable, coats: Sequence[Coat], pieces: Built[PieceSpec] | None, faults: Faults) -> Shop:
    """Return what buying goes by, from ``[shop]`` and the paints of the job."""
    spares = []
    for name, count in read.spares:
        looked_up(("shop", "spares", name), name, "piece", pieces, faults)
        if isinstance(count, int) and not isinstance(count, bool) and 0 <= count <= _MOST_SPARES:
            spares.append((name, int(count)))
        else:
            faults.add(("shop", "spares", name), f"how many spare lengths, from 0 to {_MOST_SPARES}")
    if read.kerf > _WIDEST_CUT:
        faults.add(("shop", "kerf"), "the width of a saw cut, 20 mm at most", "Measure a cut in scrap.")
    return Shop(
        saw=Saw(read.kerf, read.bar_ends),
        said="kerf" in read.model_fields_set,
        spares=tuple(spares),
        test_bends=read.test_bends,
        filler_price=read.filler_price,
        disc_price=read.disc_price,
        coats=tuple(coats),
    )


def paint_from(name: str, table: Mapping[str, Any], units: Units, faults: Faults) -> Coat | None:
    """Return the paint of a ``[paint.NAME]`` table; None when something is wrong with it, which is told."""
    read = check(PaintTable, ("paint", name), table, units, faults)
    if read.coverage is None:
        if "coverage" not in given_keys(PaintTable, table):
            faults.add(("paint", name, "coverage"), wanted_of(PaintTable, "coverage"), "The tin says how far it goes.")
        return None
    return Coat(name, read.coverage, read.coats, read.loss, read.price)
