"""The bar as it lies in the bender, which way its line faces, and how high it lies."""

from __future__ import annotations

import math

import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.pose import in_bender
from bentwork.planning.sighting import facing, line_faces, neighbour_points, packings
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Bench, Mounting, Vise

TABLE = BendTable((100.0, 80.0, 60.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 90.0)))
LEFT = Bender("lever", "wrap", 50.0)
RIGHT = Bender("lever", "wrap", 50.0, hand="right")


def test_a_straight_bar_lies_along_the_die() -> None:
    place = in_bender(TABLE, 1, "A", (), 0.0, LEFT)
    assert (place.bend, place.station) == (0, 100.0)
    assert place.line.start.origin == pytest.approx((-100.0, -50.0, 0.0))
    assert place.line.end.origin == pytest.approx((TABLE.length - 100.0, -50.0, 0.0))


def test_the_free_side_turns_away_from_who_stands_at_a_left_hand_bender() -> None:
    place = in_bender(TABLE, 1, "A", (), 90.0, LEFT, trim=10.0)
    assert (place.bend, place.station) == (1, 110.0)
    assert place.line.start.origin == pytest.approx((-110.0, -50.0, 0.0))
    # A quarter round the die, then up y with all that is still straight: 80 + arc + 60 and the trim.
    assert place.line.end.origin == pytest.approx((50.0, 80.0 + 25.0 * math.pi + 70.0, 0.0))
    mirrored = in_bender(TABLE, 1, "A", (), 90.0, RIGHT, trim=10.0)
    x, y, z = place.line.end.origin
    assert mirrored.line.end.origin == pytest.approx((x, -y, z))


def test_a_bend_made_before_stands_up_on_the_held_side() -> None:
    """The second bend is turned 90 degrees clockwise seen from A, so the first leg lies where its bend came from."""
    place = in_bender(TABLE, 2, "A", (1,), 90.0, LEFT)
    assert place.bend == 2
    # Back from the second bend along -x by 80, round the first bend, and 100 of the first straight straight up or down.
    assert place.line.start.origin[0] == pytest.approx(-80.0 - 50.0)
    assert place.line.start.origin[1] == pytest.approx(-50.0)
    assert abs(place.line.start.origin[2]) == pytest.approx(150.0)
    # Bend 1 turned to the line, which faces down while bend 2 is made held at A: its first leg hangs down.
    assert place.line.start.origin[2] == pytest.approx(-150.0)
    assert line_faces(90.0, "A", LEFT) == pytest.approx((0.0, 0.0, -1.0))


def test_before_the_pull_the_bar_lies_as_it_will_when_bent() -> None:
    for held, bend, made in (("A", 2, (1,)), ("B", 1, (2,)), ("A", 1, (2,)), ("B", 2, (1,))):
        before = in_bender(TABLE, bend, held, made, 0.0, LEFT)  # type: ignore[arg-type]
        after = in_bender(TABLE, bend, held, made, 1e-6, LEFT)  # type: ignore[arg-type]
        assert before.line.start.origin == pytest.approx(after.line.start.origin, abs=1e-4)
        assert before.line.end.origin == pytest.approx(after.line.end.origin, abs=1e-4)


def test_held_at_b_it_is_the_same_piece_read_backwards() -> None:
    place = in_bender(TABLE, 1, "B", (2,), 90.0, LEFT)
    there = in_bender(TABLE.reversed(), 2, "A", (1,), 90.0, LEFT)
    assert place.line.start.origin == pytest.approx(there.line.start.origin)
    assert place.line.end.origin == pytest.approx(there.line.end.origin)


def test_long_ends_are_cut_for_pictures_only() -> None:
    place = in_bender(TABLE, 1, "A", (), 90.0, LEFT, longest_end=40.0)
    assert place.line.start.origin == pytest.approx((-40.0, -50.0, 0.0))
    assert place.line.end.origin == pytest.approx((50.0, 40.0, 0.0))


def test_where_the_neighbour_points_and_where_the_line_faces() -> None:
    assert neighbour_points(TABLE, 1, "A", (), LEFT) is None
    found = neighbour_points(TABLE, 2, "A", (1,), LEFT)
    assert found is not None
    bend, way = found
    assert (bend, facing(way)) == (1, "down")
    assert facing(line_faces(0.0, "A", LEFT)) == "away from you"
    assert facing(line_faces(0.0, "A", RIGHT)) == "towards you"
    assert facing(line_faces(90.0, "B", LEFT)) == "up"
    assert facing((0.0, -math.cos(math.radians(30.0)), math.sin(math.radians(30.0)))) == "30° up, towards you"
    assert facing((math.sqrt(0.5), math.sqrt(0.5) + 0.001, 0.0)) == "level, mostly away from you"


def test_the_bar_lies_above_vise_and_bench() -> None:
    mounting = Mounting(
        "vise", "lever", Vise((-75, 75), (-60, 140), -24, -150), Bench((-700, 700), (20, 700), -150, 40)
    )
    assert [(p.over, p.height) for p in packings(mounting, 12.0)] == [("vise", 18.0), ("bench", 144.0)]
    assert packings(None, 12.0) == ()
    assert packings(Mounting("high", "lever", Vise((-75, 75), (-60, 140), -4, -150)), 12.0) == ()
