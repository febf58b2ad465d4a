"""The ways through the sets of bends against walking every order, and short cuts in measuring against measuring all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.step import Stand
from bentwork.clearance.workpiece import End
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order, order_if_any
from bentwork.planning.order_furthest import furthest
from bentwork.planning.order_itself import BarItself
from bentwork.planning.order_needs import lacking
from bentwork.planning.order_path import MOUNTINGS, REVERSALS, TURNS, cheapest, renewed, take_out
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_ways import first_way, tied_ways, way_renewed, widest_way
from bentwork.stock.section import Round
from bentwork.tooling.bender import Needs
from bentwork.tooling.shop import Vise
from tests.twins.tight_problems import a_bender, a_mounting, a_problem

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
    cost = cheapest(table, classes, PLACES, weights, start)
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
        assert (cost == cheapest(table, classes, PLACES, weights, start)).all()


@pytest.mark.parametrize("most", [0, 3, 10**6])
@pytest.mark.parametrize("seed", range(40))
def test_the_first_way_is_the_same_where_costs_are_raised_only_along_it(seed: int, most: int) -> None:
    rng = np.random.default_rng([400, seed])
    table, classes, weights, start = a_table(rng)
    asked = classes, weights, start
    cost = cheapest(table, classes, PLACES, weights, start)
    changed = np.zeros(2**BENDS, dtype=np.bool_)
    for _ in range(8):
        bend, same, made, kept = (int(rng.integers(0, most)) for most in (BENDS, 2**BENDS, 2**BENDS, 2 ** (2 * PLACES)))
        take_out(table, bend, same, made, kept, changed)
        exact = cheapest(table, classes, PLACES, weights, start)
        assert (cost <= exact).all()
        rows, enough = way_renewed(table, cost, *asked, changed, most)
        assert enough or most < 10**6
        if enough:
            assert rows.tolist() == first_way(table, exact, *asked).tolist()
        else:
            renewed(cost, changed, table, *asked)
            assert (cost == exact).all()
    renewed(cost, changed, table, *asked)
    assert (cost == exact).all()


@pytest.mark.parametrize("seed", range(30))
def test_first_and_widest_way_are_those_of_walking_every_order(seed: int) -> None:
    rng = np.random.default_rng(seed)
    table, classes, weights, start = a_table(rng)
    ways = list(every_way(table, start))
    cost = cheapest(table, classes, PLACES, weights, start)
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


@pytest.mark.parametrize("bends", [1, 3, 4, 6, 7, 9])
@pytest.mark.parametrize("seed", range(12))
def test_furthest_is_the_largest_set_that_can_be_reached(seed: int, bends: int) -> None:
    rng = np.random.default_rng([100, seed, bends])
    table = rng.integers(0, 2 ** (2 * PLACES), (bends, 2**bends)).astype(np.uint16)
    table[:, :] *= rng.random(table.shape) < rng.uniform(0.1, 0.6)
    start = int(rng.integers(0, 2**bends)) * int(rng.integers(0, 2))
    reached, layer = {start}, {start}
    while layer:
        layer = {
            made | 1 << bend for made in layer for bend in range(bends) if not (made >> bend) & 1 and table[bend, made]
        }
        reached |= layer
    most = max(bin(made).count("1") for made in reached)
    order, made = furthest(table, start), start
    for bend in order:
        assert table[bend, made]
        assert not (made >> bend) & 1
        made |= 1 << bend
    assert made == min(one for one in reached if bin(one).count("1") == most)


def every_order(problem: OrderProblem) -> Iterator[tuple[tuple[int, ...], float]]:
    """Every order on every mounting that keeps the clearance: its cost, and its smallest gap; every step measured."""
    stands = [Stand(problem.piece, problem.bender, place) for place in problem.places]
    turns = [round(direction, 3) % 360.0 for direction in problem.table.directions]
    weights = problem.whole_weights
    gaps: dict[tuple[frozenset[int], int, End, int], float] = {}

    def after(
        made: tuple[int, ...], last: tuple[End, int] | None, cost: tuple[int, ...], least: float
    ) -> Iterator[tuple[tuple[int, ...], float]]:
        if len(made) == problem.piece.bends:
            yield cost, least
        for bend in set(range(problem.piece.bends)) - set(made):
            for end in ENDS:
                if lacking(problem.bender, problem.piece, bend, end, frozenset(made))[0] > 1e-9:
                    continue
                for place, stand in enumerate(stands):
                    key = (frozenset(made), bend, end, place)
                    if key not in gaps:
                        gaps[key] = stand.step(bend, end, made).gap
                    if gaps[key] < problem.required_clearance:
                        continue
                    more = (
                        (last is not None and end != last[0]),
                        (last is not None and place != last[1]),
                        bool(made) and turns[bend] != turns[made[-1]],
                        weights[bend] * len(made),
                    )
                    added = tuple(a + int(b) for a, b in zip(cost, more, strict=True))
                    yield from after((*made, bend), (end, place), added, min(least, gaps[key]))

    yield from after((), None, (0, 0, 0, 0), math.inf)


@pytest.mark.parametrize("seed", range(24))
def test_of_equal_orders_on_many_mountings_the_widest_is_found(seed: int) -> None:
    rng = np.random.default_rng(9000 + seed)
    bends = int(rng.integers(2, 4))
    bender = replace(a_bender(rng), plate=None, hook=None, arm=None, needs=Needs())
    turns = (0.0, 0.0, 180.0) if seed % 2 else (0.0, 90.0, 180.0)
    table = BendTable(
        tuple(float(rng.uniform(120.0, 160.0)) for _ in range(bends + 1)),
        tuple(Bend(bender.radius, 45.0, float(rng.choice(turns)) if i else 0.0) for i in range(bends)),
    )
    vises = [Vise((-75.0, 75.0), (-60.0, 140.0), -float(rng.uniform(30.0, 90.0)), -150.0) for _ in range(4)]
    places = tuple(replace(a_mounting(rng, f"m{i}"), vise=vise) for i, vise in enumerate(vises))
    problem = OrderProblem(table, (46.0,) * bends, Round(10.0), bender, places, required_clearance=0.5)
    found, known = find_order(problem), list(every_order(problem))
    assert found.feasible == bool(known)
    if known:
        least = min(cost for cost, _ in known)
        widest = max(gap for cost, gap in known if cost == least)
        assert found.clearance == pytest.approx(widest, abs=0.05)


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
        itself = BarItself(problem.piece, problem.bender, problem.required_clearance)
        hits = itself.hits(bend, sum(1 << k for k in made), held)
        if bar and abs(bar[0] - problem.required_clearance) > 0.05:
            assert bool(hits) == (bar[0] < problem.required_clearance)


@pytest.mark.parametrize("seed", range(8))
def test_a_bar_hits_itself_whatever_is_bent_beyond_the_places_that_meet(seed: int) -> None:
    rng = np.random.default_rng(6500 + seed)
    seen = both = 0
    while seen < 12:
        bender, bends = a_bender(rng), int(rng.integers(5, 9))
        turns = (0.0, 180.0, 10.0) if seed % 2 else (0.0, 90.0, 15.0)
        table = BendTable(
            tuple(float(rng.uniform(40.0, 120.0)) for _ in range(bends + 1)),
            tuple(
                Bend(bender.radius, float(rng.choice([60, 90, 120])), float(rng.choice(turns)) if i else 0.0)
                for i in range(bends)
            ),
        )
        piece = OrderProblem(table, (122.0,) * bends, Round(12.0), bender, required_clearance=3.0).piece
        stand, itself = Stand(piece, bender, None), BarItself(piece, bender, 3.0)
        bend = int(rng.integers(0, bends))
        made = {k for k in range(bends) if k != bend and rng.random() < 0.8}
        hits = itself.hits(bend, sum(1 << k for k in made), ENDS[int(rng.integers(0, 2))])
        both += len(hits) == 2
        for held, free_side, held_side in hits:
            back, ahead = (held_side, free_side) if held == "A" else (free_side, held_side)
            between = set(range(bend - back, bend + ahead + 1))
            other = {k for k in range(bends) if k not in between and rng.random() < 0.5} | (made & between)
            bar = [near.gap for near in stand.step(bend, held, other).nears if near.body == "bar"]
            assert bar and bar[0] < 3.0 + 0.05, (table, bend, held, sorted(made), sorted(other))
            seen += 1
    assert both


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
