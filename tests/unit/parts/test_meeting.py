"""Where a bar meets another, by hand and by turning the whole thing in space."""

from __future__ import annotations

import math
import random

import pytest

from bentwork.parts.meeting import Limb, Meeting, meeting
from bentwork.parts.outline import outline_of
from bentwork.space import Vec, add, along, cross, dot, perpendicular, rotate, scale, sub, unit
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube

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
    assert found.cope.plane
    assert not found.is_coped
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
    # the top lies at z = 9 of 10: it reaches in to sqrt(100 - 81)
    assert found.cope.longest == pytest.approx(math.sqrt(19.0))


@pytest.mark.parametrize("way", [(1.0, 0.01, 0.0), (-1.0, 0.01, 0.0)])
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
    sizes = [(one.angle, one.offset, one.drawn, one.plain.longest, one.plain.gap) for one in (here, elsewhere)]
    assert sizes[0] == pytest.approx(sizes[1])
    assert moved(here.reference) == pytest.approx(elsewhere.reference)
    assert here.cope.offset == pytest.approx(elsewhere.cope.offset)
    assert here.cope.sizes == pytest.approx(elsewhere.cope.sizes)


def test_the_cope_knows_how_both_sections_are_turned() -> None:
    # flat 30 by 4 upright on square tube, its width along the rail; then across it
    along_it = met((0.0, 0.0, 10.0), Z, Flat(30.0, 4.0), Square(20.0, 20.0))
    assert along_it.cope.thick == pytest.approx(30.0)
    assert along_it.cope.plane
    limb = Limb((0.0, 0.0, 10.0), Z, Y, X, Flat(30.0, 4.0))
    across_it = meeting((0.0, 0.0, 10.0), limb, rail(Square(20.0, 20.0)))
    assert across_it is not None
    assert across_it.cope.thick == pytest.approx(4.0)
    assert across_it.cope.beyond == pytest.approx(5.0)


def test_on_the_edge_of_a_square_bar_the_end_is_coped() -> None:
    turned = Limb((0.0, 0.0, 0.0), X, unit((0.0, 1.0, 1.0)), unit((0.0, -1.0, 1.0)), Square(20.0, 20.0))
    found = meeting((50.0, 0.0, 2.0), rung((50.0, 0.0, 2.0), Z, Tube(16.0, 1.5)), turned)
    assert found is not None
    assert found.cope.faces == ("face", "face")
    assert found.cope.throat == pytest.approx(10.0 * math.sqrt(2.0))
    assert found.is_coped


@pytest.mark.parametrize("degrees", [14.0, 8.0, 2.0])
def test_flat_angles_meet_as_well(degrees: float) -> None:
    way = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)), 0.0)
    found = met((0.0, 0.0, 0.0), way, Round(10.0), Round(20.0))
    assert found.angle == pytest.approx(degrees)
    assert found.plain.lean == pytest.approx(90.0 - degrees)


SECTIONS = (Tube(25.0, 2.0), SquareTube(30.0, 20.0, 2.0, 4.0), Square(20.0, 20.0), Flat(30.0, 5.0))


def turned(origin: Vec, way: Vec, turn: float, section: Section) -> Limb:
    wide = rotate(perpendicular(way), way, turn)
    return Limb(origin, way, wide, cross(way, wide), section)


def on_surface(limb: Limb, place: Vec) -> float:
    """How far a place is from the surface of a bar, mm."""
    away = sub(place, limb.origin)
    own = (dot(away, limb.wide), dot(away, limb.high))
    outline = outline_of(limb.section)
    return math.dist(outline.nearest(own), own)


@pytest.mark.parametrize("seed", range(30))
def test_the_cope_lies_on_both_bars_in_space(seed: int) -> None:
    """Any two bars, however their sections are turned: the curve, put round the bar from line 0, ends on the other."""
    chance = random.Random(seed)
    bar_section, onto_section = chance.choice(SECTIONS), chance.choice(SECTIONS)
    rail_way = unit((chance.uniform(-1, 1), chance.uniform(-1, 1), chance.uniform(-1, 1)))
    onto = turned((chance.uniform(-50, 50), 10.0, -20.0), rail_way, chance.uniform(0, 360), onto_section)
    aside = unit(cross(rail_way, (chance.uniform(-1, 1), chance.uniform(-1, 1), chance.uniform(-1, 1))))
    slope = math.radians(chance.uniform(8.0, 172.0))
    way = unit(along(scale(rail_way, math.cos(slope)), aside, math.sin(slope)))
    over = cross(rail_way, aside)
    end = along(along(onto.origin, rail_way, chance.uniform(-80, 80)), over, chance.uniform(-12.0, 12.0))
    bar = turned(end, way, chance.uniform(0, 360), bar_section)
    found = meeting(end, bar, onto)
    assert found is not None
    cope, inner = found.cope, 0
    near = along(end, bar.along, -found.drawn)
    beside = cross(found.reference, bar.along)  # anticlockwise, looking at the end
    for k in range(48):
        place = cope.around * k / 48.0
        u, v = cope.spot(place)
        spot = along(along(along(near, bar.along, cope.outer(place)), found.reference, u), beside, v)
        assert on_surface(bar, spot) < 1e-6
        if abs(cope.offset + v) < cope.crown.edge - 1e-6:
            inner += 1
            assert on_surface(onto, spot) < 1e-5
            assert dot(sub(spot, found.foot), bar.along) > -200.0 / math.sin(math.radians(found.angle))
    assert inner > 8
    assert found.longest("coped") <= found.plain.longest + 1e-6 or found.cope.wider
    if cope.plane:
        assert cope.longest == pytest.approx(found.plain.longest, abs=0.05)
