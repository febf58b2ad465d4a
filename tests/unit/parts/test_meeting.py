"""Where a bar meets another, by hand and by turning the whole thing in space."""

from __future__ import annotations

import math

import pytest

from bentwork.parts.meeting import Limb, Meeting, meeting
from bentwork.space import Vec, add, rotate, unit
from bentwork.stock.section import Flat, Round, Section, Square, Tube

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def rail(section: Section) -> Limb:
    return Limb((0.0, 0.0, 0.0), X, Y, Z, section)


def rung(end: Vec, way: Vec, section: Section) -> Limb:
    way = unit(way)
    wide = unit((way[2], 0.0, -way[0])) if abs(way[1]) < 0.9 else X
    high = (
        way[1] * wide[2] - way[2] * wide[1],
        way[2] * wide[0] - way[0] * wide[2],
        way[0] * wide[1] - way[1] * wide[0],
    )
    return Limb(end, way, wide, high, section)


def met(end: Vec, way: Vec, section: Section, onto: Section) -> Meeting:
    found = meeting(end, rung(end, way, section), rail(onto))
    assert found is not None
    return found


def test_butted_and_square() -> None:
    found = met((50.0, 6.0, 0.0), Y, Round(12.0), Round(12.0))
    assert found.angle == pytest.approx(90.0)
    assert found.offset == 0.0
    assert found.foot == pytest.approx((50.0, 0.0, 0.0))
    assert found.drawn == pytest.approx(6.0)
    assert (found.plain.longest, found.plain.lean, found.plain.gap) == pytest.approx((6.0, 0.0, 6.0))
    assert not found.is_coped


def test_coped_deep() -> None:
    found = met((50.0, 0.5, 0.0), Y, Round(12.0), Round(12.0))
    assert found.is_coped
    assert found.longest("coped") == pytest.approx(0.0)
    assert found.longest("butted") == pytest.approx(6.0)


def test_a_slanting_end_on_a_flat_face_is_mitred() -> None:
    # 60 degrees between the bars, face 10 above the middle, tube 16: middle 10/sin 60, tip less r cot 60
    found = met((0.0, 5.0, 0.0), (0.5, math.sqrt(0.75), 0.0), Tube(16.0, 1.5), Square(20.0, 20.0))
    assert found.cope is None
    assert found.plain.lean == pytest.approx(30.0)
    assert found.plain.middle == pytest.approx(10.0 / math.sin(math.radians(60.0)))
    assert found.plain.longest == pytest.approx(found.plain.middle - 8.0 / math.tan(math.radians(60.0)))
    assert found.plain.gap == 0.0


def test_flat_bar_is_sawn_across_one_of_its_sizes() -> None:
    # leaning along the rail, its width across the rail: the cut slopes across its thickness alone
    found = met((0.0, 0.0, 12.5), (1.0, 0.0, 1.0), Flat(30.0, 4.0), Tube(25.0, 2.0))
    assert found.plain.lean == pytest.approx(45.0)
    slopes = sorted((found.plain.across_width, found.plain.across_height))
    assert slopes == pytest.approx([0.0, 45.0])


def test_beside_the_middle() -> None:
    found = met((0.0, 10.0, 4.0), Y, Round(10.0), Round(20.0))
    assert found.offset == pytest.approx(4.0)
    assert found.cope is not None
    # the top lies at z = 9 of 10: it reaches in to sqrt(100 - 81)
    assert found.cope.longest == pytest.approx(math.sqrt(19.0))


@pytest.mark.parametrize("way", [(1.0, 0.1, 0.0), (-1.0, 0.1, 0.0)])
def test_bars_that_lie_along_one_another_do_not_meet(way: Vec) -> None:
    assert meeting((0.0, 5.0, 0.0), rung((0.0, 5.0, 0.0), way, Round(10.0)), rail(Round(20.0))) is None


def test_bars_that_pass_do_not_meet() -> None:
    end = (0.0, 0.0, 15.5)
    assert meeting(end, rung(end, Y, Round(10.0)), rail(Round(20.0))) is None


@pytest.mark.parametrize("slant", [0.0, 0.4, -0.4])
def test_it_is_the_same_wherever_the_frame_stands(slant: float) -> None:
    axis, shift = unit((1.0, 2.0, 3.0)), (100.0, -50.0, 20.0)

    def moved(v: Vec) -> Vec:
        return rotate(v, axis, 77.0)

    end, way = (30.0, 9.0, 2.0), unit((slant, 1.0, 0.1))
    bar, onto = rung(end, way, Tube(16.0, 1.5)), rail(Tube(25.0, 2.0))
    there = [
        Limb(add(moved(one.origin), shift), moved(one.along), moved(one.wide), moved(one.high), one.section)
        for one in (bar, onto)
    ]
    here, elsewhere = meeting(end, bar, onto), meeting(there[0].origin, there[0], there[1])
    assert here is not None
    assert elsewhere is not None
    assert here.cope is not None
    assert elsewhere.cope is not None
    sizes = [(one.angle, one.offset, one.drawn, one.plain.longest, one.plain.gap) for one in (here, elsewhere)]
    assert sizes[0] == pytest.approx(sizes[1])
    assert moved(here.reference) == pytest.approx(elsewhere.reference)
    assert here.cope.offset == pytest.approx(elsewhere.cope.offset)
