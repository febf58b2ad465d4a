"""The compiled search for places where bars touch against the same written plainly: alike to the last digit."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.carry.bar import Bar
from bentwork.carry.touching import touches
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.space import Pose, Vec, perpendicular, unit
from bentwork.stock.section import Flat, Round, Section, Square, Tube
from tests.frames import an_aluminium, shelf_bars
from tests.twins.touching_twin import plain_touches

SECTIONS: tuple[Section, ...] = (Round(12.0), Tube(25.0, 2.0), Square(10.0, 10.0), Flat(30.0, 4.0))


def some_bars(rng: np.random.Generator, many: int) -> list[Bar]:
    """Bars crowded into a small room, straight, bent, closed, side by side, some straights of no length."""
    bars = []
    for number in range(many):
        section = SECTIONS[int(rng.integers(len(SECTIONS)))]
        kind = rng.integers(4)
        at = _vec(rng.uniform(-100.0, 100.0, 3))
        if kind == 0:  # along an axis, so that some lie side by side and some cross squarely
            far = [*at]
            far[int(rng.integers(3))] += float(rng.choice((-200.0, 200.0)))
            line = Corners((at, _vec(far)), ()).centreline()
        elif kind == 1:
            a, b = (float(x) for x in rng.uniform(150.0, 250.0, 2))
            x, y, z = at
            corners = ((x, y, z), (x + a, y, z), (x + a, y + b, z), (x, y + b, z))
            line = Corners(corners, (40.0,) * 4, closed=True).centreline()
        else:
            way = unit(_vec(rng.normal(size=3)))
            bends = int(rng.integers(0, 4))
            table = BendTable(
                (30.0, *(float(x) * float(rng.random() < 0.8) for x in rng.uniform(0.0, 120.0, bends))),
                tuple(
                    Bend(float(rng.uniform(30.0, 80.0)), float(rng.uniform(5.0, 180.0)), 60.0 * k * (k > 0))
                    for k in range(bends)
                ),
            )
            line = Centreline(table, Pose(at, way, perpendicular(way)))
        bars.append(Bar(f"bar {number}", line, section, an_aluminium(), "hard" if rng.random() < 0.3 else "easy"))
    return bars


def _vec(numbers: object) -> Vec:
    x, y, z = np.asarray(numbers, dtype=float).tolist()
    return (x, y, z)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("within", [3.0, 40.0])
def test_they_find_the_same(seed: int, within: float) -> None:
    bars = some_bars(np.random.default_rng(seed), 24)
    found = touches(bars, within)
    assert found == plain_touches(bars, within)
    assert len(found) > 3
    assert all(math.isfinite(one.gap) for one in found)


def test_they_find_the_same_in_the_example() -> None:
    found = touches(shelf_bars())
    assert found == plain_touches(shelf_bars())
    assert len(found) > 5


@pytest.mark.parametrize("seed", range(6))
def test_those_of_some_bars_are_those_of_all_that_have_one_of_them(seed: int) -> None:
    bars = some_bars(np.random.default_rng(seed), 24)
    asked = [bar.section.kind == "round" for bar in bars]
    some = touches(bars, 20.0, of=lambda bar: bar.section.kind == "round")
    assert some == tuple(one for one in touches(bars, 20.0) if asked[one.bars[0]] or asked[one.bars[1]])
    assert len(some) > 0
