"""Where the payload bears, what is nearest, how a frame is cut, and what a strap pulls."""

from __future__ import annotations

import numpy as np
import pytest

from bentwork.carry.bar import copies
from bentwork.carry.building import build
from bentwork.carry.cases import LoadCase, Push, loads_of
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.groups import Groups
from bentwork.carry.nearest import nearest_station
from bentwork.carry.payload import Payload, Strap, bearings
from bentwork.carry.structure import Directions, structure_of
from bentwork.carry.uses import USES, cases_of
from bentwork.carry.verdict import judge
from tests.frames import SHELF_PAYLOAD, a_bar, an_arc, analysed, shelf

WALL = Fixing("wall", "bar", (0, 0, 0), FIXED)


def test_the_deck_bears_not_the_upturned_ends() -> None:
    structure = shelf(Payload(10.0, (200, 150, 100), ("loop",)))
    assert structure.borne is not None
    heights = {round(at.place[2], 6) for at in structure.borne.bearings}
    assert heights == {0.0}


def test_places_given_are_the_nearest_on_the_bars() -> None:
    bars = [a_bar((0, 0, 0), (400, 0, 0)), a_bar((0, 100, 0), (400, 100, 0), name="other")]
    found, unknown = bearings(bars, Payload(1.0, (0, 0, 0), ("bar", "gone"), ((50, 90, 0),)), (0, 0, 1))
    assert unknown == ("gone",)
    assert [(at.bar, at.station) for at in found] == [(0, 50.0)]
    either, _ = bearings(bars, Payload(1.0, (0, 0, 0), (), ((50, 90, 0),)), (0, 0, 1))
    assert [(at.bar, at.station) for at in either] == [(1, 50.0)]


def test_an_upright_bar_bears_nothing_by_itself() -> None:
    found, _ = bearings([a_bar((0, 0, 0), (0, 0, 300))], Payload(1.0, (0, 0, 300), ("bar",)), (0, 0, 1))
    assert found == ()


def test_nearest_place_on_an_arc() -> None:
    hoop = an_arc(100.0, 180.0)
    assert nearest_station(hoop, (150.0, 100.0, 0.0)) == pytest.approx((hoop.length / 2, 50.0))
    assert nearest_station(hoop, (-50.0, 0.0, 0.0)) == pytest.approx((0.0, 50.0))
    assert nearest_station(hoop, (0.0, 100.0, 7.0))[1] == pytest.approx(np.hypot(100, 7))


def test_copies_are_numbered() -> None:
    found = copies(a_bar((0, 0, 0), (10, 0, 0)), [(0, 0, 0), (5, 0, 0)])
    assert [(bar.name, bar.of, bar.line.start.origin[0]) for bar in found] == [("bar 1", "bar", 0), ("bar 2", "bar", 5)]


def test_names_are_used_once() -> None:
    with pytest.raises(ValueError, match="name of its own"):
        structure_of([a_bar((0, 0, 0), (1, 0, 0)), a_bar((0, 9, 0), (1, 9, 0))])


def test_a_closed_bar_is_cut_round_its_seam() -> None:
    built = build(shelf())
    elements, chains = built.frame.elements, built.frame.chains
    for first, after in zip(chains.first[:-1], chains.first[1:], strict=True):
        ends = elements.ends[first:after]
        assert np.abs(ends[1:, 0] - ends[:-1, 1]).max(initial=0.0) < 1e-9, "elements follow one another"
    assert elements.length.sum() == pytest.approx(sum(bar.length for bar in built.structure.bars))
    fine = build(shelf(), every_element=True)
    assert len(fine.frame.chains.bar) == len(fine.frame.elements)
    assert fine.frame.elements.length.sum() == pytest.approx(elements.length.sum())


def test_a_strap_pulls_both_ways() -> None:
    structure = shelf(straps=[Strap("loop", (200.0, 0.0, 0.0), (200.0, 0.0, 220.0), 300.0)])
    steady, carried = loads_of(build(structure), [LoadCase("still", "static")])
    assert np.abs(steady.at[:, :3, 0].sum(axis=0)).max() < 1e-9, "what it lifts on the bar it presses on the crate"
    assert np.abs(steady.at).max() > 200.0
    assert carried.at[:, 2, 0].sum() == pytest.approx(-SHELF_PAYLOAD.mass * 9.80665)


def test_a_push_acts_where_it_is_put() -> None:
    bar = a_bar((0, 0, 0), (200, 0, 0))
    case = LoadCase("leaning", "leaning", down=0.0, pushes=(Push(0, 120.0, (0, 5.0, 0)),))
    found = analysed(structure_of([bar], [WALL]), [case])
    assert found.reactions()[0, :3, 0] == pytest.approx((0.0, -5.0, 0.0))
    assert found.reactions()[0, 5, 0] == pytest.approx(-600.0)


def test_directions_are_made_square() -> None:
    found = Directions(up=(0, 0, 2), forward=(3, 0, 1))
    assert found.forward == pytest.approx((1, 0, 0))
    assert found.left == pytest.approx((0, 1, 0))


def test_of_several_places_as_high_the_one_farthest_from_what_holds_it_is_leaned_on() -> None:
    rail = a_bar((0, 0, 0), (300, 0, 0), name="rail")
    for held, free in ((0.0, 300.0), (300.0, 0.0), (100.0, 300.0)):
        structure = structure_of([rail], [Fixing("post", "rail", (held, 0, 0), FIXED)])
        leaned = [case.pushes[0].station for case in cases_of(USES["house"], structure) if case.kind == "leaning"]
        assert leaned == [free, free]


def test_a_person_leans_on_the_highest_place_and_a_corner_is_lifted() -> None:
    structure = shelf()
    cases = cases_of(USES["house"], structure)
    lean = [case for case in cases if case.kind == "leaning"]
    assert [case.pushes[0].force for case in lean] == [(0.0, 500.0, 0.0), (500.0, 0.0, 0.0)]
    push = lean[0].pushes[0]
    height = structure.bars[push.bar].line.pose(push.station).origin[2]
    assert height == pytest.approx(130.0, abs=1.0)
    (corner,) = [case for case in cases if case.kind == "corner"]
    assert corner.pushes[0].force[2] == pytest.approx((structure.mass + 15.0) * 9.80665 / 2)
    assert corner.pushes[0].carried[2] == pytest.approx(15.0 * 9.80665 / 2), "it grows with the payload"


def test_a_payload_on_a_line_may_roll_over() -> None:
    structure = structure_of([a_bar((0, 0, 0), (400, 0, 0))], [WALL], Payload(5.0, (200, 0, 80), ("bar",)))
    still, knocked = LoadCase("still", "static"), LoadCase("knocked", "sideways", left=0.5)
    assert "payload-tips" not in [f.code for f in judge(structure, [still], ()).findings]
    told = [f for f in judge(structure, [still, knocked], ()).findings if f.code == "payload-tips"]
    assert [f.level for f in told] == ["stop"]
    assert "knocked" in told[0].says
    assert "still" not in told[0].says


@pytest.mark.parametrize("mass", [0.0, -1.0, float("nan")])
def test_a_payload_weighs_something(mass: float) -> None:
    with pytest.raises(ValueError, match="mass above 0"):
        Payload(mass, (0, 0, 0))


def test_groups() -> None:
    groups = Groups(5)
    groups.join(3, 4)
    groups.join(1, 3)
    assert [groups.of(k) for k in range(5)] == [0, 1, 2, 1, 1]
