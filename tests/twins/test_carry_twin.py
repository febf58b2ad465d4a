"""Slow plain twins: arcs in closed form, arcs cut to chords, a frame of full stiffness matrices."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import build
from bentwork.carry.cholesky import factor
from bentwork.carry.condense import condense, geometry_of
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.lowest import largest_values
from bentwork.carry.product import product
from bentwork.carry.recovery import forces_inside
from bentwork.carry.stiffness import bend_softness, compliance_of, line_masses, section_compliance, shear_shares
from bentwork.carry.structure import structure_of
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.stock.section import Flat, Round, SquareTube, Tube
from tests.frames import an_aluminium, an_arc, at_end, loaded

Floats = NDArray[np.float64]


def arc_flexibility(radius: float, theta: float, soft: tuple[float, ...]) -> Floats:
    """Closed form of the flexibility of the end of a circular arc in its plane x y, its start held.

    Moves and turns along x, y, z at the end from forces and moments there, x along the tangent at the start and y to
    the
    centre: the integrals of products of sine and cosine written out. ``soft``: 1/EA, 1/GA', 1/GA', 1/GJ, 1/EI out of
    the
    plane, 1/EI in the plane.
    """
    ea, gy, gz, gj, out, inp = soft
    r, t = radius, theta
    s, c, s2 = math.sin(t), math.cos(t), math.sin(2 * t)
    ss, cc, sc = (t - s2 / 2) / 2, (t + s2 / 2) / 2, s * s / 2  # of sin^2, cos^2, sin cos over 0..t
    # Levers in the plane: Y(p) = yE - y(p) = r (cos p - c), X(p) = xE - x(p) = r (s - sin p).
    int_y, int_x = r * (s - t * c), r * (t * s - (1 - c))
    int_yy = r * r * (cc - 2 * c * s + c * c * t)
    int_xx = r * r * (s * s * t - 2 * s * (1 - c) + ss)
    int_xy = r * r * (s * s - t * s * c - sc + c * (1 - c))
    f = np.zeros((6, 6))
    f[0, 0] = r * (ea * cc + gy * ss + inp * int_yy)
    f[1, 1] = r * (ea * ss + gy * cc + inp * int_xx)
    f[0, 1] = f[1, 0] = r * ((ea - gy) * sc - inp * int_xy)
    f[0, 5] = f[5, 0] = -r * inp * int_y
    f[1, 5] = f[5, 1] = r * inp * int_x
    f[5, 5] = r * inp * t
    # Out of the plane: moment about x is Mx + Y Fz, about y My - X Fz; along the bar cos, towards the centre sin.
    # twist = cos (Mx + Y Fz) + sin (My - X Fz), bend = -sin (Mx + Y Fz) + cos (My - X Fz).
    a, b = gj * cc + out * ss, gj * ss + out * cc
    d = (gj - out) * sc
    f[3, 3], f[4, 4], f[3, 4], f[4, 3] = r * a, r * b, r * d, r * d
    # With u = t - p: cos Y - sin X is r (1 - cos u) and -sin Y - cos X is -r sin u.
    at, weight = np.polynomial.legendre.leggauss(60)
    p, w = (at + 1) * t / 2, weight * t / 2
    tz, bz = r * (1 - np.cos(t - p)), -r * np.sin(t - p)
    f[2, 2] = r * float(w @ (gz + gj * tz**2 + out * bz**2))
    f[2, 3] = f[3, 2] = r * float(w @ (gj * tz * np.cos(p) - out * bz * np.sin(p)))
    f[2, 4] = f[4, 2] = r * float(w @ (gj * tz * np.sin(p) + out * bz * np.cos(p)))
    return f


@pytest.mark.parametrize("theta", [3.0, 22.5, 22.6, 90.0, 180.0, 300.0])
@pytest.mark.parametrize("section", [Round(12.0), Tube(25.0, 1.5), Flat(30.0, 4.0), SquareTube(20.0, 20.0, 2.0)])
def test_an_arc_in_closed_form(theta: float, section: Round | Tube | Flat | SquareTube) -> None:
    radius = 70.0
    bar = an_arc(radius, theta, section)
    built = build(structure_of([bar], [Fixing("wall", "hoop", (0, 0, 0), FIXED)]))
    elements = built.frame.elements
    geometry = geometry_of(built.frame)
    chains = condense(geometry, compliance_of([bar], elements), line_masses([bar], elements))
    arm = np.array(bar.line.end.origin) - geometry.middle[0]
    x, y, z = arm
    carry = np.eye(6)
    carry[:3, 3:] = [[0, z, -y], [-z, 0, x], [y, -x, 0]]
    found = carry @ chains.flexibility[0] @ carry.T
    soft = np.array(section_compliance(section, bar.material))
    soft[4:] *= bend_softness(section, radius)
    # The bar is bent in its height: width across the plane, so "about the width" is in the plane.
    expected = arc_flexibility(radius, math.radians(theta), (soft[0], soft[2], soft[1], soft[3], soft[5], soft[4]))
    size = np.sqrt(np.outer(np.diagonal(expected), np.diagonal(expected)))
    # At 3 degrees the closed form, not the sum, loses digits: it subtracts numbers that are nearly alike.
    assert np.abs((found - expected) / size).max() < (1e-12 if theta > 10.0 else 1e-10)


def chorded(radius: float, angle: float, count: int) -> Bar:
    """The arc as straights from place to place on it."""
    step = math.radians(angle) / count
    points = [(radius * math.sin(k * step), radius * (1 - math.cos(k * step)), 0.0) for k in range(count + 1)]
    return Bar("hoop", Corners(tuple(points), (1e-3,) * (count - 1)).centreline(), Round(10.0), an_aluminium())


def test_chords_come_nearer_with_the_square_of_their_number() -> None:
    wall = [Fixing("wall", "hoop", (0, 0, 0), FIXED)]

    def moved(bar: Bar) -> float:
        built, solved = loaded([bar], wall, [(0, bar.length, (0, 0, -50.0))], shear=True)
        return float(at_end(built, solved, built.extra[0])[2])

    exact = moved(an_arc(100.0, 90.0))
    errors = [abs(moved(chorded(100.0, 90.0, count)) / exact - 1.0) for count in (4, 8, 16, 32)]
    orders = [math.log2(a / b) for a, b in pairwise(errors)]
    assert orders == pytest.approx([2.0] * 3, abs=0.1)
    # An arc of one piece or of many is the same arc.
    wall_arc = an_arc(100.0, 90.0)
    for longest in (5.0, 20.0, 1000.0):
        built, solved = loaded([wall_arc], wall, [(0, wall_arc.length, (0, 0, -50.0))], shear=True, longest=longest)
        assert at_end(built, solved, built.extra[0])[2] == pytest.approx(exact, rel=1e-12)


def test_moments_along_the_arc_come_back_exactly() -> None:
    # Out of plane: twist P R (1 - cos u), bending P R sin u, u from the loaded end.
    arc = an_arc(100.0, 90.0)
    _, solved = loaded([arc], [Fixing("wall", "hoop", (0, 0, 0), FIXED)], [(0, arc.length, (0, 0, -50.0))])
    inside = forces_inside(solved)
    u = (arc.length - inside.station) / 100.0
    assert np.abs(np.abs(inside.forces[:, 3, 0]) - 5000 * (1 - np.cos(u))).max() < 1e-8
    assert np.abs(np.hypot(inside.forces[:, 4, 0], inside.forces[:, 5, 0]) - 5000 * np.sin(u)).max() < 1e-8


def test_round_off_does_not_grow_with_the_number_of_elements() -> None:
    table = BendTable((300.0, 200.0, 300.0), (Bend(60.0, 90.0), Bend(60.0, 70.0, 80.0)))
    bar = Bar("hoop", Centreline(table), Round(12.0), an_aluminium())
    ends = [Fixing("a", "hoop", (0, 0, 0), FIXED), Fixing("b", "hoop", bar.line.end.origin, FIXED)]
    answers = []
    for longest in (100.0, 0.25):
        built, solved = loaded([bar], ends, [(0, 400.0, (30, -20, -50.0))], shear=True, longest=longest)
        answers.append(at_end(built, solved, built.extra[0]))
    assert answers[1] == pytest.approx(answers[0], rel=1e-10)


@pytest.mark.parametrize("size", [1, 7, 16, 17, 50, 130])
def test_cholesky_and_product_in_pieces(size: int) -> None:
    rng = np.random.default_rng(size)
    half = rng.normal(size=(size, size + 3))
    matrix = half @ half.T
    right = rng.normal(size=(size, 4))
    factored = factor(matrix)
    assert factored is not None
    assert factored.solve(right) == pytest.approx(np.linalg.solve(matrix, right), rel=1e-7, abs=1e-9)
    assert factored.pivot == pytest.approx(np.diagonal(np.linalg.cholesky(matrix)).min() ** 2, rel=1e-9)
    stack = np.stack((matrix, 2 * matrix))
    both = factor(stack)
    assert both is not None
    assert both.solve(right[None]) == pytest.approx(
        np.linalg.solve(stack, np.stack((right, right))), rel=1e-7, abs=1e-9
    )
    assert factor(matrix - 1e3 * np.eye(size) * np.trace(matrix)) is None
    wide = rng.normal(size=(3 * size, size))
    assert product(wide, matrix) == pytest.approx(wide @ matrix, rel=1e-12, abs=1e-9)


def test_product_of_large_matrices() -> None:
    rng = np.random.default_rng(3)
    a, b = rng.normal(size=(301, 257)), rng.normal(size=(257, 1003))
    assert product(a, b) == pytest.approx(a @ b, abs=1e-10)


def test_lowest_values_against_all_of_them() -> None:
    rng = np.random.default_rng(5)
    half = rng.normal(size=(60, 70))
    stiff: Floats = np.array(half @ half.T)
    load = rng.normal(size=(60, 60))
    load = load + load.T
    values = np.sort(np.linalg.eigvals(np.linalg.solve(stiff, load)).real)[::-1]
    found, shapes = largest_values(np.array(np.linalg.inv(stiff), dtype=np.float64), load, 3)
    assert found == pytest.approx(values[:3], rel=1e-6)
    assert load @ shapes[:, 0] == pytest.approx(found[0] * stiff @ shapes[:, 0], abs=1e-3 * np.abs(load @ shapes).max())


def test_shares_of_shear() -> None:
    # Cowper 1966 (from memory): 0.886 for round bar, 0.531 for thin tube, 0.850 for a rectangle, at 0.3.
    found = [shear_shares(section, 0.3)[0] for section in (Round(10), Tube(25, 1), Flat(30, 4))]
    assert found == pytest.approx([0.886, 0.531, 0.850], abs=1e-3)
    # Bend flexibility of a 25 x 2 tube on 75: h 1.1342, 1.65/h 1.455 (ASME B31, appendix D, from memory).
    assert bend_softness(Tube(25, 2), 75.0) == pytest.approx(1.45475, abs=1e-5)
    assert bend_softness(Round(25), 75.0) == 1.0
