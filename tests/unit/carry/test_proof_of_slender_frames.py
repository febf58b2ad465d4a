"""The proof load of a frame that buckles, and how it is pulled at: it must come back from both."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.cases import GRAVITY, LoadCase
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.payload import Payload
from bentwork.carry.proof import ProofLoad, proof_load
from bentwork.carry.structure import structure_of
from bentwork.stock.section import Round
from bentwork.units import Ruler
from tests.frames import a_bar

CASES = [LoadCase("on to it", "shock", down=2.0), LoadCase("stop", "braking", forward=0.02, left=0.01)]
EULER = math.pi**2 * 70000.0 * math.pi * 12**4 / 64 / (4.0 * 800.0**2)  # N, of the post below: pi^2 EI/(2 L)^2


def of_a_post(mass: float, forward: float = 0.02) -> ProofLoad:
    post = a_bar((0, 0, 0), (0, 0, 800), Round(12.0))
    payload = Payload(mass, (0, 0, 800), ("bar",), ((0, 0, 800),))
    structure = structure_of([post], [Fixing("foot", "bar", (0, 0, 0), FIXED)], payload)
    found = proof_load(structure, [CASES[0], LoadCase("stop", "braking", forward=forward, left=0.01)])
    assert found is not None
    return found


def test_it_never_nears_what_buckles() -> None:
    # 2.5 times 15 kg are 368 N, more than the post's 275 N; the proof stress alone would bear 25 kN.
    found = of_a_post(15.0)
    assert not found.proves
    assert found.mass * GRAVITY < 0.9 * EULER / 1.1
    assert all(one.what != "buckling" for one in found.look_at), "what buckles has no cracks"
    assert of_a_post(2.0).factor == pytest.approx(2.5)


def test_it_is_pulled_at_under_the_payload_alone() -> None:
    found = of_a_post(2.0)
    weight = 2.0 * GRAVITY
    assert (found.sideways, found.forward, found.back) == pytest.approx((0.01 * weight, 0.02 * weight, 0.0))
    told = found.pulls(Ruler())
    assert told.startswith("Take it down to 2 kg, then pull with ")
    assert "to each side" in told
    assert "forward" in told
    assert "back" not in told


def test_it_is_not_pulled_at_where_it_would_stay_bent() -> None:
    # By hand: 5 times the weight forward bends the foot with 98 N x 800 mm; nine tenths of 250/1.1 bear 34.7 Nm.
    found = of_a_post(2.0, forward=5.0)
    assert found.forward == 0.0
    assert found.sideways > 0.0


def test_only_what_a_rule_can_tell_is_measured() -> None:
    # A lever that sags by millimetres beside a post that does not; a sag of tenths is not rejected for some hundredths.
    bars = [a_bar((0, 0, 0), (300, 0, 0), Round(12.0)), a_bar((0, 0, 0), (0, 0, -100), Round(40.0), name="post")]
    foot = Fixing("foot", "post", (0, 0, -100), FIXED)
    structure = structure_of(bars, [foot], Payload(4.0, (300, 0, 0), ("bar",), ((300, 0, 0),)))
    found = proof_load(structure, CASES)
    assert found is not None
    assert [one.bar for one in found.readings] == ["bar"]
    assert any("more than 30%, and more than 0.3 mm, off" in one for one in found.reasons(Ruler()))
