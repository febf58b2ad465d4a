"""Coordinates from readings: kinds, what holds the whole, mirror images, what is missing, left against right."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import combinations

import numpy as np
import pytest

from bentwork.parts.survey import Survey, survey
from bentwork.parts.survey_equations import predicted, slopes
from bentwork.parts.survey_names import pairs_of, side_of_name
from bentwork.parts.survey_next import missing, sure_to_all
from bentwork.parts.survey_odd import checked, fits, odd_readings
from bentwork.parts.survey_reading import Kind, Level, Reading, Spot, expand
from bentwork.parts.survey_sides import sides_of
from bentwork.space import Vec

PLACES = {"a": (0.0, 0.0, 0.0), "b": (400.0, 30.0, 20.0), "c": (120.0, 310.0, 45.0), "d": (90.0, 120.0, 280.0)}


def far(one: str, other: str) -> float:
    return math.dist(PLACES[one], PLACES[other])


def distances(places: Mapping[str, Vec]) -> list[Reading]:
    pairs = combinations(places, 2)
    return [Reading("distance", (one, other), math.dist(places[one], places[other])) for one, other in pairs]


def all_distances(names: str = "abcd") -> list[Reading]:
    return [Reading("distance", pair, far(*pair)) for pair in combinations(names, 2)]


@pytest.mark.parametrize(
    ("kind", "points", "says"),
    [
        ("distance", ("a", "b"), math.sqrt(400**2 + 30**2 + 20**2)),
        ("slope", ("a", "b"), math.sqrt(400**2 + 30**2 + 20**2)),
        ("plan", ("a", "b"), math.hypot(400, 30)),
        ("height", ("d",), 280.0 + 15.0),
        ("rise", ("b", "c"), 25.0),
        ("level", ("b", "c"), 25.0),
        ("across", ("c", "b"), 280.0),
        ("ahead", ("b", "d"), 310.0),
        ("along", ("a", "b", "c"), (120 * 400 + 310 * 30 + 45 * 20) / math.sqrt(400**2 + 30**2 + 20**2)),
    ],
)
def test_what_each_kind_reads(kind: Kind, points: tuple[str, ...], says: float) -> None:
    names = {name: number for number, name in enumerate(PLACES)}
    places = np.array(list(PLACES.values()))
    equation = expand((Reading(kind, points, 1.0 if kind != "level" else 0.0),), names, Level())[0]
    assert predicted(equation, places, -15.0) == pytest.approx(says)


@pytest.mark.parametrize("kind", ["distance", "plan", "rise", "across", "ahead", "along", "offset"])
def test_slopes_are_those_of_small_steps(kind: Kind) -> None:
    names = {name: number for number, name in enumerate(PLACES)}
    places = np.array(list(PLACES.values()))
    points = ("a", "b", "c") if kind in ("along", "offset") else ("b", "d")
    equations = expand((Reading(kind, points, 5.0, 2.0),), names, Level(forward=(0.6, 0.8, 0.0)))
    exact = slopes(equations, places, 0.0)[0]
    for k in range(12):
        step = np.zeros(12)
        step[k] = 1e-4
        high, low = (predicted(equations[0], places + sign * step.reshape(-1, 3), 0.0) for sign in (1.0, -1.0))
        assert exact[k] * 2.0 == pytest.approx((high - low) / 2e-4, abs=1e-6)


def test_a_point_on_its_string_is_told_both_ways() -> None:
    spots = [Spot("a", at=PLACES["a"]), Spot("b", at=PLACES["b"]), Spot("p", near=(210.0, 40.0, -20.0))]
    found = survey(spots, [Reading("along", ("a", "b", "p"), 200.0), Reading("offset", ("a", "b", "p"), 0.0)])
    share = 200.0 / far("a", "b")
    assert found.place("p") == pytest.approx([share * c for c in PLACES["b"]], abs=1e-6)
    assert not any(found.untold)


def test_distances_alone_are_held_by_the_sketch() -> None:
    spots = [Spot(name, near=(x + 10.0, y - 20.0, z + 5.0)) for name, (x, y, z) in PLACES.items()]
    found = survey(spots, all_distances())
    for one, other in combinations(PLACES, 2):
        assert math.dist(found.place(one), found.place(other)) == pytest.approx(far(one, other), abs=1e-6)
    assert found.place("a") == pytest.approx((10.0, -20.0, 5.0))  # the first stays where it is sketched
    way = np.subtract(found.place("b"), found.place("a"))
    assert np.cross(way, np.subtract(PLACES["b"], PLACES["a"])) == pytest.approx((0.0, 0.0, 0.0), abs=1e-3)
    assert found.degrees == 0
    assert found.other is None
    assert "a stays where it is sketched" in found.datum.held


def test_heights_know_which_way_is_up_and_how_high_the_ground_is() -> None:
    spots = [Spot("a", at=(0.0, 0.0, 0.0)), *(Spot(name, near=PLACES[name]) for name in "bcd")]
    heights = [Reading("height", (name,), PLACES[name][2] + 312.0) for name in PLACES]
    found = survey(spots, [*all_distances(), *heights])
    assert found.ground == pytest.approx(-312.0, abs=1e-6)
    assert found.place("d")[2] == pytest.approx(280.0, abs=1e-6)
    given = survey(spots, [*all_distances(), *heights[1:]], ground=-312.0)
    assert given.ground == -312.0
    assert given.place("d")[2] == pytest.approx(280.0, abs=1e-6)


def test_a_sketch_tells_a_shape_from_its_mirror_image() -> None:
    above = [Spot(name, near=place) for name, place in PLACES.items()]
    below = [*above[:3], Spot("d", near=(90.0, 120.0, -300.0))]
    assert survey(above, all_distances()).place("d")[2] == pytest.approx(280.0, abs=1e-5)
    assert survey(below, all_distances()).place("d")[2] < -200.0
    # without a sketch of that point both are as good, and it is said
    open_one = survey([*above[:3], Spot("d")], all_distances())
    assert open_one.other is not None


def test_names_tell_left_from_right() -> None:
    places = {"left lug": (0.0, 200.0, 300.0), "right lug": (0.0, -200.0, 300.0), "nose": (500.0, 20.0, 90.0)}
    readings = [
        Reading("distance", pair, math.dist(places[pair[0]], places[pair[1]])) for pair in combinations(places, 2)
    ]
    readings += [Reading("height", (name,), place[2]) for name, place in places.items()]
    found = survey([Spot(name) for name in places], readings)
    assert found.place("left lug")[1] > found.place("right lug")[1]
    for one, other in combinations(places, 2):
        assert math.dist(found.place(one), found.place(other)) == pytest.approx(math.dist(places[one], places[other]))


def test_what_is_not_told_is_said_and_what_would_tell_it() -> None:
    spots = [Spot(name, near=place) for name, place in PLACES.items()]
    found = survey(spots, [one for one in all_distances() if one.points not in (("b", "d"), ("c", "d"))])
    assert found.untold == (False, False, False, True)
    assert found.untold_count == 2
    assert found.sure_to("d") == math.inf
    wanted = missing(found, ["d"])
    assert [one.tells for one in wanted[:2]] == [True, True]
    assert all("d" in one.points for one in wanted[:2])
    more = [*found.readings, *(Reading("distance", pair, far(*pair)) for pair in (("b", "d"), ("c", "d")))]
    assert not any(survey(spots, more).untold)


def test_the_promise_of_a_further_reading_is_kept() -> None:
    spots, readings = _checked_box()
    found = survey(spots, [*readings[:6], *readings[7:9], *readings[10:]])
    best = missing(found, ["d"])[0]
    assert best.before == pytest.approx(sure_to_all(found, ["d"]))
    assert best.about is not None
    taken = survey(spots, [*found.readings, Reading(best.kind, best.points, best.about)])
    assert sure_to_all(taken, ["d"]) == pytest.approx(best.after, rel=1e-6)
    assert best.after < best.before


def test_nothing_is_missing_when_all_is_sure() -> None:
    found = survey([Spot(name, near=place) for name, place in PLACES.items()], all_distances())
    assert missing(found, good=50.0) == ()


def _checked_box() -> tuple[list[Spot], list[Reading]]:
    spots = [Spot(name, near=place) for name, place in PLACES.items()] + [Spot("e", near=(300.0, 260.0, 190.0))]
    places = {**PLACES, "e": (300.0, 260.0, 190.0)}
    readings = [
        Reading("distance", pair, math.dist(places[pair[0]], places[pair[1]])) for pair in combinations(places, 2)
    ]
    return spots, [*readings, *(Reading("height", (name,), place[2]) for name, place in places.items())]


def test_a_misread_tape_is_found() -> None:
    spots, readings = _checked_box()
    readings[6] = Reading("distance", readings[6].points, readings[6].value + 30.0)
    found = survey(spots, readings)
    assert not fits(found)
    odd, without = odd_readings(found)
    assert [one.reading for one in odd] == [6]
    assert odd[0].off == pytest.approx(30.0, abs=0.5)
    assert odd[0].rest == pytest.approx(readings[6].value - 30.0, abs=0.5)
    assert fits(without)
    assert len(without.readings) == len(readings) - 1


def test_readings_that_agree_are_left_alone() -> None:
    spots, readings = _checked_box()
    odd, without = odd_readings(survey(spots, readings))
    assert odd == ()
    assert fits(without)


def test_nothing_checks_a_reading_that_is_needed() -> None:
    found = survey([Spot(name, near=place) for name, place in PLACES.items()], all_distances())
    assert all(one.redundancy == 0.0 and one.least_found == math.inf for one in checked(found))


def _tilted() -> Survey:
    places = {
        "left lug": (400.0, 200.0, 300.0), "right lug": (400.0, -200.0, 303.0),
        "left foot": (0.0, 250.0, 10.0), "right foot": (0.0, -250.0, 10.0), "nose": (700.0, 0.0, 100.0),
    }  # fmt: skip
    readings = [
        Reading("distance", pair, math.dist(places[pair[0]], places[pair[1]])) for pair in combinations(places, 2)
    ]
    readings += [Reading("height", (name,), place[2]) for name, place in places.items()]
    return survey([Spot(name, near=place) for name, place in places.items()], readings)


def test_left_against_right() -> None:
    found = _tilted()
    sides = sides_of(found, pairs_of([spot.name for spot in found.spots]))
    assert sides is not None
    assert sides.upright
    lug, foot = sides.differences
    assert (lug.left, lug.right) == ("left lug", "right lug")
    assert lug.up == pytest.approx(-3.0, abs=1e-6)  # left is 3 mm lower
    assert foot.up == pytest.approx(0.0, abs=1e-6)
    assert lug.ahead == pytest.approx(0.0, abs=1e-3)
    assert 0.5 < lug.sure[2] < 1.5  # of two heights read to 1 mm each, with distances to help
    assert sides.at == pytest.approx(0.0, abs=1e-3)


def test_pairs_by_their_names() -> None:
    assert side_of_name("Left lug") == 1
    assert side_of_name("lug right") == -1
    assert side_of_name("leftover") == 0
    assert side_of_name("from left to right") == 0
    assert pairs_of(["left lug", "nose", "right lug", "left foot"]) == (("left lug", "right lug"),)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="different points"):
        Reading("distance", ("a", "a"), 5.0)
    with pytest.raises(ValueError, match="accuracy above 0"):
        Reading("height", ("a",), 5.0, 0.0)
    with pytest.raises(ValueError, match="no such point"):
        survey([Spot("a")], [Reading("height", ("b",), 5.0)])
    with pytest.raises(ValueError, match="no point"):
        survey([], [])
