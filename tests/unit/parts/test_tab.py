"""Tabs: blank, end on the bar, edge distances, and how equal ones are drilled."""

from __future__ import annotations

import math

import pytest

from bentwork.parts.gang import gang
from bentwork.parts.meeting import Limb
from bentwork.parts.tab import Plan, Tab, tab_on
from bentwork.space import Vec
from bentwork.stock.section import Flat, Round, Section

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def on(section: Section, hole: Vec, axis: Vec, plan: Plan, runs: Vec | None = None) -> Tab:
    found = tab_on(Limb((0.0, 0.0, 0.0), X, Y, Z, section), hole, axis, plan, runs)
    assert found is not None
    return found


def test_a_tab_along_a_rod() -> None:
    # hole 30 below the middle of a 12 mm rod, tab 4 thick: its end touches the crown at 6, its faces stand off
    # 6 - sqrt(36 - 4)
    tab = on(Round(12.0), (50.0, -30.0, 0.0), Z, Plan(4.0, 20.0, 6.6))
    assert tab.lean == 0.0
    assert tab.reach == pytest.approx(30.0 - math.sqrt(32.0))  # the longest of middle and faces: no gap is left
    assert tab.gap == pytest.approx(6.0 - math.sqrt(32.0))
    assert tab.end == pytest.approx(13.2)  # twice the hole
    assert tab.blank == pytest.approx((30.0 - math.sqrt(32.0) + 13.2, 20.0, 4.0))
    assert tab.edge_distance == pytest.approx(10.0)
    assert tab.foot == pytest.approx((50.0, 0.0, 0.0))


def test_a_tab_that_hangs_from_a_slope_is_cut_to_the_slope() -> None:
    slope = 30.0
    way = (math.cos(math.radians(slope)), 0.0, math.sin(math.radians(slope)))
    up = (-math.sin(math.radians(slope)), 0.0, math.cos(math.radians(slope)))
    bar = Limb((0.0, 0.0, 0.0), way, Y, up, Round(12.0))
    tab = tab_on(bar, (0.0, 0.0, -40.0), Y, Plan(4.0, 20.0, 6.6), (0.0, 0.0, -1.0))
    assert tab is not None
    assert abs(tab.lean) == pytest.approx(slope)
    square = tab_on(bar, (0.0, 0.0, -40.0), Y, Plan(4.0, 20.0, 6.6))
    assert square is not None
    assert square.lean == pytest.approx(0.0)
    assert square.foot == pytest.approx((-40.0 * math.sin(math.radians(30.0)) * way[0], 0.0, -40.0 * 0.5 * way[2]))


def test_a_tab_across_a_rod_is_hollowed() -> None:
    # bolt along the rod: the end takes the round of the rod, 6 - sqrt(36 - 25) deep over a width of 10
    tab = on(Round(12.0), (0.0, 0.0, 30.0), X, Plan(4.0, 10.0, 5.5))
    assert tab.hollow == pytest.approx(6.0 - math.sqrt(11.0))
    assert tab.reach == pytest.approx(30.0 - math.sqrt(11.0))


def test_a_tab_on_flat_bar_sits_on_its_face() -> None:
    tab = on(Flat(30.0, 4.0), (0.0, 0.0, 25.0), Y, Plan(5.0, 20.0, 6.6))
    assert tab.reach == pytest.approx(23.0)
    assert tab.gap == 0.0


@pytest.mark.parametrize(
    ("hole", "axis", "runs"),
    [
        ((0.0, 0.0, 30.0), Z, None),  # its bolt points at the bar
        ((0.0, 0.0, 3.0), Y, None),  # inside the bar
        ((0.0, 0.0, 30.0), Y, X),  # runs along the bar
    ],
)
def test_no_tab(hole: Vec, axis: Vec, runs: Vec | None) -> None:
    assert tab_on(Limb((0.0, 0.0, 0.0), X, Y, Z, Round(12.0)), hole, axis, Plan(4.0, 20.0, 6.6), runs) is None


def test_equal_tabs_are_one_pattern_whichever_side_they_stand() -> None:
    plan = Plan(4.0, 20.0, 6.6)
    one = on(Round(12.0), (50.0, -30.0, 0.0), Z, plan)
    other = on(Round(12.0), (90.0, 30.0, 0.0), Z, plan)
    longer = on(Round(12.0), (90.0, 31.0, 0.0), Z, plan)
    assert one.same_as(other)
    assert not one.same_as(longer)


def test_drilled_together() -> None:
    # a 5 mm drill: 52 mm of flutes, true for 25 mm: 5 tabs of 5 mm
    found = gang(12, 5.0, 5.0)
    assert (found.together, found.clampings, found.limit) == (5, 3, "true")
    assert gang(4, 5.0, 5.0).limit == ""
    assert gang(2, 60.0, 5.0).together == 1
