"""How many more test bends are worth making."""

from __future__ import annotations

import math

import pytest

from bentwork.stock.section import Round, Tube
from tests.unit.bending.test_fit import a_set_up, fitted, read_off

SET_UP = a_set_up()


def test_before_the_first_one_or_two_are_worth_making() -> None:
    advice = fitted(SET_UP).advice((90.0, 45.0))
    assert 1 <= advice.more <= 3
    assert advice.worst == 90.0
    assert advice.accuracy == 1.0
    assert advice.now > 2.0 * advice.after_one > 2.0 * advice.after
    assert advice.angle in (45.0, 90.0, 120.0)
    assert [one.half_width for one in advice.following] == sorted(
        (o.half_width for o in advice.following), reverse=True
    )
    assert len(advice.following) == 5


def test_after_many_none_is() -> None:
    bends = [read_off(SET_UP, left * 1.06 + 0.5, left) for left in (45.0, 70.0, 90.0, 120.0) for _ in range(2)]
    advice = fitted(SET_UP, *bends).advice((90.0, 45.0))
    assert (advice.more, advice.angle) == (0, None)
    assert advice.after == advice.now
    assert advice.after_one < advice.now


def test_a_more_accurate_hand_has_more_of_it() -> None:
    found = fitted(SET_UP)
    assert [found.advice((90.0,), accuracy).more for accuracy in (5.0, 1.0, 0.05)] == sorted(
        found.advice((90.0,), accuracy).more for accuracy in (5.0, 1.0, 0.05)
    )
    assert found.advice((90.0,), 20.0).more == 0
    assert found.advice((90.0,), 0.05).more == 5


def test_bars_that_hardly_spring_back_need_fewer() -> None:
    tube = a_set_up(Tube(25.0, 1.5), "S235", 75.0, "draw")
    thin = a_set_up(Round(4.0), "7075-T6", 70.0)
    assert fitted(tube).advice((90.0,)).more <= fitted(SET_UP).advice((90.0,)).more <= fitted(thin).advice((90.0,)).more


def test_what_it_foretells_comes_true() -> None:
    """The half width after one more test bend at the advised angle, when it reads as foretold."""
    before = fitted(SET_UP, read_off(SET_UP, 96.0, 90.0))
    advice = before.advice((120.0,), 0.3)
    assert advice.angle is not None
    pulled = before.pull(advice.angle).bend_to
    after = fitted(SET_UP, read_off(SET_UP, 96.0, 90.0), read_off(SET_UP, pulled, advice.angle))
    pull = after.pull(120.0)
    assert advice.after_one == pytest.approx((pull.high - pull.low) / 2.0, rel=0.05)


def test_no_angle_beyond_the_bender_is_advised() -> None:
    found = fitted(a_set_up(max_angle=100.0))
    assert all(one.angle <= 100.0 for one in found.advice((90.0, 170.0)).following)
    assert fitted(a_set_up(max_angle=20.0)).advice((170.0,)).following


@pytest.mark.parametrize(("angles", "accuracy"), [((0.0,), 1.0), ((400.0,), 1.0), ((90.0,), 0.0), ((90.0,), math.nan)])
def test_what_makes_no_sense(angles: tuple[float, ...], accuracy: float) -> None:
    with pytest.raises(ValueError, match=r"angles|accuracy"):
        fitted(SET_UP).advice(angles, accuracy)


def test_without_a_job_it_is_for_the_usual_angles() -> None:
    assert fitted(SET_UP).advice(()).worst == 120.0
