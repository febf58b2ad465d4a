"""Points beside a bent bar where they lie on the straight one: as they were put there, and against dense samples."""

from __future__ import annotations

import random

import numpy as np
import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME, Pose, along, cross, rotate
from bentwork.takeoff.unbend import beside, nearest, one_by_one, runs_of, unbent

STANDS = Pose((3.0, -7.0, 20.0), (0.0, 0.6, 0.8), (0.0, 0.8, -0.6))
TABLES = (
    BendTable((300.0,)),
    BendTable((100.0, 80.0), (Bend(50.0, 75.0),)),
    BendTable((100.0, 60.0, 0.0, 90.0), (Bend(40.0, 90.0), Bend(60.0, 30.0, 90.0), Bend(35.0, 120.0, -40.0))),
    BendTable((100.0, 200.0, 200.0, 200.0, 100.0), (Bend(50.0, 90.0),) * 4, closed=True),
)


@pytest.mark.parametrize("start", [HOME, STANDS])
@pytest.mark.parametrize("table", TABLES)
def test_points_come_back_to_where_they_were_put(table: BendTable, start: Pose) -> None:
    line, chance = Centreline(table, start), random.Random(5)
    wanted, places = [], []
    for run in line.runs:
        for _ in range(20 if run.length else 0):
            at = chance.uniform(0.01, 0.99) * run.length
            x, y = chance.uniform(-9.0, 9.0), chance.uniform(-9.0, 9.0)
            # Towards the inside of the first bend: turned back by what bends so far were turned about the bar.
            number = run.bend or max(1, sum(r.bend > 0 and r.station < run.station for r in line.runs))
            turned = table.directions[number - 1] if table.bends else 0.0
            pose = run.pose(at)
            inward = rotate(pose.inward, pose.tangent, -turned)
            wanted.append((run.station + at, x, y))
            places.append(along(along(pose.origin, inward, x), cross(pose.tangent, inward), y))
    assert unbent(line, np.array(places)) == pytest.approx(np.array(wanted), abs=1e-9)


@pytest.mark.parametrize("table", TABLES)
def test_points_are_measured_from_what_is_nearest(table: BendTable) -> None:
    line, chance = Centreline(table, STANDS), np.random.default_rng(3)
    samples = np.concatenate([[run.pose(run.length * k / 400).origin for k in range(401)] for run in line.runs])
    middle, reach = samples.mean(axis=0), np.ptp(samples, axis=0).max()
    points = middle + chance.uniform(-reach, reach, (300, 3))
    found = nearest(line, points)
    told = np.sqrt(found.squares)
    shown = np.linalg.norm(points[:, None] - samples, axis=2).min(axis=1)
    # Beyond an open end nothing is nearer than the straight that runs on.
    assert (told <= shown + 1e-9).all()
    inside = (found.flat[:, 0] > 0.0) & (found.flat[:, 0] < table.length)
    assert inside.sum() > 100
    assert told[inside] == pytest.approx(shown[inside], abs=0.02)


@pytest.mark.parametrize("table", TABLES)
def test_one_point_or_many_are_measured_alike(table: BendTable) -> None:
    line, chance = Centreline(table, STANDS), np.random.default_rng(4)
    points = chance.uniform(-300.0, 300.0, (40, 3))
    best = np.full(len(points), np.inf)
    for number in runs_of(line):
        many, measured = beside(line, number, points), one_by_one(line, number)
        one = np.array([measured((x, y, z)) for x, y, z in points.tolist()])
        assert np.column_stack((many.flat, many.off)) == pytest.approx(one, rel=1e-9, abs=1e-9)
        best = np.minimum(best, many.squares)
    assert nearest(line, points).squares == pytest.approx(best, rel=1e-9, abs=1e-9)


def test_very_many_points_are_measured_as_few_are() -> None:
    line, chance = Centreline(TABLES[2], STANDS), np.random.default_rng(6)
    points = chance.uniform(-300.0, 300.0, (130_000, 3))
    found, some = nearest(line, points), [0, 1, 64_999, 129_999]
    for whole, few in zip(found, nearest(line, points[some]), strict=True):
        assert whole[some] == pytest.approx(few, abs=1e-9)
