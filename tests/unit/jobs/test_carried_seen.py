"""What is seen of a loaded frame: the bent shape between the ends of its elements, colours, a size to draw it in."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.jobs.carried import carried
from bentwork.jobs.carried_seen import SeenBar, exaggeration, heat_of, seen_bars
from bentwork.jobs.held import held
from bentwork.jobs.work import work
from tests.unit.jobs.test_carried import job


def arm() -> SeenBar:
    found = carried(work(job()))
    assert found is not None
    (bar,) = seen_bars(found, 0)
    return bar


def test_a_cantilever_bends_as_the_textbook_has_it_all_along() -> None:
    # y = P x^2 (3L - x)/6EI + w x^2 (6L^2 - 4 L x + x^2)/24EI; shear adds 0.2 %, and more near the wall.
    bar = arm()
    ei = 210000 * math.pi * 12**4 / 64
    load, weight, long = 4 * 9.80665, 7850e-9 * math.pi * 36 * 9.80665, 200.0
    assert len(bar.places) >= 9
    for (x, y, z), (_, aside, down) in zip(bar.places, bar.moves, strict=True):
        assert (y, z, aside) == pytest.approx((0, 0, 0), abs=1e-9)
        bent = load * x**2 * (3 * long - x) / 6 / ei
        bent += weight * x**2 * (6 * long**2 - 4 * long * x + x**2) / 24 / ei
        assert -down == pytest.approx(bent, rel=0.01, abs=2e-3)
    assert bar.stress[0] == pytest.approx((load * 200 + weight * 200**2 / 2) / (math.pi * 12**3 / 32), rel=1e-3)
    assert bar.stress[-1] < 0.02 * bar.stress[0]
    assert bar.use == pytest.approx(1.5 * bar.stress / 235, rel=1e-6)


def test_the_width_lies_across_the_bar() -> None:
    bar = arm()
    assert bar.is_round
    assert bar.half == (6.0, 6.0)
    assert np.linalg.norm(bar.wide, axis=1) == pytest.approx(1.0)
    assert bar.wide @ np.array([1.0, 0.0, 0.0]) == pytest.approx(0.0, abs=1e-9)


def test_moves_are_drawn_in_a_round_number_of_times() -> None:
    bar = arm()
    times = exaggeration([bar])
    most = float(np.linalg.norm(bar.moves, axis=1).max())
    assert times in {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0}
    assert times * most <= 0.06 * 200 + 1e-9 < 2.5 * times * most


def test_colours_go_from_straw_to_blue_and_on() -> None:
    assert [heat_of(use) for use in (0.0, 0.4, 0.41, 0.7, 0.9, 1.0, 1.001)] == [
        "straw",
        "straw",
        "brown",
        "purple",
        "blue",
        "blue",
        "hit",
    ]


def test_what_the_wall_holds() -> None:
    found = carried(work(job()))
    assert found is not None
    (wall,) = held(found)
    weight = 4 + found.structure.mass
    assert wall.force == pytest.approx((0, 0, weight * 9.80665), abs=1e-6)
    assert wall.size == pytest.approx(weight * 9.80665)
