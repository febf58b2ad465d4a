"""Bars as they are seen: what is drawn reaches as far as the skin does.

The reach of a round bar from its middle is half its diameter times the sine of its angle to the axis (a disc seen
aslant, plane geometry); of a flat one it is that of its corners.
"""

from __future__ import annotations

import numpy as np
import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.drawing import Stroke
from bentwork.sheets.outline import outline
from bentwork.sheets.projection import ABOVE, CORNER, FRONT, RIGHT, View
from bentwork.space import Pose
from bentwork.stock.section import Flat, Round, Section

HOOK = Centreline(
    BendTable((120.0, 90.0), (Bend(40.0, 54.0),)), Pose((3.0, 5.0, 7.0), (0.36, 0.48, 0.8), (0.8, -0.6, 0))
)
POST = Centreline(BendTable((80.0,)), Pose((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))


def filled(items: object) -> np.ndarray:
    """Points of the black discs and outlines."""
    assert isinstance(items, list)
    return np.array([p for one in items if isinstance(one, Stroke) and one.fill != "none" for p in one.points])


@pytest.mark.parametrize("view", [ABOVE, FRONT, RIGHT, CORNER])
def test_round_ends_reach_as_far_as_the_skin(view: View) -> None:
    items = draw_bars([bar_of(HOOK, Round(20.0), "easy")], view, 1.0)
    for pose in (HOOK.start, HOOK.end):
        middle, ahead = (view.flat(np.array([v]))[0] for v in (pose.origin, pose.tangent))
        near = filled(items)
        near = near[np.linalg.norm(near - middle[:2], axis=1) < 10.001]
        for axis in (0, 1):
            reach = 10.0 * np.sqrt(1.0 - ahead[axis] ** 2)
            # Chords of 48 sides fall short of the disc by 0.2 % at most.
            assert near[:, axis].max() == pytest.approx(middle[axis] + reach, abs=0.03)
            assert near[:, axis].min() == pytest.approx(middle[axis] - reach, abs=0.03)


def test_a_post_from_above_is_a_disc() -> None:
    points = filled(draw_bars([bar_of(POST, Round(20.0), "easy")], ABOVE, 1.0))
    assert np.linalg.norm(points, axis=1).max() == pytest.approx(10.0, abs=1e-9)


def test_an_end_that_sits_on_another_bar_is_not_drawn_over_it() -> None:
    rung = Centreline(BendTable((100.0,)), Pose((0.0, 0.0, 40.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    alone, on_post = (
        [item for item in draw_bars(bars, CORNER, 1.0) if isinstance(item, Stroke) and item.fill != "none"]
        for bars in ([bar_of(rung, Round(12.0), "easy")], [bar_of(one, Round(12.0), "easy") for one in (rung, POST)])
    )
    assert len(alone) == 4  # two ends, each a black and a white disc
    assert len(on_post) == 6  # both of the post, and the far one of the rung


@pytest.mark.parametrize("section", [Flat(60.0, 4.0), Round(25.0)])
@pytest.mark.parametrize("way", ["easy", "hard"])
def test_an_outline_lies_in_its_field(section: Section, way: str) -> None:
    drawn = outline(HOOK, section, "hard" if way == "hard" else "easy", 70.0, 40.0)
    for item in drawn.items:
        assert isinstance(item, Stroke)
        x, y = np.array(item.points).T
        assert 0.0 <= x.min() <= x.max() <= 70.0
        assert 0.0 <= y.min() <= y.max() <= 40.0
