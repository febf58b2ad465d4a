"""Compiles the kernels of the order search once, so that nobody waits for it.

Run as ``python -m bentwork.planning.order_warm_up`` where the program is installed.
"""

from __future__ import annotations

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_path import cheapest
from bentwork.planning.order_problem import Order, OrderProblem
from bentwork.planning.order_tables import Tables
from bentwork.planning.order_ways import first_way
from bentwork.stock.section import Round
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook
from bentwork.tooling.shop import Bench, Mounting

__all__ = ["warm_up", "warm_up_rare"]


def _problems() -> tuple[OrderProblem, OrderProblem]:
    bender = Bender(
        "lever",
        "wrap",
        36.0,
        die=Die(24.0, 6.0),
        hook=Hook(12.0, 30.0, 16.0, 30.0),
        follower=Follower("roller", 24.0, 22.0, radius=18.0),
        arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
    )
    table = BendTable((90.0, 60.0, 60.0, 90.0), (Bend(36.0, 90.0), Bend(36.0, 90.0), Bend(36.0, 120.0, 90.0)))
    pulls = (92.0, 92.0, 122.0)
    bench = Mounting("bench", "lever", bench=Bench((-700.0, 700.0), (-700.0, 700.0), -60.0, 40.0))
    free = OrderProblem(table, pulls, Round(12.0), bender)
    barred = OrderProblem(table, pulls, Round(12.0), bender, (bench,), required_clearance=60.0)
    return free, barred


def warm_up() -> tuple[Order, Order]:
    """Plan a piece that has an order and one that has none: between them they run what every piece needs."""
    free, barred = _problems()
    return find_order(free), find_order(barred)


def warm_up_rare() -> int:
    """Run what only pieces need that hit themselves in many orders; return how many steps the first order has then."""
    asked = _problems()[0]
    tables = Tables(asked.piece, asked.bender, asked.places, 0.0, 0)
    tables.fill_all(None, with_bar=True)
    tables.rule_out(0, 0, "A", 1, 0)
    classes, weights = np.zeros(tables.piece.bends, dtype=np.int64), np.array(asked.whole_weights, dtype=np.int64)
    return len(first_way(tables.table, cheapest(tables.table, classes, 1, weights, 0), classes, weights, 0))


if __name__ == "__main__":
    warm_up()
    warm_up_rare()
