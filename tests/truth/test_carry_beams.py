"""Bars, arcs and small frames against closed forms and a textbook's printed numbers.

Unless another source is named, the formulas are unit-load integrals that any textbook has (Timoshenko, Strength of
Materials, part II; Roark, curved beams and rings), derived again by hand. Shear is left out where the books leave it
out.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.carry.bar import Bar
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.recovery import forces_inside, strain_energy
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.section import Flat, Round, Square
from tests.frames import a_bar, an_aluminium, an_arc, at_end, loaded
from tests.truth.carry_textbook import logan

E = 70000.0
I10 = math.pi * 10.0**4 / 64.0
EI = E * I10
GJ = E / 2.66 * 2.0 * I10
WALL = Fixing("wall", "bar", (0.0, 0.0, 0.0), FIXED)


def test_cantilever() -> None:
    built, solved = loaded([a_bar((0, 0, 0), (200, 0, 0))], [WALL], [(0, 200.0, (0, 0, -100.0))])
    assert at_end(built, solved, built.extra[0])[2] == pytest.approx(-7.76070, abs=5e-6)
    worst = np.abs(forces_inside(solved).forces[:, 4:]).max() / (I10 / 5.0)
    assert worst == pytest.approx(203.718, abs=5e-4)


def test_cantilever_with_shear() -> None:
    # Timoshenko: PL^3/3EI + PL/(k G A), k = 6(1+v)/(7+6v) for round bar.
    built, solved = loaded([a_bar((0, 0, 0), (30, 0, 0))], [WALL], [(0, 30.0, (0, 0, -100.0))], shear=True)
    k = 6 * 1.33 / (7 + 6 * 0.33)
    expected = 100 * 30**3 / 3 / EI + 100 * 30 / (k * E / 2.66 * math.pi * 25)
    assert -at_end(built, solved, built.extra[0])[2] == pytest.approx(expected, rel=1e-12)


def test_beam_on_two_supports_and_between_two_walls() -> None:
    bar = a_bar((0, 0, 0), (400, 0, 0))
    feet = [
        Fixing("a", "bar", (0, 0, 0), (math.inf,) * 4 + (0.0, 0.0)),
        Fixing("b", "bar", (400, 0, 0), (0.0, math.inf, math.inf, 0.0, 0.0, 0.0)),
    ]
    built, solved = loaded([bar], feet, [(0, 200.0, (0, 0, -100.0))])
    assert at_end(built, solved, built.extra[0])[2] == pytest.approx(-3.88035, abs=5e-6)
    assert np.abs(forces_inside(solved).forces[:, 4]).max() == pytest.approx(10000.0)
    walls = [Fixing("a", "bar", (0, 0, 0), FIXED), Fixing("b", "bar", (400, 0, 0), FIXED)]
    built, solved = loaded([bar], walls, [(0, 200.0, (0, 0, -100.0))])
    assert at_end(built, solved, built.extra[0])[2] == pytest.approx(-0.970087, abs=5e-7)
    assert np.abs(forces_inside(solved).forces[:, 4]).max() == pytest.approx(5000.0)


def test_own_weight_of_a_cantilever() -> None:
    # w L^4/8EI and w L^2/2.
    bar = a_bar((0, 0, 0), (500, 0, 0))
    built, solved = loaded([bar], [WALL], [(0, 500.0, (0, 0, 0))], felt=(0, 0, -9.81))
    w = bar.line_mass * 9.81
    assert -at_end(built, solved, built.extra[0])[2] == pytest.approx(w * 500**4 / 8 / EI, rel=1e-12)
    assert np.abs(forces_inside(solved).forces[:, 4]).max() == pytest.approx(w * 500**2 / 2, rel=1e-12)


def a_ring(radius: float) -> Bar:
    """Four quarter circles that close, from (0, 0, 0) about (0, R, 0)."""
    table = BendTable((0.0,) * 5, tuple(Bend(radius, 90.0) for _ in range(4)), closed=True)
    return Bar("ring", Centreline(table), Square(10.0, 5.0), an_aluminium(200000.0))


def test_ring_under_two_opposite_loads() -> None:
    # Closes by (pi/4 - 2/pi) P R^3/EI, opens by (2/pi - 1/2), moment 1/pi P R under the load, 1/2 - 1/pi at the side.
    # Axial force, which the books leave out, is made small by a thin section: 0.1 mm in 100.
    radius, load = 100.0, 1e-6
    table = BendTable((0.0,) * 5, tuple(Bend(radius, 90.0) for _ in range(4)), closed=True)
    ring = Bar("ring", Centreline(table), Flat(10.0, 0.01), an_aluminium(200000.0))
    quarter = math.pi * radius / 2
    foot = [Fixing("foot", "ring", (0, 0, 0), FIXED)]
    spots = [(0, 2 * quarter, (0, -load, 0)), (0, quarter, (0, 0, 0)), (0, 3 * quarter, (0, 0, 0))]
    built, solved = loaded([ring], foot, spots)
    unit = load * radius**3 / (200000 * 10 * 0.01**3 / 12)
    top, right, left = (at_end(built, solved, spot) for spot in built.extra)
    assert -top[1] / unit == pytest.approx(math.pi / 4 - 2 / math.pi, rel=1e-7)
    assert (right[0] - left[0]) / unit == pytest.approx(2 / math.pi - 0.5, rel=1e-7)
    inside = forces_inside(solved)
    moment = np.abs(inside.forces[:, 4, 0]) / (load * radius)
    at = {round(s): moment[np.isclose(inside.station, s * quarter)].max() for s in (0, 1, 2)}
    assert at[2] == pytest.approx(1 / math.pi, rel=1e-6)
    assert at[1] == pytest.approx(0.5 - 1 / math.pi, rel=1e-6)


def test_ring_with_numbers() -> None:
    # R 100, 10 wide by 5, E 200 000, P 10: half closing 0.0357 mm (a public verification page of a solver).
    ring = a_ring(100.0)
    built, solved = loaded([ring], [Fixing("foot", "ring", (0, 0, 0), FIXED)], [(0, 100 * math.pi, (0, -10.0, 0))])
    assert -at_end(built, solved, built.extra[0])[1] / 2 == pytest.approx(0.0357, rel=3e-3)


PULL = math.pi / 4 * 50 * 100 / (E * math.pi * 25)  # what axial force adds, PR/EA times the integral of cos^2


@pytest.mark.parametrize(
    ("angle", "force", "axis", "expected", "printed"),
    [
        (90.0, (0, 0, -50.0), 2, 50 * 100**3 * ((math.pi / 4) / EI + (3 * math.pi / 4 - 2) / GJ), 1.8322),
        (180.0, (0, 0, -50.0), 2, 50 * 100**3 * ((math.pi / 2) / EI + (3 * math.pi / 2) / GJ), 11.406),
        (90.0, (-50.0, 0, 0), 0, math.pi / 4 * 50 * 100**3 / EI + PULL, 1.1429),
        (90.0, (0, -50.0, 0), 1, (3 * math.pi / 4 - 2) * 50 * 100**3 / EI + PULL, 0.5183),
    ],
)
def test_quarter_and_half_circle(
    angle: float, force: tuple[float, float, float], axis: int, expected: float, printed: float
) -> None:
    hoop = an_arc(100.0, angle, name="bar")
    built, solved = loaded([hoop], [WALL], [(0, hoop.length, force)])
    moved = abs(at_end(built, solved, built.extra[0])[axis])
    assert moved == pytest.approx(expected, rel=1e-12)
    assert moved == pytest.approx(printed, rel=2e-3)  # the books leave axial force out


def test_l_shaped_bar_bends_and_twists() -> None:
    # Pa^3/3EI + Pb^3/3EI + P b^2 a/GJ = 3.8803 + 1.6370 + 8.7090 with a sharp corner.
    arm = a_bar((200, 0, 0), (200, 150, 0), name="arm")
    built, solved = loaded([a_bar((0, 0, 0), (200, 0, 0)), arm], [WALL], [(1, 150.0, (0, 0, -50.0))])
    assert -at_end(built, solved, built.extra[0])[2] == pytest.approx(14.22633, abs=5e-6)


def test_portal_frame() -> None:
    # Foot (Hh/2)(3k+1)/(6k+1), top (Hh/2) 3k/(6k+1), sway H h^3/(12 EI) (3k+2)/(6k+1): Kleinlogel's form, k = 1.
    steel = material_from_mapping(
        "stiff",
        {"elastic_modulus": 210000, "proof_stress": 235, "tensile_strength": 360, "elongation": 26, "density": 7850},
    )
    section = Square(600.0, 600.0)  # axial and shear far below what is printed; I = 1.08e10
    ei = 210000 * section.bending().second_moment
    bars = [
        a_bar((0, 0, 0), (0, 0, 100000), section, steel, "left"),
        a_bar((0, 0, 100000), (100000, 0, 100000), section, steel, "beam"),
        a_bar((100000, 0, 0), (100000, 0, 100000), section, steel, "right"),
    ]
    feet = [Fixing("l", "left", (0, 0, 0), FIXED), Fixing("r", "right", (100000, 0, 0), FIXED)]
    built, solved = loaded(bars, feet, [(0, 100000.0, (1000.0, 0, 0))], longest=1e5)
    h = 100000.0
    assert at_end(built, solved, built.extra[0])[0] == pytest.approx(1000 * h**3 / 16.8 / ei, rel=1e-4)
    moments = np.abs(solved.reactions[:, 0][[4, 10]])
    assert moments == pytest.approx([285.71e-3 * h * 1000, 285.71e-3 * h * 1000], rel=2e-4)
    inside = forces_inside(solved)
    top = np.isclose(inside.place[:, 2], h)
    assert np.abs(inside.forces[top, 4:, 0]).max() == pytest.approx(214.29e-3 * h * 1000, rel=2e-4)


def test_arch_on_two_hinges() -> None:
    # Thrust P/pi: Timoshenko (from memory; classic). Inextensible: a thin section.
    arch = an_arc(100.0, 180.0, Flat(10.0, 0.01), name="bar")
    hinge = (math.inf, math.inf, math.inf, math.inf, math.inf, 0.0)
    _built, solved = loaded(
        [arch],
        [Fixing("a", "bar", (0, 0, 0), hinge), Fixing("b", "bar", (0, 200, 0), hinge)],
        [(0, arch.length / 2, (-1.0, 0, 0))],
    )
    assert abs(solved.reactions[1, 0]) == pytest.approx(1 / math.pi, rel=1e-6)


def test_space_frame_of_a_textbook() -> None:
    # Logan, A First Course in the Finite Element Method, 4th edition, example 5.8 (numbers from memory, in inches
    # and kips).
    moves = logan()
    printed = [7.098e-5, -0.014, -2.352e-3, -3.996e-3, 1.78e-5, -1.033e-4]
    digits = [4, 2, 4, 4, 3, 4]
    for move, value, count in zip(moves, printed, digits, strict=True):
        assert float(f"{move:.{count}g}") == pytest.approx(value, rel=1e-9)


def test_energy_and_work() -> None:
    bar = Bar(
        "bar",
        Corners(((0, 0, 0), (300, 0, 0), (300, 200, 0), (300, 200, 150)), (40.0, 40.0)).centreline(),
        Round(10),
        an_aluminium(),
    )
    built, solved = loaded([bar], [WALL], [(0, bar.length, (10.0, -20.0, 30.0, 500.0, 0, 0))], shear=True)
    moved = at_end(built, solved, built.extra[0])
    work = 0.5 * moved @ np.array([10.0, -20.0, 30.0, 500.0, 0, 0])
    assert strain_energy(solved)[0] == pytest.approx(work, rel=1e-12)
    assert solved.reactions[:3, 0] == pytest.approx([-10.0, 20.0, -30.0], rel=1e-12)


def test_pinned_bar_between_two_pins_carries_axially() -> None:
    bars = [a_bar((0, 0, 0), (300, 0, 400), name="a"), a_bar((600, 0, 0), (300, 0, 400), name="b")]
    flat = (math.inf, math.inf, math.inf, math.inf, 0.0, math.inf)
    feet = [Fixing("a", "a", (0, 0, 0), flat), Fixing("b", "b", (600, 0, 0), flat)]
    _built, solved = loaded(bars, feet, [(0, 500.0, (0, 0, -1000.0))])
    inside = forces_inside(solved)
    # Symmetric truss: 1000/2/0.8 = 625 N in each; the stiff corner changes it by bending, 0.1 % here.
    assert np.abs(inside.forces[:, 0, 0]).max() == pytest.approx(625.0, rel=2e-3)
