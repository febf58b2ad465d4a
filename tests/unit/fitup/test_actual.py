"""What a bar really is like: readings, their slopes, scipy's own answer, and misread numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import least_squares

from bentwork.fitup.actual import actual
from bentwork.fitup.doubted import judged, settled
from bentwork.fitup.made import ANGLE, DIRECTION, Bar, Floats, on_the_bar
from bentwork.fitup.readings import USUAL_SD, Reading, expected
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.fitup.slips import otherwise_read
from bentwork.fitup.spots import Spot
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.tooling.bender import Accuracy
from tests.unit.fitup.bars import a_bar, rectangle, stay, upturned_loop

HAND = Accuracy(1.0, 1.5, 0.7)
ACROSS = (Spot("first", corner=1), Spot("third", corner=3))
TO_END = (Spot("first", corner=1), Spot("end", at=0.0))


def kinds(value: float = 0.0) -> list[Reading]:
    return [
        Reading("angle", value, 2),
        Reading("rotation", value, 3),
        Reading("position", value, 1),
        Reading("leg", value, 1),
        Reading("leg", value, 3),
        Reading("across", value, spots=ACROSS),
        Reading("across", value, spots=TO_END),
        Reading("rock", value),
        Reading("height", value, spots=(*TO_END, Spot("second", corner=2), ACROSS[1])),
    ]


SEAM = [Reading("gap", 0.0), Reading("sideways", 0.0), Reading("upwards", 0.0)]


@pytest.mark.parametrize("seed", range(3))
def test_slopes_of_readings_are_those_of_finite_differences(seed: int) -> None:
    bar = a_bar(np.random.default_rng(seed), 5)
    for made, readings in (((True,) * 5, kinds() + SEAM), ((True, True, True, False, False), kinds())):
        for reading in readings:
            _, slopes = expected(reading, bar, bar.values, made)
            for kind in range(5):
                for bend in range(5):
                    step = np.zeros_like(bar.values)
                    step[kind, bend] = 1e-3
                    high, low = (expected(reading, bar, bar.values + s * step, made)[0] for s in (1.0, -1.0))
                    assert slopes[kind, bend] == pytest.approx((high - low) / 2e-3, abs=2e-3), (reading, kind, bend)


def test_legs_and_distances_are_those_of_the_centreline() -> None:
    table = stay()
    bar, corners = on_the_bar(table, "end"), Centreline(table).corners
    everything = (True,) * 5
    for number in range(1, 7):
        leg, _ = expected(Reading("leg", 0.0, number), bar, bar.values, everything)
        assert leg == pytest.approx(math.dist(corners[number - 1], corners[number]))
    across, _ = expected(Reading("across", 0.0, spots=ACROSS), bar, bar.values, everything)
    assert across == pytest.approx(math.dist(corners[1], corners[3]))


def test_what_is_not_there_cannot_be_read() -> None:
    bar = on_the_bar(stay())
    made = (True, False, False, False, False)
    with pytest.raises(ValueError, match="not made yet"):
        expected(Reading("angle", 90.0, 2), bar, bar.values, made)
    with pytest.raises(ValueError, match="no bend 9"):
        expected(Reading("angle", 90.0, 9), bar, bar.values, made)
    with pytest.raises(ValueError, match="not bent yet"):
        expected(Reading("across", 90.0, spots=ACROSS), bar, bar.values, made)
    with pytest.raises(ValueError, match="all its bends"):
        expected(SEAM[0], bar, bar.values, made)
    with pytest.raises(ValueError, match="begin with bend 2"):
        Reading("rotation", 0.0, 1)
    hoop = on_the_bar(BendTable((200.0, 200.0), (Bend(100.0, 180.0),)))
    for reading in (Reading("leg", 1.0, 1), Reading("across", 1.0, spots=(Spot("one", corner=1), Spot("end", at=0.0)))):
        with pytest.raises(ValueError, match="is a return"):
            expected(reading, hoop, hoop.values, (True,))
    with pytest.raises(ValueError, match="has 4 spots, not 2"):
        Reading("height", 0.0, spots=ACROSS)
    with pytest.raises(ValueError, match="out by more than 0"):
        Reading("angle", 0.0, 1, sd=0.0)


def a_truth(bar: Bar, scatter: Scatter, seed: int) -> Floats:
    return bar.values + scatter.drawn(np.random.default_rng(seed), 1)[..., 0]


def read(readings: list[Reading], bar: Bar, truth: Floats, rng: np.random.Generator) -> list[Reading]:
    everything = (True,) * bar.bends
    return [
        Reading(
            one.kind,
            expected(one, bar, truth, everything)[0] + rng.normal(0.0, one.spread),
            one.number,
            one.spots,
            one.sd,
        )
        for one in readings
    ]


def many(bar: Bar) -> list[Reading]:
    found = [Reading("angle", 0.0, k + 1) for k in range(bar.bends)]
    found += [Reading("rotation", float(bar.rotations[k]), k + 1) for k in range(1, bar.bends)]
    return [*found, *SEAM, Reading("across", 0.0, spots=ACROSS), Reading("leg", 0.0, 2)]


def test_the_likeliest_bar_is_the_one_that_scipy_finds() -> None:
    """scipy.optimize.least_squares on prior and readings together, slopes by differences."""
    bar = on_the_bar(upturned_loop())
    common = np.zeros((1, 5, 8))
    common[0, ANGLE] = 1.0
    scatter = scatter_of(bar, HAND, common=common)
    readings = read(many(bar), bar, a_truth(bar, scatter, 3), np.random.default_rng(4))
    found = actual(bar, bar.values, scatter, range(1, 9), readings)
    flat = scatter.roots.reshape(-1, bar.values.size)

    def out(at: Floats) -> Floats:
        values = bar.values + (at @ flat).reshape(bar.values.shape)
        misses = [(expected(one, bar, values, (True,) * 8)[0] - one.value) / one.spread for one in readings]
        return np.concatenate((misses, at))

    peer = least_squares(out, np.zeros(len(flat)), x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    assert found.errors == pytest.approx(peer.x, abs=2e-3)
    assert found.spread == pytest.approx(np.linalg.inv(peer.jac.T @ peer.jac), abs=2e-3)


def test_what_is_left_open_holds_the_truth_as_often_as_it_says() -> None:
    """200 made-up loops: two standard deviations hold the true angle and gap in 95 of 100."""
    bar = on_the_bar(upturned_loop())
    common = np.zeros((1, 5, 8))
    common[0, ANGLE] = 1.5
    scatter = scatter_of(bar, HAND, common=common)
    inside, narrower = [], []
    for seed in range(200):
        truth = a_truth(bar, scatter, seed)
        readings = read(many(bar), bar, truth, np.random.default_rng(1000 + seed))
        found = actual(bar, bar.values, scatter, range(1, 9), readings)
        inside += (np.abs(found.values - truth) < 1.96 * found.sd + 1e-9)[[ANGLE, DIRECTION]].ravel().tolist()
        narrower.append(found.sd[ANGLE].max())
    # A sixteenth, the direction of the first bend, is always right; errors of one loop hang together.
    assert np.mean(inside) == pytest.approx(0.953, abs=0.025)
    assert max(narrower) < 0.5


def test_one_angle_tells_of_the_springback_of_bends_to_come() -> None:
    bar = on_the_bar(stay())
    common = np.zeros((1, 5, 5))
    common[0, ANGLE] = 2.0
    scatter = scatter_of(bar, Accuracy(0.5, 1.5, 0.7), common=common)
    found = actual(bar, bar.values, scatter, [1], [Reading("angle", 57.0, 1, sd=0.3)])
    # By hand: the common part of a bend 3 degrees short is 2^2 / (2^2 + 0.5^2 + 0.3^2) of it.
    assert found.out[ANGLE, 4] == pytest.approx(-3.0 * 4.0 / 4.34)
    assert found.sd[ANGLE, 4] == pytest.approx(math.sqrt(4.0 - 16.0 / 4.34 + 0.25))
    assert found.foretold(Reading("angle", 0.0, 1))[0] == pytest.approx(60.0 - 3.0 * 4.25 / 4.34)


@pytest.mark.parametrize(
    ("meant", "typed", "cause"),
    [
        (89.0, 98.0, "digits swapped"),
        (72.0, 108.0, "the other side of the gauge"),
        (90.5, 60.5, "a neighbouring key"),
        (88.0, 78.0, "misread by 5 or 10"),
    ],
)
def test_a_misread_angle_is_asked_about(meant: float, typed: float, cause: str) -> None:
    bar = on_the_bar(rectangle())
    values = bar.values.copy()
    values[ANGLE, 1] = round(meant)
    intended = bar.with_values(values)
    readings = [Reading("angle", 90.3, 1), Reading("angle", typed, 2), Reading("rotation", 0.4, 2)]
    found, doubts = judged(intended, values, scatter_of(intended, HAND), [1, 2], readings)
    assert len(doubts) == 1
    assert (doubts[0].meant, doubts[0].others[0].cause) == (meant, cause)
    assert doubts[0].left_out
    assert f"Did you mean {meant:g}" in doubts[0].words(str)
    assert settled(readings[1], doubts[0]) == Reading("angle", meant, 2)
    assert found.values[ANGLE, 1] == pytest.approx(round(meant), abs=0.5)
    assert sum(other.chance for other in doubts[0].others) == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(
    ("really", "keyed", "cause", "told"),
    [
        (-4.0, 4.0, "the wrong sign", "4 mm towards end A"),
        (2.5, 25.0, "the point one place off", "2.5 mm towards end B"),
        (-1.2, -12.0, "the point one place off", "1.2 mm towards end A"),
        (3.1, 31.0, "the point one place off", "3.1 mm towards end B"),
        (5.0, 8.0, "a neighbouring key", "5 mm towards end B"),
    ],
)
def test_a_distance_off_the_mark_that_was_misread_is_asked_about(
    really: float, keyed: float, cause: str, told: str
) -> None:
    """By geometry: a bend that comes out later makes the leg before it longer by as much, and the next one shorter."""
    bar = on_the_bar(rectangle())
    first, mark, third = marks_of(bar)
    legs = [float(expected(Reading("leg", 0.0, leg), bar, bar.values, (True,) * 4)[0]) for leg in (2, 3)]
    assert legs == pytest.approx([300.0, 400.0])
    rest = [Reading("leg", 300.0 + really, 2), Reading("leg", 400.0 - really, 3)]
    rest += [Reading("begins", first, 1), Reading("begins", third, 3)]
    begins = Reading("begins", mark + keyed, 2, mark=mark)
    made, wide = [1, 2, 3], scatter_of(bar, Accuracy(1.0, 1.5, 2.0))
    found, doubts = judged(bar, bar.values, wide, made, [*rest, begins])
    (doubt,) = [doubt for doubt in doubts if doubt.reading is begins]
    assert doubt.left_out
    assert doubt.others[0].cause == cause
    assert doubt.meant == pytest.approx(mark + really)
    assert f"Did you mean {told} ({cause})?" in doubt.words(lambda mm: f"{round(mm, 1):g} mm")
    assert found.foretold(begins)[0] == pytest.approx(mark + really, abs=0.8)
    assert not judged(bar, bar.values, wide, made, [*rest, settled(begins, doubt)])[1]


def marks_of(bar: Bar) -> list[float]:
    """Where the first three bends of a bar begin as drawn."""
    asked = [Reading("begins", 0.0, bend) for bend in (1, 2, 3)]
    return [float(expected(one, bar, bar.values, (True,) * bar.bends)[0]) for one in asked]


def test_a_place_on_a_tape_is_taken_for_one_and_not_for_a_distance_off_the_mark() -> None:
    """325 is keyed in as it is; 25 off 300.371234 is not keyed in as 325.371234; of 325 and 25 it may be either."""

    def values(place: float, mark: float) -> set[float]:
        return {round(value, 4) for _, value in otherwise_read(Reading("begins", place, 2, mark=mark))}

    assert values(325.0, 300.371234) >= {235.0, 352.0, 32.5}
    assert not values(325.0, 300.371234) & {round(300.371234 - 24.628766, 4)}
    assert values(325.371234, 300.371234) >= {275.3712, 302.8712, 352.3712}
    assert not values(325.371234, 300.371234) & {235.3712, 32.5371}
    assert values(325.0, 300.0) >= {275.0, 302.5, 352.0, 235.0, 32.5}


def test_what_lies_off_the_mark_and_fits_the_rest_is_believed() -> None:
    bar = on_the_bar(rectangle())
    mark = marks_of(bar)[1]
    readings = [Reading("leg", 304.0, 2), Reading("leg", 396.0, 3), Reading("begins", mark + 4.0, 2, mark=mark)]
    assert judged(bar, bar.values, scatter_of(bar, Accuracy(1.0, 1.5, 2.0)), [1, 2, 3], readings)[1] == ()


def test_a_large_but_possible_error_is_believed() -> None:
    bar = on_the_bar(rectangle())
    readings = [Reading("angle", 93.6, 2, sd=0.3), Reading("leg", 400.0 - 3.9, 3, sd=0.5)]
    found, doubts = judged(bar, bar.values, scatter_of(bar, Accuracy(2.0, 1.5, 3.0)), [1, 2], readings[:1])
    assert doubts == ()
    assert found.values[ANGLE, 1] == pytest.approx(93.5, abs=0.2)


def test_a_length_in_inches_is_seen() -> None:
    bar = on_the_bar(rectangle())
    found = dict(otherwise_read(Reading("leg", 11.8, 2)))
    assert found["inches for mm"] == pytest.approx(299.72)
    _, doubts = judged(bar, bar.values, scatter_of(bar, HAND), [1, 2], [Reading("leg", 11.81, 2)])
    assert doubts[0].others[0].cause == "inches for mm"


def test_of_two_that_contradict_one_another_the_one_that_cannot_be_is_left_out() -> None:
    """The distance would want a bend of some 170 degrees; it is the distance that is wrong, however far each is off."""
    bar = on_the_bar(rectangle())
    wild = Reading("across", 20.0, spots=(Spot("end A", at=0.0), Spot("end B", at=bar.length)))
    readings = [Reading("angle", float(bar.values[ANGLE, 0]) + 3.5, 1), wild]
    found, doubts = judged(bar, bar.values, scatter_of(bar, HAND), [1], readings)
    assert [doubt.reading.kind for doubt in doubts if doubt.left_out] == ["across"]
    assert found.values[ANGLE, 0] == pytest.approx(bar.values[ANGLE, 0] + 2.8, abs=0.3)


def test_good_readings_are_seldom_doubted() -> None:
    bar = on_the_bar(upturned_loop())
    scatter = scatter_of(bar, HAND)
    doubted = 0
    for seed in range(40):
        readings = read(many(bar), bar, a_truth(bar, scatter, seed), np.random.default_rng(seed))
        doubted += bool(judged(bar, bar.values, scatter, range(1, 9), readings)[1])
    assert doubted <= 4
    assert set(USUAL_SD) >= {one.kind for one in many(bar)}
