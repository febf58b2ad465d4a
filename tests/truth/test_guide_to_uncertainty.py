"""Errors along a chain, against the worked example H.2 of the Guide to the expression of uncertainty in measurement.

JCGM 100:2008, annex H.2: voltage V, current I and phase angle phi are read together five times; told are the
resistance R = V/I cos(phi), the reactance X = V/I sin(phi) and the impedance Z = V/I, with what they scatter by and how
they go together. To a bar that is one straight of length Z behind one sharp bend of phi (1 ohm is 1 mm), with end B at
(R, X). Its table of readings is from memory; that it is right is seen by the means, deviations and correlations that
the guide has of them (those and its results were read in the examples and tests of two open programs).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.fitup.chain import walk
from bentwork.fitup.made import ANGLE, STRETCH, Bar, Floats, on_the_bar
from bentwork.fitup.scatter import Scatter
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable

VOLTS = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
AMPERES = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) / 1000.0
PHASE = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])

RESISTANCE, REACTANCE, IMPEDANCE = (127.732, 0.071), (219.847, 0.295), (254.260, 0.236)
TOGETHER = -0.588  # correlation of R and X
BEFORE = 1.0  # mm of bar before the bend


def readings() -> tuple[Floats, Floats]:
    """Means of voltage, current and phase, and the covariance of the means."""
    taken = np.stack((VOLTS, AMPERES, PHASE))
    return taken.mean(axis=1), np.cov(taken) / taken.shape[1]


def bar_of(means: Floats) -> Bar:
    return on_the_bar(BendTable((BEFORE, float(means[0] / means[1])), (Bend(1e-9, math.degrees(means[2])),)))


def scatter_of_readings(means: Floats, covariance: Floats) -> Scatter:
    """What errs in the length behind the bend is told as stretch; Z = V / I by its own slopes, which are no chain's."""
    volts, amperes, _ = means
    by = np.array([[1.0 / amperes, -volts / amperes**2, 0.0], [0.0, 0.0, math.degrees(1.0)]])
    roots = by @ np.linalg.cholesky(covariance)
    own = np.zeros((3, 5, 1))
    own[:, STRETCH, 0], own[:, ANGLE, 0] = roots
    return Scatter(np.zeros((5, 1)), own, np.zeros((0, 5, 1)))


def test_the_readings_are_those_of_the_guide() -> None:
    means, covariance = readings()
    assert means == pytest.approx([4.9990, 19.6610e-3, 1.04446], abs=5e-6)
    sds = np.sqrt(np.diag(covariance))
    assert sds == pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.01)
    apart = covariance / np.outer(sds, sds)
    assert [apart[0, 1], apart[0, 2], apart[1, 2]] == pytest.approx([-0.36, 0.86, -0.65], abs=0.006)


def test_the_chain_passes_errors_on_as_the_guide_has_it() -> None:
    means, covariance = readings()
    bar, scatter = bar_of(means), scatter_of_readings(means, covariance)
    end = walk(bar.values[:, :, None], bar.shares).station(bar.length, slopes=True)
    assert end.moves is not None
    assert end.point[:2, 0] - (BEFORE, 0.0) == pytest.approx([RESISTANCE[0], REACTANCE[0]], abs=6e-4)
    assert bar.length - BEFORE == pytest.approx(IMPEDANCE[0], abs=6e-4)
    slopes = end.moves[:2, :, :, 0].reshape(2, -1)
    found = slopes @ scatter.covariance @ slopes.T
    sds = np.sqrt(np.diag(found))
    assert sds == pytest.approx([RESISTANCE[1], REACTANCE[1]], abs=6e-4)
    assert found[0, 1] / (sds[0] * sds[1]) == pytest.approx(TOGETHER, abs=6e-4)
    assert math.sqrt(scatter.covariance[STRETCH, STRETCH]) == pytest.approx(IMPEDANCE[1], abs=6e-4)


def test_a_million_bars_scatter_as_the_guide_has_it() -> None:
    """Six standard deviations of a million drawn: 0.0042 of a deviation, and the guide's own last digit."""
    means, covariance = readings()
    bar, scatter = bar_of(means), scatter_of_readings(means, covariance)
    values = bar.values[:, :, None] + scatter.drawn(np.random.default_rng(3), 1_000_000)
    # End B is pushed along by what its bar is longer: with the bar's own length it would stay at the same station.
    walks = walk(values, bar.shares)
    ends = walks.station(np.full(1_000_000, bar.length), past=1).point[:2]
    found = np.cov(ends)
    sds = np.sqrt(np.diag(found))
    assert sds == pytest.approx([RESISTANCE[1], REACTANCE[1]], abs=6e-4 + 0.0042 * REACTANCE[1])
    assert found[0, 1] / (sds[0] * sds[1]) == pytest.approx(TOGETHER, abs=0.005)
    assert ends.mean(axis=1) - (BEFORE, 0.0) == pytest.approx([RESISTANCE[0], REACTANCE[0]], abs=0.0025)
