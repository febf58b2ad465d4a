"""``end_a`` and ``end_b`` of a piece: what is read, and every fault in them at once."""

from __future__ import annotations

import pytest

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.end_asked import OwnEnd
from bentwork.jobs.job import PieceSpec
from bentwork.parts.stay import EndAsked

HEAD = """\
format = 1
name = "Hand cart"
units = "mm"

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[bender.lever]
kind = "wrap"
radius = 60

[piece.hoop]
stock = "{stock}"
bender = "lever"
points = [[0, 0, 0], [0, 0, 300], [400, 0, 300], [400, 0, 0]]
"""


def spec_of(more: str, stock: str = "tube", units: str = "mm") -> PieceSpec:
    head = HEAD.format(stock=stock).replace('units = "mm"', f'units = "{units}"')
    return parse_job((head + more).encode(), "cart.toml").pieces[0]


def faults_of(more: str, stock: str = "tube") -> list[tuple[int | None, str, str]]:
    with pytest.raises(InputError) as found:
        spec_of(more, stock)
    return [(fault.line, fault.where, fault.wanted) for fault in found.value.faults]


FIRST = HEAD.count("\n") + 1
"""Line that what is added begins on."""


def test_ends_are_read() -> None:
    spec = spec_of('end_a = { cut = 30, round = 90 }\nend_b = { flattened = 40, hole = "M6" }')
    # A clearance hole for M6 is 6.6 (ISO 273, medium).
    assert spec.own_ends == (OwnEnd(30.0, 90.0), OwnEnd(made=EndAsked("flattened", 6.6, flat=40.0)))
    assert spec_of("").own_ends == (None, None)
    one = spec_of("end_a = { flattened = 40, hole = 6.5, end = 20, round = -45 }").own_ends[0]
    assert one == OwnEnd(round=-45.0, made=EndAsked("flattened", 6.5, 20.0, flat=40.0))


def test_lengths_of_ends_are_in_the_units_of_the_job() -> None:
    one = spec_of('end_a = { flattened = "1 1/2", hole = 0.25 }\n', units="in").own_ends[0]
    assert one is not None
    assert (one.made.hole, one.made.flat) == pytest.approx((0.25 * 25.4, 1.5 * 25.4))


def test_ends_of_the_job_and_ends_by_themselves_may_share_a_piece() -> None:
    spec = spec_of('ends = "coped"\nend_b = { cut = 20 }')
    assert (spec.ends, spec.own_ends) == ("coped", (None, OwnEnd(20.0)))


@pytest.mark.parametrize(
    ("more", "where", "wanted"),
    [
        ("end_a = 30", "piece.hoop.end_a", "a table in braces"),
        ("end_a = {}", "piece.hoop.end_a.cut", "cut = …, degrees off a square cut, or flattened"),
        ("end_a = { cut = 90 }", "piece.hoop.end_a.cut", "above 0 and up to 80"),
        ("end_a = { cut = 0 }", "piece.hoop.end_a.cut", "above 0 and up to 80"),
        ("end_b = { cut = 30, turn = 4 }", "piece.hoop.end_b.turn", "one of cut, flattened, hole, end or round"),
        ("end_b = { cut = 30, round = 400 }", "piece.hoop.end_b.round", "from -360 to 360"),
        ("end_a = { cut = 30, flattened = 40 }", "piece.hoop.end_a.flattened", "either cut or flattened"),
        ("end_a = { cut = 30, hole = 6 }", "piece.hoop.end_a.hole", "no hole beside cut"),
        ("end_a = { flattened = 40, end = 12 }", "piece.hoop.end_a.end", "the hole that it is measured from"),
        ("end_a = { flattened = 40, hole = 6, end = 3 }", "piece.hoop.end_a.end", "more than half the hole"),
        ("end_a = { flattened = 14, hole = 6 }", "piece.hoop.end_a.flattened", "more than 15 mm, so that the hole"),
        ('ends = "butted"\nend_a = { cut = 9 }\nend_b = { cut = 9 }', "piece.hoop.ends", "beside both end_a and end_b"),
    ],
)
def test_what_cannot_be_is_a_fault_with_its_line(more: str, where: str, wanted: str) -> None:
    ((line, found, words),) = faults_of(more)
    assert (line, found) == (FIRST, where)
    assert wanted in words


def test_only_tube_is_pressed_flat() -> None:
    ((line, where, wanted),) = faults_of("end_a = { flattened = 40 }", "rod")
    assert (line, where) == (FIRST, "piece.hoop.end_a.flattened")
    assert "round tube" in wanted


def test_everything_wrong_is_told_at_once() -> None:
    more = 'closed = true\nends = "butted"\nend_a = { cut = 30 }\nend_b = { flattened = 40, hole = "M77", cut = 3 }'
    found = faults_of(more)
    assert sorted((line - FIRST if line else None, where) for line, where, _ in found) == [
        (1, "piece.hoop.ends"),
        (2, "piece.hoop.end_a"),
        (3, "piece.hoop.end_b"),
        (3, "piece.hoop.end_b.flattened"),
        (3, "piece.hoop.end_b.hole"),
    ]
