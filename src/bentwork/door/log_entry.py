"""A measured bend as it is typed: names and text in, an entry of the log or every fault out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.typed import angle_typed, length_typed
from bentwork.jobs.bars import Bar
from bentwork.jobs.job import Job
from bentwork.workshop.log_entries import LoggedBend, LoggedSize, SizeKind

__all__ = ["SIZES", "bend_entry", "size_entry"]

_ANGLES = {"angle": "angle_deg", "rotation": "rotation_deg", "pulled": "pulled_deg", "gauge": "angle_sd_deg"}
_LENGTHS = {"position": "position_mm", "tape": "position_sd_mm"}
_NEEDED = {"bend": "the number of the bend", "angle": "the angle that was measured"}
_TYPED = {"pulled to": "pulled", "made on": "made_on", "entry id": "entry_id", "job version": "version"}
"""Names that an entry has for its own values, where they differ."""


SIZES: dict[str, SizeKind] = {
    "leg": "leg",
    "across": "across",
    "gap": "gap",
    "offset": "offset",
    "offset_up": "offset",
    "rock": "rock",
    "height": "height",
}
"""What else than bends can be logged: the name of what was typed, and what it is."""

_OVER = "the bend that lies flat, a place and a length, such as 3-5=64; end A is 0, a corner goes by its bend"

_BETWEEN = "two places and a length, such as 2-3=214.5; end A is 0, a corner goes by its bend, end B comes last"


def bend_entry(job: Job, bar: Bar, given: Mapping[str, str], today: str, new_id: str) -> LoggedBend:
    """Return the measurement that was typed.

    Args:
        job: that the bar is of.
        bar: that was measured.
        given: what was typed, by name: ``bend``, ``angle``, ``rotation``, ``position``, ``pulled``, ``held``, ``note``,
            ``made_on``, ``entry_id``, ``version``; ``gauge`` and ``tape``, how far readings of angles and of the
            position may be out; ``sure``, whatever it says, where a reading was questioned and is right.
        today: the day it was measured on, unless it says another.
        new_id: that the entry goes by, unless it says another.

    Raises:
        InputError: something is wrong; it carries every fault, each with the name that it is of.
    """
    faults = [Fault(name, "nothing", what) for name, what in _NEEDED.items() if name not in given]
    values: dict[str, Any] = {}
    for name, field in _ANGLES.items():
        if name in given:
            values[field] = angle_typed(name, given[name], faults)
    for name, field in _LENGTHS.items():
        if name in given:
            values[field] = length_typed(name, given[name], job.ruler, faults)
    if faults:  # what can be read is looked at all the same, with stand-ins that no rule objects to
        values = {"angle_deg": 90.0, **{name: value for name, value in values.items() if value is not None}}
    entry = None
    try:
        entry = LoggedBend(
            entry_id=given.get("entry_id", new_id),
            job=job.name,
            job_version=given.get("version", job.version),
            piece=bar.piece,
            hand=bar.hand,
            number=bar.number,
            bend=int(given.get("bend", 1)),
            made_on=given.get("made_on", today),
            held="A" if given.get("held") == "A" else "B" if given.get("held") == "B" else None,
            note=given.get("note", ""),
            sure="sure" in given,
            **values,
        )
    except InputError as error:
        named = {**_TYPED, "finder": "gauge"}
        faults += [replace(fault, where=named.get(fault.where, fault.where)) for fault in error.faults]
    if faults or entry is None:
        raise InputError("log", faults)
    return entry


def size_entry(job: Job, bar: Bar, given: Mapping[str, str], today: str, new_id: str) -> LoggedSize:
    """Return a size that was typed: ``leg``, ``across`` or ``height`` as ``2-3=214.5``, any other as a length.

    Args:
        job: that the bar is of.
        bar: that was measured.
        given: what was typed, by name: one of ``SIZES``, and ``measured_to``, ``note``, ``made_on``, ``entry_id``,
            ``version``; ``gauge``, how far the reading may be out; ``sure`` as of a bend.
        today: the day it was measured on, unless it says another.
        new_id: that the entry goes by, unless it says another.

    Raises:
        InputError: something is wrong; it carries every fault, each with the name that it is of.
    """
    typed = next(name for name in SIZES if name in given)
    kind, faults = SIZES[typed], list[Fault]()
    placed = kind in ("leg", "across", "height")
    places, text = _places(kind, given[kind], faults) if placed else ((None, None), given[typed])
    length = length_typed(typed, text, job.ruler, faults) if not faults else None
    gauge = length_typed("gauge", given["gauge"], job.ruler, faults) if "gauge" in given else None
    to = given.get("measured_to", "outside")
    entry = None
    try:
        entry = LoggedSize(
            entry_id=given.get("entry_id", new_id),
            job=job.name,
            job_version=given.get("version", job.version),
            piece=bar.piece,
            hand=bar.hand,
            number=bar.number,
            kind=kind,
            length_mm=1.0 if length is None else length,
            from_place=places[0],
            to_place=places[1],
            measured_to="middle" if to == "middle" else "inside" if to == "inside" else "outside",
            sd_mm=gauge,
            way=None if kind != "offset" else "up" if typed == "offset_up" else "side",
            sure="sure" in given,
            made_on=given.get("made_on", today),
            note=given.get("note", ""),
        )
    except InputError as error:
        named = {**_TYPED, "places": typed, "length": typed, "tape": "gauge"}
        if not faults:
            faults += [replace(fault, where=named.get(fault.where, fault.where)) for fault in error.faults]
    if faults or entry is None:
        raise InputError("log", faults)
    return entry


def _places(kind: str, text: str, faults: list[Fault]) -> tuple[tuple[int, int], str]:
    """Return the two places and the length of ``2-3=214.5``; the lower place comes first, the flat bend of a height."""
    found = re.fullmatch(r"\s*(\d{1,4})\s*-\s*(\d{1,4})\s*[=:]\s*(.+)", text)
    if found is None:
        faults.append(Fault(kind, repr(text[:40]), _OVER if kind == "height" else _BETWEEN))
        return (1, 0), ""
    first, second = int(found[1]), int(found[2])
    if kind != "height":
        first, second = sorted((first, second))
    return (first, second), found[3]
