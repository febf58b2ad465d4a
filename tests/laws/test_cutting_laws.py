"""What is true of every plan of cuts, tried on demands nobody would have."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st

from bentwork.parts.cutting import BarOnSale, CuttingPlan, Length, Offcut, Saw
from bentwork.parts.cutting_plan import cut_plan

LENGTHS = st.lists(
    st.builds(Length, st.sampled_from("abcdef"), st.floats(20.0, 1500.0), st.integers(1, 6)), min_size=1, max_size=6
)
BARS = st.lists(
    st.builds(BarOnSale, st.floats(1500.0, 6000.0), st.floats(1.0, 40.0).map(lambda price: round(price, 2))),
    min_size=1,
    max_size=3,
)
OFFCUTS = st.lists(st.builds(Offcut, st.floats(30.0, 2500.0), st.integers(1, 2)), max_size=3)
SAWS = st.builds(Saw, st.floats(0.0, 4.0), st.floats(0.0, 10.0))


def _planned(lengths: list[Length], bars: list[BarOnSale], offcuts: list[Offcut], saw: Saw) -> CuttingPlan:
    plan = cut_plan(lengths, bars, offcuts, saw)
    assert plan is not None  # there is a bar on sale, so that everything else can be bought
    return plan


@given(LENGTHS, BARS, OFFCUTS, SAWS)
@settings(max_examples=60, deadline=None)
def test_a_plan_can_be_sawn(lengths: list[Length], bars: list[BarOnSale], offcuts: list[Offcut], saw: Saw) -> None:
    plan = cut_plan(lengths, bars, offcuts, saw)
    if plan is None:  # only offcuts are long enough, and not all at once
        assert any(length.length > max(bar.length for bar in bars) - saw.ends - 1e-6 for length in lengths)
        return
    cut = Counter(piece for bar in plan.bars for piece in bar.cuts * bar.times)
    wanted = Counter[tuple[str, float]]()
    for length in lengths:
        if length not in plan.too_long:
            wanted[(length.name, length.length)] += length.count
    assert cut == wanted
    for bar in plan.bars:
        assert bar.spans[-1][2] <= bar.length - saw.ends / 2.0 + 1e-6
        assert all(b[1] - a[2] >= saw.kerf - 1e-9 for a, b in zip(bar.spans, bar.spans[1:], strict=False))
    there = Counter[float]()
    for offcut in offcuts:
        there[offcut.length] += offcut.count
    assert all(sum(b.times for b in plan.bars if b.offcut and b.length == one) <= n for one, n in there.items())
    assert abs(sum((bar.price or 0.0) * bar.times for bar in plan.bars) - plan.cost) < 1e-6
    assert plan.bound <= plan.cost + 1e-9


@given(LENGTHS.filter(lambda ls: all(one.length < 1480.0 for one in ls)), BARS, SAWS, st.floats(100.0, 2500.0))
@settings(max_examples=40, deadline=None)
def test_an_offcut_more_never_costs_more(lengths: list[Length], bars: list[BarOnSale], saw: Saw, offcut: float) -> None:
    before, after = _planned(lengths, bars, [], saw), _planned(lengths, bars, [Offcut(offcut)], saw)
    assert after.bound <= before.cost + 1e-9
    if after.proven:
        assert after.cost <= before.cost + 1e-9


@given(LENGTHS.filter(lambda ls: all(one.length < 1480.0 for one in ls)), BARS, SAWS)
@settings(max_examples=40, deadline=None)
def test_one_piece_less_never_costs_more(lengths: list[Length], bars: list[BarOnSale], saw: Saw) -> None:
    whole = _planned(lengths, bars, [], saw)
    if len(lengths) > 1:
        fewer = _planned(lengths[1:], bars, [], saw)
        assert fewer.bound <= whole.cost + 1e-9
