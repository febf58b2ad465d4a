"""Distances from a bent bar to keep-outs against python-fcl, an independent distance library."""

from __future__ import annotations

from itertools import pairwise

import fcl
import numpy as np
import pytest

from bentwork.parts.keep_out import KeepOut, near_to
from bentwork.piece.corners import Corners
from bentwork.tooling.shop import Body

RADIUS = 8.0


def _capsule(a: np.ndarray, b: np.ndarray, radius: float, kind: type) -> fcl.CollisionObject:
    along = (b - a) / np.linalg.norm(b - a)
    aside = np.cross(along, (1.0, 0.0, 0.0) if abs(along[0]) < 0.9 else (0.0, 1.0, 0.0))
    aside /= np.linalg.norm(aside)
    turn = np.column_stack([aside, np.cross(along, aside), along])
    return fcl.CollisionObject(kind(radius, float(np.linalg.norm(b - a))), fcl.Transform(turn, (a + b) / 2.0))


def _theirs(points: np.ndarray, body: fcl.CollisionObject) -> float:
    asked = fcl.DistanceRequest()
    bars = [_capsule(a, b, RADIUS, fcl.Capsule) for a, b in pairwise(points)]
    return min(float(fcl.distance(bar, body, asked, fcl.DistanceResult())) for bar in bars)


@pytest.mark.parametrize("seed", range(6))
def test_a_bent_bar_beside_a_wheel_a_lamp_and_a_box(seed: int) -> None:
    rng = np.random.default_rng(40 + seed)
    corners = Corners(((0, 0, 300), (400, float(rng.uniform(-80, 80)), 320), (420, 300, 330)), (60.0,))
    points = corners.centreline().sample(0.02)
    x, y, z = (float(c) for c in rng.uniform((50, 40, 100), (350, 160, 180)))
    end = (x + 60.0, y + 20.0, z + 10.0)
    wheel = Body("wheel", "cylinder", start=(x, y, z), end=end, radius=70.0)
    lamp = Body("lamp", "capsule", start=(x, y, z), end=end, radius=40.0)
    case = Body("case", "box", x=(x, x + 90.0), y=(y, y + 50.0), z=(z, z + 60.0))
    sizes, middle = np.array([90.0, 50.0, 60.0]), np.array([x + 45.0, y + 25.0, z + 30.0])
    others = {
        "wheel": _capsule(np.array((x, y, z)), np.array(end), 70.0, fcl.Cylinder),
        "lamp": _capsule(np.array((x, y, z)), np.array(end), 40.0, fcl.Capsule),
        "case": fcl.CollisionObject(fcl.Box(*sizes), fcl.Transform(middle)),
    }
    for body in (wheel, lamp, case):
        ours = near_to(KeepOut(body.name, (body,)), points, RADIUS).gap
        theirs = _theirs(points, others[body.name])
        if theirs > 0.0:
            assert ours == pytest.approx(theirs, abs=0.01), body.name
        else:
            assert ours <= 0.01, body.name
