"""Keep-outs that stand and that swing, and openings that the frame goes through."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.clearance.gaps import body_row, gap_to_body
from bentwork.parts.keep_out import KeepOut, Swing, near_to, standing_in, turned
from bentwork.parts.passing import Opening, box_of, passed
from bentwork.tooling.shop import Body

Z = (0.0, 0.0, 1.0)


def test_a_bar_beside_a_wheel() -> None:
    wheel = KeepOut("wheel", (Body("wheel", "cylinder", start=(0, -20, 0), end=(0, 20, 0), radius=150.0),), 10.0)
    bar = np.array([[-400.0, 0.0, 170.0], [400.0, 0.0, 170.0]])
    near = near_to(wheel, bar, 6.0)
    assert near.gap == pytest.approx(170.0 - 150.0 - 6.0, abs=2e-3)
    assert near.place == pytest.approx((0.0, 0.0, 170.0), abs=0.5)
    through = near_to(wheel, bar - (0.0, 0.0, 100.0), 6.0)
    assert through.gap == -6.0


LID = Body("lid", "box", x=(0.0, 300.0), y=(-100.0, 100.0), z=(0.0, 10.0))
HINGE = Swing((0.0, 0.0, 0.0), (0.0, -1.0, 0.0), 0.0, 90.0)  # its free edge goes up


def test_a_lid_that_swings() -> None:
    lid = KeepOut("lid", (LID,), 0.0, HINGE)
    # a bar across, 200 out and 150 up: 250 from the hinge, and the lid is 300 wide
    bar = np.array([[200.0, -300.0, 150.0], [200.0, 300.0, 150.0]])
    near = near_to(lid, bar, 8.0)
    assert near.gap == -8.0  # it goes through the bar
    # further out than the lid's corner ever comes: hypot(300, 10)
    away = np.array([[250.0, -300.0, 250.0], [250.0, 300.0, 250.0]])
    reach = math.hypot(300.0, 10.0)
    free = near_to(lid, away, 8.0)
    # within 0.05; the corner of lid's upper face is nearest
    assert free.gap == pytest.approx(math.hypot(250.0, 250.0) - reach - 8.0, abs=0.06)
    assert free.angle == pytest.approx(45.0 - math.degrees(math.asin(10.0 / reach)), abs=1.5)


def test_a_swing_against_many_small_steps() -> None:
    rng = np.random.default_rng(2)
    lid = KeepOut("lid", (LID,), 0.0, HINGE)
    for _ in range(12):
        bar = rng.uniform((-100.0, -300.0, 20.0), (500.0, 300.0, 600.0), (3, 3))
        found = near_to(lid, bar, 5.0)
        steps = [
            near_to(KeepOut("lid", (LID,)), turned(bar, HINGE, -angle), 5.0).gap for angle in np.linspace(0, 90, 721)
        ]
        assert found.gap == pytest.approx(min(steps), abs=0.4)  # 500 mm out an eighth of a degree is 1.1 mm
        assert found.gap <= min(steps) + 0.06


def test_standing_bodies_hold_all_of_a_swing() -> None:
    lid = KeepOut("lid", (LID,), 0.0, HINGE)
    region = [(400.0, 0.0, 0.0), (0.0, 0.0, 400.0)]
    rng = np.random.default_rng(4)
    assert all(0.0 < more <= 3.0 for _, more in standing_in(lid, region, 4.0))
    for _ in range(8):
        bar = rng.uniform((0.0, -200.0, 0.0), (380.0, 200.0, 380.0), (2, 3))
        true = near_to(lid, bar, 0.0).gap
        rough = min(gap_to_body(bar, body_row(solid))[0] - more for solid, more in standing_in(lid, region, 4.0))
        assert rough <= true + 0.06


def test_a_swing_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="different points"):
        Swing((0, 0, 0), (0, 0, 0), 0.0, 90.0)
    with pytest.raises(ValueError, match="larger"):
        Swing((0, 0, 0), (0, 0, 1), 90.0, 90.0)


def _box(x: float, y: float, z: float, turn: float = 0.0) -> np.ndarray:
    corners = np.array([(a, b, c) for a in (0, x) for b in (0, y) for c in (0, z)], dtype=float)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    found: np.ndarray = corners @ np.array([[cos, sin, 0], [-sin, cos, 0], [0, 0, 1]])
    return found


def test_the_narrowest_way_through_a_door() -> None:
    door = Opening("door", 500.0, 900.0, 10.0)
    found = passed(_box(800.0, 460.0, 300.0, turn=33.0), Z, door)
    assert found.width == pytest.approx(460.0)
    assert found.height == pytest.approx(300.0)
    assert found.spare == pytest.approx(30.0)
    assert abs(found.along[0] * math.cos(math.radians(33.0)) + found.along[1] * math.sin(math.radians(33.0))) > 0.999


def test_any_way_is_no_worse_than_upright() -> None:
    hatch = Opening("hatch", 330.0, 480.0, upright=False)
    found = passed(_box(800.0, 460.0, 300.0, turn=20.0), Z, hatch)
    assert found.spare >= 19.0  # 20 at best: 460 by 300 along its length
    assert passed(_box(300.0, 460.0, 800.0), Z, Opening("hatch", 330.0, 480.0)).spare < 0.0


def test_a_flat_frame_and_a_wire() -> None:
    flat = np.array([(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400.0, 300.0, 0.0), (0.0, 300.0, 0.0)])
    assert passed(flat, Z, Opening("slit", 310.0)).spare == pytest.approx(10.0)
    wire = np.array([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (250.0, 0.0, 0.0)])
    assert passed(wire, Z, Opening("hole", 5.0, 5.0)).spare == pytest.approx(5.0)
    assert box_of(flat, Z, (1.0, 0.0, 0.0)) == pytest.approx((400.0, 300.0, 0.0))
