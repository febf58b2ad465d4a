from __future__ import annotations

import pytest

from bentwork.sheets.drawing import Drawing, Label
from bentwork.sheets.placing import Box, Room, box_of, spots_round, words

TAG = Drawing(10.0, 4.0, (Label((0.0, 0.0), "x"),))


def where(items: tuple[object, ...]) -> tuple[float, float] | None:
    return items[0].at if items and isinstance(items[0], Label) else None


def test_boxes() -> None:
    box = Box(0.0, 0.0, 10.0, 10.0)
    assert box.overlap(Box(5.0, 5.0, 20.0, 20.0)) == 25.0
    assert box.overlap(Box(10.0, 0.0, 20.0, 10.0)) == 0.0
    assert box.holds(Box(1.0, 1.0, 9.0, 10.0))
    assert not box.holds(Box(1.0, 1.0, 9.0, 10.1))
    assert box.grown(1.0) == Box(-1.0, -1.0, 11.0, 11.0)
    assert box.area == 100.0


def test_a_tag_goes_to_the_first_spot_where_it_is_free() -> None:
    room = Room(Box(0.0, 0.0, 100.0, 100.0))
    room.block(Box(0.0, 0.0, 20.0, 20.0))
    assert where(room.put(TAG, [(5.0, 5.0), (30.0, 5.0), (60.0, 5.0)])) == (30.0, 5.0)
    assert where(room.put(TAG, [(30.0, 5.0), (60.0, 5.0)])) == (60.0, 5.0)  # the first one is taken now


def test_a_tag_stays_inside_if_it_can() -> None:
    room = Room(Box(0.0, 0.0, 50.0, 50.0))
    assert where(room.put(TAG, [(45.0, 0.0), (0.0, 0.0)])) == (0.0, 0.0)


def test_where_nothing_is_free_the_least_is_covered() -> None:
    room = Room(Box(0.0, 0.0, 100.0, 100.0))
    room.block(Box(0.0, 0.0, 100.0, 3.0))
    spots = [(0.0, 0.0), (0.0, 2.0)]
    assert room.put(TAG, spots, if_free=True) == ()
    assert where(room.put(TAG, spots)) == (0.0, 2.0)
    assert room.put(TAG, []) == ()


def test_a_shorter_tag_is_tried_before_anything_is_covered() -> None:
    room = Room(Box(0.0, 0.0, 100.0, 100.0))
    room.block(Box(8.0, 0.0, 20.0, 20.0))
    short = Drawing(5.0, 4.0, (Label((0.0, 0.0), "y"),))
    items = room.put_one([(TAG, [(0.0, 0.0)]), (short, [(0.0, 0.0)])])
    assert isinstance(items[0], Label)
    assert items[0].text == "y"


@pytest.mark.parametrize("towards", [0.0, 45.0, 90.0, 180.0, -90.0])
def test_spots_round_a_place_begin_on_the_side_that_is_wanted(towards: float) -> None:
    x, y = spots_round((0.0, 0.0), TAG, 3.0, towards)[0]
    middle = (x + TAG.width / 2.0, y + TAG.height / 2.0)
    assert Room(Box(-50.0, -50.0, 50.0, 50.0)).put(TAG, [(x, y)])
    sign = {0.0: (1, 0), 45.0: (1, 1), 90.0: (0, 1), 180.0: (-1, 0), -90.0: (0, -1)}[towards]
    assert [round(c) and (1 if c > 0 else -1) for c in middle] == list(sign)
    assert not Box(x, y, x + TAG.width, y + TAG.height).grown(-1e-6).holds(Box(0.0, 0.0, 0.0, 0.0))


def test_box_of_a_label_on_its_side() -> None:
    flat, side = Label((10.0, 10.0), "END A", 14.0), Label((10.0, 10.0), "END A", 14.0, angle=-90.0)
    a, b = box_of(flat), box_of(side)
    assert (a.right - a.left, a.bottom - a.top) == pytest.approx((b.bottom - b.top, b.right - b.left))


def test_lines_of_words() -> None:
    tag = words(("one", "two and more"), 9.0)
    assert [label.text for label in tag.items if isinstance(label, Label)] == ["one", "two and more"]
    assert all(box_of(label).bottom <= tag.height + 1e-9 for label in tag.items if isinstance(label, Label))
