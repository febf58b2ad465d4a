"""What is true of every piece, tried on pieces nobody would draw."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import misfits
from bentwork.space import Vec, distance

COORDINATE = st.floats(-400, 400).map(lambda v: round(v, 3))
POINT = st.tuples(COORDINATE, COORDINATE, COORDINATE)


@st.composite
def tables(draw: st.DrawFn, angles: tuple[float, float] = (1.0, 175.0)) -> BendTable:
    """Bend tables of 0 to 12 bends, bends directly after bends among them."""
    count = draw(st.integers(0, 12))
    straights = tuple(draw(st.one_of(st.just(0.0), st.floats(0.5, 500))) for _ in range(count + 1))
    bends = tuple(
        Bend(draw(st.floats(5, 200)), draw(st.floats(*angles)), draw(st.floats(-180, 180)) if k else 0.0)
        for k in range(count)
    )
    return BendTable(straights, bends)


@st.composite
def corners(draw: st.DrawFn, closed: bool | None = None) -> Corners:
    """Corner points that fit, open or closed, each corner with a radius of its own."""
    closed = draw(st.booleans()) if closed is None else closed
    points = tuple(draw(st.lists(POINT, min_size=3 if closed else 2, max_size=14)))
    bends = len(points) if closed else len(points) - 2
    radii = tuple(draw(st.floats(1, 60)) for _ in range(bends))
    found = Corners(points, radii, closed)
    for _ in range(6):  # smaller radii fit more often, so that few draws are thrown away
        if not misfits(found):
            break
        found = Corners(points, tuple(radius / 3.0 for radius in found.radii), closed)
    assume(not misfits(found))
    # Near a full fold the setback grows without bound and takes the digits with it.
    turns = [found.angle_at(i) for i in range(len(points)) if found.is_corner(i)]
    assume(all(1.0 < turn < 175.0 for turn in turns))
    return found


@given(corners())
def test_points_to_table_to_points(given_corners: Corners) -> None:
    line = given_corners.centreline()
    if not given_corners.closed:
        came_back: tuple[Vec, ...] = line.corners
        wanted = given_corners.points
    else:
        side, _ = given_corners.best_seam()
        count = len(given_corners.points)
        came_back = line.corners[1:-1]
        wanted = tuple(given_corners.points[(side + k) % count] for k in range(count))
        assert line.gap.distance < 1e-9
    assert len(came_back) == len(wanted)
    for ours, theirs in zip(came_back, wanted, strict=True):
        assert distance(ours, theirs) < 1e-9


@given(tables())
def test_reversing_twice_changes_nothing(table: BendTable) -> None:
    assert table.reversed().reversed() == table


@given(tables())
def test_mirroring_changes_the_signs_of_rotations_and_nothing_else(table: BendTable) -> None:
    image = table.mirrored()
    assert image.straights == table.straights
    for ours, theirs in zip(table.bends, image.bends, strict=True):
        assert (ours.radius, ours.angle) == (theirs.radius, theirs.angle)
        assert theirs.rotation == -ours.rotation or ours.rotation == theirs.rotation == 180.0
    assert image.mirrored() == table


@given(tables())
def test_a_reversed_piece_is_the_same_piece(table: BendTable) -> None:
    there = Centreline(table)
    end = there.end
    # Set out from end B, back along the bar. Read backwards the bar turns about the opposite axis.
    start = type(end)(end.origin, _minus(end.tangent), _minus(end.axis))
    back = Centreline(table.reversed(), start)
    assert distance(back.end.origin, there.start.origin) < 1e-8
    assert distance(back.end.tangent, _minus(there.start.tangent)) < 1e-10


@given(tables(), st.integers(0, 2), st.floats(-100, 100))
def test_a_mirrored_centreline_is_the_mirror_image(table: BendTable, axis: int, at: float) -> None:
    line = Centreline(table)
    image = line.mirrored(axis, at)
    for a, b in zip(line.corners, image.corners, strict=True):
        flipped = list(a)
        flipped[axis] = 2 * at - flipped[axis]
        assert distance((flipped[0], flipped[1], flipped[2]), b) < 1e-8


@given(tables(angles=(1.0, 340.0)))
def test_the_length_is_that_of_the_curve(table: BendTable) -> None:
    assume(table.length > 1.0)
    points = Centreline(table).sample(1e-4)
    chords = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    assert chords <= table.length + 1e-6
    assert chords == pytest.approx(table.length, rel=1e-4)


@given(tables())
def test_spans_lie_in_order_on_the_bar(table: BendTable) -> None:
    flat = [station for span in table.spans for station in span]
    assert flat == sorted(flat)
    if flat:
        assert flat[-1] + table.straights[-1] == pytest.approx(table.length)


@given(tables())
def test_directions_are_where_a_line_along_the_bar_sees_the_bends(table: BendTable) -> None:
    for number, direction in enumerate(table.directions):
        turned = math.fsum(bend.rotation for bend in table.bends[: number + 1])
        assert math.cos(math.radians(turned - direction)) == pytest.approx(1.0)
        assert -180.0 < direction <= 180.0


@given(corners(closed=True), st.floats(0.05, 0.95))
def test_where_the_seam_is_changes_no_length(given_corners: Corners, fraction: float) -> None:
    lengths = {
        round(given_corners.centreline((side + 1, fraction)).table.length, 6) for side in range(given_corners.sides)
    }
    assert len(lengths) == 1


def _minus(v: Vec) -> Vec:
    return (-v[0], -v[1], -v[2])
