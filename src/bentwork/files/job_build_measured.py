"""``[measured]``: points on the thing that the frame must fit, and what was read off it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bentwork.carry.structure import Directions
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_measured import MeasuredTable, ReadingTable
from bentwork.files.job_words import listed, near, told
from bentwork.jobs.survey_asked import GOOD, SurveyAsked
from bentwork.parts.survey_names import pairs_of, side_of_name
from bentwork.parts.survey_reading import ACCURACY, KINDS, Kind, Level, Reading, Spot
from bentwork.units import Units

__all__ = ["measured_from"]

_POINTS = {"height": 1, "string": 3}
_PLAIN = ("level", "plumb")


def measured_from(table: Mapping[str, Any], directions: Directions, units: Units, faults: Faults) -> SurveyAsked | None:
    """Return what was measured; None where nothing was, or something is wrong with it, which is told.

    Args:
        table: as ``tomllib`` read it; empty when there is none.
        directions: up and forward of the job.
        units: of lengths.
        faults: gathers what is wrong.
    """
    if not table:
        return None
    path, before = ("measured",), faults.count
    read = check(MeasuredTable, path, table, units, faults)
    if not given_keys(MeasuredTable, table) & {"points"}:
        faults.add(
            (*path, "points"), "the points that were measured", 'Add points = [{ name = "…", near = [x, y, z] }].'
        )
    names = [spot.name for spot in read.points]
    for number, spot in enumerate(read.points):
        where = (*path, "points", number)
        if spot.name in names[:number]:
            faults.add((*where, "name"), "a name that no other point has")
        if spot.near is not None and spot.at is not None:
            faults.add((*where, "near"), "either near or at", "near is a sketch; at says that it stands exactly there.")
    unknown = faults.count > before and "points" in table and not read.points
    readings: list[Reading] = []
    for number, one in enumerate(read.readings, 1):
        if not unknown:
            readings += _readings((*path, "readings", number - 1), number, one, names, faults)
    pairs = _pairs(read, names, faults)
    if faults.count > before:
        return None
    return SurveyAsked(
        tuple(Spot(spot.name, spot.near, spot.at) for spot in read.points),
        tuple(readings),
        Level(directions.up, directions.forward),
        read.ground,
        read.good or GOOD,
        pairs,
        frozenset(number for number, one in enumerate(read.readings, 1) if one.leave_out),
    )


def _readings(path: Path, number: int, one: ReadingTable, names: list[str], faults: Faults) -> list[Reading]:
    before = faults.count
    wanted = _POINTS.get(one.kind, 2)
    if len(one.of) != wanted or len(set(one.of)) != wanted:
        many = {1: "one point", 2: "two different points", 3: "both ends of the string and the point"}[wanted]
        faults.add((*path, "of"), f"the names of {many}")
    for place, name in enumerate(one.of):
        if name not in names:
            meant = near(name, names)
            do = f"Did you mean {told(meant)}?" if meant is not None else "Add it to points."
            known = listed(map(told, names)) if names else "there is none"
            faults.add((*path, "of", place), f"the name of a point: {known}", do)
    _check_values(path, one, faults)
    if faults.count > before:
        return []
    points = tuple(one.of)
    if one.kind != "string":
        kind: Kind = one.kind
        return [Reading(kind, points, one.reads or 0.0, one.accuracy or ACCURACY[kind], number)]
    given: tuple[tuple[Kind, float | None], ...] = (("along", one.along), ("offset", one.off))
    return [
        Reading(kind, points, value, one.accuracy or ACCURACY[kind], number)
        for kind, value in given
        if value is not None
    ]


def _check_values(path: Path, one: ReadingTable, faults: Faults) -> None:
    """Tell which values a kind of reading lacks, and which it must not have."""
    if one.kind == "string":
        if one.reads is not None:
            faults.add((*path, "reads"), "off = … or along = …, or both", "Two things are read off a string.")
        elif one.along is None and one.off is None:
            faults.add((*path, "off"), "how far the point is off the string, or along it", "Add off = … or along = …")
        return
    for key, value in (("along", one.along), ("off", one.off)):
        if value is not None:
            faults.add((*path, key), f"no {key} beside a reading of {one.kind}", "It is of a string.")
    if one.kind in _PLAIN:
        if one.reads is not None:
            faults.add((*path, "reads"), f"no number beside {told(one.kind)}", 'Take kind = "rise" for a difference.')
    elif one.reads is None:
        faults.add((*path, "reads"), f"what was read, {KINDS[one.kind]}", "Add reads = …")
    elif one.reads <= 0.0 and one.kind in ("distance", "slope", "plan"):
        faults.add((*path, "reads"), "a length above 0")


def _pairs(read: MeasuredTable, names: list[str], faults: Faults) -> tuple[tuple[str, str], ...]:
    """Pairs by their names, and those that the job adds."""
    for number, pair in enumerate(read.pairs):
        for place, name in enumerate(pair):
            if name not in names:
                faults.add(("measured", "pairs", number, place), "the name of a point", "Add it to points.")
        if pair[0] == pair[1]:
            faults.add(("measured", "pairs", number), "two different points")
    added = [(one, other) for one, other in read.pairs if side_of_name(one) >= side_of_name(other)]
    return tuple(dict.fromkeys([*pairs_of(names), *added]))
