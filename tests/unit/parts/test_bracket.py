"""Holes in the flat: which are too near a bend or an edge, and by which rule."""

from __future__ import annotations

import math
from typing import Literal

import pytest

from bentwork.parts.bracket import Blank, FlatHole, Fold, seat_of, seats
from bentwork.parts.bracket_faults import hole_findings

BEND = Fold(1, 100.0, 115.0, 90.0)
FREE = Blank(200.0, 30.0, 4.0, 0.0, (BEND,))
VEE = Blank(200.0, 30.0, 4.0, 0.0, (BEND,), 32.0)


def codes(*holes: FlatHole, blank: Blank = FREE) -> list[tuple[str, str]]:
    return [(one.level, one.code) for one in hole_findings(seats(holes, blank), blank, "bracket")]


@pytest.mark.parametrize(
    ("slot", "runs", "times"),
    [
        # A stamping shop's public design guide, seen: from the inside of the leg 1.5 T + R for a round hole; for an
        # edge along the bend 2 T + R up to 1 in long, 2.5 T + R up to 2 in, 3 to 3.5 T + R beyond. From the tangent
        # line R is gone.
        (0.0, "along", 1.5),
        (60.0, "along", 1.5),  # its round end looks at the bend
        (25.4, "across", 2.0),
        (25.5, "across", 2.5),
        (50.8, "across", 2.5),
        (51.0, "across", 3.5),
    ],
)
def test_what_the_metal_wants(slot: float, runs: Literal["along", "across"], times: float) -> None:
    seat = seat_of(FlatHole(1, 50.0, 0.0, 8.0, slot, runs), FREE)
    assert seat.wanted == pytest.approx(times * 4.0)
    assert seat.rule == "metal"


def test_what_a_block_wants() -> None:
    # A bending shop's public guide, seen: from the bend line to the edge half the opening less 1 mm, a slot plus 1 mm.
    # The bend line lies 7.5 from its tangent line.
    assert seat_of(FlatHole(1, 50.0, 0.0, 8.0), VEE).wanted == pytest.approx(16.0 - 1.0 - 7.5)
    assert seat_of(FlatHole(1, 50.0, 0.0, 8.0, 20.0), VEE).wanted == pytest.approx(16.0 + 1.0 - 7.5)
    wide = seat_of(FlatHole(1, 50.0, 0.0, 8.0), Blank(200.0, 30.0, 4.0, 0.0, (BEND,), 20.0))
    assert (wide.rule, wide.wanted) == ("metal", 6.0)  # half of 20 less 1 less 7.5 is less than 6


def test_from_the_edge_of_the_hole_to_the_tangent_line() -> None:
    seat = seat_of(FlatHole(1, 88.0, 5.0, 8.0), FREE)
    assert (seat.fold, seat.gap, seat.after) == (1, 8.0, False)
    assert seat_of(FlatHole(1, 90.1, 5.0, 8.0), FREE).after  # 5.9, and 6 are wanted
    assert not seat_of(FlatHole(1, 125.0, 5.0, 8.0), FREE).after  # exactly 6 on the other side
    assert seat.edge == 10.0  # 15 - 5 to the side; its ends are farther


def test_a_slot_reaches_along_and_across() -> None:
    along = seat_of(FlatHole(1, 80.0, 0.0, 6.0, 20.0), FREE)
    assert along.gap == 10.0
    assert along.edge == 15.0
    across = seat_of(FlatHole(1, 80.0, 0.0, 6.0, 20.0, "across"), FREE)
    assert across.gap == 17.0
    assert across.edge == 15.0 - 7.0  # to the middle of its nearer round


def test_nothing_is_said_of_a_good_hole() -> None:
    assert codes(FlatHole(1, 50.0, 0.0, 8.0), FlatHole(2, 150.0, 0.0, 8.0)) == []


def test_near_a_bend() -> None:
    (said,) = hole_findings(seats([FlatHole(1, 92.0, 0.0, 8.0)], VEE), VEE, "bracket")
    assert (said.level, said.code, said.bend) == ("watch", "hole-near-bend", 1)
    assert said.lengths == {"gap": 4.0, "wanted": 7.5, "opening": 32.0}
    assert "half the opening" in said.why
    (said,) = hole_findings(seats([FlatHole(1, 92.0, 0.0, 8.0)], FREE), FREE, "bracket")
    assert "1.5 times the thickness" in said.why


def test_in_a_bend() -> None:
    assert codes(FlatHole(1, 97.0, 0.0, 8.0)) == [("watch", "hole-in-bend")]
    assert codes(FlatHole(1, 107.0, 0.0, 8.0)) == [("stop", "hole-in-bend")]


def test_off_the_piece_and_near_its_edge() -> None:
    assert codes(FlatHole(1, 50.0, 12.0, 8.0)) == [("stop", "hole-off-piece")]
    assert codes(FlatHole(1, 3.0, 0.0, 8.0)) == [("stop", "hole-off-piece")]
    assert codes(FlatHole(1, 9.0, 0.0, 8.0)) == [("watch", "hole-close-to-edge")]  # 1.2 times 8 is 9.6
    assert codes(FlatHole(1, 9.6, 0.0, 8.0)) == []
    trimmed = Blank(200.0, 30.0, 4.0, 5.0, (BEND,))  # what is trimmed off is no metal round a hole
    assert codes(FlatHole(1, 9.6, 0.0, 8.0), blank=trimmed) == [("watch", "hole-close-to-edge")]


def test_near_one_another() -> None:
    # EN 1993-1-8, Table 3.3: p1 at least 2.2 d0 (from memory)
    assert codes(FlatHole(1, 40.0, 0.0, 8.0), FlatHole(2, 57.6, 0.0, 8.0)) == []
    assert codes(FlatHole(1, 40.0, 0.0, 8.0), FlatHole(2, 57.5, 0.0, 8.0)) == [("watch", "holes-close-together")]
    assert codes(FlatHole(1, 40.0, 0.0, 8.0), FlatHole(2, 47.0, 0.0, 8.0)) == [("stop", "holes-close-together")]
    # from the nearer round of a slot
    slot = FlatHole(2, 67.0, 0.0, 8.0, 28.0)
    assert codes(FlatHole(1, 40.0, 0.0, 8.0), slot) == [("watch", "holes-close-together")]


def test_the_ring_of_a_hole_and_of_a_slot() -> None:
    ring = FlatHole(1, 10.0, 2.0, 8.0).ring()
    assert all(math.dist(point, (10.0, 2.0)) == pytest.approx(4.0) for point in ring)
    slot = FlatHole(1, 10.0, 2.0, 8.0, 20.0, "across").ring()
    xs, ys = [x for x, _ in slot], [y for _, y in slot]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((8.0, 20.0), abs=1e-9)
