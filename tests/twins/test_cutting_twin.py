"""The cheapest cutting against trying everything, for cuts few enough to try."""

from __future__ import annotations

import itertools
from functools import cache

import numpy as np
import pytest

from bentwork.parts.cutting import BarOnSale, CuttingPlan, Length, Offcut, Saw
from bentwork.parts.cutting_plan import cut_plan


def cheapest(lengths: list[int], bars: list[tuple[int, int]], offcuts: list[int], kerf: int) -> int | None:
    """Least cost in whole money, by trying for the longest piece left every bar and every set of others beside it."""

    @cache
    def cost(left: tuple[int, ...], there: tuple[int, ...]) -> int | None:
        if not left:
            return 0
        first, others = left[0], left[1:]
        found = []
        choices = [(length, price, there) for length, price in bars]
        choices += [(length, 0, there[:k] + there[k + 1 :]) for k, length in enumerate(there)]
        for length, price, still_there in choices:
            for many in range(len(others) + 1):
                for chosen in itertools.combinations(range(len(others)), many):
                    cut = [first, *(others[k] for k in chosen)]
                    if sum(cut) + kerf * (len(cut) - 1) <= length:
                        rest = cost(tuple(o for k, o in enumerate(others) if k not in chosen), still_there)
                        if rest is not None:
                            found.append(price + rest)
        return min(found, default=None)

    return cost(tuple(sorted(lengths, reverse=True)), tuple(sorted(offcuts)))


def check_sound(plan: CuttingPlan, lengths: list[int], offcuts: list[int], kerf: int) -> None:
    """Every piece is cut once, no bar is longer than it is, no offcut is used twice, the cost is what is bought."""
    cut = [length for bar in plan.bars for _ in range(bar.times) for _, length in bar.cuts]
    assert sorted(cut) == sorted(lengths)
    for bar in plan.bars:
        assert bar.used + kerf * (len(bar.cuts) - 1) <= bar.length
    for length in set(offcuts):
        used = sum(bar.times for bar in plan.bars if bar.offcut and bar.length == length)
        assert used <= offcuts.count(length)
    assert sum((bar.price or 0.0) * bar.times for bar in plan.bars) == pytest.approx(plan.cost)


@pytest.mark.parametrize("seed", range(120))
def test_no_plan_is_cheaper(seed: int) -> None:
    rng = np.random.default_rng(seed)
    sizes = rng.integers(3, 40, int(rng.integers(1, 5)))
    lengths = [int(x) for x in rng.choice(sizes, int(rng.integers(1, 8)))]
    bars = [(int(length), int(rng.integers(1, 9)) + int(length) // 8) for length in rng.integers(20, 70, 3)]
    offcuts = [int(x) for x in rng.integers(5, 60, int(rng.integers(0, 3)))]
    kerf = int(rng.integers(0, 4))
    best = cheapest(lengths, bars, offcuts, kerf)
    plan = cut_plan(
        [Length(f"p{k}", length) for k, length in enumerate(lengths)],
        [BarOnSale(length, price) for length, price in bars],
        [Offcut(length) for length in offcuts],
        Saw(kerf),
    )
    if best is None:  # a piece longer than every bar, or that only one offcut would hold
        assert plan is None or plan.too_long
        return
    assert plan is not None
    assert plan.proven
    assert plan.cost == best
    check_sound(plan, lengths, offcuts, kerf)


@pytest.mark.parametrize("seed", range(40))
def test_no_plan_of_the_cost_leaves_a_longer_rest(seed: int) -> None:
    """One kind of bar: its longest rest against every way to part the pieces over that many bars."""
    rng = np.random.default_rng(1000 + seed)
    lengths = [int(x) for x in rng.integers(8, 40, int(rng.integers(2, 7)))]
    kerf, bar = int(rng.integers(0, 3)), 50
    plan = cut_plan([Length("p", length) for length in lengths], [BarOnSale(bar, 7.5)], (), Saw(kerf))
    assert plan is not None
    assert plan.rest_proven
    count = sum(one.times for one in plan.bars)
    rests = []
    for places in itertools.product(range(count), repeat=len(lengths)):
        cuts = [[length for length, at in zip(lengths, places, strict=True) if at == k] for k in range(count)]
        if all(sum(cut) + kerf * (len(cut) - 1) <= bar for cut in cuts):
            rests.append(max(max(0, bar - sum(cut) - kerf * len(cut)) for cut in cuts))
    assert plan.longest_rest == pytest.approx(max(rests))
