"""Adjusted readings against other solvers and a published set of readings.

Readings of a trilateration: Ghilani, Adjustment Computations, chapter 14, Example 14.2, as its readings and control
points stand in the published worksheet of that chapter (feet); the answer is scipy's own least-squares solver's, which
shares no code with ours. The test for odd readings is held against leaving the reading out, which it must equal.
"""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import least_squares

from bentwork.parts.survey import survey
from bentwork.parts.survey_odd import checked, odd_readings
from bentwork.parts.survey_reading import Reading, Spot

CONTROL = {"A": (865.40, 4527.15), "B": (2432.55, 2047.25), "C": (2865.22, 27.15)}
LENGTHS = {"A": 6049.00, "B": 4736.83, "C": 5446.49}


def test_a_published_trilateration() -> None:
    spots = [Spot(name, at=(x, y, 0.0)) for name, (x, y) in CONTROL.items()]
    spots.append(Spot("U", near=(6500.0, 3500.0, 0.0)))
    readings = [Reading("distance", (name, "U"), length) for name, length in LENGTHS.items()]
    found = survey(spots, [*readings, Reading("level", ("A", "U"))])
    known = np.array(list(CONTROL.values()))

    def off(place: np.ndarray) -> np.ndarray:
        told: np.ndarray = np.hypot(*(known - place).T) - np.array(list(LENGTHS.values()))
        return told

    theirs = least_squares(off, (6500.0, 3500.0), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert found.place("U")[:2] == pytest.approx(theirs.x, abs=1e-5)
    assert found.residuals[:3] == pytest.approx(theirs.fun, abs=1e-6)
    spread = np.linalg.inv(theirs.jac.T @ theirs.jac)
    assert found.block("U")[:2, :2] == pytest.approx(spread, rel=1e-4)
    assert found.degrees == 1
    assert found.redundancy.sum() == pytest.approx(1.0)
    # With one reading more than is needed nothing tells which of the three is wrong: all are as odd as one another.
    odd = [one.normalised for one in checked(found)[:3]]
    assert odd == pytest.approx([odd[0]] * 3, rel=1e-6)


POINTS = {
    "left lug": (420.0, 330.0, 60.0),
    "right lug": (422.0, -329.0, 57.0),
    "left rail": (0.0, 300.0, 260.0),
    "right rail": (5.0, -301.0, 258.0),
    "keel": (10.0, 0.0, 0.0),
    "stem": (700.0, 4.0, 40.0),
}


def _taken(rng: np.random.Generator, error: float = 1.0) -> list[Reading]:
    found = [
        Reading("distance", (one, other), math.dist(POINTS[one], POINTS[other]) + error * rng.normal(), 1.0)
        for one, other in combinations(POINTS, 2)
    ]
    return found + [Reading("height", (name,), POINTS[name][2] + error * rng.normal(), 1.0) for name in POINTS]


def _sketch(off: float) -> list[Spot]:
    return [Spot(name, near=(x + off * k, y - off, z + off)) for k, (name, (x, y, z)) in enumerate(POINTS.items())]


def test_a_free_network_against_scipy() -> None:
    """Shape and misfit do not depend on what holds the whole: scipy holds it by a weak pull to the sketch."""
    readings = _taken(np.random.default_rng(5))
    found = survey(_sketch(15.0), readings)
    names = list(POINTS)

    def off(free: np.ndarray) -> np.ndarray:
        places = free[:-1].reshape(-1, 3)
        told = []
        for one in readings:
            at = [places[names.index(name)] for name in one.points]
            value = np.linalg.norm(at[1] - at[0]) if one.kind == "distance" else at[0][2] - free[-1]
            told.append((value - one.value) / one.accuracy)
        weak = 1e-6 * (free - np.append(np.array([spot.near for spot in _sketch(0.0)]).ravel(), 0.0))
        return np.append(told, weak)

    start = np.append(np.array([spot.near for spot in _sketch(0.0)]).ravel(), 0.0)
    theirs = least_squares(off, start, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert found.misfit == pytest.approx(2.0 * theirs.cost, rel=1e-6)
    places = theirs.x[:-1].reshape(-1, 3)
    for one, other in combinations(names, 2):
        apart = np.linalg.norm(places[names.index(one)] - places[names.index(other)])
        assert math.dist(found.place(one), found.place(other)) == pytest.approx(apart, abs=1e-4)
    assert found.degrees == len(readings) - 18 + 3 + 0  # heights tell all but two shifts and a turn, and the ground


def test_odd_is_what_leaving_out_says() -> None:
    """Baarda's w is the misfit of a reading to the points found without it, over the error of both."""
    readings = _taken(np.random.default_rng(8))
    readings[4] = Reading("distance", readings[4].points, readings[4].value + 9.0, 1.0)
    found = survey(_sketch(4.0), readings)
    for number in (0, 4, 11, 17):
        rest = survey(
            [Spot(s.name, near=found.place(s.name)) for s in _sketch(4.0)], readings[:number] + readings[number + 1 :]
        )
        one = readings[number]
        row = found.slopes[number]  # hardly another there
        if one.kind == "distance":
            says = math.dist(rest.place(one.points[0]), rest.place(one.points[1]))
        else:
            says = rest.place(one.points[0])[2] - rest.ground
        error = math.sqrt(1.0 + float(row @ rest.covariance @ row))
        assert checked(found)[number].normalised == pytest.approx(abs(says - one.value) / error, rel=0.02, abs=0.02)
    odd, without = odd_readings(found)
    assert [one.reading for one in odd] == [4]
    assert odd[0].off == pytest.approx(9.0, abs=4.0)
    assert without.spread is not None
    assert without.spread < 1.5


def test_covariance_against_many_made_up_surveys() -> None:
    """Errors of the stated accuracy move the points as the covariance says: 300 surveys with their own errors."""
    rng = np.random.default_rng(11)
    sketch = _sketch(0.0)
    lengths, worth = [], []
    way = np.array(POINTS["left lug"]) - np.array(POINTS["right rail"])
    for _ in range(300):
        found = survey(sketch, _taken(rng))
        lengths.append(math.dist(found.place("left lug"), found.place("right rail")))
        worth.append(found.misfit / found.degrees)
    one, other = (3 * found.number(name) for name in ("left lug", "right rail"))
    slope = np.zeros(len(found.covariance))
    slope[one : one + 3], slope[other : other + 3] = way / np.linalg.norm(way), -way / np.linalg.norm(way)
    says = math.sqrt(float(slope @ found.covariance @ slope))
    assert np.std(lengths) == pytest.approx(says, rel=0.15)  # 300 draws give a spread to 4 %, one in four of these
    assert np.mean(worth) == pytest.approx(1.0, abs=0.1)
