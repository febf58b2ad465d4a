"""A test bend as it is typed: names and text in, a test bend or every fault out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.errors import Fault, InputError
from bentwork.files.typed import angle_typed, length_typed
from bentwork.jobs.pairs import Pair
from bentwork.units import Ruler

__all__ = ["entry_of"]

_ANGLES = {"pulled": "pulled_deg", "left": "left_deg", "gauge": "gauge_sd_deg"}
_LENGTHS = {
    "bar": "bar_mm",
    "mark": "mark_mm",
    "held_leg": "held_leg_mm",
    "free_leg": "free_leg_mm",
    "start": "start_shift_mm",
    "tape": "tape_sd_mm",
}
_NEEDED = {"pulled": "the angle while the lever was held", "left": "the angle after it was let go"}


def entry_of(pair: Pair, given: Mapping[str, str], ruler: Ruler, today: str) -> TestBend:
    """Return the test bend that was typed.

    Args:
        pair: bar and bender it was made with.
        given: what was typed, by name: ``pulled``, ``left``, ``bar``, ``mark``, ``held_leg``, ``free_leg``, ``start``,
            ``tape``, ``gauge``, ``batch``, ``note``, ``made_on``, ``to_middle``.
        ruler: in whose units bare lengths are.
        today: the day it was made on, unless it says another.

    Raises:
        InputError: something is wrong; it carries every fault, each with the name that it is of, or ``legs``.
    """
    faults: list[Fault] = []
    values: dict[str, Any] = {}
    for name, field in _ANGLES.items():
        if name in given:
            values[field] = angle_typed(name, given[name], faults)
    for name, field in _LENGTHS.items():
        if name in given:
            values[field] = length_typed(name, given[name], ruler, faults)
    for name, what in _NEEDED.items():
        if name not in given:
            faults.append(Fault(name, "nothing", what))
    if ("held_leg" in given or "free_leg" in given) and "bar" not in given:
        why = "the length of the bar before bending: without it legs say nothing"
        faults.append(Fault("bar", "nothing", why))
    if faults:  # what can be read is looked at all the same, with stand-ins that no rule objects to
        values = {"pulled_deg": 359.9, "left_deg": 0.01, **{n: v for n, v in values.items() if v is not None}}
        values |= {"held_leg_mm": None, "free_leg_mm": None}
    try:
        bend = TestBend(
            stock_key=StockKey(pair.set_up.section, pair.set_up.material.name),
            bender=pair.bender,
            radius_mm=pair.set_up.bender.radius,
            made_on=given.get("made_on", today),
            way=pair.way,
            batch=given.get("batch", ""),
            note=given.get("note", ""),
            legs_to="middle" if "to_middle" in given else "outside",
            **values,
        )
    except InputError as error:
        faults += [replace(fault, where=_TYPED.get(fault.where, fault.where)) for fault in error.faults]
    if faults:
        raise InputError("test bend", faults)
    return bend


_TYPED = {"pulled to": "pulled", "held leg": "held_leg", "free leg": "free_leg", "made on": "made_on"}
"""Names that a test bend has for its own values, where they differ."""
