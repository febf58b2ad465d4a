"""Where bars touch, and what the maker says of it."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.bar import Bar
from bentwork.carry.joint import Wanted, joints_of
from bentwork.carry.touching import touches
from bentwork.piece.corners import Corners
from bentwork.stock.section import Flat, Round
from tests.frames import a_bar, an_aluminium, an_arc, shelf, shelf_bars


def test_bars_that_cross() -> None:
    one, other = a_bar((0, 0, 0), (200, 0, 0), name="a"), a_bar((80, -50, 11), (80, 60, 11), name="b")
    (touch,) = touches([one, other])
    assert touch.stations == pytest.approx((80.0, 50.0))
    assert touch.gap == pytest.approx(1.0)
    assert touch.ends == (False, False)


def test_bars_too_far_apart_do_not_touch() -> None:
    assert touches([a_bar((0, 0, 0), (200, 0, 0), name="a"), a_bar((80, -50, 14), (80, 60, 14), name="b")]) == ()


def test_an_end_that_butts_on_a_bar() -> None:
    (touch,) = touches([a_bar((0, 0, 0), (200, 0, 0), name="a"), a_bar((80, 5, 0), (80, 100, 0), name="b")])
    assert touch.ends == (False, True)
    assert touch.gap == pytest.approx(0.0)


def test_the_flat_side_of_a_flat_bar_counts() -> None:
    # Strap 30 x 4 lying flat under a rod of 10: centrelines 7 mm apart touch, 15 mm apart do not.
    def gap(height: float) -> float:
        strap = Bar("strap", Corners(((0, 0, 0), (0, 200, 0)), ()).centreline(), Flat(30, 4), an_aluminium())
        rod = a_bar((-50, 100, height), (50, 100, height), name="rod")
        return min((t.gap for t in touches([strap, rod], 50.0)), default=math.inf)

    # A straight strap has no bend to lie by: its height lies along its own axis convention, across x and y.
    assert gap(30.0) - gap(20.0) == pytest.approx(10.0)


def test_bars_side_by_side_touch_at_both_ends_of_the_stretch() -> None:
    found = touches([a_bar((0, 0, 0), (500, 0, 0), name="a"), a_bar((100, 10, 0), (400, 10, 0), name="b")])
    assert sorted(round(t.stations[0]) for t in found) == [100, 400]


def test_a_hoop_on_a_bar_touches_at_its_top() -> None:
    hoop = an_arc(100.0, 180.0)
    bar = a_bar((110.0, 0, 0), (110.0, 200, 0))
    (touch,) = touches([hoop, bar])
    assert touch.places[0] == pytest.approx((100.0, 100.0, 0.0), abs=1e-6)
    assert touch.gap == pytest.approx(0.0, abs=1e-9)


def test_joints_of_the_shelf() -> None:
    found = shelf()
    assert [(joint.words(found.bars), joint.confirmed) for joint in found.joints] == [
        ("loop and crossbar 1", False),
        ("loop and crossbar 1", False),
        ("loop and crossbar 2", False),
        ("loop and crossbar 2", False),
        ("loop and crossbar 3", False),
        ("loop and crossbar 3", False),
        ("loop and stay right", True),
        ("loop and stay left", True),
        ("crossbar 2 and bracket", True),
    ]
    assert all(max(joint.touch.gap, 0.0) < 1.0 for joint in found.joints)


def test_what_is_wanted_and_where_it_is_not() -> None:
    bars = shelf_bars()
    joints, missing = joints_of(bars, [Wanted(("stay", "bracket")), Wanted(("crossbar", "loop"), made=None)])
    assert [ask.pieces for ask in missing] == [("stay", "bracket")]
    assert [joint.words(bars) for joint in joints] == [
        "loop and stay right",
        "loop and stay left",
        "crossbar 2 and bracket",
    ]


def test_one_of_two_places_is_bolted() -> None:
    bars = [a_bar((0, 0, 0), (200, 0, 0), name="a"), an_arc(60.0, 180.0, Round(10), name="b")]
    # The hoop starts along the bar at x = 0 and comes back over it at y = 120: only near the start do they touch.
    joints, _ = joints_of(bars, [Wanted(("a", "b"), made="bolted", near=(0, 0, 0))])
    assert {joint.made for joint in joints} == {"bolted"}
    assert joints[0].free_turns == (joints[0].bolt_axis,)


def test_a_bolted_joint_has_a_bolt() -> None:
    (touch,) = touches([a_bar((0, 0, 0), (200, 0, 0), name="a"), a_bar((80, 5, 0), (80, 100, 0), name="b")])
    from bentwork.carry.joint import Joint

    with pytest.raises(ValueError, match="at least one bolt"):
        Joint(touch, "bolted", bolts=0)
    with pytest.raises(ValueError, match="throat"):
        Joint(touch, throat=0.0)
    assert Joint(touch, "bolted", bolts=2).free_turns == ()
    assert len(Joint(touch, "pinned").free_turns) == 3
