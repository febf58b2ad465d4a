"""Where a pull is known from, which test bends count, and what a bend asks for."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.bending.known import known, made_in
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.files.catalogue import materials
from bentwork.forming.forces import hand_force
from bentwork.forming.prediction import Prediction
from bentwork.stock.section import Flat, Round
from bentwork.tooling.bender import Arm, Bender, Follower, Hook
from bentwork.tooling.fittings import Block, Rollers

METAL = materials()["6082-T6"]
LEVER = Bender(
    "lever",
    "wrap",
    50.0,
    hook=Hook(12.0, 30.0, 16.0, 30.0),
    follower=Follower("roller", 24.0, 22.0, radius=18.0),
    arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
)
ON_LEVER = SetUp(Round(12.0), METAL, LEVER)
MADE = TestBend(StockKey(Round(12.0), "6082-T6"), "lever", 50.0, "2026-03-12", 97.0, 90.0, id=1)


def test_the_arms_are_the_benders() -> None:
    assert (ON_LEVER.arms.held, ON_LEVER.arms.free) == (27.0, 22.0)
    assert SetUp(Round(12.0), METAL, Bender("new", "draw", 50.0)).arms.held == 0.0
    assert SetUp(Round(12.0), METAL, replace(LEVER, kind="ram")).arms.free == 0.0


def test_the_job_comes_first_then_test_bends_then_the_handbook() -> None:
    handbook = known(ON_LEVER)
    assert handbook.source == "handbook"
    predicted = ON_LEVER.predicted(90.0)
    assert isinstance(predicted, Prediction)
    assert handbook.bend_to(90.0) == pytest.approx(predicted.bend_to, abs=0.05)
    learnt = known(ON_LEVER, [MADE])
    assert learnt.source == "test bends"
    assert learnt.bend_to(90.0) == pytest.approx(97.0, abs=0.6)
    told = known(SetUp(Round(12.0), METAL, replace(LEVER, springback=1.04)), [MADE])
    assert told.source == "job"
    assert told.bend_to(90.0) == pytest.approx(93.6)


def test_only_test_bends_of_this_bar_on_this_die_count() -> None:
    others = [
        replace(MADE, stock_key=StockKey(Round(10.0), "6082-T6")),
        replace(MADE, stock_key=StockKey(Round(12.0), "6061-T6")),
        replace(MADE, bender="other"),
        replace(MADE, radius_mm=60.0),
        replace(MADE, struck=True),
    ]
    assert made_in(ON_LEVER, [*others, MADE]) == (MADE,)
    another_name = replace(MADE, stock_key=StockKey(Round(12.0), "EN AW-6082-T6"))
    assert made_in(ON_LEVER, [another_name]) == (another_name,)


def test_a_bar_too_thick_for_the_die_is_bent_to_nothing() -> None:
    what = known(SetUp(Round(100.0), METAL, LEVER))
    assert (what.source, what.on_die, what.pull(90.0), what.loads(90.0)) == ("nothing", None, None, None)
    assert what.bend_to(90.0) == 90.0


def test_a_bar_that_springs_straight_has_no_pull() -> None:
    what = known(SetUp(Round(3.0), METAL, Bender("drum", "wrap", 2000.0)))
    assert (what.source, what.pull(90.0), what.shift(90.0), what.loads(90.0)) == ("nothing", None, None, None)


def test_the_hand_pulls_with_the_moment_over_the_lever() -> None:
    loads = known(ON_LEVER).loads(90.0)
    assert loads is not None
    assert loads.lever is not None
    assert loads.hand == pytest.approx(hand_force(loads.lever.torque, 600.0))
    # More than the perfectly plastic bar at minimum yield (d^3/6 times it), less than with the highest strength sold.
    assert 12.0**3 / 6.0 * 250.0 / 1000.0 < loads.moment < 12.0**3 / 6.0 * 450.0 / 1000.0
    assert known(SetUp(Round(12.0), METAL, Bender("bare", "wrap", 50.0))).loads(90.0).hand is None  # type: ignore[union-attr]


def test_a_ram_is_pushed_and_stands_far_enough_apart_or_not() -> None:
    ram = Bender("ram", "ram", 50.0, rollers=Rollers(200.0, 20.0))
    loads = known(SetUp(Round(12.0), METAL, ram)).loads(90.0)
    assert loads is not None
    assert loads.push is not None
    assert loads.stroke is not None
    # Three-point bending while the bar is straight: M = P L/4; with both legs at 45 degrees they lean on each other.
    straight = 4.0 * loads.moment * 1000.0 / 200.0
    assert 0.5 * straight < loads.push < 1.2 * straight
    assert 20.0 < loads.stroke < 100.0
    close = known(SetUp(Round(12.0), METAL, replace(ram, rollers=Rollers(90.0, 20.0)))).loads(90.0)
    assert close is not None
    assert (close.too, close.push) == ("close", None)


def test_flat_bar_is_pressed_into_a_v() -> None:
    steel = materials()["S235"]
    press = Bender("press", "vee", 10.0, block=Block(32.0, 8.0))
    loads = known(SetUp(Flat(30.0, 4.0), steel, press)).loads(90.0)
    assert loads is not None
    # 1.33 Rm b t^2/V with Rm 360 MPa, and 1.15 times that for what is likely: tool engineers' handbooks.
    assert loads.push == pytest.approx(1.33 * 360.0 * 30.0 * 16.0 / 32.0 * 1.15, rel=1e-6)
    # A sharp 90 degree bend in this V goes down half the opening; the rounded one a little less than the sharp.
    assert loads.stroke is not None
    assert 8.0 < loads.stroke < 16.0
    assert math.isclose(loads.moment, known(SetUp(Flat(30.0, 4.0), steel, press)).loads(45.0).moment)  # type: ignore[union-attr]
