"""Points on splines, all at once, against SciPy's own B-splines; and which splines of a body are read so."""

from __future__ import annotations

from struct import pack

import numpy as np
import pytest
from scipy.interpolate import BSpline

from bentwork.takeoff.kernel_form import line_of, splines_of
from bentwork.takeoff.splines import Splines, points_and_ways, points_on

Row = tuple[int, list[float], list[int], np.ndarray]
"""Degree, knots, how often each counts, poles."""


def rows() -> list[Row]:
    """Splines of every degree that a body has, their knots uneven and counting more than once."""
    chance = np.random.default_rng(7)
    found = []
    for degree in (3, 8, 1, 5, 2, 7, 4, 6):
        knots = np.cumsum(chance.uniform(0.1, 2.0, 7)) - 3.0
        times = [degree + 1, *chance.integers(1, degree + 1, 5).tolist(), degree + 1]
        found.append((degree, knots.tolist(), times, chance.uniform(-50.0, 50.0, (sum(times) - degree - 1, 3))))
    return found


def in_table(some: list[Row]) -> Splines:
    return Splines(
        np.array([degree for degree, *_ in some]),
        np.concatenate([knots for _, knots, _, _ in some]),
        np.concatenate([times for _, _, times, _ in some]),
        np.array([len(knots) for _, knots, _, _ in some]),
        np.concatenate([poles for *_, poles in some]),
        np.array([len(poles) for *_, poles in some]),
    )


def told(row: Row, values: np.ndarray) -> np.ndarray:
    degree, knots, times, poles = row
    found: np.ndarray = BSpline(np.repeat(knots, times), poles, degree)(values)
    return found


def values_on(row: Row) -> np.ndarray:
    """Parameters with both ends and every knot among them."""
    knots = row[1]
    return np.sort(np.concatenate((knots, np.linspace(knots[0], knots[-1], 23))))


def test_points_on_splines_of_all_degrees_are_those_of_scipy() -> None:
    some = rows()
    values = [values_on(row) for row in some]
    found = points_on(in_table(some), np.concatenate(values), np.array([len(own) for own in values]))
    wanted = np.concatenate([told(row, own) for row, own in zip(some, values, strict=True)])
    assert found == pytest.approx(wanted, abs=1e-9)


def test_one_out_of_several_and_how_it_moves_are_those_of_scipy() -> None:
    some = rows()
    table = in_table(some)
    for k, row in enumerate(some):
        values = values_on(row)
        one, count = table.only(k), np.array([len(values)])
        assert points_on(one, values, count) == pytest.approx(told(row, values), abs=1e-9)
        degree, knots, times, poles = row
        slope = BSpline(np.repeat(knots, times), poles, degree).derivative()(values)
        points, ways = points_and_ways(one, values, count)
        assert points == pytest.approx(told(row, values), abs=1e-9)
        assert ways == pytest.approx(slope, abs=1e-7)


def test_one_with_weights_is_what_scipy_makes_of_coordinates_times_weights() -> None:
    degree, knots, times, poles = rows()[0]
    weights = np.random.default_rng(3).uniform(0.3, 2.0, (len(poles), 1))
    row = (degree, knots, times, np.hstack((poles * weights, weights)))
    values, count = values_on(row), np.array([len(values_on(row))])
    curve = BSpline(np.repeat(knots, times), row[3], degree)
    here, there = curve(values), curve.derivative()(values)
    points = here[:, :3] / here[:, 3:]
    found, ways = points_and_ways(in_table([row]), values, count)
    assert found == pytest.approx(points, abs=1e-9)
    assert points_on(in_table([row]), values, count) == pytest.approx(points, abs=1e-9)
    # The quotient rule.
    assert ways == pytest.approx((there[:, :3] - points * there[:, 3:]) / here[:, 3:], abs=1e-7)


def test_one_that_closes_ends_at_its_first_pole() -> None:
    degree, knots, times, poles = rows()[0]
    whole = (degree, knots, times, np.concatenate((poles[:-1], poles[:1])))
    short = (degree, knots, [degree, *times[1:-1], degree], poles[:-1])
    values = values_on(whole)
    found = points_on(in_table([short]), values, np.array([len(values)]))
    assert found == pytest.approx(told(whole, values), abs=1e-9)
    assert found[-1] == pytest.approx(found[0])


def record(row: Row, *, rational: bool = False, trimmed: bool = False) -> bytes:
    degree, knots, times, poles = row
    weights = np.linspace(0.5, 1.5, len(poles))[:, None]
    table = np.hstack((poles, weights)) if rational else poles
    made = pack("<B??hii", 7, rational, False, degree, len(poles), len(knots)) + table.tobytes()
    made += b"".join(pack("<di", *pair) for pair in zip(knots, times, strict=True))
    return (pack("<B2d", 8, knots[0], knots[-1]) if trimmed else b"") + made


def test_a_spline_is_read_as_it_was_written_trimmed_or_not() -> None:
    some = rows()
    records = [record(row, trimmed=bool(k % 2)) for k, row in enumerate(some)]
    own, read = splines_of(records, [(row[1][0], row[1][-1]) for row in some])
    assert own == list(range(len(some)))
    wanted = in_table(some)
    for name in ("degrees", "knots", "times", "knot_counts", "poles", "pole_counts"):
        assert getattr(read, name).tolist() == getattr(wanted, name).tolist()


def test_with_open_ends_or_asked_beyond_them_a_spline_is_left_to_the_kernel() -> None:
    first, second, third, fourth = rows()[:4]
    degree, knots, times, poles = third
    drifting = (degree + 1, knots, [*times[:-1], degree], poles)
    asked = [(row[1][0], row[1][-1]) for row in (first, second, third, fourth)]
    asked[1] = (asked[1][0], asked[1][1] + 0.5)
    own, read = splines_of([record(first), record(second), record(drifting), record(fourth)], asked)
    assert own == [0, 3]
    assert read.poles.tolist() == [*first[3].tolist(), *fourth[3].tolist()]


def test_with_weights_and_without_splines_are_read_together() -> None:
    first, second = rows()[:2]
    _, read = splines_of(
        [record(first, rational=True), record(second)], [(row[1][0], row[1][-1]) for row in rows()[:2]]
    )
    weights = np.concatenate((np.linspace(0.5, 1.5, len(first[3])), np.ones(len(second[3]))))
    assert read.poles[:, 3] == pytest.approx(weights)
    assert read.poles[:, :3] / weights[:, None] == pytest.approx(np.concatenate((first[3], second[3])))


def test_one_of_two_poles_is_a_line() -> None:
    row: Row = (1, [2.0, 4.0], [2, 2], np.array([[1.0, 2.0, 3.0], [5.0, 2.0, -1.0]]))
    for trimmed in (False, True):
        line = np.frombuffer(line_of(record(row, trimmed=trimmed)))
        # Point and direction: at the parameters of its ends it is there.
        assert line[:3] + 2.0 * line[3:] == pytest.approx(row[3][0])
        assert line[:3] + 4.0 * line[3:] == pytest.approx(row[3][1])
    assert not line_of(record(row, rational=True))
    assert not line_of(record(rows()[0]))
    assert not line_of(b"")
