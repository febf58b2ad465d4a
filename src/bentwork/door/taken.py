"""What was taken off a file as a job: some of its solids as a new one, or put into one that is there."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.job_edit import add_table
from bentwork.files.job_file import parse_job
from bentwork.files.job_text import data_of
from bentwork.takeoff.alike import in_their_places, with_twins
from bentwork.takeoff.bar import TakeOff
from bentwork.takeoff.job_text import job_of
from bentwork.units import Units

__all__ = ["chosen", "taken_into", "taken_job"]

_SOURCE = "take-off"


def chosen(result: TakeOff, solids: Collection[int], *, placed: bool = False) -> TakeOff:
    """Return a take-off with these solids alone; which of them are alike is found anew.

    Args:
        result: of a file.
        solids: by their numbers.
        placed: equal ones that are turned are told apart, so that each has its place in a job.
    """
    kept = [replace(solid, same_as=None, mirror_of=None) for solid in result.solids if solid.index in solids]
    alike = with_twins(kept)
    return replace(result, solids=in_their_places(alike) if placed else alike)


def taken_job(result: TakeOff, units: Units, name: str, material: str) -> str:
    """Return the text of a new job, which can be read.

    Raises:
        InputError: there is nothing to make in it, more than a job takes, or the material is not known.
    """
    try:
        text = job_of(result, units, name=name, material=material)
    except ValueError as error:
        raise InputError(_SOURCE, [Fault("take", str(error), "pieces to make")]) from None
    parse_job(text.encode(), _SOURCE)
    return text


def taken_into(text: str, result: TakeOff, material: str) -> str:
    """Return the text of a job with the pieces at its end, and with the bars and benders that it has not got yet.

    Args:
        text: of the job.
        result: of the take-off.
        material: of the bars that are added.

    Raises:
        InputError: the job is no TOML, or as for ``taken_job``.
    """
    data = data_of(text, _SOURCE)
    units: Units = "in" if data.get("units") == "in" else "mm"
    more = data_of(taken_job(result, units, "", material), _SOURCE)
    called: dict[tuple[str, str], str] = {}
    for sort in ("stock", "bender"):
        own = _tables(data, sort)
        for name, table in more.get(sort, {}).items():
            same = next((known for known, one in own.items() if _alike(sort, one, table)), None)
            called[sort, name] = same or _free(name, own)
            if same is None:
                own[called[sort, name]] = table
                text = add_table(text, (sort, called[sort, name]), table)
    own = _tables(data, "piece")
    for name, table in more["piece"].items():
        named = {key: called.get((key, value), value) for key, value in table.items() if key in ("stock", "bender")}
        free = _free(name, own)
        own[free] = table
        text = add_table(text, ("piece", free), {**table, **named})
    return text


def _tables(data: Mapping[str, Any], sort: str) -> dict[str, Any]:
    found = data.get(sort, {})
    return {name: table for name, table in found.items() if isinstance(table, dict)} if isinstance(found, dict) else {}


_SAME: Mapping[str, tuple[str, ...]] = {
    "stock": ("section", "diameter", "width", "height", "wall"),
    "bender": ("kind", "radius"),
}


def _alike(sort: str, one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Tell whether what a job has serves: the same bar, whatever its material; a bender of that kind and radius."""
    return all(one.get(key) == other.get(key) for key in _SAME[sort])


def _free(name: str, taken: Collection[str]) -> str:
    known = {one.casefold() for one in taken}
    free, number = name, 1
    while free.casefold() in known:
        number += 1
        free = f"{name} {number}"
    return free
