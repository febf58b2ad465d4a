"""Points on splines, all at once, against SciPy's own B-splines; and which splines of a body are read so."""

from __future__ import annotations

from struct import pack

import numpy as np
import pytest
from scipy.interpolate import BSpline

from bentwork.takeoff.kernel_form import splines_of
from bentwork.takeoff.splines import Splines, points_on

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


def test_one_out_of_several_and_its_derivative_are_those_of_scipy() -> None:
    some = [row for row in rows() if row[0] > 1]
    for k, (degree, knots, times, poles) in enumerate(some):
        smooth = [min(count, degree - 1) if 0 < n < len(times) - 1 else count for n, count in enumerate(times)]
        some[k] = (degree, knots, smooth, poles[: sum(smooth) - degree - 1])
    table = in_table(some)
    for k, row in enumerate(some):
        values = values_on(row)
        one, count = table.only(k), np.array([len(values)])
        assert points_on(one, values, count) == pytest.approx(told(row, values), abs=1e-9)
        degree, knots, times, poles = row
        slope = BSpline(np.repeat(knots, times), poles, degree).derivative()(values)
        assert points_on(one.derived(), values, count) == pytest.approx(slope, abs=1e-7)


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
    weights = np.ones((len(poles), 1))
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


def test_with_weights_or_open_ends_or_asked_beyond_them_a_spline_is_left_to_the_kernel() -> None:
    first, second, third, fourth = rows()[:4]
    degree, knots, times, poles = third
    drifting = (degree + 1, knots, [*times[:-1], degree], poles)
    asked = [(row[1][0], row[1][-1]) for row in (first, second, third, fourth)]
    asked[1] = (asked[1][0], asked[1][1] + 0.5)
    own, read = splines_of([record(first, rational=True), record(second), record(drifting), record(fourth)], asked)
    assert own == [3]
    assert read.poles.tolist() == fourth[3].tolist()
