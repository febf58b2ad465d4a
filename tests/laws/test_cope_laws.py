"""What is true of any cope: its curve lies on both bars, no metal is missing, and it is the same from either side."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bentwork.parts.cope import Cope
from bentwork.parts.outline import Outline

sizes = st.floats(6.0, 80.0)
angles = st.floats(3.0, 90.0)
turns = st.floats(0.0, 180.0)
shares = st.floats(0.0, 1.0)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    wide, high = draw(sizes) / 2.0, draw(sizes) / 2.0
    kind = draw(st.sampled_from(["round", "sharp", "rounded"]))
    if kind == "round":
        return Outline(wide, wide, wide)
    return Outline(wide, high, draw(shares) * min(wide, high) if kind == "rounded" else 0.0)


@st.composite
def copes(draw: st.DrawFn) -> Cope:
    bar, onto = draw(outlines()), draw(outlines())
    wall = draw(st.sampled_from([0.0, 0.05, 0.3, 0.8])) * min(bar.wide, bar.high)
    bore = Outline(bar.wide - wall, bar.high - wall, max(0.0, bar.corner - wall)) if wall else None
    angle, turned = draw(angles), (draw(turns), draw(turns))
    middle = Cope(bar, bore, onto, angle, 0.0, *turned)
    offset = draw(st.floats(-0.9, 0.9)) * (middle.half_beside + middle.crown.edge)
    return Cope(bar, bore, onto, angle, offset, *turned)


@given(copes(), shares)
def test_the_curve_lies_on_both_bars(cope: Cope, share: float) -> None:
    theta, place = math.radians(cope.angle), share * cope.around
    u, v = cope.spot(place)
    beside = cope.offset + v
    assume(abs(beside) < cope.crown.edge - 1e-6)
    up = cope.outer(place) * math.sin(theta) + u * math.cos(theta)
    c, s = math.cos(math.radians(cope.onto_turn)), math.sin(math.radians(cope.onto_turn))
    own = (beside * c + up * s, up * c - beside * s)  # in the frame of the other bar
    assert math.dist(cope.onto.nearest(own), own) < 1e-6 * (1.0 + abs(up))
    c, s = math.cos(math.radians(cope.bar_turn)), math.sin(math.radians(cope.bar_turn))
    again = (cope.place_at(math.degrees(math.atan2(v, u))) - place) % cope.around
    assert min(again, cope.around - again) < 1e-5


@given(copes(), shares)
def test_cut_to_the_longer_edge_no_metal_is_missing(cope: Cope, share: float) -> None:
    place = share * cope.around
    slack = (
        1e-7 * (cope.onto.wide + cope.onto.high + cope.bar.wide + cope.bar.high) / math.sin(math.radians(cope.angle))
    )
    if not cope.solid:  # of every layer of the wall, none reaches farther than what is left standing
        out, inside = cope.spot(place), cope.inner_spot(place)
        layers = [tuple(b + (a - b) * k / 12.0 for a, b in zip(out, inside, strict=True)) for k in range(13)]
        assert cope.sawn(place) <= min(cope.reach((u, v)) for u, v in layers) + slack
    assert cope.depth >= 0.0


@given(copes())
def test_nothing_stands_out_farther_than_the_longest_point(cope: Cope) -> None:
    step = cope.around / 720.0 / math.tan(math.radians(cope.angle))
    for k in range(97):
        place = cope.around * k / 97.0
        assert cope.longest - 0.05 * step - 1e-3 <= cope.outer(place) <= cope.throat + 0.5 * step + 0.01
    for low, high in cope.longest_at:
        assert cope.outer(low) == pytest.approx(cope.longest, abs=0.02)
        assert cope.outer(high) == pytest.approx(cope.longest, abs=0.02)


@given(copes(), shares)
def test_beside_the_middle_to_the_other_side_is_the_mirror_image(cope: Cope, share: float) -> None:
    turn = 360.0 * share
    other = Cope(cope.bar, cope.bore, cope.onto, cope.angle, -cope.offset, -cope.bar_turn, -cope.onto_turn)
    one, image = cope.place_at(turn), other.place_at(-turn)
    assume(abs(abs(cope.offset + cope.spot(one)[1]) - cope.crown.edge) > 1e-6)
    slack = 1e-6 * cope.around / math.sin(math.radians(cope.angle))
    assert other.outer(image) == pytest.approx(cope.outer(one), abs=slack)
    assert other.depth == pytest.approx(cope.depth, abs=0.05 + 0.01 * cope.depth)


@given(copes())
def test_where_it_passes_beside_is_where_it_is_wider(cope: Cope) -> None:
    assume(abs(cope.beyond) > 1e-3)
    assert bool(cope.passing) == cope.wider
    for low, high in cope.passing:
        assert abs(cope.offset + cope.spot(0.5 * (low + high))[1]) > cope.crown.edge
    assert cope.plane == (cope.faces == ("face",) and not cope.wider)
