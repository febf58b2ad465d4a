"""Readings in doubt, and what can be measured, ready to be shown."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.door.bench import measured
from bentwork.door.settled import ReadingKind
from bentwork.fitup.doubted import towards
from bentwork.jobs.as_made import Questioned
from bentwork.jobs.going_on import GoingOn
from bentwork.jobs.measured import Asked, MadeBend
from bentwork.jobs.to_measure import all_sizes
from bentwork.sheets.size_words import HOW, about_words, size_words
from bentwork.units import Ruler, angle
from bentwork.web.wire_bench import DoubtOut, MeasureOut
from bentwork.workshop.log_entries import Logged, LoggedBend

__all__ = ["doubts_out", "measures_out"]


def doubts_out(going: GoingOn, logged: Sequence[Logged], ruler: Ruler) -> list[DoubtOut]:
    """Return the readings that are left out until they are settled, each with the entry that it came with."""
    if going.made is None:
        return []
    found = ((one, _entry_id(one, logged)) for one in going.made.doubts if one.doubt.left_out)
    return [_doubt(one, entry_id, ruler) for one, entry_id in found if entry_id]


def _entry_id(one: Questioned, logged: Sequence[Logged]) -> str:
    for entry in reversed(logged):
        same = isinstance(entry, LoggedBend) and isinstance(one.entry, MadeBend) and entry.bend == one.entry.bend
        if same or (not isinstance(entry, LoggedBend) and measured(entry) == one.entry):
            return entry.entry_id
    return ""


def _doubt(one: Questioned, entry_id: str, ruler: Ruler) -> DoubtOut:
    reading, meant = one.doubt.reading, one.doubt.meant
    turned = reading.kind in ("angle", "rotation")
    kinds: dict[str, ReadingKind] = {"angle": "angle", "rotation": "rotation", "begins": "position"}
    kind = kinds.get(reading.kind, "size")

    def shown(value: float) -> str:
        if reading.mark is not None:
            return towards(value - reading.mark, ruler.length)
        return angle(value) if turned else ruler.length(value + reading.more)

    return DoubtOut(
        entry_id=entry_id,
        kind=kind,
        bend=None if kind == "size" else reading.number,
        says=one.doubt.words(ruler.length),
        value=shown(reading.value),
        meant="" if meant is None else shown(meant),
        meant_value=None if meant is None else meant + reading.more,
    )


def measures_out(going: GoingOn, ruler: Ruler) -> list[MeasureOut]:
    """Return what can be measured on the bar beside its bends: what tells most first, then all the rest."""
    if going.fitting is None or going.made is None:
        return []
    bends = going.fitting.bar.bends
    first = [one for one in going.bench.measure if one.kind != "rotation"]
    keys = {(one.kind, one.start, one.end, one.way) for one in first}
    rest = [one for one in all_sizes(going.fitting, going.made) if (one.kind, one.start, one.end, one.way) not in keys]
    return [_measure(one, bends, ruler, tells=one in first) for one in (*first, *rest)]


def _measure(one: Asked, bends: int, ruler: Ruler, *, tells: bool) -> MeasureOut:
    assert one.kind != "rotation"
    return MeasureOut(
        kind=one.kind,
        start=one.start,
        end=one.end,
        way=one.way,
        says=size_words(one.kind, one.start, one.end, one.way, bends),
        how=HOW[one.kind],
        hint=about_words(one.kind, one.about, ruler) if one.about else "",
        tells=tells,
    )
