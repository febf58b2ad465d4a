"""Sections against closed forms of textbooks and against worked numbers; the source stands beside each."""

from __future__ import annotations

import math

import pytest

from bentwork.files.catalogue import materials
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, mass_per_metre


# Shape factors: Timoshenko, Strength of Materials, Part II; Gere, Mechanics of Materials, chapter on plastic bending.
@pytest.mark.parametrize(
    ("section", "factor", "tolerance"),
    [
        (Flat(25, 6), 1.5, 1e-12),
        (Square(10, 10), 1.5, 1e-12),
        (Round(10), 1.69765, 3e-6),  # 16/(3 pi), printed to five places
        (Tube(100, 0.001), 1.27324, 2e-5),  # 4/pi, the limit of a thin wall
        (Tube(20, 5.0), 1.5845, 1e-4),  # (16/3pi) (1-q^3)/(1-q^4) at q = bore/diameter = 0.5 ...
        (Tube(20, 3.0), 1.4678, 1e-4),  # 0.7
        (Tube(20, 2.0), 1.4032, 1e-4),  # 0.8
        (Tube(25, 2.0), 1.3770, 1e-4),  # 0.84
        (Tube(20, 1.0), 1.3378, 1e-4),  # 0.9
    ],
)
def test_shape_factor(section: Section, factor: float, tolerance: float) -> None:
    assert section.bending().shape_factor == pytest.approx(factor, abs=tolerance)


# Closed forms of the circle ring, worked by hand: I = pi (D^4 - d^4)/64, Zp = (D^3 - d^3)/6.
@pytest.mark.parametrize(
    ("tube", "second_moment", "plastic_modulus"),
    [
        (Tube(25, 2), 9628.2, 1060.7),
        (Tube(20, 2), 4637.0, 650.67),
        (Tube(16, 1.5), 1815.0, 316.50),
    ],
)
def test_tube(tube: Tube, second_moment: float, plastic_modulus: float) -> None:
    assert tube.bending().second_moment == pytest.approx(second_moment, rel=1e-5)
    assert tube.bending().plastic_modulus == pytest.approx(plastic_modulus, rel=5e-5)


def test_round_bar_of_10_mm() -> None:
    # I = pi d^4/64, J = 2 I, W = pi d^3/32: any textbook.
    bending = Round(10).bending()
    assert bending.second_moment == pytest.approx(490.874, abs=5e-4)
    assert Round(10).torsion_constant == pytest.approx(2 * 490.874, abs=1e-3)
    assert bending.section_modulus == pytest.approx(98.17, abs=5e-3)


def test_moment_at_first_yield_of_a_bar_and_beside_its_weld() -> None:
    # Strength times elastic modulus; 6082-T6 by EN 755-2 and EN 1999-1-1, Table 3.2b (from memory).
    bar, aluminium = Round(10).bending(), materials()["6082-T6"]
    assert aluminium.welded_proof_stress is not None
    assert bar.section_modulus * aluminium.proof_stress.value / 1000 == pytest.approx(24.544, abs=5e-4)
    assert bar.section_modulus * aluminium.welded_proof_stress.value / 1000 == pytest.approx(12.272, abs=5e-4)


@pytest.mark.parametrize(
    ("section", "density", "mass"),
    [(Round(10), 2700, 0.21206), (Round(10), 7850, 0.61654), (Tube(25, 2), 2700, 0.39019)],  # area times density
)
def test_mass_of_a_metre(section: Section, density: float, mass: float) -> None:
    assert mass_per_metre(section, density) == pytest.approx(mass, abs=5e-6)


# Timoshenko and Goodier, Theory of Elasticity, table of torsion of rectangular bars: J = k1 a b^3 (from memory).
@pytest.mark.parametrize(
    ("sides", "k1"),
    [(1.0, 0.1406), (1.2, 0.166), (1.5, 0.196), (2.0, 0.229), (2.5, 0.249), (3.0, 0.263), (10.0, 0.312)],
)
def test_torsion_constant_of_a_rectangle(sides: float, k1: float) -> None:
    assert Square(sides, 1.0).torsion_constant / sides == pytest.approx(k1, abs=6e-4)
    assert Square(1.0, sides).torsion_constant / sides == pytest.approx(k1, abs=6e-4)


@pytest.mark.parametrize("sides", [1.0, 1.3, 2.0, 4.0, 25.0])
def test_torsion_constant_of_a_rectangle_against_the_slow_series(sides: float) -> None:
    slow = sum(math.tanh(n * math.pi * sides / 2) / n**5 for n in range(1, 4001, 2))
    expected = sides * (1 / 3 - 64 / (math.pi**5 * sides) * slow)
    assert Flat(sides, 1.0).torsion_constant == pytest.approx(expected, rel=1e-12)


def test_torsion_constant_of_a_very_thin_flat_is_a_third_of_width_times_thickness_cubed() -> None:
    # Thin-walled open sections, any textbook; what is missing at the two edges is 0.63 thickness.
    assert Flat(1000, 1).torsion_constant == pytest.approx((1000 - 0.63024) / 3, rel=1e-7)


def test_square_tube_as_en_10219_tabulates_it() -> None:
    # EN 10219-2, cold formed 50 x 50 x 3, corners 2 T outside and 1 T inside: A 5.41 cm2, I 19.5 cm4, Wel 7.79 cm3,
    # Wpl 9.39 cm3, It 32.1 cm4, surface 0.190 m2/m (from memory).
    tube = SquareTube(50, 50, 3, 6)
    bending = tube.bending()
    assert tube.area / 1e2 == pytest.approx(5.41, abs=5e-3)
    assert bending.second_moment / 1e4 == pytest.approx(19.5, abs=5e-2)
    assert bending.section_modulus / 1e3 == pytest.approx(7.79, abs=1e-2)
    assert bending.plastic_modulus / 1e3 == pytest.approx(9.39, abs=1e-2)
    assert tube.torsion_constant / 1e4 == pytest.approx(32.1, abs=6e-2)
    assert tube.surface_per_metre == pytest.approx(0.190, abs=5e-4)


def test_rectangular_tube_as_en_10219_tabulates_it() -> None:
    # EN 10219-2, cold formed 60 x 40 x 3, corners 2 T and 1 T: A 5.41 cm2, I 25.4 and 13.4 cm4, Wel 8.46 and 6.72 cm3,
    # Wpl 10.5 and 7.94 cm3, It 29.3 cm4 (from memory).
    tube = SquareTube(60, 40, 3, 6)
    easy, hard = tube.bending("easy"), tube.bending("hard")
    assert tube.area / 1e2 == pytest.approx(5.41, abs=5e-3)
    assert (hard.second_moment / 1e4, easy.second_moment / 1e4) == pytest.approx((25.4, 13.4), abs=5e-2)
    assert (hard.section_modulus / 1e3, easy.section_modulus / 1e3) == pytest.approx((8.46, 6.72), abs=1e-2)
    assert (hard.plastic_modulus / 1e3, easy.plastic_modulus / 1e3) == pytest.approx((10.5, 7.94), abs=5e-2)
    assert tube.torsion_constant / 1e4 == pytest.approx(29.3, abs=5e-2)
