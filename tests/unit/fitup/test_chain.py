"""Poses against the centreline, slopes against finite differences."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from bentwork.fitup.chain import Place, Walk, across, walk
from bentwork.fitup.made import Bar, Floats, on_the_bar
from bentwork.piece.centreline import Centreline
from tests.unit.fitup.bars import a_bar, rectangle, stay, upturned_loop

Where = Callable[[Walk], Place]


def walked(bar: Bar) -> Walk:
    return walk(bar.values[:, :, np.newaxis], bar.shares)


def test_a_table_lies_on_its_bar_and_comes_back() -> None:
    for table in (rectangle(), upturned_loop(), stay()):
        for lined_up in ("start", "centre", "end"):
            back = on_the_bar(table, lined_up).table()
            assert back.straights == pytest.approx(table.straights, abs=1e-9)
            assert [b.angle for b in back.bends] == pytest.approx([b.angle for b in table.bends])
            assert [b.rotation for b in back.bends] == pytest.approx([b.rotation for b in table.bends])


def test_every_place_lies_where_the_centreline_has_it() -> None:
    for table in (upturned_loop(), stay()):
        line = Centreline(table)
        bar = on_the_bar(table, "centre")
        walks = walked(bar)
        for station in np.linspace(0.0, table.length, 41):
            pose, place = line.pose(float(station)), walks.station(float(station))
            assert place.point[:, 0] == pytest.approx(pose.origin, abs=1e-9)
            assert place.tangent[:, 0] == pytest.approx(pose.tangent, abs=1e-12)
            assert abs(float(place.tangent[:, 0] @ place.line[:, 0])) < 1e-12
        corners, _ = walks.corners(range(len(table.bends)))
        assert corners[..., 0] == pytest.approx(np.array(line.corners[1:-1]), abs=1e-9)


def test_many_bars_at_once_are_as_each_alone() -> None:
    rng = np.random.default_rng(1)
    bar = a_bar(rng)
    many = bar.values[:, :, np.newaxis] + rng.normal(0.0, 1.0, (*bar.values.shape, 7))
    together = walk(many, bar.shares).station(bar.length, past=bar.bends, slopes=True)
    for k in range(7):
        alone = walk(many[:, :, k : k + 1], bar.shares).station(bar.length, past=bar.bends, slopes=True)
        assert together.point[:, k] == pytest.approx(alone.point[:, 0], abs=1e-9)
        assert together.moves is not None
        assert alone.moves is not None
        assert together.moves[..., k] == pytest.approx(alone.moves[..., 0], abs=1e-9)


def differences(bar: Bar, where: Where) -> tuple[Floats, Floats]:
    """Slopes of the point, and turning, by central differences."""
    moves, turns = np.zeros((3, 5, bar.bends)), np.zeros((3, 5, bar.bends))
    for kind in range(5):
        for bend in range(bar.bends):
            step = np.zeros_like(bar.values)
            step[kind, bend] = 1e-4
            high, low = (where(walked(bar.with_values(bar.values + sign * step))) for sign in (1.0, -1.0))
            moves[:, kind, bend] = (high.point - low.point)[:, 0] / 2e-4
            turned = np.zeros(3)
            for one in ("tangent", "line"):
                turned += across(getattr(low, one), getattr(high, one))[:, 0]
            third = [across(one.line, one.tangent) for one in (low, high)]
            turned += across(third[0], third[1])[:, 0]
            turns[:, kind, bend] = np.degrees(turned / 2.0) / 2e-4
    return moves, turns


@pytest.mark.parametrize("seed", range(6))
def test_slopes_are_those_of_finite_differences(seed: int) -> None:
    bar = a_bar(np.random.default_rng(seed))
    middles = (bar.starts + 0.37 * bar.used).tolist()
    straights = (bar.starts - 20.0).tolist()
    for at in [*middles, *straights, bar.length]:
        place = walked(bar).station(at, slopes=True)
        moves, turns = differences(bar, lambda one, at=at: one.station(at))  # type: ignore[misc]
        assert place.moves is not None
        assert place.turns is not None
        assert place.moves[..., 0] == pytest.approx(moves, abs=1e-6)
        assert place.turns[..., 0] == pytest.approx(turns, abs=1e-6)


@pytest.mark.parametrize("seed", range(3))
def test_slopes_of_corner_points_too(seed: int) -> None:
    bar = a_bar(np.random.default_rng(seed))
    _, moves = walked(bar).corners(range(bar.bends), slopes=True)
    assert moves is not None
    for kind in range(5):
        for bend in range(bar.bends):
            step = np.zeros_like(bar.values)
            step[kind, bend] = 1e-4
            high, low = (
                walked(bar.with_values(bar.values + sign * step)).corners(range(bar.bends))[0] for sign in (1, -1)
            )
            assert moves[:, :, kind, bend, 0] == pytest.approx((high - low)[..., 0] / 2e-4, abs=1e-6)
