"""What is true of any cope: its curve lies on both bars, no metal is missing, and it is the same from either side."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bentwork.parts.cope import LEAST_ANGLE, Cope

sizes = st.floats(6.0, 80.0)
angles = st.floats(LEAST_ANGLE, 90.0)
turns = st.floats(0.0, 360.0)


@st.composite
def copes(draw: st.DrawFn) -> Cope:
    outside, onto = draw(sizes), draw(sizes)
    bore = draw(st.sampled_from([0.0, 0.5, 0.8, 0.95])) * outside
    offset = draw(st.floats(-0.9, 0.9)) * (outside + onto) / 2.0
    return Cope(outside, bore, onto, draw(angles), offset)


@given(copes(), turns)
def test_the_curve_lies_on_both_bars(cope: Cope, turn: float) -> None:
    phi, theta = math.radians(turn), math.radians(cope.angle)
    r, t = cope.outside / 2.0, cope.outer(turn)
    beside = cope.offset + r * math.sin(phi)
    up = t * math.sin(theta) + r * math.cos(phi) * math.cos(theta)
    assume(abs(beside) < cope.onto / 2.0)
    assert math.hypot(beside, up) == pytest.approx(cope.onto / 2.0)


@given(copes(), turns)
def test_cut_to_the_longer_edge_no_metal_is_missing(cope: Cope, turn: float) -> None:
    slack = 1e-9 * (cope.outside + cope.onto)
    steps = [cope.bore / 2.0 + (cope.outside - cope.bore) / 2.0 * k / 8.0 for k in range(9)]
    if not cope.solid:  # of every layer of the wall, none reaches farther than what is left standing
        assert cope.sawn(turn) <= min(cope.reach(turn, radius) for radius in steps) + slack
    assert cope.longest <= cope.outer(turn) + 1e-3 * cope.outside  # looked at every half degree
    assert cope.depth >= 0.0


@given(copes(), turns)
def test_beside_the_middle_to_the_other_side_is_the_mirror_image(cope: Cope, turn: float) -> None:
    other = Cope(cope.outside, cope.bore, cope.onto, cope.angle, -cope.offset)
    assert other.outer(-turn) == pytest.approx(cope.outer(turn), abs=1e-9 * cope.outside)
    assert other.inner(-turn) == pytest.approx(cope.inner(turn), abs=1e-9 * cope.outside)
