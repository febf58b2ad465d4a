"""Bend tables brought to points by least squares: against what they were made from, and against SciPy's solver."""

from __future__ import annotations

import random

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.takeoff.arcs_fitted import fitted
from bentwork.takeoff.unbend import nearest

Floats = NDArray[np.float64]
PLACE = Pose((120.0, -340.0, 77.0), (0.36, 0.48, 0.8), (0.8, -0.6, 0.0))


def drawn(chance: random.Random, *, touching: bool) -> Centreline:
    """A bar of two to five bends, some of which may touch the one before."""
    count = chance.randint(2, 5)
    inner = (0.0 if touching and chance.random() < 0.6 else chance.uniform(20.0, 90.0) for _ in range(count - 1))
    bends = (
        Bend(chance.uniform(30.0, 90.0), chance.uniform(15.0, 150.0), chance.uniform(30.0, 150.0) if k else 0.0)
        for k in range(count)
    )
    return Centreline(BendTable((chance.uniform(40.0, 200.0), *inner, 90.0), tuple(bends)), PLACE)


def points_on(line: Centreline) -> Floats:
    runs = [run for run in line.runs if run.length]
    points = [run.pose(run.length * k / 20).origin for run in runs for k in range(20)]
    return np.array([*points, line.end.origin])


def shaken(line: Centreline, chance: random.Random) -> Centreline:
    """The same with everything a little wrong."""
    table, start = line.table, line.start
    straights = (max(0.0, one + chance.uniform(-0.8, 0.8)) for one in table.straights)
    bends = (
        Bend(
            one.radius + chance.uniform(-0.5, 0.5),
            one.angle + chance.uniform(-0.6, 0.6),
            one.rotation + (chance.uniform(-0.6, 0.6) if k else 0.0),
        )
        for k, one in enumerate(table.bends)
    )
    x, y, z = start.origin
    return Centreline(BendTable(tuple(straights), tuple(bends)), Pose((x + 0.3, y - 0.2, z), start.tangent, start.axis))


def numbers(line: Centreline) -> Floats:
    table = line.table
    rows = [(bend.radius, bend.angle, bend.rotation) for bend in table.bends]
    return np.array([*table.straights, *(one for row in rows for one in row)])


@pytest.mark.parametrize("seed", range(20))
def test_points_of_a_bend_table_give_it_back(seed: int) -> None:
    chance = random.Random(seed)
    line = drawn(chance, touching=seed % 2 == 0)
    found = fitted(shaken(line, chance), points_on(line))
    assert numbers(found) == pytest.approx(numbers(line), abs=1e-6)
    assert np.array(found.start.origin) == pytest.approx(np.array(line.start.origin), abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_no_other_table_comes_nearer(seed: int) -> None:
    """SciPy's ``least_squares``, which knows nothing of bars and takes its slopes from differences."""
    chance = random.Random(100 + seed)
    line = drawn(chance, touching=False)
    noise = np.random.default_rng(seed)
    points = points_on(line) + noise.normal(0.0, 0.01, (len(points_on(line)), 3))
    found = fitted(shaken(line, chance), points)

    def placed(x: Floats) -> Centreline:
        count, n = len(line.table.straights), len(line.table.bends)
        rows = x[count : count + 3 * n].reshape(-1, 3).tolist()
        bends = tuple(Bend(r, a, t if k else 0.0) for k, (r, a, t) in enumerate(rows))
        origin, way, axis = (np.array(one) for one in (PLACE.origin, PLACE.tangent, PLACE.axis))
        way = way + x[-3] * axis + x[-2] * np.cross(axis, way)
        way /= np.linalg.norm(way)
        axis = axis + x[-1] * np.cross(axis, way)
        axis -= (axis @ way) * way
        axis /= np.linalg.norm(axis)
        pose = Pose(tuple(origin + x[-6:-3]), tuple(way), tuple(axis))
        return Centreline(BendTable(tuple(x[:count].tolist()), bends), pose)

    def off(x: Floats) -> Floats:
        bar = placed(x)
        ends = [(bar.start, points[0]), (bar.end, points[-1])]
        along = [float(np.dot(point - np.array(pose.origin), np.array(pose.tangent))) for pose, point in ends]
        return np.concatenate((nearest(bar, points).flat[:, 1:].ravel(), along))

    start = np.concatenate((numbers(line), np.zeros(6)))
    best = least_squares(off, start, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    assert float(nearest(found, points).squares.sum()) == pytest.approx(float((off(best.x)[:-2] ** 2).sum()), rel=1e-4)
    own = best.x[:-6].copy()
    own[len(line.table.straights) + 2] = 0.0  # the rotation of the first bend, which is none
    assert numbers(found) == pytest.approx(own, abs=2e-3)


def test_bends_that_touch_stay_so_where_the_points_are_rounded() -> None:
    line = Centreline(BendTable((80.0, 0.0, 80.0), (Bend(200.0, 40.0), Bend(200.0, 40.0, 180.0))), PLACE)
    found = fitted(line, points_on(line).round(4))
    assert found.table.straights == pytest.approx((80.0, 0.0, 80.0), abs=1e-3)


def test_a_straight_bar_has_its_two_ends() -> None:
    line = Centreline(BendTable((300.0,)), PLACE)
    found = fitted(
        Centreline(BendTable((299.0,)), Pose((120.0, -340.0, 76.0), PLACE.tangent, PLACE.axis)), points_on(line)
    )
    assert found.table.length == pytest.approx(300.0, abs=1e-9)
    assert np.array(found.end.origin) == pytest.approx(np.array(line.end.origin), abs=1e-9)
