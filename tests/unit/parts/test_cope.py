"""Copes by hand: cases whose numbers are in every head."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from bentwork.parts.cope import Cope, round_cope
from bentwork.parts.cope_unrolled import across, seam_of, unrolled
from bentwork.parts.outline import Outline


def at(cope: Cope, turn: float) -> float:
    """The outer edge at a turn, degrees."""
    return cope.outer(cope.place_at(turn))


def bevel(cope: Cope, turn: float) -> float:
    return cope.bevel(cope.place_at(turn))


def turns_of(cope: Cope) -> list[float]:
    return [low / cope.around * 360.0 for low, _ in cope.longest_at]


def test_equal_rods_square_to_one_another_are_hollowed_half_their_thickness() -> None:
    # the saddle of equal bars at 90 degrees is one radius deep: plain geometry
    cope = round_cope(12.0, 0.0, 12.0, 90.0)
    assert cope.depth == pytest.approx(6.0)
    assert cope.longest == pytest.approx(0.0)
    assert turns_of(cope) == pytest.approx([90.0, 270.0])
    assert cope.most_bevel == 0.0


def test_a_thin_rod_on_a_thick_one() -> None:
    # 8 on 20: 10 - sqrt(100 - 16)
    cope = round_cope(8.0, 0.0, 20.0, 90.0)
    assert cope.depth == pytest.approx(10.0 - math.sqrt(84.0))
    assert cope.throat == pytest.approx(10.0)


def test_a_slanting_bar_is_longest_on_the_side_of_the_wide_angle() -> None:
    # 45 degrees: heel and toe (R -+ r cos 45)/sin 45 apart by 2 r cot 45 = the thickness
    cope = round_cope(10.0, 0.0, 30.0, 45.0)
    assert at(cope, 180.0) - at(cope, 0.0) == pytest.approx(10.0)
    assert turns_of(cope) == [0.0]


@pytest.mark.parametrize("angle", [90.0, 60.0, 30.0])
def test_no_metal_is_missing_when_it_is_cut_to_the_longer_edge(angle: float) -> None:
    cope = round_cope(25.0, 21.0, 25.0, angle, 2.0)
    for turn in range(0, 360, 5):
        place = cope.place_at(turn)
        assert cope.sawn(place) <= cope.outer(place)
        assert cope.sawn(place) <= cope.inner(place)
        assert abs(cope.bevel(place)) <= cope.most_bevel


def test_square_on_the_inner_edge_touches_first_all_round() -> None:
    # inside the wall the other bar is higher: every bevel is on the inner edge
    cope = round_cope(20.0, 16.0, 25.0, 90.0)
    assert min(bevel(cope, turn) for turn in range(360)) >= 0.0
    # at turn 90: sqrt(12.5^2 - 8^2) - sqrt(12.5^2 - 10^2)
    assert bevel(cope, 90.0) == pytest.approx(math.sqrt(92.25) - 7.5)


def test_in_the_narrow_angle_the_outer_edge_touches_first() -> None:
    cope = round_cope(20.0, 16.0, 40.0, 40.0)
    assert bevel(cope, 180.0) < 0.0 < bevel(cope, 0.0)


def test_turned_over_it_is_the_mirror_image() -> None:
    one, other = round_cope(16.0, 12.0, 25.0, 55.0, 4.0), round_cope(16.0, 12.0, 25.0, 55.0, -4.0)
    assert [at(one, t) for t in range(360)] == pytest.approx([at(other, -t) for t in range(360)])
    assert one.depth == pytest.approx(other.depth)


def test_what_reaches_beside_the_other_bar_is_cut_level_with_its_middle() -> None:
    cope = round_cope(22.0, 0.0, 20.0, 90.0)
    assert cope.wider
    assert at(cope, 90.0) == pytest.approx(0.0)
    assert not round_cope(20.0, 0.0, 20.0, 90.0).wider


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        ((20.0, 20.0, 20.0, 90.0, 0.0), "diameter above its bore"),
        ((20.0, 16.0, 20.0, 0.0, 0.0), "above 0 and up to 90"),
        ((20.0, 16.0, 20.0, 91.0, 0.0), "above 0 and up to 90"),
        ((20.0, 16.0, 0.0, 90.0, 0.0), "above 0"),
        ((20.0, 16.0, 20.0, 90.0, 20.0), "beside"),
    ],
)
def test_what_is_no_cope(sizes: tuple[float, float, float, float, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        round_cope(*sizes)


# Other sections than round, by hand.

SQUARE = Outline(10.0, 10.0)  # 20 by 20


def test_square_on_square_is_a_mitre_of_one_flat_cut() -> None:
    cope = Cope(SQUARE, Outline(8.0, 8.0), SQUARE, 60.0)
    assert cope.plane
    assert cope.faces == ("face",)
    # face 10 above the middle, half 10 in the plane: (10 -+ 10 cos 60)/sin 60
    assert cope.longest == pytest.approx(5.0 / math.sin(math.radians(60.0)))
    assert cope.depth == pytest.approx(20.0 / math.tan(math.radians(60.0)))
    assert cope.folds == pytest.approx((10.0, 30.0, 50.0, 70.0))
    # the seam is at the short side, the tongue in the middle of the paper
    assert seam_of(cope) == pytest.approx(40.0)
    assert across(cope, 0.0) == pytest.approx(40.0)


def test_on_the_edge_of_a_square_bar_it_is_two_flats() -> None:
    # a tube of 16 comes down on the edge of square bar: 45 degrees to either side, so at the side it is 8 lower
    cope = Cope(Outline(8.0, 8.0, 8.0), None, SQUARE, 90.0, onto_turn=45.0)
    assert cope.faces == ("face", "face")
    assert not cope.plane
    assert cope.throat == pytest.approx(10.0 * math.sqrt(2.0))
    assert cope.depth == pytest.approx(8.0)
    assert turns_of(cope) == pytest.approx([90.0, 270.0])


def test_square_tube_on_round_has_two_level_sides_and_two_curved_ones() -> None:
    # 20 square on round 25: the middle of the face across stands at 12.5, its corners at sqrt(12.5^2 - 10^2)
    cope = Cope(SQUARE, Outline(8.5, 8.5), Outline(12.5, 12.5, 12.5), 90.0)
    assert cope.throat == pytest.approx(12.5)
    assert cope.longest == pytest.approx(7.5)
    assert [high - low for low, high in cope.longest_at] == pytest.approx([20.0, 20.0], abs=0.3)  # along both sides
    assert cope.outer(20.0) == pytest.approx(7.5)
    assert cope.inner(20.0) == pytest.approx(math.sqrt(12.5**2 - 8.5**2))


def test_equal_square_tubes_with_round_corners_reach_down_to_where_the_corner_begins() -> None:
    # 50 on 50, corners of 6: the sides lie flush, and stand 6 below the face
    cope = Cope(Outline(25.0, 25.0, 6.0), Outline(22.0, 22.0, 3.0), Outline(25.0, 25.0, 6.0), 90.0)
    assert not cope.wider
    assert cope.depth == pytest.approx(6.0)
    assert cope.faces == ("round", "face", "round")


def test_flat_bar_across_round_is_an_edge_profile() -> None:
    # 20 by 3 square across round 25, lying along it: as deep as the round falls away under 10, both faces alike
    cope = Cope(Outline(10.0, 1.5), None, Outline(12.5, 12.5, 12.5), 90.0, bar_turn=90.0)
    assert cope.depth == pytest.approx(12.5 - 7.5)
    assert cope.thick == pytest.approx(3.0)
    along = Cope(Outline(10.0, 1.5), None, Outline(12.5, 12.5, 12.5), 90.0)
    assert along.depth == pytest.approx(12.5 - math.sqrt(12.5**2 - 1.5**2))
    assert along.thick == pytest.approx(20.0)


def test_a_bar_that_passes_half_beside_a_square_one_steps_down() -> None:
    # round 20 with its middle over the edge of a square of 20: half of it stands on the face, half runs past
    cope = Cope(Outline(10.0, 10.0, 10.0), None, SQUARE, 90.0, 10.0)
    assert cope.wider
    assert cope.beyond == pytest.approx(10.0)
    assert at(cope, 270.0) == pytest.approx(10.0)
    assert at(cope, 90.0) == pytest.approx(0.0)
    ((low, high),) = cope.passing
    assert (low / cope.around * 360.0, high / cope.around * 360.0) == pytest.approx((0.0, 180.0), abs=1e-3)
    outer = unrolled(cope, cope.outer)
    steps = [b for a, b in pairwise(outer) if abs(a[1] - b[1]) > 9.9]
    assert len(steps) >= 1  # and the other one is at the seam


@pytest.mark.parametrize("angle", [10.0, 5.0, 2.0])
def test_flat_angles_have_long_tongues(angle: float) -> None:
    # heel and toe are 2 r / tan(angle) apart, and the sides of equal bars lie at the middle line
    cope = round_cope(12.0, 0.0, 25.0, angle)
    assert at(cope, 180.0) - at(cope, 0.0) == pytest.approx(12.0 / math.tan(math.radians(angle)))
    assert cope.depth == pytest.approx(12.0 / math.tan(math.radians(angle)), rel=0.02)
