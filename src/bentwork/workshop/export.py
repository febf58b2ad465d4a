"""What the workshop keeps, as plain text that any other program can read."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable

from bentwork.bending.test_bend import TestBend
from bentwork.workshop.belongings import stock_record
from bentwork.workshop.connection import Value
from bentwork.workshop.log import log_record
from bentwork.workshop.migrations import VERSION
from bentwork.workshop.store import Workshop
from bentwork.workshop.test_bends import bend_record

__all__ = ["csv_of_test_bends", "json_of_everything"]

FORMAT = 1


def csv_of_test_bends(bends: Iterable[TestBend]) -> str:
    """Return test bends as CSV, a line each under one of names; what was not measured is left empty."""
    lines = [_whole(bend) for bend in bends]
    out = io.StringIO()
    writer = csv.DictWriter(out, _CSV_NAMES, lineterminator="\n")
    writer.writeheader()
    writer.writerows(lines)
    return out.getvalue()


def json_of_everything(workshop: Workshop) -> str:
    """Return everything that the workshop keeps as one JSON document, as it stood at one moment; lengths in mm."""
    with workshop.at_one_moment():
        document = {
            "format": FORMAT,
            "version": VERSION,
            "materials": [{"name": one.name, "table": one.table} for one in workshop.materials.all()],
            "benders": [{"name": b.name, "units": b.units, "table": b.table} for b in workshop.benders.all()],
            "stock": [stock_record(stock) for stock in workshop.stock.all()],
            "test_bends": [_whole(bend) for bend in workshop.test_bends.all(struck=True)],
            "log": [
                {"id": one.id, **log_record(one), "struck": int(one.struck), "struck_because": one.struck_because}
                for one in workshop.log.all(struck=True)
            ],
        }
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _whole(bend: TestBend) -> dict[str, Value]:
    told: dict[str, Value] = {"struck": int(bend.struck), "struck_because": bend.struck_because}
    return {"id": bend.id, **bend_record(bend), "read_twice": int(bend.sure), **told}


_CSV_NAMES = (
    "id stock_key section material bender radius_mm batch way made_on pulled_deg left_deg bar_mm mark_mm "
    "held_leg_mm free_leg_mm legs_to start_shift_mm tape_sd_mm gauge_sd_deg note read_twice struck "
    "struck_because".split()
)
