"""Compiles the kernels of the order search once, so that nobody waits for it.

Run as ``python -m bentwork.planning.order_warm_up`` where the program is installed.
"""

from __future__ import annotations

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import Order, OrderProblem
from bentwork.stock.section import Round
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook
from bentwork.tooling.shop import Bench, Mounting

__all__ = ["warm_up"]


def warm_up() -> tuple[Order, Order]:
    """Plan a piece that has an order and one that has none: between them they run every kernel."""
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
    return find_order(free), find_order(barred)


if __name__ == "__main__":
    warm_up()
