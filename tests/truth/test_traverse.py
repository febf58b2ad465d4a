"""Errors along a chain, against a surveyor's traverse: a course is a straight, a change of azimuth a sharp bend.

Example 8.1 of Ghilani, Adjustment Computations (errors of traverses; its data and equations 8.1 to 8.3 were read, its
printed results could not be): a course of 456.87 +- 0.02 ft at an azimuth of 23 deg 35 min 26 s +- 9 s. By its
equations, latitude = D cos Az, departure = D sin Az, and

    covariance = A diag(sD^2, sAz^2) A',  A = [[cos Az, -D sin Az], [sin Az, D cos Az]].
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.fitup.chain import walk
from bentwork.fitup.made import ANGLE, STRETCH, on_the_bar
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable

LENGTH, LENGTH_SD = 456.87, 0.02
AZIMUTH, AZIMUTH_SD = 23.0 + 35.0 / 60.0 + 26.0 / 3600.0, 9.0 / 3600.0


def test_one_course_scatters_as_the_surveyors_book_has_it() -> None:
    bar = on_the_bar(BendTable((1.0, LENGTH), (Bend(1e-9, AZIMUTH),)))
    end = walk(bar.values[:, :, None], bar.shares).station(bar.length, slopes=True)
    assert end.moves is not None
    by = end.moves[:2, [STRETCH, ANGLE], 0, 0]  # a length that errs is bar that got longer
    found = by @ np.diag([LENGTH_SD**2, AZIMUTH_SD**2]) @ by.T
    az = math.radians(AZIMUTH)
    a = np.array([[math.cos(az), -LENGTH * math.sin(az)], [math.sin(az), LENGTH * math.cos(az)]])
    book = a @ np.diag([LENGTH_SD**2, math.radians(AZIMUTH_SD) ** 2]) @ a.T
    assert found == pytest.approx(book, rel=1e-6)
    # Latitude 418.69, departure 182.84, both out by 0.020 ft: by a calculator.
    assert end.point[:2, 0] - (1.0, 0.0) == pytest.approx([418.69, 182.84], abs=0.01)
    assert np.sqrt(np.diag(found)) == pytest.approx([0.0200, 0.0199], abs=1e-4)


def test_a_traverse_of_four_courses_adds_them_up() -> None:
    """Angles turned at stations, sd s each: the end's variance is s^2 times the sum of squared distances to it, and
    that of a length its own; the rule of open traverses, any book on surveying."""
    courses, turns = (300.0, 220.0, 180.0, 260.0), (40.0, -65.0, 80.0)
    bends = tuple(
        Bend(1e-9, abs(turn), 0.0 if k == 0 else 180.0 * (turn * turns[k - 1] < 0.0)) for k, turn in enumerate(turns)
    )
    bar = on_the_bar(BendTable(courses, bends))
    walks = walk(bar.values[:, :, None], bar.shares)
    end = walks.station(bar.length, slopes=True)
    assert end.moves is not None
    points, way = [np.zeros(2)], 0.0
    for course, turn in zip(courses, (*turns, 0.0), strict=True):
        points.append(points[-1] + course * np.array([math.cos(way), math.sin(way)]))
        way += math.radians(turn)
    assert end.point[:2, 0] == pytest.approx(points[-1], abs=1e-6)
    reach = sum(float(np.sum((points[-1] - station) ** 2)) for station in points[1:-1])
    variance = float(np.sum(end.moves[:, ANGLE, :, 0] ** 2))
    assert variance == pytest.approx(reach * math.radians(1.0) ** 2, rel=1e-6)
    assert float(np.sum(end.moves[:, STRETCH, :, 0] ** 2)) == pytest.approx(3.0)
