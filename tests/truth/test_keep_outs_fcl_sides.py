"""Distances from flat bar and square tube to keep-outs against python-fcl, an independent distance library."""

from __future__ import annotations

import math
from itertools import pairwise

import fcl
import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.jobs.room_left import sides_along
from bentwork.parts.keep_out import KeepOut, Swing, near_to, turned
from bentwork.parts.keep_out_sides import Sides
from bentwork.piece.corners import Corners
from bentwork.stock.section import Flat
from bentwork.tooling.shop import Body
from tests.frames import an_aluminium

Floats = NDArray[np.float64]


def _turn(rng: np.random.Generator) -> Floats:
    """Any turn, its columns the axes."""
    found, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    turned: Floats = found * np.sign(np.linalg.det(found))
    return turned


def _round(a: Floats, b: Floats, radius: float, kind: type) -> fcl.CollisionObject:
    along = (b - a) / np.linalg.norm(b - a)
    aside = np.cross(along, (1.0, 0.0, 0.0) if abs(along[0]) < 0.9 else (0.0, 1.0, 0.0))
    aside /= np.linalg.norm(aside)
    turn = np.column_stack([aside, np.cross(along, aside), along])
    return fcl.CollisionObject(kind(radius, float(np.linalg.norm(b - a))), fcl.Transform(turn, (a + b) / 2.0))


def _bodies(rng: np.random.Generator) -> list[tuple[Body, fcl.CollisionObject]]:
    x, y, z = (float(c) for c in rng.uniform((-80, -80, -80), (80, 80, 80)))
    start, end = np.array((x, y, z)), np.array((x, y, z)) + rng.uniform(20, 80, 3)
    a, b = ((float(at[0]), float(at[1]), float(at[2])) for at in (start, end))
    case = fcl.CollisionObject(fcl.Box(60.0, 40.0, 70.0), fcl.Transform(np.array([x + 30.0, y + 20.0, z + 35.0])))
    return [
        (Body("wheel", "cylinder", start=a, end=b, radius=50.0), _round(start, end, 50.0, fcl.Cylinder)),
        (Body("lamp", "capsule", start=a, end=b, radius=30.0), _round(start, end, 30.0, fcl.Capsule)),
        (Body("case", "box", x=(x, x + 60.0), y=(y, y + 40.0), z=(z, z + 70.0)), case),
    ]


def _distance(one: fcl.CollisionObject, other: fcl.CollisionObject) -> float:
    return float(fcl.distance(one, other, fcl.DistanceRequest(), fcl.DistanceResult()))


@pytest.mark.parametrize("seed", range(24))
def test_straight_flat_bar_any_way_round(seed: int) -> None:
    rng = np.random.default_rng(900 + seed)
    turn, middle = _turn(rng), rng.uniform(-160, 160, 3)
    width, thick, length = 40.0, 6.0, 300.0
    along, wide, high = turn[:, 2], turn[:, 0], turn[:, 1]
    points = np.array([middle - along * length / 2.0, middle, middle + along * length / 2.0])
    sides = Sides(np.tile(wide * width / 2.0, (3, 1)), np.tile(high * thick / 2.0, (3, 1)))
    bar = fcl.CollisionObject(fcl.Box(width, thick, length), fcl.Transform(turn, middle))
    for body, theirs in _bodies(rng):
        found = near_to(KeepOut(body.name, (body,)), points, 0.0, sides)
        expected = _distance(bar, theirs)
        if expected > 0.0:
            assert found.gap == pytest.approx(expected, abs=0.01), body.name
            # as a round bar as thick as its larger half it would come nearer, never farther off
            assert near_to(KeepOut(body.name, (body,)), points, math.hypot(width, thick) / 2.0).gap <= found.gap + 0.01
        else:
            assert -thick / 2.0 - 1e-9 <= found.gap <= 1e-3, body.name
        back = np.array(found.place) - points[0]
        assert np.linalg.norm(back - (back @ along) * along) < 1e-6  # the place is on the middle line


@pytest.mark.parametrize("way", ["easy", "hard"])
@pytest.mark.parametrize("seed", range(4))
def test_bent_flat_bar(way: str, seed: int) -> None:
    """The same bar as many small boxes, each as its bend turns it."""
    rng = np.random.default_rng(70 + seed)
    width, thick = 30.0, 5.0
    line = Corners(((-200.0, -90.0, -120.0), (10.0, -60.0, -110.0), (20.0, 180.0, -90.0)), (60.0,)).centreline()
    bar = Bar("strap", line, Flat(width, thick), an_aluminium(), "hard" if way == "hard" else "easy")
    points, sides, radius = sides_along(bar)
    assert sides is not None
    boxes = []
    for k, (a, b) in enumerate(pairwise(points)):
        length = float(np.linalg.norm(b - a))
        if length < 1e-9:
            continue
        along = (b - a) / length
        wide = sides.wide[k] + sides.wide[k + 1]
        wide -= (wide @ along) * along
        wide /= np.linalg.norm(wide)
        turn = np.column_stack([wide, np.cross(along, wide), along])
        boxes.append(fcl.CollisionObject(fcl.Box(width, thick, length), fcl.Transform(turn, (a + b) / 2.0)))
    for body, theirs in _bodies(rng):
        expected = min(_distance(box, theirs) for box in boxes)
        found = near_to(KeepOut(body.name, (body,)), points, radius, sides).gap
        if expected > 0.0:
            assert found == pytest.approx(expected, abs=0.12), body.name  # small boxes leave wedges at the outside


def test_a_swing_against_many_small_steps() -> None:
    rng = np.random.default_rng(5)
    lid = Body("lid", "box", x=(0.0, 300.0), y=(-100.0, 100.0), z=(0.0, 10.0))
    hinge = Swing((0.0, 0.0, 0.0), (0.0, -1.0, 0.0), 0.0, 90.0)
    for _ in range(6):
        turn, middle = _turn(rng), rng.uniform((-50.0, -200.0, 100.0), (450.0, 200.0, 500.0))
        points = np.array([middle - 100.0 * turn[:, 2], middle + 100.0 * turn[:, 2]])
        sides = Sides(np.tile(20.0 * turn[:, 0], (2, 1)), np.tile(3.0 * turn[:, 1], (2, 1)))
        found = near_to(KeepOut("lid", (lid,), 0.0, hinge), points, 0.0, sides)
        steps = []
        for angle in np.linspace(0.0, 90.0, 361):
            there = turned(points, hinge, -angle)
            ways = [turned(points + of, hinge, -angle) - there for of in (sides.wide, sides.high)]
            steps.append(near_to(KeepOut("lid", (lid,)), there, 0.0, Sides(*ways)).gap)
        if min(steps) > 0.0:
            assert found.gap == pytest.approx(min(steps), abs=0.6)
            assert found.gap <= min(steps) + 0.06
        else:
            assert found.gap <= 0.0


def test_deeper_is_told_deeper() -> None:
    # a flat of 40 by 6 lying level above a box whose top is at z = 0: it sinks in by its own half thickness and no more
    case = KeepOut("case", (Body("case", "box", x=(-100.0, 100.0), y=(-100.0, 100.0), z=(-50.0, 0.0)),))
    wide, high = np.tile((0.0, 20.0, 0.0), (2, 1)), np.tile((0.0, 0.0, 3.0), (2, 1))
    gaps = []
    for height in (8.0, 3.0, 2.0, 1.0, 0.0, -20.0):
        points = np.array([[-60.0, 0.0, height], [60.0, 0.0, height]])
        gaps.append(near_to(case, points, 0.0, Sides(wide, high)).gap)
    assert gaps == pytest.approx([5.0, 0.0, -1.0, -2.0, -3.0, -3.0], abs=2e-3)
