"""What is asked of several bars of a solid at once, against what is asked of each by itself, or by trying."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, dot, unit
from bentwork.stock.section import Round, SquareTube
from bentwork.takeoff.against_bars import first_met, inside_of, stand_out
from bentwork.takeoff.bar import Bar
from bentwork.takeoff.bends_about import by_axis
from bentwork.takeoff.edges import Edge, Edges, edges_in_tables
from bentwork.takeoff.joined import _in_one_another
from bentwork.takeoff.outline import Outline, rectangle_from, round_outline
from bentwork.takeoff.rounded_corners import not_at_corners
from bentwork.takeoff.straight_edges import _together
from bentwork.takeoff.through import Line
from bentwork.takeoff.unbend import unbent

Floats = NDArray[np.float64]


def some(chance: random.Random, size: float = 1.0) -> Vec:
    """A point in a cube about the origin."""
    return (chance.uniform(-size, size), chance.uniform(-size, size), chance.uniform(-size, size))


def member(chance: random.Random, *, bent: bool) -> tuple[Bar, Outline]:
    """A bar anywhere, round or flat."""
    ahead = unit(some(chance))
    aside = some(chance)
    across = unit(along(aside, ahead, -dot(aside, ahead)))
    bends = (Bend(60.0, chance.uniform(30.0, 120.0), 0.0),) if bent else ()
    table = BendTable(tuple(chance.uniform(50.0, 200.0) for _ in range(len(bends) + 1)), bends)
    line = Centreline(table, Pose(some(chance, 100.0), ahead, across))
    corners = [(x, y) for x in (-6.0, 6.0) for y in (-12.0, 12.0)]
    outline = round_outline(10.0) if chance.random() < 0.5 else rectangle_from(corners)
    assert outline is not None
    return Bar(line, outline.section), outline


@pytest.mark.parametrize("seed", range(6))
def test_where_points_lie_against_bars_is_the_same_for_all_and_for_each(seed: int) -> None:
    chance = random.Random(seed)
    members = [member(chance, bent=chance.random() < 0.3) for _ in range(9)]
    points = np.array([some(chance, 200.0) for _ in range(50)])
    seen: dict[int, tuple[Floats, Floats]] = {}
    for bars, stations, out in stand_out(members, points):
        seen |= {id(one): (at, far) for (one, _), at, far in zip(bars, stations, out, strict=True)}
    assert len(seen) == len(members)
    for bar, outline in members:
        flat = unbent(bar.line, points)
        at, far = seen[id(bar)]
        assert at == pytest.approx(flat[:, 0], abs=1e-9)
        assert far == pytest.approx(outline.beyond(flat), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_how_far_lines_go_until_they_are_inside_a_bar_against_trying(seed: int) -> None:
    chance = random.Random(seed)
    one = member(chance, bent=seed % 3 == 0)
    ahead = unit(some(chance)) if seed % 4 else one[0].line.start.tangent
    middle = one[0].line.pose(one[0].line.table.length / 2.0).origin
    starts = np.array([along(along(middle, ahead, -150.0), some(chance), 15.0) for _ in range(40)])
    found = first_met(one, starts, np.array(ahead), (0.0, 300.0), 1e-7, 3000)
    tried = np.linspace(0.0, 300.0, 6001)
    met = 0
    for start, reach in zip(starts, found.tolist(), strict=True):
        inside = inside_of(one, start + tried[:, None] * np.array(ahead)) <= 1e-7
        if inside.any():
            met += 1
            assert tried[int(inside.argmax())] - 0.051 <= reach <= tried[int(inside.argmax())] + 1e-6
        elif math.isfinite(reach):  # it is grazed between two of those tried
            assert inside_of(one, start[None] + reach * np.array(ahead))[0] < 1e-6
    assert met > 5


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("steps", [1, 16])
def test_where_lines_meet_a_round_bend_against_the_roots_of_the_torus(seed: int, steps: int) -> None:
    chance = random.Random(seed)
    radius, half, at = chance.uniform(40.0, 90.0), chance.uniform(4.0, 15.0), chance.uniform(0.5, 2.0)
    line = Centreline(BendTable((80.0, 80.0), (Bend(radius, 150.0),)))  # along x, then towards +y
    outline = round_outline(half)
    out = np.array((math.sin(at), -math.cos(at), 0.0))
    ahead = np.array(unit((-out[0], -out[1], chance.uniform(-0.4, 0.4))))
    middle = np.array((80.0, radius, 0.0))
    # From outside the bend to well into it.
    offset = np.array([some(chance, 0.3 * half) for _ in range(24)])
    starts = middle + (radius + 1.6 * half) * out + offset
    found = first_met((Bar(line, outline.section), outline), starts, ahead, (0.0, 1.4 * half), 0.0, steps)
    for start, reach in zip(starts - middle, found.tolist(), strict=True):
        # (p.p + R^2 - r^2)^2 = 4 R^2 (x^2 + y^2), the torus about z, on the line p = start + reach ahead.
        square = np.poly1d([1.0, 2.0 * float(start @ ahead), float(start @ start)])
        flat = np.poly1d(
            [
                float(ahead[:2] @ ahead[:2]),
                2.0 * float(start[:2] @ ahead[:2]),
                float(start[:2] @ start[:2]),
            ]
        )
        roots = ((square + radius**2 - half**2) ** 2 - 4.0 * radius**2 * flat).roots
        first = min(root.real for root in roots if abs(root.imag) < 1e-6 and root.real > 0.0)
        assert reach == pytest.approx(first, abs=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_what_pairs_join_against_the_connected_components_of_scipy(seed: int) -> None:
    chance = np.random.default_rng(seed)
    count = 200
    one, two = chance.integers(0, count, (2, int(chance.integers(0, 260))))
    graph = coo_array((np.ones(len(one)), (one, two)), shape=(count, count))
    _, labels = connected_components(graph, directed=False)
    found = _together(count, one, two)
    firsts = {label: int((labels == label).argmax()) for label in set(labels.tolist())}
    assert found.tolist() == [firsts[label] for label in labels.tolist()]


def corner_circles(radii: tuple[float, ...], places: tuple[float, ...]) -> Edges:
    """Quarter circles about the axis of a corner of a 25 mm square tube along x, at places along it."""
    angles = np.linspace(0.0, math.pi / 2.0, 5)
    edges = []
    for k, (r, x) in enumerate((r, x) for r in radii for x in places):
        points = np.column_stack((np.full(5, x), 9.5 + r * np.cos(angles), 9.5 + r * np.sin(angles)))
        edges.append((k, Edge("circle", points, (), (x, 9.5, 9.5), (1.0, 0.0, 0.0), r, math.pi / 2.0)))
    return edges_in_tables(len(edges), edges)


@pytest.mark.parametrize(
    ("radii", "places", "left"),
    [
        ((3.0, 1.0), (0.0, 400.0), 0),  # its own corner
        ((6.0, 3.0), (190.0, 210.0), 1),  # a strap round it
        ((3.0, 1.0), (0.0, 600.0), 1),  # more than it is long
        ((4.0, 2.0), (0.0, 400.0), 1),  # wider than its corner is round
    ],
)
def test_what_goes_round_the_corner_of_a_straight_tube_is_no_bend(
    radii: tuple[float, ...], places: tuple[float, ...], left: int
) -> None:
    line = Centreline(BendTable((400.0,)), Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    points = [
        (x * a, y * b)
        for half, corner in ((12.5, 3.0), (10.5, 1.0))
        for a, b in ((half, half - corner), (half - corner, half))
        for x in (-1.0, 1.0)
        for y in (-1.0, 1.0)
    ]
    outline = rectangle_from(points)
    assert outline is not None
    assert outline.section == SquareTube(25.0, 25.0, 2.0, 3.0)
    axes = [axis for both in by_axis(corner_circles(radii, places)) for axis in both]
    assert len(axes) == 1
    assert len(not_at_corners(axes, [(line, outline)])) == left
    assert len(not_at_corners(axes, [(line, Outline(Round(20.0), 1.0, 10.0, 10.0))])) == 1


def test_bars_that_lie_in_one_another_are_one() -> None:
    """A bent bar and what begins in its last straight are one; end to end, aside or of another size they are two."""
    outline = rectangle_from([(10.0, 10.0), (10.0, -10.0), (-10.0, 10.0), (-10.0, -10.0)])
    smaller = rectangle_from([(8.0, 8.0), (8.0, -8.0), (-8.0, 8.0), (-8.0, -8.0)])
    assert outline is not None and smaller is not None
    first = Centreline(BendTable((150.0, 136.0), (Bend(60.0, 90.0),)))
    last = first.runs[-1].start

    def beginning(ahead: float, aside: float = 0.0) -> Centreline:
        origin = along(along(last.origin, last.tangent, ahead), last.axis, aside)
        return Centreline(BendTable((100.0, 200.0), (Bend(60.0, 45.0),)), Pose(origin, last.tangent, last.axis))

    def told(second: Centreline, section: Outline = outline) -> bool:
        return _in_one_another([Line(first, outline, None, set()), Line(second, section, None, set())])

    assert told(beginning(20.0))
    assert told(beginning(-30.0))
    assert not told(beginning(136.0))
    assert not told(beginning(20.0, aside=25.0))
    assert not told(beginning(20.0), smaller)
