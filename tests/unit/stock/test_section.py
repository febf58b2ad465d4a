from __future__ import annotations

import dataclasses
import math

import pytest

from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, mass_per_metre

EVERY: tuple[Section, ...] = (
    Round(12),
    Tube(25, 2),
    Square(10, 16),
    SquareTube(40, 20, 2, 3),
    Flat(25, 6),
)


def test_each_section_says_its_kind_as_the_job_file_writes_it() -> None:
    assert [section.kind for section in EVERY] == ["round", "tube", "square", "square-tube", "flat"]


def test_area() -> None:
    areas = [section.area for section in EVERY]
    sharp_tube = 40 * 20 - 36 * 16
    corners = (4 - math.pi) * (3**2 - 1**2)
    assert areas == pytest.approx([36 * math.pi, (12.5**2 - 10.5**2) * math.pi, 160, sharp_tube - corners, 150])


def test_flat_is_bent_the_easy_way_across_its_thickness_and_the_hard_way_across_its_width() -> None:
    flat = Flat(25, 6)
    assert (flat.depth("easy"), flat.breadth("easy")) == (6, 25)
    assert (flat.depth("hard"), flat.breadth("hard")) == (25, 6)
    easy, hard = flat.bending("easy"), flat.bending("hard")
    assert (easy.second_moment, easy.section_modulus, easy.plastic_modulus, easy.half_depth) == pytest.approx(
        (450, 150, 225, 3)
    )
    assert (hard.second_moment, hard.section_modulus, hard.plastic_modulus, hard.half_depth) == pytest.approx(
        (7812.5, 625, 937.5, 12.5)
    )


@pytest.mark.parametrize("section", EVERY, ids=lambda section: str(section.kind))
def test_easy_is_what_is_meant_when_nothing_is_said(section: Section) -> None:
    assert section.bending() == section.bending("easy")
    assert section.depth() == section.depth("easy")
    assert section.breadth() == section.depth("hard")


@pytest.mark.parametrize("section", [Round(12), Tube(25, 2)], ids=lambda section: str(section.kind))
def test_round_sections_do_not_care_which_way_they_are_bent(section: Section) -> None:
    assert section.bending("easy") == section.bending("hard")
    assert section.torsion_constant == pytest.approx(section.polar_second_moment, rel=1e-12)


def test_outside_surface_of_a_metre() -> None:
    surfaces = [section.surface_per_metre for section in EVERY]
    expected = [0.012 * math.pi, 0.025 * math.pi, 0.052, 0.120 - 8 * 0.003 + 2 * math.pi * 0.003, 0.062]
    assert surfaces == pytest.approx(expected)


def test_mass_of_a_metre() -> None:
    assert mass_per_metre(Square(10, 10), 7850) == pytest.approx(0.785)


def test_bore_and_inside_radius() -> None:
    assert Tube(25, 2).bore == 21
    assert SquareTube(25, 25, 2, 3).inside_radius == 1
    assert SquareTube(25, 25, 2, 1).inside_radius == 0


def test_square_tube_may_be_a_rectangle() -> None:
    tube = SquareTube(40, 20, 2)
    assert tube.bending("easy").second_moment == pytest.approx((40 * 20**3 - 36 * 16**3) / 12)
    assert tube.bending("hard").second_moment == pytest.approx((20 * 40**3 - 16 * 36**3) / 12)
    assert tube.bending("easy").plastic_modulus == pytest.approx((40 * 20**2 - 36 * 16**2) / 4)


def test_sections_are_values() -> None:
    assert Round(12) == Round(12.0)
    assert len({Square(25, 6), Flat(25, 6)}) == 2
    assert len({Tube(25, 2), Tube(25.0, 2.0)}) == 1
    with pytest.raises(dataclasses.FrozenInstanceError):
        Round(12).diameter = 10  # type: ignore[misc]


@pytest.mark.parametrize("size", [0.0, -3.0, math.nan, math.inf])
def test_a_size_must_be_finite_and_above_nothing(size: float) -> None:
    for make in (
        lambda: Round(size),
        lambda: Tube(size, 2),
        lambda: Tube(25, size),
        lambda: Square(size, 10),
        lambda: Square(10, size),
        lambda: SquareTube(size, 20, 2),
        lambda: SquareTube(20, size, 2),
        lambda: SquareTube(20, 20, size),
        lambda: Flat(size, 6),
        lambda: Flat(25, size),
    ):
        with pytest.raises(ValueError, match="must be a size above 0 mm, not "):
            make()


def test_the_fault_names_the_size_and_the_section() -> None:
    with pytest.raises(ValueError, match=r"^the wall of a tube must be a size above 0 mm, not -1$"):
        Tube(25, -1)


@pytest.mark.parametrize("wall", [12.5, 13.0])
def test_a_wall_must_leave_a_hole(wall: float) -> None:
    with pytest.raises(ValueError, match=r"leaves no hole.*half the diameter, 12.5 mm.*round bar"):
        Tube(25, wall)
    with pytest.raises(ValueError, match=r"leaves no hole.*half the smaller side, 12.5 mm.*square bar"):
        SquareTube(40, 25, wall)


@pytest.mark.parametrize("radius", [-1.0, 10.5, math.nan])
def test_corners_of_a_square_tube_must_fit(radius: float) -> None:
    with pytest.raises(
        ValueError, match="corner radius of a square tube lies between 0 and half its smaller side, 10 mm"
    ):
        SquareTube(40, 20, 2, radius)


def test_a_flat_thicker_than_wide_is_a_slip_of_the_pen() -> None:
    with pytest.raises(
        ValueError, match=r"height of a flat bar is its thickness: it cannot be 25 mm when the width is 6 mm"
    ):
        Flat(6, 25)
    assert Flat(6, 6).area == 36
