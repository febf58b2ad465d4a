"""Holes of a bracket after test bends: on the bender of school geometry they come as far from corners as drawn."""

from __future__ import annotations

import math

import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import as_learnt, marks_for
from tests.truth.test_learnt_marks import PlainBender


@pytest.mark.parametrize("angles", [(90.0, 60.0), (45.0, 105.0), (75.0, 75.0)])
def test_a_hole_comes_as_far_from_the_corner_as_it_is_drawn(angles: tuple[float, float]) -> None:
    bender = PlainBender()
    straights = (150.0, 180.0, 160.0)
    table = BendTable(straights, tuple(Bend(bender.radius, angle) for angle in angles))
    marks, _ = as_learnt(marks_for(table), table, bender.learnt())
    for number, (mark, bend) in enumerate(zip(marks, table.bends, strict=True), 1):
        drawn_end = table.spans[number - 1][1]
        x = drawn_end + 40.0 + mark.moved  # a hole 40 beyond the drawn bend
        start = mark.lined_up(None, "A") + bender.behind  # where it really begins
        made = x - (start + bender.arc(bend.angle)) + bender.setback(bend.angle)
        drawn = 40.0 + bend.radius * math.tan(math.radians(bend.angle) / 2.0)
        assert made == pytest.approx(drawn, abs=0.25)  # as near as the learnt marks themselves come
