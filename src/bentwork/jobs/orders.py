"""The order of a piece's bends with what would give one where there is none, searched once for each problem."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.jobs.kept import Kept
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import MOST_MENDED, Order, OrderProblem, Progress
from bentwork.planning.order_remedies import Remedy, remedies_for

__all__ = ["Ordered", "order_of"]


@dataclass(frozen=True, slots=True)
class Ordered:
    """An order, and what would give one where there is none."""

    order: Order
    remedies: tuple[Remedy, ...] = ()


_orders: Kept[Ordered] = Kept(256)


def order_of(problem: OrderProblem, progress: Progress | None = None) -> Ordered:
    """Return the best order of a problem, with remedies where there is no order.

    Args:
        problem: what to bend on what.
        progress: see ``order_problem.Progress``; not called for what is known already.

    Raises:
        ValueError: see ``find_order``.
    """
    return _orders.of(problem, lambda watched: _searched(problem, watched), progress)


def _searched(problem: OrderProblem, progress: Progress) -> Ordered:
    order = find_order(problem, progress)
    mends = not order.feasible and len(problem.table.bends) <= MOST_MENDED
    return Ordered(order, remedies_for(problem, progress) if mends else ())
