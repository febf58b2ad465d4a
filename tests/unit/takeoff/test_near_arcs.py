"""Free curves as straights and arcs: those that are made of them, and the nearest to those that are not."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d
from scipy.spatial import cKDTree

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.takeoff.made_of import ARC_MISSES, deviation, furthest, straights_and_arcs
from bentwork.takeoff.near_arcs import nearest_arcs

Floats = NDArray[np.float64]


def drawn(chance: random.Random) -> BendTable:
    """A bar of up to seven bends."""
    count = chance.randint(1, 7)
    bends = (
        Bend(chance.uniform(15.0, 90.0), chance.uniform(8.0, 120.0), chance.uniform(-170.0, 170.0) if k else 0.0)
        for k in range(count)
    )
    return BendTable(tuple(chance.uniform(20.0, 200.0) for _ in range(count + 1)), tuple(bends))


def points_of(line: Centreline, step: float) -> Floats:
    """Points along a bar, every so many mm, where its parts meet among them."""
    points = []
    for run in line.runs:
        count = max(8, int(run.length / step))
        points += [run.pose(run.length * k / count).origin for k in range(count)]
    return np.array([*points, line.end.origin])


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize(("decimals", "within"), [(9, 1e-4), (3, 0.02)])
def test_what_is_made_of_straights_and_arcs_is_told_as_them(seed: int, decimals: int, within: float) -> None:
    table = drawn(random.Random(seed))
    found = straights_and_arcs(points_of(Centreline(table), 2.0).round(decimals), False)
    assert found is not None
    line, off = found
    assert off < within
    assert line.table.length == pytest.approx(table.length, abs=within)
    assert line.table.straights == pytest.approx(table.straights, abs=10.0 * within)
    told = [(bend.angle, bend.radius) for bend in line.table.bends]
    assert np.array(told) == pytest.approx(np.array([(b.angle, b.radius) for b in table.bends]), abs=10.0 * within)


def curve(seed: int) -> tuple[Floats, Floats]:
    """Points and unit directions along a free curve: a cubic spline of SciPy."""
    chance = np.random.default_rng(seed)
    knots = np.arange(5)
    free = CubicSpline(knots, np.column_stack((150.0 * knots, *chance.uniform(-60.0, 60.0, (2, 5)))))
    at = np.linspace(0.0, 4.0, 600)
    ways = free(at, 1)
    return free(at), ways / np.linalg.norm(ways, axis=1, keepdims=True)


@pytest.mark.parametrize("seed", range(6))
def test_the_nearest_arcs_lie_as_near_as_is_said(seed: int) -> None:
    points, ways = curve(seed)
    assert straights_and_arcs(points, False) is None
    found = nearest_arcs(points, ways, False)
    assert found is not None
    line, off = found
    nearest, _ = cKDTree(points_of(line, 0.02)).query(points)
    assert off == pytest.approx(float(nearest.max()), abs=1e-3)
    assert off <= 0.2
    assert 4 <= len(line.table.bends) <= 60


@pytest.mark.parametrize("seed", range(6))
def test_bends_that_were_approximated_are_told_as_bends(seed: int) -> None:
    """Sharp corners of the curvature are smoothed away, as splines do: by SciPy's Gaussian filter."""
    table = drawn(random.Random(seed))
    points = points_of(Centreline(table), 0.25)
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    even = np.linspace(0.0, steps.sum(), int(steps.sum() / 0.5))
    points = np.column_stack([np.interp(even, np.concatenate(((0.0,), steps.cumsum())), row) for row in points.T])
    smooth = gaussian_filter1d(points, 4.0, axis=0, mode="nearest")[20:-20]
    ways = np.gradient(smooth, axis=0)
    found = nearest_arcs(smooth, ways / np.linalg.norm(ways, axis=1, keepdims=True), False)
    assert found is not None
    line, off = found
    assert 0.008 < off < 0.2
    assert [bend.angle for bend in line.table.bends] == pytest.approx([bend.angle for bend in table.bends], abs=0.5)


def test_points_that_come_twice_are_one() -> None:
    still, ways = np.zeros((6, 3)), np.tile((1.0, 0.0, 0.0), (6, 1))
    assert nearest_arcs(still, ways, False) is None
    points, ways = curve(0)
    found = nearest_arcs(points.repeat(2, axis=0), ways.repeat(2, axis=0), False)
    once = nearest_arcs(points, ways, False)
    assert found is not None
    assert once is not None
    assert found[0].table.length == pytest.approx(once[0].table.length, abs=1e-9)


LAWS: dict[str, Callable[[int, float], float]] = {
    "a smooth curve": lambda place, root: (place / root) ** 3,
    "another power": lambda place, root: (place / root) ** 1.5,
    "nothing, and then another part": lambda place, root: 0.0 if place <= root else 1.0 + (place - root) ** 1.5,
    "what is rounded": lambda place, root: 0.99 if place <= root else 9.0,
}


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("last", [3, 40, 1200])
def test_it_goes_as_far_as_it_may_and_asks_few_times(law: str, last: int) -> None:
    for root in np.linspace(0.5, 1.2 * last, 97).tolist():
        asked: list[int] = []

        def miss(place: int, root: float = root, asked: list[int] = asked) -> float:
            asked.append(place)
            return LAWS[law](place, root)

        found = furthest(0, last, miss, ARC_MISSES, within=1.0 + 1e-9)
        assert found == min(last, int(root))
        assert len(asked) <= 80


def test_a_straight_and_a_ring_go_as_far_as_they_are() -> None:
    ahead = np.column_stack((np.linspace(0.0, 300.0, 257), np.zeros((257, 2))))
    found = straights_and_arcs(ahead, False)
    assert found is not None
    assert found[0].table.bends == ()
    assert found[0].table.length == pytest.approx(300.0, abs=1e-9)
    turn = np.linspace(0.0, 1.5 * np.pi, 257)
    found = straights_and_arcs(np.column_stack((40.0 * np.cos(turn), 40.0 * np.sin(turn), 0.0 * turn)), False)
    assert found is not None
    assert [bend.radius for bend in found[0].table.bends] == pytest.approx([40.0], abs=1e-6)
    assert sum(bend.angle for bend in found[0].table.bends) == pytest.approx(270.0, abs=1e-6)


def test_how_far_points_lie_from_a_line_is_not_measured_from_what_runs_on_beyond_its_ends() -> None:
    """Where a spiral's first straight would run on it crosses the turns outside; the truth is the nearest sample."""
    bends = tuple(Bend(40.0 + 7.0 * k, 45.0, 0.0) for k in range(18))
    line = Centreline(BendTable((0.0,) * 19, bends))
    poses = [run.pose(run.length * k / 40) for run in line.runs if run.bend for k in range(40)]
    points = np.array([pose.origin for pose in poses]) + 0.3 * np.array([pose.inward for pose in poses])
    apart, _ = cKDTree(points_of(line, 0.01)).query(points)
    assert deviation(line, points) == pytest.approx(float(apart.max()), abs=1e-3)
    beyond = np.array([line.start.origin]) - 5.0 * np.array([line.start.tangent])
    assert deviation(line, beyond) == pytest.approx(5.0)
