"""Heights over a table on which a bend lies flat, and rotations against the nearest bend that is made."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bentwork.door.log_entry import size_entry
from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE
from bentwork.fitup.readings import Reading, expected
from bentwork.jobs.as_made import as_made
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.far_off import turned_against
from bentwork.jobs.fitting import Fitting, fitting_of
from bentwork.jobs.measured import MadeBend, MeasuredSize
from bentwork.jobs.sizes import readable, reading_of
from bentwork.jobs.to_measure import to_measure
from bentwork.jobs.work import work
from bentwork.piece.centreline import Centreline
from tests.unit.jobs.test_going_on import BARE

RESULT = work(parse_job(BARE.encode(), "job.toml"))
MADE = (1, 2, 3)


def fitting() -> Fitting:
    found = fitting_of(plan_of(RESULT, Bar("rest")), [(1, "A"), (2, "A"), (3, "A")])
    assert found is not None
    return found


def height(flat: int, place: int, length: float = 0.0) -> MeasuredSize:
    return MeasuredSize("height", length, flat, place)


@pytest.mark.parametrize(("flat", "place"), [(1, 3), (1, 4), (2, 4), (2, 0), (3, 1), (3, 0)])
def test_a_height_is_that_over_the_plane_of_both_legs(flat: int, place: int) -> None:
    """By the centreline of ``piece``: the plane of the two legs of a bend is square to its axis."""
    one = fitting()
    values = one.bar.values.copy()
    values[ANGLE] += 1.3, -0.8, 0.4
    values[DIRECTION] += 0.0, 2.0, -1.5
    values[PLACE] += 0.3, -0.9, 0.6
    reading = reading_of(height(flat, place), one, MADE)
    assert reading is not None
    bar = replace(one.bar, values=values)
    line = Centreline(bar.table())
    start, end = (np.array(line.pose(station).tangent) for station in bar.table().spans[flat - 1])
    up = np.cross(start, end)
    there = np.array(line.corners[place]) - np.array(line.corners[flat])
    wanted = float(there @ up) / float(np.linalg.norm(up))
    assert expected(reading, one.bar, values, (True, True, True))[0] == pytest.approx(wanted, abs=1e-9)


def test_what_lies_on_the_table_with_the_bend_has_no_height() -> None:
    assert "lies on the table" in readable(height(2, 1), 3, MADE, closed=False)
    assert "lies on the table" in readable(height(1, 0), 3, MADE, closed=False)
    assert "not made yet" in readable(height(3, 0), 3, (1, 2), closed=False)
    assert readable(height(1, 4), 3, MADE, closed=False) == ""


def test_a_height_tells_a_rotation_better_than_the_gauge() -> None:
    """160 mm of leg square to the bar move by 2.8 mm a degree, read to 0.7 mm; a rotation is read to 0.7 degrees."""
    one = fitting_of(plan_of(RESULT, Bar("rest")), [(1, "A"), (3, "A"), (2, "A")])
    assert one is not None
    bends = [MadeBend(1, 90.0, "A"), MadeBend(3, 90.0, "A", rotation=0.0)]
    values = one.start.copy()
    values[DIRECTION, 2] += 1.0
    reading = reading_of(height(1, 4), one, (1, 3))
    assert reading is not None
    seen = expected(reading, one.bar, values, (True, False, True))[0]
    sizes: list[list[MeasuredSize]] = [[], [height(1, 4, seen)]]
    found = [as_made(one, [*bends, *more], lambda _: None).found for more in sizes]
    sds = [each.foretold(Reading("rotation", 0.0, 3))[1] for each in found]
    assert sds[1] < 0.6 * sds[0]
    off = [float(each.values[DIRECTION, 2] - each.values[DIRECTION, 0]) - 1.0 for each in found]
    assert abs(off[1]) < abs(off[0])


def test_a_rotation_is_read_against_the_nearest_bend_that_was_made_then() -> None:
    one = fitting_of(plan_of(RESULT, Bar("rest")), [(1, "A"), (3, "A"), (2, "A")])
    assert one is not None
    first = [MadeBend(1, 90.0, "A"), MadeBend(3, 90.0, "A", rotation=2.0)]
    for logged in (first, [*first, MadeBend(2, 60.0, "A", rotation=90.0)]):
        found = as_made(one, logged, lambda _: None).found
        (read,) = (reading for reading in found.readings if reading.kind == "rotation" and reading.number == 3)
        assert read.made == frozenset({1, 3})
        # Bend 3 is drawn 0 degrees from bend 1, and was found 2 off, though 90 off bend 2.
        assert abs(float(found.values[DIRECTION, 2] - found.values[DIRECTION, 0]) - 2.0) < 1.0


def test_what_a_rotation_is_drawn_as_follows_what_is_made() -> None:
    table = plan_of(RESULT, Bar("rest")).table
    assert table is not None
    first, both = turned_against(table, 3, (1,)), turned_against(table, 3, (1, 2))
    assert first is not None and both is not None
    assert (first[0], both[0]) == (1, 2)
    assert first[1] == pytest.approx(0.0, abs=1e-9) and both[1] == pytest.approx(-90.0)
    assert turned_against(table, 1, (2, 3)) is None


def test_heights_and_rotations_are_asked_for_where_they_tell_most_and_rock_never() -> None:
    one = fitting()
    bends = [MadeBend(1, 90.0, "A"), MadeBend(2, 60.0, "A"), MadeBend(3, 90.0, "A")]
    asked = to_measure(one, as_made(one, bends, lambda _: None))
    assert asked
    assert all(each.kind != "rock" for each in asked)
    assert {each.kind for each in asked} & {"height", "rotation"}
    assert all(each.end == 1 for each in asked if each.kind == "rotation" and each.start == 2)


def test_a_height_is_typed_with_the_flat_bend_first() -> None:
    entry = size_entry(RESULT.job, Bar("rest"), {"height": "3-1=-63.5"}, "2026-03-12", "one")
    assert (entry.kind, entry.from_place, entry.to_place, entry.length_mm) == ("height", 3, 1, -63.5)
    with pytest.raises(InputError, match="lies flat"):
        size_entry(RESULT.job, Bar("rest"), {"height": "3=-63.5"}, "2026-03-12", "one")
    with pytest.raises(InputError, match="lies flat"):
        size_entry(RESULT.job, Bar("rest"), {"height": "0-2=5"}, "2026-03-12", "one")
