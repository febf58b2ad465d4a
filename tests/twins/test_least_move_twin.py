"""The shortest move within limits, against a plain search that tries every set of limits and keeps the shortest; and
the least shift of a corner by slopes worked out, against the same by slopes measured."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from bentwork import tolerances
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import misfits
from bentwork.piece.remedies import _nearest, _setback_slope, least_shift
from bentwork.space import Vec

Floats = NDArray[np.float64]

SIDES = st.lists(st.tuples(*[st.integers(-6, 6)] * 3), min_size=1, max_size=4)
WANTED = st.lists(st.integers(-5, 9), min_size=4, max_size=4)


def plain(slope: Floats, least: Floats) -> Floats | None:
    """Every set of limits that may bind, by pseudo-inverse; of those that keep all limits the shortest."""
    best: Floats | None = None
    for size in range(min(3, len(least)) + 1):
        for binding in itertools.combinations(range(len(least)), size):
            rows = list(binding)
            v = np.linalg.pinv(slope[rows]) @ least[rows] if rows else np.zeros(3)
            if np.all(slope @ v >= least - 1e-9) and (best is None or float(v @ v) < float(best @ best)):
                best = v
    return best


@given(SIDES, WANTED)
@example([(2, 4, -6), (6, 3, -4), (-5, -3, 4)], [0, 0, 1, 0])  # three sides that all but depend on one another
def test_the_quick_one_finds_what_the_plain_one_finds(sides: list[tuple[int, int, int]], wanted: list[int]) -> None:
    slope = np.array(sides, dtype=float)
    least = np.array(wanted[: len(sides)], dtype=float)
    found, twin = _nearest([(row[0], row[1], row[2]) for row in slope.tolist()], least.tolist()), plain(slope, least)
    assert (found is None) == (twin is None)
    if found is not None and twin is not None:
        move = np.array(found[0])
        assert np.linalg.norm(move) <= np.linalg.norm(twin) + 1e-7
        assert np.all(slope @ move >= least - 1e-8)
        np.testing.assert_allclose(move, twin, atol=1e-6)


def cramped(seed: int) -> Corners:
    """Corners at random, of which some are too close: along the axes in whole mm, free in space, or on a plate."""
    chance = random.Random(seed)
    closed = chance.random() < 0.35
    points: list[Vec] = [(0.0, 0.0, 0.0)]
    last = -1
    for _ in range(chance.randint(2, 8)):
        x, y, z = points[-1]
        if seed % 3 == 0:
            last = chance.choice([axis for axis in range(3) if axis != last])
            step = [0.0, 0.0, 0.0]
            step[last] = float(chance.choice([20, 40, 60, 80, 100, 150, 300]) * chance.choice([-1, 1]))
        else:
            step = [chance.gauss(0.0, 1.0), chance.gauss(0.0, 1.0), chance.gauss(0.0, 1.0) if seed % 3 == 1 else 0.0]
            size = chance.uniform(10.0, 250.0) / math.hypot(*step)
            step = [size * part for part in step]
        points.append((x + step[0], y + step[1], z + step[2]))
    count = len(points) if closed else len(points) - 2
    one = chance.choice([24.0, 36.0, 48.0, 57.5, 100.0])
    radii = [chance.choice([24.0, 36.0, 48.0]) for _ in range(count)] if chance.random() < 0.4 else [one] * count
    return Corners(tuple(points), tuple(radii), closed)


def too_close(corners: Corners) -> list[int]:
    """Sides that ``misfits`` tells to be too short, by the corner that it names: the later one, but for an end."""
    count = len(corners.points)
    named = {finding.corner for finding in misfits(corners) if finding.code == "corner-too-close"}
    sides = []
    for side in range(corners.sides):
        after = (side + 1) % count
        corner = after if corners.is_corner(after) else side
        if corner + 1 in named and corners.slack(side) < -tolerances.SLACK:
            sides.append(side)
    return sides


def measured_slopes(corners: Corners, point: int, sides: list[int], place: Floats) -> tuple[Floats, Floats]:
    """Straights with the point at a place, and how they change when it is moved a little either way."""

    def straights(at: Floats) -> Floats:
        moved = corners.with_point(point, (float(at[0]), float(at[1]), float(at[2])))
        return np.array([moved.slack(side) for side in sides])

    little = 1e-5 * np.eye(3)
    slope = np.array([(straights(place + step) - straights(place - step)) / 2e-5 for step in little])
    return straights(place), slope.T


def plain_shift(corners: Corners, point: int, side: int) -> tuple[float, bool] | None:
    """How far the point goes until the side fits and no other that it touches is spoilt; whether it comes to rest."""
    count = len(corners.points)
    near = [s % count if corners.closed else s for s in range(point - 2, point + 2)]
    sides = sorted({s for s in near if 0 <= s < corners.sides})
    floor = np.array([0.0 if s == side else min(0.0, corners.slack(s)) for s in sides])
    home = np.array(corners.points[point])
    place, rests = home, False
    for _ in range(30):
        room, slope = measured_slopes(corners, point, sides, place)
        if not (np.all(np.isfinite(slope)) and np.abs(slope).max() < 1e6):
            return None
        move = plain(slope, floor - room + slope @ (place - home))
        if move is None:
            return None
        before, place = place, home + move
        rests = bool(np.linalg.norm(place - before) < 1e-6)
        if rests:
            break
    away = place - home
    to = home + np.sign(away) * np.ceil(np.round(np.abs(away) / 0.1, 6)) * 0.1
    moved = corners.with_point(point, (float(to[0]), float(to[1]), float(to[2])))
    fits = all(moved.slack(s) >= low - 1e-6 for s, low in zip(sides, floor, strict=True))
    turns = [moved.angle_at(i) for i in range(count) if moved.is_corner(i)]
    return (math.dist(to, home), rests) if fits and all(0.1 <= turn <= 179.9 for turn in turns) else None


def test_five_hundred_misfits_are_mended_with_no_longer_a_move_than_in_the_plainest_way() -> None:
    looked_at, mended, at_rest = 0, 0, 0
    for seed in itertools.count():
        corners = cramped(seed)
        for side in too_close(corners):
            ends = (side, (side + 1) % len(corners.points))
            plainly = [found for end in ends if (found := plain_shift(corners, end, side)) is not None]
            shift = least_shift(corners, side)
            if plainly:
                assert shift is not None, (seed, side)
                far, rests = min(plainly)
                # A search that wanders to its end stops wherever it is: there the last digit decides, and by little.
                assert math.dist(shift.to, corners.points[shift.point]) <= far + (1e-5 if rests else 0.02 * far), seed
                at_rest += rests
            if shift is not None:
                assert corners.with_point(shift.point, shift.to).slack(side) >= -tolerances.SLACK
                mended += 1
            looked_at += 1
        if looked_at >= 500:
            break
    assert 250 < at_rest <= mended < looked_at  # there are some that no single point mends


def test_a_setback_grows_with_each_point_as_it_is_measured_to_grow() -> None:
    for seed in range(60):
        corners = cramped(seed)
        for corner, point in itertools.product(range(len(corners.points)), repeat=2):
            if corners.is_corner(corner) and 1.0 < corners.angle_at(corner) < 175.0:
                home = np.array(corners.points[point])
                both = [
                    [corners.with_point(point, tuple(home + way * step)).setback_at(corner) for way in (1.0, -1.0)]
                    for step in 1e-4 * np.eye(3)
                ]
                measured = [(far - near) / 2e-4 for far, near in both]
                np.testing.assert_allclose(
                    _setback_slope(corners, corner, point), measured, rtol=1e-4, atol=1e-4, err_msg=f"{seed}"
                )
