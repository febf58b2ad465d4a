"""Slow plain twins: bars walked along with matrices, a piece put down on every three feet; bounds by scipy."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from bentwork.fitup.chain import walk
from bentwork.fitup.lying import rock
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, STRETCH, Bar, Floats
from bentwork.fitup.walking import within_bounds
from tests.unit.fitup.bars import a_bar


def turn_x(angle: float) -> Floats:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([[1, 0, 0, 0], [0, c, -s, 0], [0, s, c, 0], [0, 0, 0, 1.0]])


def turn_z(angle: float) -> Floats:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([[c, -s, 0, 0], [s, c, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1.0]])


def shift(x: float, y: float = 0.0) -> Floats:
    found = np.eye(4)
    found[0, 3], found[1, 3] = x, y
    return found


def plain_end(bar: Bar) -> Floats:
    """Pose of end B: along a straight, about the bar, round the arc, back about the bar; bend by bend."""
    pose, at = np.eye(4), 0.0
    for angle, direction, place, radius, stretch, share in zip(*bar.values, bar.shares, strict=True):
        theta = math.radians(angle)
        used = radius * theta - stretch
        start = place - share * used
        arc = shift(radius * math.sin(theta), radius * (1.0 - math.cos(theta))) @ turn_z(angle)
        pose = pose @ shift(start - at) @ turn_x(direction) @ arc @ turn_x(-direction)
        at = start + used
    return np.asarray(pose @ shift(bar.length - at))


@pytest.mark.parametrize("bends", [1, 2, 6, 12])
def test_bars_walked_along_together_end_where_each_ends_alone(bends: int) -> None:
    rng = np.random.default_rng(bends)
    bar = a_bar(rng, bends)
    many = bar.values[:, :, None] + rng.normal(0.0, 2.0, (5, bends, 20)) * np.array([1, 1, 1, 0.2, 0.1])[:, None, None]
    end = walk(many, bar.shares).station(bar.length, past=bends)
    for k in range(20):
        pose = plain_end(bar.with_values(many[:, :, k]))
        assert end.point[:, k] == pytest.approx(pose[:3, 3], abs=1e-8)
        assert end.tangent[:, k] == pytest.approx(pose[:3, 0], abs=1e-11)
        assert end.line[:, k] == pytest.approx(pose[:3, 2], abs=1e-11)
    assert list(range(5)) == [ANGLE, DIRECTION, PLACE, RADIUS, STRETCH]


def plain_rock(points: Floats) -> float:
    """Put down on every three points with all others above and the middle between; the least greatest height."""
    middle, best = points.mean(axis=0), math.inf
    for feet in combinations(range(len(points)), 3):
        a, b, c = points[list(feet)]
        normal = np.cross(b - a, c - a)
        size = float(np.linalg.norm(normal))
        if size < 1e-9:
            continue
        for up in (normal / size, -normal / size):
            heights = [float((point - a) @ up) for point in points]
            if min(heights) < -1e-9:
                continue
            weights = np.linalg.lstsq(
                np.vstack((np.column_stack((a - up * (a @ up), b - up * (b @ up), c - up * (c @ up))), np.ones(3))),
                np.append(middle - up * (middle @ up), 1.0),
                rcond=None,
            )[0]
            if weights.min() > -1e-9:
                best = min(best, max(heights))
    return best


def test_within_bounds_the_least_is_that_of_scipy() -> None:
    """scipy.optimize.lsq_linear (bounded variables), one problem at a time."""
    rng = np.random.default_rng(3)
    rows, misses = rng.normal(0.0, 1.0, (20, 6)), rng.normal(0.0, 3.0, (20, 40))
    low, high = np.full((6, 40), -0.5), rng.uniform(0.0, 1.0, (6, 40))
    sets = np.zeros((6, 40))
    within_bounds(rows.T @ rows, np.ascontiguousarray(-rows.T @ misses), low, high, sets, 200)
    for k in range(40):
        theirs = lsq_linear(rows, -misses[:, k], (low[:, k], high[:, k]), method="bvls", tol=1e-12).x
        assert sets[:, k] == pytest.approx(theirs, abs=1e-3)


def test_rock_is_the_least_over_all_feet() -> None:
    rng = np.random.default_rng(7)
    for count in (4, 5, 8):
        points = rng.uniform(-200.0, 200.0, (count, 3, 30))
        points[:, 2] = rng.normal(0.0, 3.0, (count, 30))
        found = rock(points)
        for k in range(30):
            assert found[k] == pytest.approx(plain_rock(points[:, :, k]), abs=1e-6)
