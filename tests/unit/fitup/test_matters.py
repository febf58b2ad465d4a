"""What matters: zero as drawn, right for errors worked by hand, slopes as finite differences have them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.fitup.chain import walk
from bentwork.fitup.lying import distance_between, rock
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.spots import Spot, corners_and_ends, points_of
from bentwork.fitup.tolerance import Tolerance
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from tests.unit.fitup.bars import rectangle, stay, upturned_loop


def every() -> list[Matters]:
    loop, open_one = on_the_bar(upturned_loop()), on_the_bar(stay(), "centre")
    fixings = [Spot("hole", at=40.0), Spot("stay", at=500.0), Spot("hook", at=open_one.length)]
    return [
        what_matters(loop, closed=True, round_bar=False),
        what_matters(open_one),
        what_matters(open_one, spots=fixings, datum=Spot("clamp", at=200.0)),
        what_matters(on_the_bar(rectangle(), "end"), closed=True, spots=()),
    ]


@pytest.mark.parametrize("which", range(4))
def test_nothing_is_out_as_drawn(which: int) -> None:
    one = every()[which]
    assert one.of(one.nominal.values[:, :, None]) == pytest.approx(np.zeros((one.scales.size, 1)), abs=1e-7)


@pytest.mark.parametrize("which", range(4))
def test_slopes_are_those_of_finite_differences(which: int) -> None:
    one = every()[which]
    rng = np.random.default_rng(3)
    at = one.nominal.values + rng.normal(0.0, 1.0, one.nominal.values.shape)
    _, by, by_end = one.with_slopes(at[:, :, None], longer=1.5)
    step = 1e-4
    for kind in range(5):
        for bend in range(one.nominal.bends):
            apart = np.zeros_like(at)
            apart[kind, bend] = step
            high, low = (one.of((at + sign * apart)[:, :, None], longer=1.5)[:, 0] for sign in (1.0, -1.0))
            assert by[:, kind, bend, 0] == pytest.approx((high - low) / (2 * step), abs=1e-5)
    high, low = (one.of(at[:, :, None], longer=1.5 + sign * step)[:, 0] for sign in (1.0, -1.0))
    assert by_end[:, 0] == pytest.approx((high - low) / (2 * step), abs=1e-6)


def out_by(one: Matters, kind: int, bend: int, error: float) -> dict[str, float]:
    values: Floats = one.nominal.values.copy()
    values[kind, bend] += error
    out = one.of(values[:, :, None])[:, 0]
    return {group.name: float(np.linalg.norm(out[list(group.rows)])) for group in one.groups}


def test_a_plane_rectangle_by_hand() -> None:
    """Errors of the last bend of a rectangle, behind which a straight of 164 mm runs to the seam.

    Bent a degree more, the bar rolls on round a die of 36 mm by as much, and the rest of the straight leaves it.
    """
    one = what_matters(on_the_bar(rectangle()), closed=True, spots=(), round_bar=False)
    more = math.radians(1.0)
    rest = 200.0 - 36.0 - 36.0 * more
    found = out_by(one, ANGLE, 3, 1.0)
    assert found["offset"] == pytest.approx(36.0 * (1 - math.cos(more)) + rest * math.sin(more), abs=1e-9)
    assert found["gap"] == pytest.approx(164.0 - 36.0 * math.sin(more) - rest * math.cos(more), abs=1e-9)
    assert found["twist"] == pytest.approx(1.0, abs=1e-4)
    # Moved 2 mm along the bar, it moves all behind it back along the last side but one, and on along the last.
    found = out_by(one, PLACE, 3, 2.0)
    assert (found["offset"], found["gap"]) == pytest.approx((2.0, 2.0), abs=1e-9)
    # Turned about the bar before it, it swings the last side out of the plane, and the end about itself.
    found = out_by(one, DIRECTION, 3, 1.0)
    assert found["offset"] == pytest.approx(200.0 * math.sin(more), abs=1e-9)


def test_a_best_fit_shares_an_error_out() -> None:
    """A bar of one bend opened by 2 degrees, laid on its drawing: neither end is out as far as from the other leg."""
    table = on_the_bar(BendTable((200.0, 200.0), (Bend(36.0, 60.0),)))
    best = what_matters(table)
    held = what_matters(table, datum=Spot("end A", at=0.0))
    away = [out_by(one, ANGLE, 0, 2.0) for one in (best, held)]
    assert away[1]["end A"] == pytest.approx(0.0, abs=1e-9)
    assert away[1]["end B"] == pytest.approx(2 * 200.0 * math.sin(math.radians(1.0)), rel=0.01)
    assert max(away[0].values()) < 0.5 * away[1]["end B"]


def test_a_bar_is_good_within_every_tolerance() -> None:
    one = what_matters(on_the_bar(rectangle()), closed=True, tolerance=Tolerance(2.0, 1.0, 3.0, 5.0))
    out = np.zeros((one.scales.size, 3))
    out[0] = -1.9, -2.1, 0.0
    out[1:3, 2] = 0.8, 0.8
    assert one.worst(out) == pytest.approx([0.95, 1.05, 0.8 * math.sqrt(2.0)])


def test_a_tolerance_is_above_nothing() -> None:
    with pytest.raises(ValueError, match="gap"):
        Tolerance(gap=0.0)


def square(heights: list[float]) -> Floats:
    corners = np.array([[0, 0], [100, 0], [100, 100], [0, 100]], dtype=np.float64)
    return np.column_stack([corners, heights])[:, :, None]


def test_one_foot_of_four_rocks_by_what_it_is_high() -> None:
    """Four feet of a square, one 4 mm high: on the other three it stands 4 mm off, and on no other three better."""
    assert rock(square([0, 0, 0, 4.0]))[0] == pytest.approx(4.0, rel=1e-2)
    assert rock(square([3, 0, 0, 3.0]))[0] == pytest.approx(0.0, abs=1e-9)
    assert rock(square([0, 2, 0, 2.0]))[0] == pytest.approx(4.0, rel=1e-2)


def test_a_twisted_rectangle_rocks_and_its_diagonals_stay() -> None:
    bar = on_the_bar(rectangle())
    spots = corners_and_ends(bar, closed=True)
    values = np.repeat(bar.values[:, :, None], 2, axis=2)
    values[DIRECTION, 2:, 1] += 1.0
    walks = walk(values, bar.shares)
    points, _ = points_of(spots, walks, bar)
    lift = rock(points)
    assert lift[0] == pytest.approx(0.0, abs=1e-9)
    # The last corner swings about the side before it, 300 mm away.
    assert lift[1] == pytest.approx(300.0 * math.sin(math.radians(1.0)), rel=0.02)
    across_them = distance_between(spots[0], spots[2], walks, bar)
    assert across_them[0] == pytest.approx(500.0, abs=1e-9)
