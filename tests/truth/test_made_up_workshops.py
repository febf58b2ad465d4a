"""Many made-up workshops whose truth is known: does the fit find it, and does it know how well?

The truth is drawn and read off by ``tests/workshops.py``, which shares nothing with the fit but ``forming``. There are
400 workshops: of 200, a share inside of truly 90 % strays by 2.1 % (one standard deviation), and one in fifty leaves
85 to 95 % by mere luck; of 400, one in a thousand. Over 3,000 workshops all lay between 88.8 and 91.7 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pytest

from bentwork.bending.fit import fit
from bentwork.bending.learnt import Fit, Measured
from bentwork.forming.scatter import CERTAINTY
from tests.workshops import Truth, a_workshop, bent

ANGLES = (20.0, 45.0, 90.0, 135.0, 170.0)
HALF = 1.6449  # standard deviations of a normal distribution to either end of the interval
WORKSHOPS = 400


@dataclass(frozen=True)
class Case:
    truth: Truth
    handbook: Fit
    some: Fit
    """From one to four test bends, taped."""
    two: Fit
    """From two, near 60 and 120 degrees."""
    two_coarse: Fit
    """The same with a gauge that is out by half a degree."""


def fitted(truth: Truth, angles: tuple[float, ...], rng: np.random.Generator, *, seen: bool = False) -> Fit:
    found = fit(truth.set_up, bent(truth, angles, rng, seen=seen))
    assert isinstance(found, Fit)
    return found


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    return list(made_up(np.random.default_rng(2025)))


def made_up(rng: np.random.Generator) -> Iterator[Case]:
    for _ in range(WORKSHOPS):
        truth = a_workshop(rng)
        handbook = fit(truth.set_up)
        assert isinstance(handbook, Fit)
        angles = tuple(float(angle) for angle in rng.choice([30, 45, 60, 90, 120, 135], int(rng.integers(1, 5))))
        some = fitted(truth, angles, rng, seen=bool(rng.integers(2)))
        coarse = replace(truth, gauge=0.5)
        yield Case(truth, handbook, some, fitted(truth, (60.0, 120.0), rng), fitted(coarse, (60.0, 120.0), rng))


def share(inside: list[bool]) -> float:
    return sum(inside) / len(inside)


def holds(told: Measured, true: float) -> bool:
    return abs(told.mean - true) < HALF * told.sd


@pytest.mark.parametrize("wanted", ANGLES)
def test_the_interval_of_the_pull_holds_what_it_promises(cases: list[Case], wanted: float) -> None:
    pulls = [(case.some.pull(wanted), case.truth.pull(wanted)) for case in cases]
    assert share([pull.low <= true <= pull.high for pull, true in pulls]) == pytest.approx(CERTAINTY, abs=0.05)


@pytest.mark.parametrize("wanted", ANGLES)
def test_so_does_that_of_the_handbook(cases: list[Case], wanted: float) -> None:
    pulls = [(case.handbook.pull(wanted), case.truth.pull(wanted)) for case in cases]
    assert share([pull.low <= true <= pull.high for pull, true in pulls]) == pytest.approx(CERTAINTY, abs=0.05)


def test_so_do_those_of_the_tape(cases: list[Case]) -> None:
    radius = [holds(case.some.radius, case.truth.radius) for case in cases]
    start = [holds(case.some.start, case.truth.offset) for case in cases]
    drawn_in = [holds(case.some.drawn_in, case.truth.drawn_in) for case in cases]
    for inside in (radius, start, drawn_in):
        assert share(inside) == pytest.approx(CERTAINTY, abs=0.05)


def error(cases: list[Case], fits: list[Fit]) -> float:
    """Root mean square of what the likeliest pull is out by, over three angles, degrees."""
    squares = [
        (one.pull(wanted).bend_to - case.truth.pull(wanted)) ** 2
        for case, one in zip(cases, fits, strict=True)
        for wanted in (30.0, 90.0, 135.0)
    ]
    return math.sqrt(sum(squares) / len(squares))


def test_two_test_bends_take_two_thirds_of_the_error(cases: list[Case]) -> None:
    """Gauges as workshops have them: digital, read twice, or by eye (0.2, 0.3 or 0.5 degrees)."""
    assert error(cases, [case.two for case in cases]) < error(cases, [case.handbook for case in cases]) / 3.0


def test_a_coarse_gauge_takes_a_little_less(cases: list[Case]) -> None:
    """With half a degree for everybody it is about a third itself: 0.33 of the handbook's over 3,000 workshops."""
    assert error(cases, [case.two_coarse for case in cases]) < 0.4 * error(cases, [case.handbook for case in cases])


def test_where_little_springs_back_a_good_gauge_is_needed(cases: list[Case]) -> None:
    """Less than 3 degrees at a right angle: the handbook is hardly worse than the gauge that should correct it."""
    low = [case for case in cases if case.handbook.pull(90.0).springback < 3.0]
    assert len(low) > 50
    handbook = error(low, [case.handbook for case in low])
    good = [case for case in low if case.truth.gauge < 0.4]
    fine = error(good, [case.two for case in good])
    coarse = error(low, [case.two_coarse for case in low])
    assert fine < 0.5 * handbook
    assert handbook / 3.0 < coarse < 0.75 * handbook


def test_good_test_bends_are_seldom_doubted(cases: list[Case]) -> None:
    assert share([bool(case.some.doubts) for case in cases]) <= 0.05
