from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, Way

sizes = st.floats(1.0, 200.0)
shares = st.floats(0.01, 0.99)
ways: st.SearchStrategy[Way] = st.sampled_from(("easy", "hard"))


@st.composite
def square_tubes(draw: st.DrawFn) -> SquareTube:
    width, height = draw(sizes), draw(sizes)
    smaller = min(width, height)
    return SquareTube(width, height, draw(shares) * smaller / 2.0, draw(st.floats(0.0, 1.0)) * smaller / 2.0)


tubes = st.builds(lambda diameter, share: Tube(diameter, share * diameter / 2.0), sizes, shares)
flats = st.builds(lambda one, other: Flat(max(one, other), min(one, other)), sizes, sizes)
sections: st.SearchStrategy[Section] = st.one_of(
    st.builds(Round, sizes), tubes, st.builds(Square, sizes, sizes), flats, square_tubes()
)


def scaled(section: Section, k: float) -> Section:
    if isinstance(section, Round):
        return Round(section.diameter * k)
    if isinstance(section, Tube):
        return Tube(section.diameter * k, section.wall * k)
    if isinstance(section, SquareTube):
        return SquareTube(section.width * k, section.height * k, section.wall * k, section.corner_radius * k)
    return type(section)(section.width * k, section.height * k)


@given(sections, ways, st.sampled_from([0.25, 0.5, 2.0, 4.0]))
def test_a_section_k_times_the_size(section: Section, way: Way, k: float) -> None:
    bigger, bending = scaled(section, k), section.bending(way)
    assert bigger.area == pytest.approx(k**2 * section.area)
    assert bigger.perimeter == pytest.approx(k * section.perimeter)
    assert bigger.bending(way).second_moment == pytest.approx(k**4 * bending.second_moment)
    assert bigger.bending(way).section_modulus == pytest.approx(k**3 * bending.section_modulus)
    assert bigger.bending(way).plastic_modulus == pytest.approx(k**3 * bending.plastic_modulus)
    assert bigger.torsion_constant == pytest.approx(k**4 * section.torsion_constant)


@given(sections, ways)
def test_every_value_is_above_nothing(section: Section, way: Way) -> None:
    bending = section.bending(way)
    assert min(section.area, section.perimeter, section.torsion_constant) > 0.0
    assert min(bending.second_moment, bending.section_modulus, bending.plastic_modulus, bending.half_depth) > 0.0


@given(sections, ways)
def test_the_elastic_modulus_is_second_moment_over_half_depth(section: Section, way: Way) -> None:
    bending = section.bending(way)
    assert bending.half_depth == section.depth(way) / 2.0
    assert bending.section_modulus * bending.half_depth == pytest.approx(bending.second_moment)


@given(sections, ways)
def test_a_section_holds_a_little_more_than_at_first_yield_and_never_1_7_times(section: Section, way: Way) -> None:
    # 16/(3 pi) of round bar is the largest of these sections; 1 would be two thin plates far apart.
    assert 1.0 < section.bending(way).shape_factor <= 16.0 / (3.0 * math.pi) + 1e-9


@given(st.builds(Square, sizes, sizes) | flats)
def test_a_solid_rectangle_twists_easier_than_its_polar_second_moment_says(section: Section) -> None:
    assert section.torsion_constant < section.polar_second_moment


@given(square_tubes() | st.builds(Square, sizes, sizes))
def test_a_section_laid_on_its_side_changes_ways(section: SquareTube | Square) -> None:
    if isinstance(section, SquareTube):
        turned: Section = SquareTube(section.height, section.width, section.wall, section.corner_radius)
    else:
        turned = Square(section.height, section.width)
    assert turned.bending("easy") == section.bending("hard")
    assert turned.torsion_constant == pytest.approx(section.torsion_constant)
    assert turned.area == pytest.approx(section.area)


@given(sizes)
def test_a_tube_with_a_tiny_bore_is_round_bar(diameter: float) -> None:
    tube, bar = Tube(diameter, diameter / 2.0 * (1.0 - 1e-6)), Round(diameter)
    assert tube.area == pytest.approx(bar.area)
    assert tube.bending().second_moment == pytest.approx(bar.bending().second_moment)
    assert tube.bending().plastic_modulus == pytest.approx(bar.bending().plastic_modulus)
    assert tube.torsion_constant == pytest.approx(bar.torsion_constant)


@given(sizes, ways)
def test_a_square_tube_with_a_tiny_hole_is_square_bar(side: float, way: Way) -> None:
    tube, bar = SquareTube(side, side, side / 2.0 * (1.0 - 1e-6)), Square(side, side)
    assert tube.area == pytest.approx(bar.area)
    assert tube.bending(way).second_moment == pytest.approx(bar.bending(way).second_moment)
    assert tube.bending(way).plastic_modulus == pytest.approx(bar.bending(way).plastic_modulus)
    # The closed-cell formula was not made for this; it still comes within 4 % (7/48 against 0.14058).
    assert tube.torsion_constant == pytest.approx(bar.torsion_constant, rel=0.04)


@given(sizes, st.floats(0.01, 0.9))
def test_a_square_tube_that_is_all_corner_is_round_tube(diameter: float, share: float) -> None:
    wall = share * diameter / 2.0
    square, tube = SquareTube(diameter, diameter, wall, diameter / 2.0), Tube(diameter, wall)
    assert square.area == pytest.approx(tube.area)
    assert square.perimeter == pytest.approx(tube.perimeter)
    assert square.bending().second_moment == pytest.approx(tube.bending().second_moment)
    assert square.bending().plastic_modulus == pytest.approx(tube.bending().plastic_modulus)


@given(square_tubes(), ways)
def test_rounding_the_corners_takes_metal_away(tube: SquareTube, way: Way) -> None:
    sharp = SquareTube(tube.width, tube.height, tube.wall)
    assert tube.area <= sharp.area * (1 + 1e-9)
    assert tube.bending(way).second_moment <= sharp.bending(way).second_moment * (1 + 1e-9)
    assert tube.perimeter <= sharp.perimeter
