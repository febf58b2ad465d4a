from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.sheets.lay import FLAT, Lay, lay_down
from bentwork.space import Pose, Vec, cross, dot, norm, rotate, unit
from tests.make import PAPER_EXAMPLES, a_subject, paper_subject


def same_way(a: Vec, b: Vec) -> bool:
    return dot(a, b) > 1.0 - 1e-9


def right_handed(lay: Lay) -> bool:
    return same_way(cross(lay.along, lay.across), lay.up) and abs(dot(lay.along, lay.across)) < 1e-9


@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_nothing_reaches_below_the_paper(name: str) -> None:
    line = paper_subject(name).line
    lay = lay_down(line)
    assert right_handed(lay)
    assert norm(lay.along) == pytest.approx(1.0)
    heights = [lay.height((float(x), float(y), float(z))) for x, y, z in line.sample(0.1)]
    assert min(heights) >= -0.5
    assert min(heights) <= 0.5


@given(st.floats(-180, 180), st.floats(-180, 180), st.floats(-180, 180))
def test_a_piece_in_one_plane_lies_in_its_own(a: float, b: float, c: float) -> None:
    """However it stands in space: every length on the paper is a true length."""

    def turned(v: Vec) -> Vec:
        return rotate(rotate(rotate(v, (1.0, 0.0, 0.0), a), (0.0, 1.0, 0.0), b), (0.0, 0.0, 1.0), c)

    start = Pose((10.0, 20.0, 30.0), turned((1.0, 0.0, 0.0)), turned((0.0, 0.0, 1.0)))
    line = Centreline(BendTable((100.0, 80.0, 60.0), (Bend(30.0, 90.0), Bend(30.0, 45.0, 180.0))), start)
    lay = lay_down(line)
    assert lay.is_flat(line)
    ends = lay.place(line.end.origin)
    assert math.hypot(*ends) == pytest.approx(math.dist(line.start.origin, line.end.origin), abs=1e-6)


def test_a_loop_with_upturned_ends_lies_on_its_two_long_sides() -> None:
    subject = paper_subject("loop")
    lay = lay_down(subject.line)
    assert same_way(lay.up, (0.0, 0.0, 1.0))
    assert not lay.is_flat(subject.line)
    assert lay.height((475.0, 150.0, 129.904)) == pytest.approx(129.904)


def test_of_three_straights_at_right_angles_the_two_longest_lie() -> None:
    """The plane of the principal extents would leave none of them on the paper."""
    line = a_subject([(0, 0, 0), (300, 0, 0), (300, 200, 0), (300, 200, 100)], 20.0).line
    lay = lay_down(line)
    assert abs(dot(lay.up, (0.0, 0.0, 1.0))) == pytest.approx(1.0)
    assert lay.height((300.0, 200.0, 100.0)) == pytest.approx(100.0)


def test_a_piece_is_looked_at_from_above_or_from_in_front() -> None:
    assert same_way(lay_down(a_subject([(0, 0, 0), (200, 0, 0), (200, 90, 0)], 30.0).line).up, (0.0, 0.0, 1.0))
    front = lay_down(a_subject([(0, 0, 0), (200, 0, 0), (200, 0, 90)], 30.0).line)
    assert same_way(front.up, (0.0, -1.0, 0.0))
    assert front.place((200.0, 0.0, 90.0)) == pytest.approx((200.0, 90.0))


def test_the_longest_straight_runs_along() -> None:
    way = unit((3.0, 4.0, 0.0))
    line = a_subject([(0, 0, 0), (60 * way[0], 60 * way[1], 0), (400 * way[0], 500 * way[1], 0)], 20.0).line
    lay = lay_down(line)
    longest = max((run for run in line.runs if not run.bend), key=lambda run: run.length)
    assert abs(dot(longest.start.tangent, lay.along)) == pytest.approx(1.0)


@pytest.mark.parametrize("points", [[(0, 0, 0), (100, 0, 0)], [(0, 0, 0), (0, 0, 80)], [(1, 2, 3), (7, -20, 60)]])
def test_a_straight_bar_lies_flat(points: list[Vec]) -> None:
    line = a_subject(points).line
    lay = lay_down(line)
    assert lay.is_flat(line)
    assert abs(lay.place(line.end.origin)[0]) == pytest.approx(math.dist(*points))


def test_a_ring_of_one_bend_lies_flat() -> None:
    line = Centreline(BendTable((0.0, 0.0), (Bend(100.0, 340.0),)))
    assert lay_down(line).is_flat(line)


def test_turning_keeps_the_piece() -> None:
    lay = lay_down(paper_subject("hook").line)
    turned = lay.turned()
    assert right_handed(turned)
    x, y = lay.place((50.0, 30.0, 0.0))
    assert turned.place((50.0, 30.0, 0.0)) == pytest.approx((y, -x))
    assert lay.turned().turned().turned().turned().along == pytest.approx(lay.along)


def test_heights_are_told_from_half_a_millimetre_on() -> None:
    assert FLAT == 0.5


def test_a_piece_without_length_lies_nowhere() -> None:
    with pytest.raises(ValueError, match="without length"):
        lay_down(Centreline(BendTable((0.0,))))
