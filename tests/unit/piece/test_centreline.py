"""The centreline in space."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline, chords_for
from bentwork.piece.misfits import closure, runs_on

HOOK = BendTable((100.0, 50.0, 80.0), (Bend(40.0, 90.0), Bend(30.0, 180.0, 90.0)))


def test_poses_along_a_bar() -> None:
    line = Centreline(HOOK)
    assert line.pose(0.0).origin == (0.0, 0.0, 0.0)
    assert line.pose(100.0).origin == pytest.approx((100, 0, 0))
    end_of_first = line.pose(100.0 + 20 * math.pi)
    assert end_of_first.origin == pytest.approx((140, 40, 0))
    assert end_of_first.tangent == pytest.approx((0, 1, 0))
    assert line.end.tangent == pytest.approx((0, -1, 0))
    assert line.end.origin == pytest.approx((140, 10, 60))
    with pytest.raises(ValueError, match="not on it"):
        line.pose(10_000.0)


def test_a_pose_stands_square() -> None:
    for station in np.linspace(0.0, HOOK.length, 50):
        pose = Centreline(HOOK).pose(float(station))
        frame = np.array([pose.tangent, pose.inward, pose.axis])
        assert frame @ frame.T == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(frame) == pytest.approx(1.0)


def test_a_return_gives_the_corners_of_its_halves() -> None:
    corners = Centreline(HOOK).corners
    assert len(corners) == 5
    assert corners[2] == pytest.approx((140, 90 + 30, 0))
    assert corners[3] == pytest.approx((140, 90 + 30, 60))


@pytest.mark.parametrize("error", [1.0, 0.1, 0.001])
def test_samples_keep_their_chord_error(error: float) -> None:
    line = Centreline(HOOK)
    points = line.sample(error)
    curve = np.array([line.pose(float(s)).origin for s in np.linspace(0.0, HOOK.length, 3001)])
    starts, steps = points[:-1], np.diff(points, axis=0)
    into = np.einsum("psk,sk->ps", curve[:, None, :] - starts, steps) / np.einsum("sk,sk->s", steps, steps)
    nearest = starts + np.clip(into, 0.0, 1.0)[:, :, None] * steps
    away = np.linalg.norm(curve[:, None, :] - nearest, axis=2).min(axis=1)
    assert 0.5 * error <= away.max() <= error * (1 + 1e-6) + 1e-9


def test_chord_counts() -> None:
    assert chords_for(10.0, math.pi, 20.0) == 1
    with pytest.raises(ValueError, match="above 0"):
        chords_for(10.0, 1.0, 0.0)


def test_a_closed_table_that_does_not_close_says_by_how_much() -> None:
    square = tuple(Bend(30.0, 90.0) for _ in range(4))
    good = Centreline(BendTable((50.0, 100.0, 100.0, 100.0, 50.0), square, closed=True))
    assert not closure(good)
    bad = Centreline(BendTable((50.0, 100.0, 112.0, 100.0, 50.0), square, closed=True))
    (finding,) = closure(bad)
    assert finding.code == "ends-apart"
    assert finding.lengths["gap"] == pytest.approx(12)


def test_bends_that_run_on_are_told() -> None:
    twin = BendTable((10.0, 0.0, 10.0), (Bend(30.0, 90.0), Bend(30.0, 90.0)))
    (finding,) = runs_on(twin)
    assert "one bend of 180°" in finding.do
    other = BendTable((10.0, 0.0, 10.0), (Bend(30.0, 90.0), Bend(30.0, 90.0, 45.0)))
    (finding,) = runs_on(other)
    assert "Leave a straight" in finding.do
    assert not runs_on(HOOK)


@pytest.mark.parametrize(
    ("radius", "angle", "rotation"),
    [(0.0, 90.0, 0.0), (-1.0, 90.0, 0.0), (math.nan, 90.0, 0.0), (10.0, 0.0, 0.0), (10.0, 360.0, 0.0),
     (10.0, math.inf, 0.0), (10.0, 90.0, math.nan)],
)  # fmt: skip
def test_impossible_bends_are_refused(radius: float, angle: float, rotation: float) -> None:
    with pytest.raises(ValueError, match=r"bend|rotation"):
        Bend(radius, angle, rotation)


def test_impossible_tables_are_refused() -> None:
    with pytest.raises(ValueError, match="need 2 straights"):
        BendTable((1.0,), (Bend(10.0, 90.0),))
    with pytest.raises(ValueError, match="straight 2"):
        BendTable((1.0, -1.0), (Bend(10.0, 90.0),))
    with pytest.raises(ValueError, match="rotation is 0"):
        BendTable((1.0, 1.0), (Bend(10.0, 90.0, 5.0),))


def test_rotations_are_kept_within_half_a_turn() -> None:
    assert Bend(10.0, 90.0, -180.0).rotation == 180.0
    assert Bend(10.0, 90.0, 270.0).rotation == -90.0
    assert Bend(10.0, 90.0, 540.0).rotation == 180.0
