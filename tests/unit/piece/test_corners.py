"""Corner points to bend tables, on shapes whose answer is known by hand."""

from __future__ import annotations

import math

import pytest

from bentwork.piece.corners import Corners
from bentwork.piece.misfits import MOST_MOVED, misfits
from bentwork.space import Vec
from bentwork.units import Ruler

RECTANGLE: tuple[Vec, ...] = ((0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0))


def test_a_closed_rectangle_has_its_seam_in_the_middle_of_its_longest_side() -> None:
    line = Corners(RECTANGLE, (36.0,) * 4, closed=True).centreline()
    assert line.table.straights == pytest.approx((164, 228, 328, 228, 164))
    assert [bend.angle for bend in line.table.bends] == pytest.approx([90] * 4)
    assert line.table.length == pytest.approx(2 * (400 + 300) - 4 * (2 - math.pi / 2) * 36)
    assert line.start.origin == pytest.approx((200, 0, 0))
    assert line.gap.distance < 1e-9


@pytest.mark.parametrize(("side", "fraction"), [(1, 0.5), (2, 0.25), (3, 1.0), (4, 0.0)])
def test_a_seam_may_be_put_anywhere(side: int, fraction: float) -> None:
    corners = Corners(RECTANGLE, (36.0,) * 4, closed=True)
    line = corners.centreline((side, fraction))
    whole = corners.slack(side - 1)
    assert line.table.straights[-1] == pytest.approx(fraction * whole)
    assert line.table.straights[0] == pytest.approx((1 - fraction) * whole)
    assert line.table.length == pytest.approx(corners.centreline().table.length)
    assert line.gap.distance < 1e-9


def test_a_seam_on_no_side_is_refused() -> None:
    with pytest.raises(ValueError, match="1 to 4"):
        Corners(RECTANGLE, (36.0,) * 4, closed=True).centreline((5, 0.5))


def test_rotation_is_positive_by_the_right_hand_rule_from_a_to_b() -> None:
    # Along +x, left to +y, then up: about the direction of travel (+y) the bend axis goes from +z to +x: +90 degrees.
    line = Corners(((0, 0, 0), (200, 0, 0), (200, 150, 0), (200, 150, 100)), (40.0, 40.0)).centreline()
    assert line.table.bends[1].rotation == pytest.approx(90)
    down = Corners(((0, 0, 0), (200, 0, 0), (200, 150, 0), (200, 150, -100)), (40.0, 40.0)).centreline()
    assert down.table.bends[1].rotation == pytest.approx(-90)


def test_an_offset_turns_its_second_bend_by_half_a_turn() -> None:
    line = Corners(((0, 0, 0), (200, 0, 0), (300, 100, 0), (500, 100, 0)), (30.0, 30.0)).centreline()
    assert [bend.angle for bend in line.table.bends] == pytest.approx([45, 45])
    assert line.table.bends[1].rotation == pytest.approx(180)


def test_two_right_angles_without_a_straight_make_a_return() -> None:
    line = Corners(((0, 0, 0), (200, 0, 0), (200, 80, 0), (0, 80, 0)), (40.0, 40.0)).centreline()
    assert line.table.straights == pytest.approx((160, 0, 160))
    assert line.end.tangent == pytest.approx((-1, 0, 0))
    assert line.end.origin == pytest.approx((0, 80, 0))


def test_a_straight_piece_has_no_bends() -> None:
    line = Corners(((1, 2, 3), (1, 2, 103)), ()).centreline()
    assert line.table.straights == (100.0,)
    assert line.end.origin == pytest.approx((1, 2, 103))


def test_corners_too_close_are_named_measured_and_mended() -> None:
    corners = Corners(((0, 0, 0), (400, 0, 0), (400, 60, 0), (0, 60, 0)), (36.0, 36.0))
    (finding,) = misfits(corners)
    assert finding.code == "corner-too-close"
    assert finding.level == "stop"
    assert finding.lengths["short"] == pytest.approx(12)
    assert finding.lengths["radius"] == pytest.approx(30)
    says, why, do = finding.told(Ruler())
    assert "Corners 2 and 3" in says
    assert "12 mm too little" in why
    assert "30 mm or less" in do
    assert not misfits(corners.with_radii((30.0, 30.0)))
    assert misfits(corners.with_radii((30.1, 30.1)))
    to = finding.lengths["to"]
    assert isinstance(to, tuple)
    moved = min((corners.with_point(i, to) for i in (1, 2)), key=lambda c: len(misfits(c)))
    assert not misfits(moved)


def test_the_least_shift_is_the_least() -> None:
    # One bend of 90 degrees, R 36, on a first side of 20: point 1 has to go 16 further along the bar, no less.
    corners = Corners(((0, 0, 0), (20, 0, 0), (20, 200, 0)), (36.0,))
    (finding,) = misfits(corners)
    assert "end of the bar, point 1" in finding.says
    shift = finding.lengths["shift"]
    assert isinstance(shift, float)
    assert shift <= 16 + 1e-6
    steps = [(math.cos(a), math.sin(a)) for a in (math.radians(d) for d in range(0, 360, 2))]
    for point in (0, 1):
        home = corners.points[point]
        for dx, dy in steps:
            nearer = shift - 0.3
            tried = corners.with_point(point, (home[0] + nearer * dx, home[1] + nearer * dy, 0.0))
            assert misfits(tried), "a shorter move would have done"


def zigzag(count: int, radius: float) -> Corners:
    """Corners of 90 degrees, 60 apart, in a flat zigzag."""
    points: list[Vec] = [(60.0 * ((k + 1) // 2), 60.0 * (k // 2), 0.0) for k in range(count)]
    return Corners(tuple(points), (radius,) * (count - 2))


def test_of_many_sides_too_short_each_is_told_with_its_radius_and_only_of_few_a_point_to_move() -> None:
    # 36 from either end leave nothing of 60; the first and the last side have one bend each, and fit.
    for short, moved in ((MOST_MOVED, True), (MOST_MOVED + 1, False)):
        found = misfits(zigzag(short + 3, 36.0))
        assert [finding.corner for finding in found] == list(range(3, short + 3))
        assert all(finding.lengths["radius"] == pytest.approx(30.0) for finding in found)
        assert any("shift" in finding.lengths for finding in found) is moved
        assert all(finding.lengths["short"] == pytest.approx(12.0) for finding in found)
    assert not misfits(zigzag(200, 30.0))


def test_of_corners_with_radii_of_their_own_the_two_beside_the_side_are_made_smaller() -> None:
    points: tuple[Vec, ...] = ((0, 0, 0), (90, 0, 0), (90, 70, 0), (150, 70, 0), (150, 170, 0))
    # Between 2 and 3 there are 70 for 40 + 36, between 3 and 4 60 for 36 + 20: only the first is too short. A radius of
    # 35 for both would fit it, and leaves 60 for 35 + 20 after it.
    (finding,) = misfits(Corners(points, (40.0, 36.0, 20.0)))
    assert finding.corner == 3
    assert finding.lengths["radius"] == pytest.approx(35.0)
    # With 30 at the last corner the side after it has 60 for 35 + 30: no more than 30 is left for corner 3.
    (first, second) = misfits(Corners(points, (40.0, 36.0, 30.0)))
    assert (first.corner, second.corner) == (3, 4)
    assert first.lengths["radius"] == pytest.approx(30.0)


def test_doubled_flat_and_folded_corners_are_each_named() -> None:
    (doubled,) = misfits(Corners(((0, 0, 0), (100, 0, 0), (100, 0, 0), (100, 100, 0)), (20.0, 20.0)))
    assert (doubled.code, doubled.corner) == ("corner-doubled", 3)
    (closing,) = misfits(Corners(((0, 0, 0), (100, 0, 0), (100, 100, 0), (0, 0, 0)), (20.0,) * 4, closed=True))
    assert (closing.code, closing.corner) == ("corner-doubled", 4)
    assert "closes by itself" in closing.do
    (flat,) = misfits(Corners(((0, 0, 0), (100, 0, 0), (200, 0, 0)), (20.0,)))
    assert (flat.code, flat.corner) == ("corner-flat", 2)
    (folded,) = misfits(Corners(((0, 0, 0), (100, 0, 0), (20, 0, 0)), (20.0,)))
    assert (folded.code, folded.corner) == ("corner-folds-back", 2)
    assert folded.lengths["width"] == pytest.approx(40)


def test_all_misfits_are_told_at_once() -> None:
    points: tuple[Vec, ...] = ((0, 0, 0), (30, 0, 0), (30, 50, 0), (300, 50, 0), (300, 60, 0), (500, 60, 0))
    found = misfits(Corners(points, (36.0,) * 4))
    assert [finding.corner for finding in found] == [2, 3, 5]


@pytest.mark.parametrize(("points", "radii"), [(((0, 0, 0),), ()), (((0, 0, 0), (1, 0, 0)), (5.0,))])
def test_too_few_points_and_wrong_counts_are_refused(points: tuple[Vec, ...], radii: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="need"):
        Corners(points, radii)
