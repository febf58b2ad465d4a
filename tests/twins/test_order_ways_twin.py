"""The ways through the sets of bends against walking every order, and short cuts in measuring against measuring all."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest

from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.step import Stand
from bentwork.clearance.workpiece import End
from bentwork.planning.order import find_order, order_if_any
from bentwork.planning.order_path import MOUNTINGS, REVERSALS, TURNS, cheapest, renewed, take_out
from bentwork.planning.order_ways import first_way, furthest, tied_ways, widest_way
from tests.twins.tight_problems import a_problem

Step = tuple[int, int, int, int]
ENDS: tuple[End, End] = ("A", "B")
BENDS, PLACES, WAYS = 4, 2, 3


def a_table(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray, int]:
    """Masks of which about half are barred, ways round the bar, weights with many ties, bends made at the start."""
    table = rng.integers(0, 2 ** (2 * PLACES), (BENDS, 2**BENDS)).astype(np.uint16)
    table &= rng.integers(0, 2 ** (2 * PLACES), table.shape).astype(np.uint16) | np.uint16(rng.integers(0, 16))
    weights = rng.integers(0, 2, BENDS) * int(rng.integers(0, 2))
    return table, rng.integers(0, WAYS, BENDS), weights, int(rng.choice([0, 0, 0, 4]))


def every_way(table: np.ndarray, made: int) -> Iterator[list[Step]]:
    """Every order, in the order of bend, end, mounting step by step."""
    if made == 2**BENDS - 1:
        yield []
    for bend in range(BENDS):
        for end in range(2):
            for place in range(PLACES):
                if not (made >> bend) & 1 and (int(table[bend, made]) >> (2 * place + end)) & 1:
                    for rest in every_way(table, made | 1 << bend):
                        yield [(made, bend, end, place), *rest]


def cost_of(way: list[Step], classes: np.ndarray, weights: np.ndarray) -> int:
    cost, last = 0, None
    for made, bend, end, place in way:
        cost += int(weights[bend]) * bin(made).count("1")
        if last:
            cost += REVERSALS * (end != last[2]) + MOUNTINGS * (place != last[3])
            cost += TURNS * bool(classes[bend] != classes[last[1]])
        last = (made, bend, end, place)
    return cost


@pytest.mark.parametrize("seed", range(60))
def test_costs_brought_up_to_date_are_those_worked_out_anew(seed: int) -> None:
    rng = np.random.default_rng(seed)
    table, classes, weights, start = a_table(rng)
    cost = cheapest(table, classes, WAYS, PLACES, weights, start)
    changed = np.zeros(2**BENDS, dtype=np.bool_)
    for _ in range(6):
        bend, same, made, kept = (int(rng.integers(0, most)) for most in (BENDS, 2**BENDS, 2**BENDS, 2 ** (2 * PLACES)))
        before = table.copy()
        take_out(table, bend, same, made, kept, changed)
        sets = np.arange(2**BENDS)
        plain = np.where(sets & same == made & same, before[bend] & kept, before[bend])
        assert (table[bend] == plain).all()
        renewed(cost, changed, table, classes, weights, start)
        assert not changed.any()
        assert (cost == cheapest(table, classes, WAYS, PLACES, weights, start)).all()


@pytest.mark.parametrize("seed", range(30))
def test_first_and_widest_way_are_those_of_walking_every_order(seed: int) -> None:
    rng = np.random.default_rng(seed)
    table, classes, weights, start = a_table(rng)
    ways = list(every_way(table, start))
    cost = cheapest(table, classes, WAYS, PLACES, weights, start)
    first = [tuple(step) for step in first_way(table, cost, classes, weights, start).tolist()]
    if not ways:
        assert len(first) < BENDS - bin(start).count("1")
        return
    least = min(cost_of(way, classes, weights) for way in ways)
    cheap = [way for way in ways if cost_of(way, classes, weights) == least]
    assert first == cheap[0]
    begins, rows, leads = tied_ways(table, cost, classes, weights, start, 3000)
    steps = [tuple(step) for step in rows.tolist()]
    assert {step for way in cheap for step in way} == set(steps)
    gap_of = {step: float(rng.integers(0, 4)) for step in set(steps)}
    found = [steps[i] for i in widest_way(begins, leads, np.array([gap_of[step] for step in steps])).tolist()]
    for i in range(len(found)):  # step by step the one from which the rest is widest; among equals the first
        width = [min(gap_of[step] for step in way[i:]) for way in cheap]
        cheap = [way for way, wide in zip(cheap, width, strict=True) if wide == max(width)]
        cheap = [way for way in cheap if way[i] == cheap[0][i]]
    assert found == cheap[0]
    assert not len(tied_ways(table, cost, classes, weights, start, 1)[0])


@pytest.mark.parametrize("seed", range(30))
def test_furthest_is_the_largest_set_that_can_be_reached(seed: int) -> None:
    table, _, _, start = a_table(np.random.default_rng(100 + seed))
    table[:, :] *= np.random.default_rng(seed).random(table.shape) < 0.4
    reached, layer = {start}, {start}
    while layer:
        layer = {
            made | 1 << bend for made in layer for bend in range(BENDS) if not (made >> bend) & 1 and table[bend, made]
        }
        reached |= layer
    most = max(bin(made).count("1") for made in reached)
    order, made = furthest(table, start).tolist(), start
    for bend in order:
        assert table[bend, made]
        made |= 1 << bend
    assert made == min(one for one in reached if bin(one).count("1") == most)


@pytest.mark.parametrize("seed", range(20))
def test_what_is_not_measured_would_not_have_been_nearest(seed: int) -> None:
    rng = np.random.default_rng(6000 + seed)
    for _ in range(4):
        problem = a_problem(rng, most=7)
        stand = Stand(problem.piece, problem.bender, problem.mountings[0])
        bend = int(rng.integers(0, problem.piece.bends))
        made = [k for k in range(problem.piece.bends) if k != bend and rng.random() < 0.6]
        held = ENDS[int(rng.integers(0, 2))]
        whole = stand.step(bend, held, made)
        short = stand.step(bend, held, made, all_of_them=False)
        assert short.gap == pytest.approx(whole.gap, abs=0.03)
        assert (short.moving is None) == (whole.moving is None)
        if short.moving and whole.moving:
            assert short.moving.gap == pytest.approx(whole.moving.gap, abs=0.03)
        bar = [near.gap for near in whole.nears if near.body == "bar"]
        near = stand.bar_to_itself(bend, held, made, problem.required_clearance)
        if bar and abs(bar[0] - problem.required_clearance) > 0.05:
            assert (near is not None) == (bar[0] < problem.required_clearance)


@pytest.mark.parametrize("seed", range(20))
def test_a_lever_is_measured_alike_up_to_a_limit(seed: int) -> None:
    rng = np.random.default_rng(7000 + seed)
    problem = a_problem(rng)
    bender, place, depth = problem.bender, problem.mountings[0], problem.piece.depth
    for pull in (0.5, 1.6, 2.4):
        whole = {(body, part): gap for body, gap, part, _ in lever_gaps(bender, place, depth, pull)}
        for limit in (1.0, 20.0):
            near = {(body, part): gap for body, gap, part, _ in lever_gaps(bender, place, depth, pull, limit)}
            assert {key for key, gap in whole.items() if gap < limit - 0.03} <= set(near)
            for key, gap in near.items():
                assert gap == pytest.approx(whole[key], abs=0.03)


@pytest.mark.parametrize("seed", range(20))
def test_an_order_is_the_same_whatever_is_in_doubt(seed: int) -> None:
    problem = a_problem(np.random.default_rng(8000 + seed), most=6)
    whole = find_order(problem)
    doubtful = tuple(dict.fromkeys(one.bend for one in whole.blocked)) or (1,)
    short = order_if_any(problem, doubtful)
    assert (short is not None) == whole.feasible
    if short is not None:
        assert [(s.bend, s.held, s.mounting) for s in short.steps] == [
            (s.bend, s.held, s.mounting) for s in whole.steps
        ]
        assert math.isclose(short.clearance, whole.clearance)
