"""Mixes of bars against all there are, the linear program's bound against the best, a hard demand that was found."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest

from bentwork.parts.cutting import BarOnSale, Length, Offcut, Saw
from bentwork.parts.cutting_best import best_cutting
from bentwork.parts.cutting_mixes import cheapest_first, mixes
from bentwork.parts.cutting_plan import cut_plan
from bentwork.parts.cutting_problem import Kinds, Problem
from bentwork.parts.cutting_relaxed import Columns, relax


def a_problem(seed: int) -> Problem:
    rng = np.random.default_rng(seed)
    widths = np.array(sorted({int(x) for x in rng.integers(5, 40, 4)}, reverse=True))
    kinds = Kinds(
        np.array([50, 70, 90]),
        np.array([5 + seed % 2, 7 + seed % 3, 0]),
        np.array([99, 99, 1]),
        np.array([True, True, False]),
    )
    return Problem(widths, rng.integers(1, 4, len(widths)), kinds)


@pytest.mark.parametrize("seed", range(10))
def test_mixes_are_all_there_are(seed: int) -> None:
    problem = a_problem(seed)
    holds, low, high = problem.kinds.room, 6.0, 40
    found = mixes(problem, holds, low, high)
    assert found is not None
    expected = {
        (int(a * problem.kinds.cost[0] + b * problem.kinds.cost[1]), (a, b, 1))
        for a, b in itertools.product(range(int(problem.demand.sum()) + 1), repeat=2)
        if 50 * a + 70 * b + 90 >= problem.total
    }
    assert set(found) == {one for one in expected if low <= one[0] < high}
    assert [cost for cost, _ in found] == sorted(cost for cost, _ in found)
    assert list(cheapest_first(problem, holds, low, high)) == list(found)


@pytest.mark.parametrize("seed", range(10))
def test_no_cutting_costs_less_than_the_bound(seed: int) -> None:
    problem = a_problem(seed)
    best = best_cutting(problem)
    relaxed = relax(problem, Columns(len(problem.widths)))
    assert best is not None
    assert relaxed is not None
    assert relaxed.bound <= best.cost + 1e-9
    assert best.bound == best.cost
    assert problem.next_cost(relaxed.bound) <= best.cost


def test_the_smallest_sum_of_prices() -> None:
    kinds = Kinds(np.array([10, 20]), np.array([6, 10]), np.array([9, 9]), np.array([True, True]))
    problem = Problem(np.array([5]), np.array([4]), kinds)
    assert [problem.next_cost(least) for least in (0, 1, 7, 11, 13, 17, 23.5)] == [0, 6, 10, 12, 16, 18, 24]


def test_a_demand_that_is_hard_to_prove_says_its_gap() -> None:
    """Found by a hunt over demands of up to 130 cuts on up to 5 bar lengths of nearly one price a metre."""
    rng = random.Random(76)
    sizes = [round(rng.uniform(400.0, 1500.0), 1) for _ in range(13)]
    lengths = [Length(f"p{k}", size, rng.randint(2, 9)) for k, size in enumerate(sizes)]
    bars = [
        BarOnSale(length, round(length * 0.0045 * rng.uniform(0.9, 1.15), 2)) for length in (1500, 2500, 4000, 5000)
    ]
    plan = cut_plan(lengths, bars, [Offcut(900.0, 2)], Saw(1.5, 6.0))
    assert plan is not None
    assert plan.bound <= plan.cost
    assert plan.gap < 0.01
    assert plan.proven == (plan.gap == 0.0)
    cut = sum(len(bar.cuts) * bar.times for bar in plan.bars)
    assert cut == sum(one.count for one in lengths)
