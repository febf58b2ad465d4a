"""The arch to start from, against the circle that its corners lie on; circles by plane geometry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from bentwork.piece.shapes import SHAPES
from bentwork.space import Vec, distance


def corners(rise: float, bends: int) -> tuple[Vec, ...]:
    (rail,) = SHAPES["arched-rail"].build({"length": 600, "rise": rise, "foot": 80, "bends": bends}, 12)
    return rail.points


@pytest.mark.parametrize("bends", [1, 2, 3, 4, 5, 8, 13])
@pytest.mark.parametrize("rise", [30.0, 90.0, 200.0, 350.0])
def test_an_arch_is_as_high_and_as_long_as_it_is_asked_for(rise: float, bends: int) -> None:
    points = corners(rise, bends)
    assert len(points) == bends + 4
    assert points[:2] == ((0, 0, 0), (80, 0, 0))
    assert points[-2:] == ((520, 0, 0), (600, 0, 0))
    assert max(z for _, _, z in points) == pytest.approx(rise, abs=2e-3)
    lengths = [distance(a, b) for a, b in pairwise(points[1:-1])]
    assert lengths == pytest.approx([lengths[0]] * (bends + 1), abs=4e-3)


@pytest.mark.parametrize("bends", [2, 3, 5, 8])
def test_its_corners_lie_on_a_circle_and_turn_alike(bends: int) -> None:
    arch = corners(90.0, bends)[1:-1]
    # The circle through both feet and the second corner.
    (x, _, z), half = arch[1], 220.0
    middle = ((x - 300.0) ** 2 + z * z - half * half) / (2.0 * z)
    radius = math.hypot(half, middle)
    assert [math.hypot(px - 300.0, pz - middle) for px, _, pz in arch] == pytest.approx([radius] * len(arch), abs=0.01)
    slopes = [math.atan2(b[2] - a[2], b[0] - a[0]) for a, b in pairwise(arch)]
    turns = [a - b for a, b in pairwise(slopes)]
    assert turns == pytest.approx([turns[0]] * bends, abs=1e-4)
    assert turns[0] > 0.0
