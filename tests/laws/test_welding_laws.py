"""What is true of the order of any welds."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from bentwork.parts.welding import WeldPlace, order_of, tacks_for
from bentwork.space import Vec, add, distance

COORDINATE = st.integers(-500, 500).map(float)
PLACES = st.lists(st.tuples(COORDINATE, COORDINATE, COORDINATE), min_size=1, max_size=12, unique=True)


def welds_at(places: list[Vec], seams: int = 0) -> list[WeldPlace]:
    return [WeldPlace(f"weld {k:02}", place, 40.0, 3.0, seam=k < seams) for k, place in enumerate(places)]


@given(PLACES, st.randoms(use_true_random=False), st.integers(0, 3))
def test_every_weld_once_seams_first_and_the_same_in_any_numbering(
    places: list[Vec], random: Random, seams: int
) -> None:
    welds = welds_at(places, seams)
    order = order_of(welds)
    assert sorted(order) == list(range(len(welds)))
    kinds = [welds[k].seam for k in order]
    assert kinds == sorted(kinds, reverse=True)
    shuffled = list(welds)
    random.shuffle(shuffled)
    assert [shuffled[k].name for k in order_of(shuffled)] == [welds[k].name for k in order]


@given(PLACES, st.tuples(COORDINATE, COORDINATE, COORDINATE))
def test_the_order_goes_with_the_frame_wherever_it_stands(places: list[Vec], shift: Vec) -> None:
    welds = welds_at(places)
    moved = [replace(weld, place=add(weld.place, shift)) for weld in welds]
    assert order_of(moved) == order_of(welds)


@given(PLACES)
def test_no_weld_is_made_before_one_that_is_a_tenth_nearer_to_the_middle(places: list[Vec]) -> None:
    welds = welds_at(places)
    x, y, z = ((min(axis) + max(axis)) / 2.0 for axis in zip(*places, strict=True))
    far = [distance(weld.place, (x, y, z)) for weld in welds]
    order = order_of(welds)
    for place, k in enumerate(order):
        later = [far[other] for other in order[place:]]
        assert far[k] <= min(later) + 0.1 * max(far) + 1e-3


@given(st.floats(1.0, 2000.0), st.floats(0.3, 10.0))
def test_tacks_stand_in_opposite_pairs(length: float, throat: float) -> None:
    tacks = tacks_for(WeldPlace("one", (0.0, 0.0, 0.0), length, throat))
    assert tacks.count % 2 == 0
    assert len(tacks.turns) == tacks.count == len(set(tacks.turns))
    for first, second in zip(tacks.turns[::2], tacks.turns[1::2], strict=True):
        assert abs(second - first - 180.0) < 1e-9
