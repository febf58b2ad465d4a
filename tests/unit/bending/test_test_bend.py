"""What can have been measured, and what cannot."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.errors import InputError
from bentwork.stock.section import Flat, Round
from tests.unit.workshop.entries import a_test_bend

NAN, INFINITY = math.nan, math.inf


def faults(**changes: object) -> list[str]:
    with pytest.raises(InputError) as refused:
        a_test_bend(**changes)
    return [str(fault) for fault in refused.value.faults]


def test_a_test_bend_is_kept_as_it_was_entered() -> None:
    bend = a_test_bend(bender=" lever ", note=" roller greased \n")
    assert (bend.bender, bend.note, bend.id, bend.struck) == ("lever", "roller greased", None, False)


def test_two_angles_are_a_test_bend() -> None:
    bend = a_test_bend(bar_mm=None, mark_mm=None, held_leg_mm=None, free_leg_mm=None)
    assert bend.pulled_deg - bend.left_deg == 3.0


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"bender": " "}, "bender"),
        ({"bender": "le\nver"}, "bender"),
        ({"bender": "x" * 201}, "bender"),
        ({"radius_mm": 0.0}, "radius"),
        ({"radius_mm": NAN}, "radius"),
        ({"batch": "\ud800"}, "batch"),
        ({"note": "x" * 4001}, "note"),
        ({"made_on": "12 March 2025"}, "made on"),
        ({"made_on": "2025-02-30"}, "made on"),
        ({"made_on": "20250312"}, "made on"),
        ({"way": "sideways"}, "way"),
        ({"legs_to": "inside"}, "legs to"),
        ({"pulled_deg": 0.0, "left_deg": 90.0}, "pulled to"),
        ({"pulled_deg": 360.0}, "pulled to"),
        ({"pulled_deg": NAN}, "pulled to"),
        ({"pulled_deg": INFINITY}, "pulled to"),
        ({"left_deg": 0.0}, "left"),
        ({"left_deg": -90.0}, "left"),
        ({"left_deg": NAN}, "left"),
        ({"left_deg": 93.1}, "left"),
        ({"gauge_sd_deg": 0.0}, "gauge"),
        ({"gauge_sd_deg": 30.0}, "gauge"),
        ({"gauge_sd_deg": NAN}, "gauge"),
        ({"tape_sd_mm": 0.0}, "tape"),
        ({"tape_sd_mm": NAN}, "tape"),
        ({"tape_sd_mm": 50.0}, "tape"),
        ({"bar_mm": 0.0}, "bar"),
        ({"bar_mm": -300.0}, "bar"),
        ({"bar_mm": NAN}, "bar"),
        ({"bar_mm": INFINITY}, "bar"),
        ({"mark_mm": 0.0}, "mark"),
        ({"mark_mm": NAN}, "mark"),
        ({"mark_mm": 300.0}, "mark"),
        ({"held_leg_mm": 0.0}, "held leg"),
        ({"held_leg_mm": NAN}, "held leg"),
        ({"free_leg_mm": -1.0}, "free leg"),
        ({"free_leg_mm": INFINITY}, "free leg"),
        ({"start_shift_mm": NAN}, "start"),
        ({"start_shift_mm": -INFINITY}, "start"),
        ({"start_shift_mm": -120.0}, "start"),
        ({"start_shift_mm": 180.0}, "start"),
        ({"pulled_deg": 200.0, "left_deg": 180.0}, "legs"),
    ],
)
def test_an_impossible_one_is_refused_and_nothing_else_is_blamed(changes: dict[str, object], where: str) -> None:
    found = faults(**changes)
    assert len(found) == 1
    assert found[0].startswith(f"{where}: found ")


def test_all_faults_are_told_at_once() -> None:
    found = faults(pulled_deg=-1.0, bar_mm=0.0, held_leg_mm=NAN, made_on="yesterday", tape_sd_mm=-1.0)
    assert {told.partition(":")[0] for told in found} == {"pulled to", "bar", "held leg", "made on", "tape"}


def test_what_opens_the_wrong_way_is_told_with_both_angles() -> None:
    (told,) = faults(pulled_deg=90.0, left_deg=93.0)
    assert told == (
        "left: found 93°; wanted no more than the 90° it was pulled to. "
        "A bar opens when it is let go. Read both again, or change them over."
    )


def test_a_missing_reading_is_never_called_zero() -> None:
    assert "no number" in faults(left_deg=NAN)[0]


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"held_leg_mm": 150.0, "free_leg_mm": 150.0}, "legs"),  # the middles alone are 300 mm apart along the bar
        ({"held_leg_mm": 212.0, "free_leg_mm": 208.0}, "legs"),
        ({"held_leg_mm": 320.0, "free_leg_mm": None}, "held leg"),
        ({"held_leg_mm": None, "free_leg_mm": 320.0}, "free leg"),
    ],
)
def test_legs_that_the_bar_does_not_give_are_refused(changes: dict[str, object], where: str) -> None:
    (told,) = faults(**changes)
    assert told.startswith(f"{where}: ")
    assert "a bar of 300 mm bent by 90°" in told


def test_legs_are_not_compared_with_a_bar_that_nobody_measured() -> None:
    assert a_test_bend(bar_mm=None, mark_mm=None, held_leg_mm=500.0).held_leg_mm == 500.0


def test_what_is_merely_odd_is_kept() -> None:
    assert a_test_bend(pulled_deg=130.0, left_deg=90.0).left_deg == 90.0  # springback of a third
    assert a_test_bend(pulled_deg=90.0, left_deg=90.0).left_deg == 90.0  # none
    assert a_test_bend(held_leg_mm=182.0).held_leg_mm == 182.0  # 20 mm misread


def legs(bar: float, radius: float, angle: float, mark: float, face: float) -> tuple[float, float]:
    """Legs by the drawing: straights, and from each tangent point to the corner of the faces that are measured."""
    bend = math.radians(angle)
    corner = (radius + face) * math.tan(bend / 2.0)
    return mark + corner, bar - mark - radius * bend + corner


@given(
    diameter=st.floats(4.0, 50.0),
    radius=st.floats(1.0, 6.0),
    angle=st.floats(1.0, 175.0),
    straights=st.tuples(st.floats(1.0, 500.0), st.floats(1.0, 500.0)),
    errors=st.tuples(*[st.floats(-2.0, 2.0)] * 3),
    outside=st.booleans(),
)
def test_no_true_bend_read_with_an_ordinary_tape_is_refused(
    diameter: float,
    radius: float,
    angle: float,
    straights: tuple[float, float],
    errors: tuple[float, float, float],
    outside: bool,
) -> None:
    radius *= diameter
    bar = sum(straights) + radius * math.radians(angle)
    held, free = legs(bar, radius, angle, straights[0], diameter / 2.0 if outside else 0.0)
    sd = 0.5
    read = [length + sd * error for length, error in zip((bar, held, free), errors, strict=True)]
    bend = TestBend(
        StockKey(Round(diameter), "S235"),
        "lever",
        radius,
        "2025-03-12",
        angle,
        angle,
        bar_mm=read[0],
        held_leg_mm=read[1],
        free_leg_mm=read[2],
        legs_to="outside" if outside else "middle",
        tape_sd_mm=sd,
    )
    assert bend.held_leg_mm == read[1]


def test_flat_bar_on_edge_is_as_deep_as_it_is_wide() -> None:
    strap = StockKey(Flat(60.0, 5.0), "S235")
    easy = a_test_bend(stock_key=strap, held_leg_mm=155.0, free_leg_mm=155.0)
    with pytest.raises(InputError, match="at least 355"):  # 300 and twice half of 60, less slack for tape and gauge
        replace(easy, way="hard")


def test_near_a_return_a_gauge_a_little_out_refuses_nothing() -> None:
    # A bend of 174.5 degrees with a radius of 36, read as 173.5.
    turn = math.radians(174.5)
    held = 120.0 + 36.0 * math.tan(turn / 2.0)
    free = 300.0 - 120.0 - 36.0 * turn + 36.0 * math.tan(turn / 2.0)
    bend = a_test_bend(
        pulled_deg=181.0, left_deg=173.5, held_leg_mm=held, free_leg_mm=free, legs_to="middle", gauge_sd_deg=0.5
    )
    assert bend.held_leg_mm == held
