"""What a job file says of its load: read, in mm and inches, and every fault on its line."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.fixing import FIXED, PINNED
from tests.unit.files.job_texts import SMALL, faults, job, only_fault, swapped

LOADED = (
    SMALL
    + """at = [[0, 0, 0], [0, 100, 0]]

[load]
use = "trailer"
safety = 2
welding = "MIG"
filler = "4043"
leaning = 0
up = [0, 1, 0]
forward = [0, 0, 2]
road = "smooth road"
km = 100
cases = [{ name = "ramp", down = 1.5, left = -0.2, source = "measured" }]

[payload]
mass = 7.5
centre = [150, 50, 80]
on = ["hoop 1"]
at = [[10, 0, 0], [200, 0, 0]]
size = [100, 50, 20]
straps = [{ piece = "hoop", at = [0, 0, 0], towards = [0, 0, 100], tension = 50 }]

[fixing.wall]
piece = "hoop 2"
at = [0, 100, 0]
held = "fixed"
bolt = { size = "M8", grade = "10.9", thickness = 6, tapped = true, end = 15, side = 12, hole = 9, count = 2 }

[fixing.spring]
piece = "hoop"
at = [300, 0, 0]
held = [1000, inf, 0, 0, 0, 5e6]
along = [0, 0, 3]

[joint.both]
pieces = ["hoop 1", "hoop 2"]
made = "bolted"
gap = 100
near = [0, 50, 0]
axis = [0, 1, 0]
bolt = { size = 6 }

[joint.passing]
pieces = ["hoop", "hoop"]
made = "none"
"""
)


def test_everything_that_is_said_arrives() -> None:
    load = job(LOADED).load
    assert load.asked
    assert (load.use, load.leaning, load.road, load.km) == ("trailer", 0.0, "smooth road", 100.0)
    assert (load.rules.safety, load.rules.welding, load.rules.filler) == (2.0, "MIG", "4043")
    assert load.directions.up == (0, 1, 0)
    assert load.directions.forward == (0, 0, 1)
    (case,) = load.cases
    assert (case.name, case.down, case.forward, case.left, case.source) == ("ramp", 1.5, 0.0, -0.2, "measured")
    payload = load.payload
    assert payload is not None
    assert (payload.mass, payload.centre, payload.on, payload.name) == (7.5, (150, 50, 80), ("hoop 1",), "payload")
    assert payload.at == ((10, 0, 0), (200, 0, 0))
    assert payload.size == (100, 50, 20)
    (strap,) = load.straps
    assert (strap.piece, strap.tension) == ("hoop", 50.0)
    wall, spring = load.fixings
    assert (wall.name, wall.piece, wall.stiffness, wall.bolts) == ("wall", "hoop 2", FIXED, 2)
    assert wall.bolt is not None
    assert (wall.bolt.size, wall.bolt.grade, wall.bolt.thickness, wall.bolt.tapped) == (8.0, "10.9", 6.0, True)
    assert (wall.bolt.end_distance, wall.bolt.side_distance, wall.bolt.hole) == (15.0, 12.0, 9.0)
    assert spring.stiffness == (1000.0, math.inf, 0.0, 0.0, 0.0, 5e6)
    assert spring.directions[0] == (0, 0, 1)
    both, passing = load.joints
    assert (both.pieces, both.made, both.gap, both.near, both.bolts) == (
        ("hoop 1", "hoop 2"),
        "bolted",
        100,
        (0, 50, 0),
        1,
    )
    assert both.bolt is not None
    assert both.bolt.size == 6.0
    assert passing.made is None


def test_a_job_that_says_nothing_asks_nothing() -> None:
    load = job(SMALL).load
    assert not load.asked
    assert load.payload is None
    assert load.use is None


def test_lengths_are_read_in_inches_and_masses_are_not() -> None:
    text = LOADED.replace("format = 1", 'format = 1\nunits = "in"')
    text = text.replace("gap = 100", "gap = 4")
    load = job(text.replace("diameter = 12", 'diameter = "1/2"').replace("radius = 50", "radius = 2")).load
    assert load.payload is not None
    assert load.payload.mass == 7.5
    assert load.payload.centre == pytest.approx((150 * 25.4, 50 * 25.4, 80 * 25.4))
    assert load.joints[0].gap == pytest.approx(101.6)
    assert load.joints[0].bolt is not None
    assert load.joints[0].bolt.size == 6.0, "threads are metric"
    assert load.fixings[1].stiffness[0] == 1000.0


def test_held_is_pinned_unless_it_is_said() -> None:
    assert job(LOADED.replace('held = "fixed"\n', "")).load.fixings[0].stiffness == PINNED


@pytest.mark.parametrize(
    ("old", "new", "where", "found"),
    [
        ('use = "trailer"', 'use = "trialer"', "load.use", '"trialer"'),
        ("safety = 2", "safety = 0.5", "load.safety", "0.5"),
        ('welding = "MIG"', 'welding = "MAG"', "load.welding", '"MAG"'),
        ('filler = "4043"', "filler = 4043", "load.filler", "4043"),
        ("leaning = 0", "leaning = -3", "load.leaning", "-3"),
        ("up = [0, 1, 0]", "up = [0, 0, 0]", "load.up", "[0, 0, 0]"),
        ("forward = [0, 0, 2]", "forward = [0, 5, 0]", "load.forward", "[0, 5, 0]"),
        ('road = "smooth road"', 'road = "moon"', "load.road", '"moon"'),
        ("km = 100", "kms = 100", "load.kms", 'the key "kms"'),
        ("down = 1.5", "down = 90", "load.cases[1].down", "90"),
        ('name = "ramp", ', "", "load.cases[1].name", "nothing"),
        ("mass = 7.5", "mass = 0", "payload.mass", "0"),
        ("mass = 7.5\n", "", "payload.mass", "nothing"),
        ("centre = [150, 50, 80]", "centre = [150, 50]", "payload.centre", "2 of them: [150, 50]"),
        ('on = ["hoop 1"]', 'on = ["hoop 3"]', "payload.on[1]", '"hoop 3"'),
        ("tension = 50", "tension = -1", "payload.straps[1].tension", "-1"),
        ('{ piece = "hoop", at', '{ piece = "loop", at', "payload.straps[1].piece", '"loop"'),
        ("towards = [0, 0, 100]", "towards = [0, 0, 0]", "payload.straps[1].towards", "[0, 0, 0]"),
        ('piece = "hoop 2"\n', 'piece = "hoop two"\n', "fixing.wall.piece", '"hoop two"'),
        ("at = [0, 100, 0]\n", "", "fixing.wall.at", "nothing"),
        ('held = "fixed"', 'held = "glued"', "fixing.wall.held", '"glued"'),
        ("held = [1000, inf, 0, 0, 0, 5e6]", "held = [0, 0, 0, 0, 0, 0]", "fixing.spring.held", "[0, 0, 0, 0, 0, 0]"),
        (
            "held = [1000, inf, 0, 0, 0, 5e6]",
            "held = [1, 2, nan, 0, 0, 0]",
            "fixing.spring.held",
            "[1, 2, nan, 0, 0, 0]",
        ),
        ("along = [0, 0, 3]", "along = [0, 0, 0]", "fixing.spring.along", "[0, 0, 0]"),
        ('size = "M8"', 'size = "M7"', "fixing.wall.bolt.size", '"M7"'),
        ('grade = "10.9"', 'grade = "4.6"', "fixing.wall.bolt.grade", '"4.6"'),
        ("hole = 9", "hole = 7", "fixing.wall.bolt.hole", "7"),
        ("thickness = 6, ", "", "fixing.wall.bolt.thickness", "nothing"),
        ("count = 2", "count = 0", "fixing.wall.bolt.count", "0"),
        ('pieces = ["hoop 1", "hoop 2"]', 'pieces = ["hoop 1"]', "joint.both.pieces", '1 of them: ["hoop 1"]'),
        ('pieces = ["hoop 1", "hoop 2"]', 'pieces = ["hoop 1", "x"]', "joint.both.pieces[2]", '"x"'),
        ('made = "bolted"', 'made = "glued"', "joint.both.made", '"glued"'),
        ("axis = [0, 1, 0]", "axis = [0, 0, 0]", "joint.both.axis", "[0, 0, 0]"),
        ('made = "none"', 'made = "welded"\nbolt = { size = 6 }', "joint.passing.bolt", "{ size = 6 }"),
        ('made = "none"', 'made = "pinned"\nthroat = 2', "joint.passing.throat", "2"),
    ],
)
def test_one_thing_wrong_is_one_fault_on_its_line(old: str, new: str, where: str, found: str) -> None:
    text = swapped(old, new, LOADED)
    fault = only_fault(text)
    assert (fault.where, fault.found) == (where, found)
    line = text.splitlines()[(fault.line or 0) - 1]
    key = where.split(".")[-1].split("[")[0]
    assert key in line or found == "nothing"


def test_a_payload_on_nothing_is_a_fault() -> None:
    text = LOADED.replace('on = ["hoop 1"]\n', "").replace("at = [[10, 0, 0], [200, 0, 0]]\n", "")
    assert only_fault(text).where == "payload.on"


def test_names_are_taken_for_right_while_the_piece_is_wrong() -> None:
    found = faults(LOADED.replace('stock = "rod"', 'stock = "rud"'))
    assert [fault.where for fault in found] == ["piece.hoop.stock"]


def test_what_should_be_a_table_is_told() -> None:
    for text, where in (("load = 3\n", "load"), ("payload = []\n", "payload"), ("fixing = 1\n", "fixing")):
        assert only_fault(text + SMALL).where == where
    assert only_fault(SMALL + "\n[fixing]\npiece = 'hoop'\n").where == "fixing"
