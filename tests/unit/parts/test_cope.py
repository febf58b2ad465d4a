"""Copes by hand: cases whose numbers are in every head."""

from __future__ import annotations

import math

import pytest

from bentwork.parts.cope import Cope


def test_equal_rods_square_to_one_another_are_hollowed_half_their_thickness() -> None:
    # the saddle of equal bars at 90 degrees is one radius deep: plain geometry
    cope = Cope(12.0, 0.0, 12.0, 90.0)
    assert cope.depth == pytest.approx(6.0)
    assert cope.longest == pytest.approx(0.0)
    assert cope.longest_turn == pytest.approx(90.0)
    assert cope.most_bevel == 0.0


def test_a_thin_rod_on_a_thick_one() -> None:
    # 8 on 20: 10 - sqrt(100 - 16)
    cope = Cope(8.0, 0.0, 20.0, 90.0)
    assert cope.depth == pytest.approx(10.0 - math.sqrt(84.0))
    assert cope.throat == pytest.approx(10.0)


def test_a_slanting_bar_is_longest_on_the_side_of_the_wide_angle() -> None:
    # 45 degrees: heel and toe (R -+ r cos 45)/sin 45 apart by 2 r cot 45 = the thickness
    cope = Cope(10.0, 0.0, 30.0, 45.0)
    assert cope.outer(180.0) - cope.outer(0.0) == pytest.approx(10.0)
    assert cope.longest_turn in (0.0, 360.0)


@pytest.mark.parametrize("angle", [90.0, 60.0, 30.0])
def test_no_metal_is_missing_when_it_is_cut_to_the_longer_edge(angle: float) -> None:
    cope = Cope(25.0, 21.0, 25.0, angle, 2.0)
    for turn in range(0, 360, 5):
        assert cope.sawn(turn) <= cope.outer(turn)
        assert cope.sawn(turn) <= cope.inner(turn)
        assert abs(cope.bevel(turn)) <= cope.most_bevel


def test_square_on_the_inner_edge_touches_first_all_round() -> None:
    # inside the wall the other bar is higher: every bevel is on the inner edge
    cope = Cope(20.0, 16.0, 25.0, 90.0)
    assert min(cope.bevel(turn) for turn in range(360)) >= 0.0
    # at turn 90: sqrt(12.5^2 - 8^2) - sqrt(12.5^2 - 10^2)
    assert cope.bevel(90.0) == pytest.approx(math.sqrt(92.25) - 7.5)


def test_in_the_narrow_angle_the_outer_edge_touches_first() -> None:
    cope = Cope(20.0, 16.0, 40.0, 40.0)
    assert cope.bevel(180.0) < 0.0 < cope.bevel(0.0)


def test_turned_over_it_is_the_mirror_image() -> None:
    one, other = Cope(16.0, 12.0, 25.0, 55.0, 4.0), Cope(16.0, 12.0, 25.0, 55.0, -4.0)
    assert [one.outer(t) for t in range(360)] == pytest.approx([other.outer(-t) for t in range(360)])
    assert one.depth == pytest.approx(other.depth)


def test_what_reaches_beside_the_other_bar_is_cut_level_with_its_middle() -> None:
    cope = Cope(22.0, 0.0, 20.0, 90.0)
    assert cope.wider
    assert cope.outer(90.0) == pytest.approx(0.0)
    assert not Cope(20.0, 0.0, 20.0, 90.0).wider


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        ((20.0, 20.0, 20.0, 90.0, 0.0), "diameter above its bore"),
        ((20.0, 16.0, 20.0, 10.0, 0.0), "15 to 90"),
        ((20.0, 16.0, 20.0, 90.0, 20.0), "beside"),
    ],
)
def test_what_is_no_cope(sizes: tuple[float, float, float, float, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Cope(*sizes)
