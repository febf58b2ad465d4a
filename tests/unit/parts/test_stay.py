"""Stays: ends, errors, slots, and the way round what is in it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.parts.keep_out import KeepOut, near_to
from bentwork.parts.stay import EndAsked, flat_end, flat_turn, moved, slot_length, tongue_angle
from bentwork.parts.stay_path import Obstacles, find_way, fouls
from bentwork.piece.corners import Corners
from bentwork.space import Vec
from bentwork.stock.section import Round, Tube
from bentwork.tooling.shop import Body

START, END = (0.0, 0.0, 0.0), (600.0, 0.0, 0.0)
NO_LINES = np.zeros((0, 7))


def post(x: float, radius: float, clearance: float) -> KeepOut:
    body = Body("post", "cylinder", start=(x, 0.0, -200.0), end=(x, 0.0, 200.0), radius=radius)
    return KeepOut("post", (body,), clearance)


def around(*outs: KeepOut, lines: np.ndarray = NO_LINES) -> Obstacles:
    return Obstacles(outs, lines, ("rail",) * len(lines), 3.0, 30.0)


def test_a_flat_end_keeps_its_metal() -> None:
    """No wall is stretched: its cross-section stays pi (D - t) t, but for what the two folds squeeze."""
    tube = Tube(16.0, 1.5)
    flat = flat_end(tube, EndAsked("flattened", 6.6))
    assert flat is not None
    assert flat.width == pytest.approx(math.pi * 13.0 / 2.0 + 3.0)
    assert flat.thickness == 3.0
    # two layers between the folds, and half a disc of a wall's radius at each fold
    area = 2.0 * 1.5 * (flat.width - 3.0) + math.pi * 1.5**2
    assert area == pytest.approx(tube.area, rel=1e-9)
    assert flat.length == pytest.approx(2.0 * 6.6 + 1.5 * 6.6)
    assert flat_end(Round(10.0), EndAsked("flattened", 6.6)) is None
    assert flat_end(tube, EndAsked()) is None


def test_flats_lie_to_their_bolts() -> None:
    assert tongue_angle((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == 0.0
    assert tongue_angle((1.0, 0.0, 1.0), (0.0, 0.0, 2.0)) == pytest.approx(45.0)
    assert flat_turn((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 1.0, 1.0)) == pytest.approx(45.0)
    assert flat_turn((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.1)) == pytest.approx(-math.degrees(math.atan(0.1)))
    assert flat_turn((1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) is None


def test_errors_along_and_across() -> None:
    errors = np.zeros((6, 6))
    errors[3:, 3:] = np.diag([4.0, 9.0, 1.0])
    found = moved(START, END, errors)
    assert found.length == pytest.approx(2.0)
    assert found.across == pytest.approx(3.0)
    # errors that both ends share do not move a stay
    both = np.block([[np.eye(3), np.eye(3)], [np.eye(3), np.eye(3)]])
    assert moved(START, END, both).length == pytest.approx(0.0)
    with pytest.raises(ValueError, match="different points"):
        moved(START, START, errors)


def test_a_slot_reaches_as_often_as_it_says() -> None:
    rng = np.random.default_rng(3)
    slot = slot_length(6.6, 1.4, 0.95)
    off = np.abs(rng.normal(0.0, 1.4, 20_000))
    assert np.mean(off <= (slot - 6.6) / 2.0) == pytest.approx(0.95, abs=0.006)


def test_nothing_in_the_way() -> None:
    way = find_way(
        START,
        END,
        40.0,
        6.0,
        24.0,
        around(
            post(300.0, 20.0, 5.0).__class__(
                "far", (Body("far", "box", x=(0.0, 10.0), y=(200.0, 220.0), z=(0.0, 10.0)),), 5.0
            )
        ),
    )
    assert way.points == (START, END)
    assert way.length == 600.0
    assert way.fouls == ()
    assert way.clear


def test_round_a_post_with_one_bend() -> None:
    out = post(300.0, 20.0, 5.0)
    way = find_way(START, END, 40.0, 6.0, 24.0, around(out))
    assert way.clear
    assert len(way.points) == 3
    assert [one.name for one in way.fouls] == ["post"]
    assert way.fouls[0].gap < 0.0
    line = Corners(way.points, (40.0,)).centreline()
    assert near_to(out, line.sample(0.01), 6.0).gap >= 5.0 - 0.01
    assert way.length == pytest.approx(line.table.length, abs=1e-6)
    # The shortest: straights that touch a circle of 20 + 6 + 5 about the post, as a taut string would. Bends of 40 cut
    # their corner, so that it is longer; and no more than a few millimetres.
    reach, half = 31.0, 300.0
    taut = 2.0 * math.sqrt(half**2 - reach**2) + 2.0 * reach * math.asin(reach / half)
    assert taut <= way.length < taut + 6.0


def test_round_a_wide_box_with_two_bends() -> None:
    box = KeepOut("box", (Body("box", "box", x=(110.0, 490.0), y=(-900.0, 900.0), z=(-900.0, 100.0)),), 4.0)
    way = find_way(START, END, 40.0, 6.0, 24.0, around(box))
    assert way.clear
    assert len(way.points) == 4
    assert not fouls(way.points, 40.0, 6.0, around(box))


def test_round_a_bar_of_the_frame() -> None:
    rail = np.array([[300.0, -400.0, 5.0, 0.0, 800.0, 0.0, 8.0]])
    found = find_way(START, END, 40.0, 6.0, 24.0, around(lines=rail))
    assert found.clear
    assert [one.name for one in found.fouls] == ["rail"]
    assert len(found.points) == 3
    assert found.points[1][2] < 0.0  # below it, the shorter way
    assert not fouls(found.points, 40.0, 6.0, around(lines=rail))


def test_what_cannot_be_bent_or_has_no_way_says_so() -> None:
    stuck = find_way(START, END, None, 6.0, 24.0, around(post(300.0, 20.0, 5.0)))
    assert not stuck.clear
    assert stuck.points == (START, END)
    walls: list[Vec] = [(-50.0, -2000.0, -2000.0), (250.0, 2000.0, 2000.0)]
    wall = Body("wall", "box", x=(200.0, 400.0), y=(walls[0][1], walls[1][1]), z=(walls[0][2], walls[1][2]))
    assert not find_way(START, END, 40.0, 6.0, 24.0, around(KeepOut("wall", (wall,)))).clear
