"""Levers, formers and V-blocks."""

from __future__ import annotations

import itertools
import math

import pytest

from bentwork.files.catalogue import materials
from bentwork.forming.die_bend import Arms, DieBend, die_bends
from bentwork.forming.flat import FlatBend, k_factor
from bentwork.forming.forces import FRICTION, Lever, hand_force, lever_forces
from bentwork.forming.hardening import Law, law_of
from bentwork.forming.moment import Bar
from bentwork.forming.pressing import V_RADIUS, VBlock, ram_bend, v_bend
from bentwork.stock.section import Flat, Round, Tube

S235 = materials()["S235"]


def on_die(arms: Arms | None = None) -> DieBend:
    return die_bends(Bar(Round(12), law_of(materials()["6082-T6"])), 50.0, (1.15,), arms)[0]


def test_forces_of_a_lever_bender_balance() -> None:
    bend = on_die(Arms(27.0, 22.0))
    forces = lever_forces(bend, Lever(600.0, 0.0), 0.0)
    assert forces.follower == pytest.approx(1000.0 * bend.moment / bend.free.length)
    assert forces.hook == pytest.approx(1000.0 * bend.moment / bend.held.length)
    assert forces.die == pytest.approx(forces.follower + forces.hook)  # at the start both press the same way
    assert forces.torque == pytest.approx(bend.moment)
    assert forces.hand == pytest.approx(hand_force(bend.moment, 600.0))
    assert forces.slip == 0.0
    assert forces.pivot == pytest.approx(forces.follower + forces.hand)
    # At a right angle the two pushes on the die are square to one another, at a return they are opposed.
    assert lever_forces(bend, Lever(600.0), 90.0).die == pytest.approx(math.hypot(forces.follower, forces.hook))
    assert lever_forces(bend, Lever(600.0), 180.0).die == pytest.approx(abs(forces.follower - forces.hook))


def test_a_shoe_drags_more_than_a_roller() -> None:
    bend = on_die(Arms(27.0, 22.0))
    roller, shoe = (lever_forces(bend, Lever(600.0, FRICTION[kind]), 90.0) for kind in ("roller", "shoe"))
    assert roller.slip < shoe.slip
    assert shoe.torque == pytest.approx(bend.moment + shoe.slip * 50.0 / 1000.0)
    assert shoe.hand_least == roller.hand_least < roller.hand < shoe.hand


def test_without_arms_only_torque_and_hand_are_known() -> None:
    forces = lever_forces(on_die(), Lever(600.0), 90.0)
    assert (forces.follower, forces.hook, forces.die) == (math.inf, math.inf, math.inf)
    assert forces.slip == 0.0
    assert math.isfinite(forces.hand)


def test_the_work_of_a_pull_is_what_the_hand_does() -> None:
    bend = on_die()
    forces = lever_forces(bend, Lever(600.0, 0.0), 90.0)
    hand_way = 600.0 * math.radians(1.0)
    assert forces.hand_least * hand_way == pytest.approx(bend.work * 50.0 * math.radians(1.0))


@pytest.mark.parametrize(("hand", "friction"), [(0.0, 0.1), (-600.0, 0.1), (math.inf, 0.1), (600.0, -0.1)])
def test_impossible_levers(hand: float, friction: float) -> None:
    with pytest.raises(ValueError, match=r"hand|friction"):
        Lever(hand, friction)


def test_a_former_pressed_just_into_the_bar_is_a_beam_on_two_supports() -> None:
    # A small angle and a big former: centre force 4 M over span, and the geometry of two straight legs.
    bend = die_bends(Bar(Round(10), Law.perfectly_plastic(210_000.0, 235.0)), 60.0)[0]
    pushed = ram_bend(bend, 1.0, 200.0, 15.0, friction=0.0)
    assert pushed.push == pytest.approx(4000.0 * bend.moment / 200.0, rel=0.05)
    assert pushed.leg == pytest.approx(100.0, rel=0.02)


def test_a_former_between_rollers_follows_the_geometry_of_two_legs() -> None:
    # Metal that neither hardens nor springs: all of the angle is on the former, the legs stay straight.
    bend = die_bends(Bar(Round(10), Law.perfectly_plastic(1e9, 235.0)), 60.0)[0]
    for wanted in (20.0, 60.0, 90.0):
        pushed, side = ram_bend(bend, wanted, 240.0, 20.0, friction=0.1), math.radians(wanted / 2)
        leg = (120.0 - (60.0 + 25.0) * math.sin(side)) / math.cos(side)
        assert pushed.pushed_to == pytest.approx(wanted, abs=0.02)
        assert pushed.leg == pytest.approx(leg, rel=1e-3)
        assert pushed.stroke == pytest.approx(85.0 * (1 - math.cos(side)) + leg * math.sin(side), rel=1e-3)
        assert pushed.roller == pytest.approx(1000.0 * bend.moment / leg, rel=1e-3)
        assert pushed.push == pytest.approx(2 * pushed.roller * (math.cos(side) + 0.1 * math.sin(side)), rel=1e-3)


def test_what_a_former_leaves_is_continuous_where_the_bar_comes_to_lie_on_it() -> None:
    bend = die_bends(Bar(Tube(25, 2), law_of(materials()["6060-T66"])), 75.0)[0]
    strokes = [ram_bend(bend, wanted, 300.0, 25.0).stroke for wanted in (4.0, 8.0, 12.0, 16.0, 20.0, 24.0)]
    steps = [b - a for a, b in itertools.pairwise(strokes)]
    assert all(4.0 < step < 8.0 for step in steps)


@pytest.mark.parametrize(
    ("wanted", "span", "words"), [(90.0, 40.0, "no room"), (150.0, 150.0, "too close"), (90.0, 4000.0, "so far apart")]
)
def test_impossible_rollers(wanted: float, span: float, words: str) -> None:
    bend = die_bends(Bar(Tube(25, 2), law_of(materials()["6060-T66"])), 75.0)[0]
    with pytest.raises(ValueError, match=words):
        ram_bend(bend, wanted, span, 10.0)


def test_a_former_too_big_for_the_bar() -> None:
    bend = die_bends(Bar(Round(2), law_of(materials()["6082-T6"])), 900.0)[0]
    with pytest.raises(ValueError, match="springs straight"):
        ram_bend(bend, 30.0, 3000.0, 10.0)


def test_a_punch_makes_its_own_radius_only_if_it_is_blunter_than_the_v_makes() -> None:
    assert VBlock(32.0, 8.0).inside_radius == 8.0
    assert VBlock(32.0, 2.0).inside_radius == pytest.approx(V_RADIUS * 32.0)


def test_flat_bar_in_a_v_block() -> None:
    flat, block = Flat(30, 4), VBlock(32.0, 8.0, 2.0)
    ratio = die_bends(Bar(flat, law_of(S235)), block.inside_radius + 2.0, (1.15,))[0].ratio
    pressed = v_bend(flat, S235, block, ratio, 90.0)
    assert pressed.press == pytest.approx(1.33 * 360 * 30 * 16 / 32)
    assert pressed.pressed_to == pytest.approx(90.0 / ratio)
    # The middle of the bar: 10 on the punch, 4 on the shoulders, which are 16 from the middle of the V.
    side = math.radians(pressed.pressed_to / 2)
    leg = (16.0 - 14.0 * math.sin(side)) / math.cos(side)
    assert pressed.depth == pytest.approx(14.0 * (1 - math.cos(side)) + leg * math.sin(side))
    assert v_bend(flat, S235, block, ratio, 45.0).depth < pressed.depth
    assert v_bend(flat, S235, block, ratio, 90.0, strength=1.2).press == pytest.approx(1.2 * pressed.press)


@pytest.mark.parametrize(
    ("block", "ratio", "wanted", "words"),
    [
        (VBlock(32, 8), 0.0, 90.0, "ratio"),
        (VBlock(32, 8), 0.9, 175.0, "less than 180"),
        (VBlock(16, 12), 0.98, 90.0, "too narrow"),
    ],
)
def test_impossible_v_bends(block: VBlock, ratio: float, wanted: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        v_bend(Flat(30, 4), S235, block, ratio, wanted)


def test_impossible_v_blocks() -> None:
    with pytest.raises(ValueError, match="opening"):
        VBlock(0.0, 8.0)
    with pytest.raises(ValueError, match="radii"):
        VBlock(32.0, -1.0)


def test_a_bracket_drawn_to_the_middle_of_its_thickness_is_cut_shorter() -> None:
    bend = FlatBend(4.0, 8.0, 90.0, k_factor(S235))
    assert bend.centreline_arc == pytest.approx(10.0 * math.pi / 2)
    assert bend.shortening == pytest.approx((0.5 - k_factor(S235)) * 4.0 * math.pi / 2)
    assert 0.0 < bend.shortening < 1.0
    assert FlatBend(4.0, 8.0, 180.0, 0.4).setback == math.inf


@pytest.mark.parametrize("numbers", [(0.0, 5, 90, 0.4), (3.0, -1, 90, 0.4), (3.0, 5, 0, 0.4), (3.0, 5, 90, 1.1)])
def test_impossible_flat_bends(numbers: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match=r"thickness|radius|angle|line"):
        FlatBend(*numbers)
