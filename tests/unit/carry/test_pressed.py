"""Buckling and strength together: whose strength counts, and when it is no matter."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.cases import LoadCase, Push
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.limits import Rules, limits_of
from bentwork.carry.payload import Payload
from bentwork.carry.pressed import payload_pressed, whole_limits
from bentwork.carry.structure import structure_of
from bentwork.stock.section import Round
from tests.frames import a_bar, analysed


def test_rankine_by_hand() -> None:
    assert payload_pressed(4.0, 2.0, 1.5) == pytest.approx(1.0 / (0.5 + 1.1 * 1.5 / 4.0))
    assert payload_pressed(4.0, math.inf, 1.5) == pytest.approx(4.0 / 1.65), "nothing but buckling"
    assert payload_pressed(30.1, 2.0, 1.5) == math.inf, "more than ten times what it bears, safety counted in"
    assert payload_pressed(29.9, 2.0, 1.5) < 2.0
    assert payload_pressed(4.0, 0.0, 1.5) == math.inf, "it is over its limit anyhow"


def test_a_weak_bar_that_stands_still_does_not_weaken_one_that_buckles() -> None:
    # A slender post under the payload; beside it, joined to nothing, a lever that is pushed to 95 % of what it bears.
    post, lever = (
        a_bar((0, 0, 0), (0, 0, 800), Round(12.0)),
        a_bar((900, 0, 0), (1100, 0, 0), Round(12.0), name="lever"),
    )
    feet = [Fixing("foot", "bar", (0, 0, 0), FIXED), Fixing("wall", "lever", (900, 0, 0), FIXED)]
    payload = Payload(5.0, (0, 0, 800), ("bar",), ((0, 0, 800),))
    structure = structure_of([post, lever], feet, payload)
    bears = 250 / 1.1 * math.pi * 12**3 / 32 / 1.5 / 200

    def buckles_at(push: float) -> float:
        case = LoadCase("pushed", "static", pushes=(Push(1, 200.0, (0.0, 0.0, -push), (0.0, 0.0, -push)),))
        solved = analysed(structure, [case])
        found = whole_limits(solved, limits_of(solved), Rules()).found
        return next(one.payload for one in found if one.what == "buckling")

    assert buckles_at(0.95 * bears) == pytest.approx(buckles_at(1.0), rel=1e-3)
