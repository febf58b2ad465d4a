"""On which side of the middle a hole lies: read from the other end, in the mirror, and against places in space."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.stock.section import Flat
from bentwork.takeoff.alike import reversed_bar, with_twins
from bentwork.takeoff.bar import Bar, End, Hole, Solid, off_middle
from bentwork.takeoff.unbend import unbent

TABLES = [
    BendTable((70.0, 100.0, 70.0), (Bend(10.0, 90.0), Bend(10.0, 90.0))),
    BendTable((70.0, 100.0, 60.0), (Bend(10.0, 90.0), Bend(10.0, 60.0, 180.0))),
    BendTable((70.0, 100.0, 60.0, 50.0), (Bend(10.0, 90.0), Bend(12.0, 60.0, 35.0), Bend(10.0, 40.0, -110.0))),
]


def bar_with(line: Centreline, *holes: Hole) -> Bar:
    return Bar(line, Flat(30.0, 4.0), "easy", (End("square"), End("square")), holes)


def seen(line: Centreline, place: NDArray[np.float64]) -> list[float]:
    """Station and where beside the middle of the straightened bar a place in space lies."""
    return [float(size) for size in unbent(line, place[None])[0]]


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("through", [True, False])
def test_read_from_the_other_end_a_hole_stays_where_it_is(table: BendTable, through: bool) -> None:
    line = Centreline(table, Pose((3.0, -7.0, 20.0), (0.0, 0.6, 0.8), (0.0, 0.8, -0.6)))
    chance = np.random.default_rng(7)
    for run in line.runs:
        if run.bend or not run.length:
            continue
        pose = run.start
        for _ in range(5):
            far, inward, across = chance.uniform(0.2, 0.8) * run.length, *chance.uniform(-9.0, 9.0, 2)
            steps = zip((far, inward, across), (pose.tangent, pose.inward, pose.axis), strict=True)
            place = np.array(pose.origin) + sum(size * np.array(way) for size, way in steps)
            at, *aside = seen(line, place)
            drilled = math.degrees(math.atan2(aside[1], aside[0])) - 90.0  # square to the way out from the middle
            drilled = drilled % 180.0 if through else drilled
            hole = Hole(at, drilled, 6.0, through, off_middle((aside[0], aside[1]), drilled))
            assert hole.aside == pytest.approx(tuple(aside), abs=1e-9)
            other = reversed_bar(bar_with(line, hole))
            (turned,) = other.holes
            assert (turned.at, *turned.aside) == pytest.approx(tuple(seen(other.line, place)), abs=1e-6)
            (back,) = reversed_bar(other).holes
            assert (back.at, *back.aside) == pytest.approx((at, *aside), abs=1e-9)


def test_a_bracket_and_its_mirror_image_are_told_apart_by_a_hole_alone() -> None:
    def bracket(index: int, off: float) -> Solid:
        line = Centreline(TABLES[0])
        return Solid(index, f"bracket {index}", "piece", (bar_with(line, Hole(30.0, 0.0, 6.0, True, off)),))

    _, same, image = with_twins([bracket(1, 5.0), bracket(2, 5.0), bracket(3, -5.0)])
    assert (same.same_as, same.mirror_of) == (1, None)
    assert (image.same_as, image.mirror_of) == (None, 1)
