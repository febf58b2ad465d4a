"""Developed lengths and marks against closed forms, a printed worked example, and the volume of a solid."""

from __future__ import annotations

import math

import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.corners import Corners
from bentwork.planning.marks import marks_for
from bentwork.space import Vec


@pytest.mark.parametrize(
    ("radius", "angle", "setback"), [(50, 60, 28.8675), (30, 120, 51.9615), (50, 45, 20.7107), (36, 90, 36.0)]
)
def test_setback(radius: float, angle: float, setback: float) -> None:
    # Geometry: T = R tan(angle / 2).
    assert Bend(radius, angle).setback == pytest.approx(setback, abs=5e-5)


@pytest.mark.parametrize(
    ("legs", "turn", "radius", "length"), [((100, 150), 90, 30, 237.1239), ((120, 80), 45, 50, 197.8486)]
)
def test_one_corner(legs: tuple[float, float], turn: float, radius: float, length: float) -> None:
    # L1 + L2 - 2 R tan(a/2) + R a, worked by hand.
    theta = math.radians(turn)
    far = (legs[0] + legs[1] * math.cos(theta), legs[1] * math.sin(theta), 0.0)
    line = Corners(((0, 0, 0), (legs[0], 0, 0), far), (radius,)).centreline()
    assert line.table.length == pytest.approx(length, abs=5e-5)


def test_a_path_in_space() -> None:
    # Two square corners in planes at right angles; 160 + 70 + 60 + 2 arcs of 62.832.
    points: tuple[Vec, ...] = ((0, 0, 0), (200, 0, 0), (200, 150, 0), (200, 150, 100))
    table = Corners(points, (40.0, 40.0)).centreline().table
    assert table.length == pytest.approx(415.6637, abs=5e-5)
    assert abs(table.bends[1].rotation) == pytest.approx(90)


def test_a_path_with_a_skew_leg() -> None:
    points: tuple[Vec, ...] = ((0, 0, 0), (200, 0, 0), (200, 150, 0), (300, 150, 100), (300, 250, 100))
    table = Corners(points, (40.0,) * 3).centreline().table
    assert table.straights == pytest.approx((160, 70, 100 * math.sqrt(2) - 80, 60))
    assert [bend.angle for bend in table.bends] == pytest.approx([90, 90, 90])
    assert [abs(bend.rotation) for bend in table.bends] == pytest.approx([0, 135, 180])
    assert table.length == pytest.approx(539.917, abs=5e-4)


def test_gain_of_a_square_corner() -> None:
    # Two setbacks less the arc: (2 - pi/2) R = 0.4292 R; 43.607 at R = 101.6 (4 in).
    bend = Bend(101.6, 90.0)
    assert 2 * bend.setback - bend.arc == pytest.approx(43.6071, abs=5e-5)


def test_true_shrink_of_an_offset() -> None:
    # Rise 100, 30 degrees, R 100: h tan(a/2) - 2 (2 R tan(a/2) - R a) = 24.335.
    rise, turn, radius = 100.0, 30.0, 100.0
    run = rise / math.tan(math.radians(turn))
    points: tuple[Vec, ...] = ((0, 0, 0), (300, 0, 0), (300 + run, rise, 0), (700 + run, rise, 0))
    table = Corners(points, (radius, radius)).centreline().table
    assert table.length - (700 + run) == pytest.approx(24.335, abs=5e-4)


@pytest.mark.parametrize(("turn", "multiplier"), [(10, 5.7588), (22.5, 2.6131), (30, 2.0), (45, 1.4142), (60, 1.1547)])
def test_marks_of_an_offset_are_the_trade_multiplier_apart(turn: float, multiplier: float) -> None:
    # Conduit benders' offset multiplier 1/sin(angle): distance between the corners of an offset of rise 1; published
    # in any electrician's bending guide, rounded there to 6, 2.6, 2, 1.4, 1.2.
    rise = 200.0
    run = rise / math.tan(math.radians(turn))
    corners = Corners(((0, 0, 0), (2000, 0, 0), (2000 + run, rise, 0), (4000 + run, rise, 0)), (20.0, 20.0))
    first, second = marks_for(corners.centreline().table)
    shrink_within = 2 * (2 * Bend(20.0, turn).setback - Bend(20.0, turn).arc) / 2
    assert second.centre - first.centre + shrink_within == pytest.approx(rise * multiplier, rel=1e-4)


def test_aircraft_bend_allowance_worked_example() -> None:
    # The worked example of the "Sheet Metal Workbook" for 90 degree bends, as published on its site: bend allowance
    # (0.01743 R + 0.0078 T) per degree; R = 0.032 in, T = 0.050 in, 90 degrees give 0.085 in, the deduction 0.079 in.
    # Our developed length on the neutral line, which that formula puts at R + 0.0078/0.01743 T, is the same as printed.
    r, t = 0.032, 0.050
    neutral = Bend(r + 0.0078 / 0.01743 * t, 90.0)
    assert neutral.arc == pytest.approx(0.085, abs=5e-4)
    # Flanges of 1 in to the outside of the corner: flat length 2 - deduction.
    table = BendTable((1.0 - (r + t), 1.0 - (r + t)), (neutral,))
    assert 2.0 - table.length == pytest.approx(0.079, abs=5e-4)


def test_marks_worked_by_hand() -> None:
    # Straights 100 and 80 between bends of 90 degrees, R 50, 15 spare on end A:
    # bend 1 from 15 + 100 = 115 to 115 + 25 pi; bend 2 starts 80 further on.
    table = BendTable((100.0, 80.0, 60.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 90.0)))
    first, second = marks_for(table, trim=15.0, diameter=12.0)
    assert (first.start, first.from_last) == (115.0, 115.0)
    assert first.end == pytest.approx(115 + 25 * math.pi)
    assert second.start == pytest.approx(195 + 25 * math.pi)
    assert second.from_last == pytest.approx(80)
    assert second.round_bar == pytest.approx(math.pi * 12 / 4)
    # Start and centre mark of a square corner lie 0.785 R apart (half the arc).
    assert first.centre - first.start == pytest.approx(0.785398 * 50, abs=1e-4)
