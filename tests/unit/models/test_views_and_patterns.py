"""Lines of views and flat patterns against figures counted by hand and against the body itself."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.models.bar_mesh import bar_mesh
from bentwork.models.flat_pattern import flat_pattern, has_flat_pattern
from bentwork.models.lines import Arc, Chain, Inked, Line, Words, bounds, moved, once
from bentwork.models.seen import seen
from bentwork.models.three_views import GAP, three_views
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.planning.marks import marks_for
from bentwork.space import Vec, unit
from bentwork.stock.section import Flat, Round, Section, Tube
from tests.bent_bodies import PIECES, SECTIONS

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
HOOK = Centreline(BendTable((100.0, 80.0), (Bend(50, 90),)))


def on(layer: str, drawn: tuple[Inked, ...]) -> list[object]:
    return [inked.shape for inked in drawn if inked.layer == layer]


def test_a_bend_from_above_is_drawn_with_arcs() -> None:
    drawn = seen(HOOK, Round(12), "easy", X, Y)
    middle = on("CENTRELINE", drawn)
    assert middle[0] == Line((0, 0), (100, 0))
    assert middle[1] == Arc((100, 50), 50, -90, 0)
    assert isinstance(middle[2], Line)
    assert [*middle[2].start, *middle[2].end] == pytest.approx([150, 50, 150, 130])
    arcs = [shape for shape in on("OUTLINE", drawn) if isinstance(shape, Arc)]
    assert sorted(arc.radius for arc in arcs) == pytest.approx([44, 56])
    assert len(on("ENDS", drawn)) == 2


def test_a_bend_from_its_edge_ends_in_a_half_round() -> None:
    u = Centreline(BendTable((100.0, 100.0), (Bend(60, 180),)))
    arcs = [s for s in on("OUTLINE", seen(u, Round(20), "easy", X, Z)) if isinstance(s, Arc)]
    (arc,) = arcs
    assert [*arc.centre, arc.radius, arc.start % 360, arc.end - arc.start] == pytest.approx([160, 0, 10, 270, 180])


def test_a_bar_from_its_end_is_its_section() -> None:
    ends = on("ENDS", seen(PIECES["straight"], Tube(25, 2), "easy", Y, Z))
    assert ends == [Arc((0, 0), 12.5), Arc((0, 0), 10.5)]


@cache
def points_of(name: str, section: Section) -> NDArray[np.float64]:
    return bar_mesh(PIECES[name], section, "easy", 0.02).points


@pytest.mark.parametrize("section", [SECTIONS[k] for k in (0, 4, 5, 6)], ids=str)
@pytest.mark.parametrize("name", ["turned", "elsewhere", "straight", "upturned"])
@pytest.mark.parametrize("eye", [(X, Y), (X, Z), (Y, Z), (unit((1, 1, 0)), unit((-1, 1, 1)))], ids=str)
def test_the_outline_is_as_big_as_the_body(name: str, section: Section, eye: tuple[Vec, Vec]) -> None:
    line = PIECES[name]
    drawn = seen(line, section, "easy", *eye)
    points = points_of(name, section) @ np.array(eye).T
    body = [*points.min(axis=0), *points.max(axis=0)]
    # Seen askew, a rounded corner reaches beyond the lines where its flats begin: by less than its radius.
    slack = 0.03 if section.kind != "square-tube" else 0.42 * getattr(section, "corner_radius", 0.0) + 0.03
    assert bounds(drawn) == pytest.approx(body, abs=slack)


def test_views_are_in_line() -> None:
    drawn = three_views(HOOK, Round(12))
    words = {inked.shape.text: inked.shape.at for inked in drawn if isinstance(inked.shape, Words)}
    assert set(words) == {"from the front", "from the right", "from above"}
    front = [i for i in drawn if isinstance(i.shape, Line) and i.shape.start == (0, 0) and i.layer == "CENTRELINE"]
    assert front[0].shape == Line((0, 0), (100, 0))
    left, bottom, right, top = bounds(drawn)
    # Front 156 wide (0 to 150 and half the bar) and 12 high, from the right 136 wide, from above 136 high.
    assert (left, top) == pytest.approx((0, 6))
    assert (right, bottom) == pytest.approx((156 + GAP + 136, -6 - GAP - 136))


def test_what_lies_twice_is_drawn_once() -> None:
    here = Inked("A", Line((0, 0), (1, 0)))
    there = Inked("A", Line((1, 0), (0, 1e-9)))
    other = Inked("B", Line((0, 0), (1, 0)))
    nothing = Inked("A", Chain(((2, 2), (2, 2))))
    assert once([here, there, other, nothing]) == (here, other)
    assert moved(Inked("A", Arc((1, 2), 3)), 10, 20) == Inked("A", Arc((11, 22), 3))
    with pytest.raises(ValueError, match="nothing is drawn"):
        bounds([Inked("A", Words((0, 0), "x"))])


def test_bounds_of_an_arc_count_where_it_turns() -> None:
    assert bounds([Inked("A", Arc((0, 0), 10, -45, 45))]) == pytest.approx(
        (10 / math.sqrt(2), -10 / math.sqrt(2), 10, 10 / math.sqrt(2))
    )


def test_a_flat_pattern_by_hand() -> None:
    """Up by 90, down by 60: bends of 10 pi / 2 = 15.708 and 10.472 mm, trim 5."""
    table = BendTable((40.0, 30.0, 20.0), (Bend(10, 90), Bend(10, 60, 180)))
    assert has_flat_pattern(table, Flat(25, 3), "easy")
    drawn = flat_pattern(table, marks_for(table, 5.0), 25.0, table.length + 10.0, 5.0)
    assert bounds(drawn) == pytest.approx((0, -12.5, 126.180, 12.5), abs=1e-3)
    at = {layer: [round(s.start[0], 3) for s in on(layer, drawn) if isinstance(s, Line)] for layer in LAYERS}
    assert at == {
        "BEND-UP": [45.0, 60.708],
        "BEND-DOWN": [90.708, 101.180],
        "MIDDLE": [52.854, 95.944],
        "TRIM": [5.0, 121.180],
    }
    told = [s.text for s in on("WORDS", drawn) if isinstance(s, Words)]
    assert told == ["bend 1: 90° up, R 10 mm", "bend 2: 60° down, R 10 mm", "A", "B"]


LAYERS = ("BEND-UP", "BEND-DOWN", "MIDDLE", "TRIM")


def test_what_has_no_flat_pattern() -> None:
    easy = BendTable((40.0, 30.0, 20.0), (Bend(10, 90), Bend(10, 60, 180)))
    askew = BendTable((40.0, 30.0, 20.0), (Bend(10, 90), Bend(10, 60, 90)))
    assert not has_flat_pattern(askew, Flat(25, 3), "easy")
    assert not has_flat_pattern(easy, Flat(25, 3), "hard")
    assert not has_flat_pattern(easy, Round(12), "easy")
    assert not has_flat_pattern(BendTable((40.0,)), Flat(25, 3), "easy")
