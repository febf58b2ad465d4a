"""Job files for the tests, and small ways to change them."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.job import Job

__all__ = ["CRATE_SHELF", "INCHES", "SMALL", "bent", "data", "faults", "job", "only_fault", "swapped"]

CRATE_SHELF = Path(__file__).with_name("contract.toml").read_text(encoding="utf-8")
"""The example of the contract, word for word."""

INCHES = """\
format = 1
name = "Oar rack for a rowing-boat"
units = "in"
fraction = 32

[material."Boat strip"]
group = "brass"
elastic_modulus = 100000
proof_stress = 120
tensile_strength = 350
elongation = 40
density = 8500

[stock.strip]
section = "flat"
width = "1 1/2"
height = "3 mm"
material = "boat strip"

[stock.post]
section = "square-tube"
width = 1
height = 1
wall = "1/16"
corner_radius = "1/8"
material = "S235"

[bender.vee]
kind = "vee"
radius = 0.25
springback = 1.05
mark = "centre"
accuracy = { angle = 0.5, position = "1/32" }

[piece."cradle 1"]
stock = "strip"
points = [["0", 0, 0], ["3 5/16", 0, 0], ["3 5/16", "2 in", 0]]
way = "easy"
mirror = true
mirror_in = { axis = "y", at = "6" }
at = [[0, 0, 0], [10, 0, 0]]

[piece.hook]
stock = "strip"
straights = [2, "1 1/2", 1]
bends = [[0.25, 90, 0], [0.25, 45.5, -180]]
start = [1, 2, 3]
along = [0, 0, 2]
towards = [0, 1, 1]
hand = "right"
count = 4
"""

PARTS = """\
format = 1
name = "Ladder of a workshop wall"

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[piece.loop]
stock = "tube"
points = [[0, 0, 0], [600, 0, 0], [600, 400, 0], [0, 400, 0]]
radius = 60
closed = true

[crossbar.rung]
stock = "tube"
between = [["loop", 1], ["loop", 3]]
spacing = 100
from = 40
to = 40
ends = "coped"
shift = 30
off = [0, 0, 2]

[tab.foot]
piece = "loop"
at = [[150, -35, 0], [450, -35, 0]]
axis = [0, 0, 1]
runs = [0, -1, 0]
thickness = 5
width = 25
material = "S235"
thread = "M6"
grade = "8.8"
end = 15

[shop]
blocks = [1, 2, 2, 5, 10, 20, 50]
"""
"""Crossbars, tabs and blocks."""

SMALL = """\
format = 1

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[bender.lever]
kind = "wrap"
radius = 50

[piece.hoop]
stock = "rod"
points = [[0, 0, 0], [300, 0, 0], [300, 200, 0]]
"""


def job(text: str) -> Job:
    return parse_job(text.encode(), "shed/job.toml")


def faults(text: str | bytes) -> tuple[Fault, ...]:
    """Every fault of a file that has some, each checked to lie within the file and to be whole."""
    raw = text if isinstance(text, bytes) else text.encode()
    try:
        parse_job(raw, "job.toml")
    except InputError as error:
        last = raw.count(b"\n") + 1
        for fault in error.faults:
            assert fault.line is not None and 1 <= fault.line <= last, fault
            assert fault.where and fault.found and fault.wanted, fault
            told = str(fault)
            assert "\n" not in told and len(told) < 900, told
            assert "nput should be" not in told and "pydantic" not in told and "Traceback" not in told, told
        lines = [fault.line or 0 for fault in error.faults]
        assert lines == sorted(lines)
        return error.faults
    raise AssertionError("no fault was found")


def only_fault(text: str | bytes) -> Fault:
    """The fault of a file that has one and no more."""
    found = faults(text)
    assert len(found) == 1, "\n".join(map(str, found))
    return found[0]


def swapped(old: str, new: str, text: str = CRATE_SHELF) -> str:
    """The text with one thing in it changed; what is changed must be there, once."""
    assert text.count(old) == 1, f"{old!r} is there {text.count(old)} times"
    return text.replace(old, new)


def bent(lines: str, text: str = SMALL) -> str:
    """The small job with other lines for its piece."""
    return text.split("points = ")[0] + lines + "\n"


def data(text: str) -> dict[str, Any]:
    return tomllib.loads(text)
