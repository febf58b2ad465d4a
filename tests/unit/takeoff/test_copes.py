"""How far a round bar goes that ends on a cylinder, where a formula tells it."""

from __future__ import annotations

import math

import pytest

from bentwork.takeoff.copes import cope_reach
from bentwork.takeoff.shape import Face

POST = Face("cylinder", (0.0, 0.0, 40.0), (0.0, 0.0, 1.0), radius=20.0)


def test_square_to_it_the_sides_of_the_bar_go_farthest() -> None:
    # 30 mm from the axis, towards it: where the bar is widest the post is 16 mm from its own axis (3, 4, 5).
    assert cope_reach(POST, (-30.0, 0.0, 7.0), (1.0, 0.0, 0.0), 12.0) == pytest.approx(30.0 - 16.0, abs=1e-9)


def test_as_thick_as_the_post_it_goes_to_the_middle_of_it() -> None:
    assert cope_reach(POST, (-30.0, 0.0, 7.0), (1.0, 0.0, 0.0), 20.0) == pytest.approx(30.0, abs=1e-9)


@pytest.mark.parametrize("off", [-1e-3, 1e-3])
def test_flush_with_the_post_a_thousandth_more_or_less_makes_no_difference(off: float) -> None:
    # By the formula it would be the tenth of a mm: sqrt(2 * 20 * 0.001) = 0.2.
    assert cope_reach(POST, (-30.0, 8.0 + off, 7.0), (1.0, 0.0, 0.0), 12.0) == pytest.approx(30.0, abs=1e-9)


def test_aslant_the_far_side_of_the_bar_goes_farthest() -> None:
    # A thin bar that leans by 45 degrees, 10 mm from the post: its middle has as much to go as a square's diagonal, and
    # the line on the far side half a thickness more.
    way = (math.sqrt(0.5), 0.0, math.sqrt(0.5))
    assert cope_reach(POST, (-30.0, 0.0, 0.0), way, 2.0) == pytest.approx(10.0 * math.sqrt(2.0) + 2.0, abs=1e-9)


@pytest.mark.parametrize("way", [(1.0, 0.0, 0.0), (0.0, 0.0, 1.0)])
def test_what_passes_by_or_goes_along_does_not_end_on_it(way: tuple[float, float, float]) -> None:
    assert math.isnan(cope_reach(POST, (-30.0, 15.0, 7.0), way, 12.0))
