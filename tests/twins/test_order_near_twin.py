"""What the order search leaves out of a look, against looking at everything: long pieces, many rooms, step by step."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bentwork.clearance.step import Stand
from bentwork.clearance.workpiece import End
from bentwork.planning.order_needs import lacking
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_tables import Tables
from bentwork.stock.section import Round
from tests.twins.tight_problems import DIAMETER, OVERBEND, a_bender, a_mounting, a_piece

BENDS, ROOMS, LOOKS, CLEARANCE = 9, 4, 60, 1.0
ENDS: tuple[End, End] = ("A", "B")


@pytest.mark.parametrize("seed", range(24))
def test_no_body_is_left_out_that_the_bar_comes_near(seed: int) -> None:
    rng = np.random.default_rng([11_000, seed])
    bender = replace(a_bender(rng), arm=None)  # a lever that hits the vise itself would leave nothing to compare
    table = a_piece(rng, BENDS, bender.radius, bender.kind)
    places = tuple(a_mounting(rng, f"room {number}") for number in range(ROOMS))
    pulls = tuple(OVERBEND * bend.angle for bend in table.bends)
    problem = OrderProblem(table, pulls, Round(DIAMETER), bender, places, required_clearance=CLEARANCE)
    tables = Tables(problem.piece, bender, places, CLEARANCE, 0)
    tables.fill_all(None, with_bar=False)
    stands = [Stand(problem.piece, bender, place) for place in places]
    clear = 0
    for _ in range(LOOKS):
        bend = int(rng.integers(0, BENDS))
        share = float(rng.choice([0.05, 0.2, 0.5]))  # where hardly anything is bent yet, most is clear
        made = frozenset(k for k in range(BENDS) if k != bend and rng.random() < share)
        mask = int(tables.table[bend, sum(1 << k for k in made)])
        for number, end in enumerate(ENDS):
            lacks = lacking(bender, problem.piece, bend, end, made)[0] > 1e-9
            for place, stand in enumerate(stands):
                gap = min((near.gap for near in stand.step(bend, end, made).nears if near.body != "bar"), default=9.0)
                if abs(gap - CLEARANCE) < 0.05:  # mm; nearer than that either answer may be given
                    continue
                wanted = gap > CLEARANCE and not lacks
                assert (mask >> (2 * place + number)) & 1 == wanted, (bend, end, place, sorted(made), gap)
                clear += wanted
    assert clear  # not all of it is barred
