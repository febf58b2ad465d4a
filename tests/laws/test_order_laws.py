"""What is true of any order: mirror images, bars read from the other end, more room, more bends made."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bentwork.planning.order import find_order
from bentwork.planning.order_problem import Order, OrderProblem
from bentwork.tooling.shop import Body, Mounting
from tests.twins.tight_problems import a_problem


def worth(order: Order) -> tuple[bool, int, int, int]:
    return order.feasible, order.reversals, order.changes, order.turns


def mirrored(problem: OrderProblem) -> OrderProblem:
    """Piece, bender and room in the mirror y = 0."""

    def flip(body: Body) -> Body:
        if body.y:
            return replace(body, y=(-body.y[1], -body.y[0]))
        assert body.start
        assert body.end
        x, y, z = body.start
        u, v, w = body.end
        return replace(body, start=(x, -y, z), end=(u, -v, w))

    def image(m: Mounting) -> Mounting:
        vise, bench = m.vise, m.bench
        return replace(
            m,
            vise=replace(vise, y=(-vise.y[1], -vise.y[0])) if vise else None,
            bench=replace(bench, y=(-bench.y[1], -bench.y[0])) if bench else None,
            bodies=tuple(flip(body) for body in m.bodies),
        )

    bender, plate = problem.bender, problem.bender.plate
    other = replace(
        bender,
        hand="right" if bender.hand == "left" else "left",
        plate=replace(plate, y=(-plate.y[1], -plate.y[0])) if plate else None,
    )
    return replace(
        problem, table=problem.table.mirrored(), bender=other, mountings=tuple(image(m) for m in problem.mountings)
    )


@pytest.mark.parametrize("seed", range(25))
def test_a_mirror_image_is_bent_in_the_same_order(seed: int) -> None:
    problem = a_problem(np.random.default_rng(2000 + seed))
    one, two = find_order(problem), find_order(mirrored(problem))
    assert worth(one) == worth(two)
    assert [(s.bend, s.held, s.mounting) for s in one.steps] == [(s.bend, s.held, s.mounting) for s in two.steps]
    assert [s.turn % 360.0 for s in one.steps] == pytest.approx([-s.turn % 360.0 for s in two.steps])
    assert [s.clearance for s in one.steps] == pytest.approx([s.clearance for s in two.steps], abs=1e-6)


@pytest.mark.parametrize("seed", range(25))
def test_a_bar_read_from_its_other_end_is_worth_the_same(seed: int) -> None:
    problem = a_problem(np.random.default_rng(3000 + seed))
    bends = len(problem.table.bends)
    turned = replace(
        problem,
        table=problem.table.reversed(),
        pulls=problem.pulls[::-1],
        made=frozenset(bends + 1 - number for number in problem.made),
        weights=(0.0,) * bends,
    )
    one, two = find_order(replace(problem, weights=(0.0,) * bends)), find_order(turned)
    assert worth(one) == worth(two)
    if one.feasible:
        assert one.clearance == pytest.approx(two.clearance, abs=0.05)


@pytest.mark.parametrize("seed", range(15))
def test_more_room_never_hurts(seed: int) -> None:
    problem = a_problem(np.random.default_rng(4000 + seed))
    tight = find_order(problem)
    free = find_order(replace(problem, mountings=(), required_clearance=0.0))
    if tight.feasible:
        assert free.feasible
        assert (free.reversals, free.turns) <= (tight.reversals, max(tight.turns, free.turns))


@pytest.mark.parametrize("seed", range(15))
def test_what_is_left_of_an_order_is_an_order(seed: int) -> None:
    problem = a_problem(np.random.default_rng(5000 + seed))
    order = find_order(problem)
    if len(order.steps) > 1:
        rest = find_order(replace(problem, made=problem.made | {order.steps[0].bend}))
        assert rest.feasible
        assert rest.reversals <= order.reversals
