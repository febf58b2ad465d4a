"""Outlines made thick, and saddles that a bar lies in."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.models.saddle import CLEARANCE, saddle, saddle_outline
from bentwork.models.slab import Point, ears, slab
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube
from tests.bent_bodies import SECTIONS


def area(outline: tuple[Point, ...]) -> float:
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise((*outline, outline[0]))) / 2


L_SHAPE: tuple[Point, ...] = ((0, 0), (10, 0), (10, 3), (3, 3), (3, 8), (0, 8))  # 30 + 15


def test_an_outline_with_an_inward_corner() -> None:
    for outline in (L_SHAPE, L_SHAPE[::-1]):
        mesh = slab(outline, 2.0)
        assert mesh.open_edges == 0
        assert mesh.volume == pytest.approx(90)
        assert mesh.surface == pytest.approx(2 * 45 + 36 * 2)


@given(st.lists(st.floats(1.0, 10.0), min_size=3, max_size=25))
def test_any_star_is_cut_into_triangles_that_fill_it(spokes: list[float]) -> None:
    turns = [2 * math.pi * k / len(spokes) for k in range(len(spokes))]
    outline = tuple((r * math.cos(t), r * math.sin(t)) for r, t in zip(spokes, turns, strict=True))
    cut = ears(outline)
    assert len(cut) == len(outline) - 2
    parts = [area((outline[i], outline[j], outline[k])) for i, j, k in cut]
    assert min(parts) > 0
    assert sum(parts) == pytest.approx(area(outline))
    assert slab(outline, 3.0).open_edges == 0


@pytest.mark.parametrize("outline", [((0, 0), (10, 10), (10, 0), (0, 9)), ((0, 0), (5, 0), (9, 0))])
def test_what_bounds_no_body_is_refused(outline: tuple[Point, ...]) -> None:
    with pytest.raises(ValueError, match="bounds no body"):
        slab(outline, 3.0)


@pytest.mark.parametrize("section", SECTIONS, ids=str)
def test_a_saddle_is_closed(section: Section) -> None:
    mesh = saddle(section)
    assert mesh.open_edges == 0
    assert mesh.volume == pytest.approx(area(saddle_outline(section)) * mesh.points[:, 2].max())


def test_sizes_of_saddles_by_hand() -> None:
    flat = saddle_outline(Flat(30, 4))
    # Lying flat: groove 30.4 wide, 2.2 deep; floor 6, cheeks 15.
    assert area(flat) == pytest.approx(60.4 * 8.2 - 30.4 * 2.2)
    on_edge = saddle_outline(Flat(30, 4), "hard")
    assert area(on_edge) == pytest.approx((4.4 + 12) * (15 + 15.2) - 4.4 * 15.2)
    assert saddle(Tube(25, 2)).points[:, 2].max() == pytest.approx(62.5)
    assert saddle(Round(8)).points[:, 2].max() == pytest.approx(30)


@pytest.mark.parametrize("section", [Round(12), Tube(33.7, 2)])
def test_a_round_bar_lies_in_its_groove_without_touching(section: Round | Tube) -> None:
    outline = saddle_outline(section)
    top = max(y for _, y in outline)
    groove = outline[3:-1]
    away = [math.hypot(x, y - top) for x, y in groove]
    assert away == pytest.approx([section.diameter / 2 + CLEARANCE] * len(groove))
    middles = [math.hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - top) for a, b in pairwise(groove)]
    assert min(middles) > section.diameter / 2 + CLEARANCE - 0.03
    assert min(y for _, y in groove) >= max(6.0, section.diameter / 2) - 1e-9


def test_a_square_tube_stands_in_its_groove() -> None:
    xs = [x for x, y in saddle_outline(SquareTube(20, 30, 2)) if 0.0 < y < 20.0]
    assert sorted(xs) == pytest.approx([-10.2, 10.2])
