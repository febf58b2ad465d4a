"""When there is no order: how far one gets, and what is in the way of the bends that stay."""

from __future__ import annotations

import math

from bentwork.clearance.step import step_clearance
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.planning.order_needs import lacking
from bentwork.planning.order_problem import Blocked, OrderProblem
from bentwork.planning.order_tables import Tables
from bentwork.tooling.shop import Mounting

__all__ = ["blocked_ways"]

_ENDS: tuple[End, End] = ("A", "B")


def blocked_ways(problem: OrderProblem, tables: Tables, start: int) -> tuple[tuple[int, ...], tuple[Blocked, ...]]:
    """Return the bends that can be made, as many as possible, and for every other bend what blocks it in each way.

    Of the sets of bends that can be reached with the most bends made, the first is taken; a bend that stays is tried
    there with either end held on every mounting, and what is hit deepest is told.
    """
    reached = _reached(tables, start)
    made = frozenset(k for k in range(tables.piece.bends) if (reached >> k) & 1)
    blocked = []
    for bend in range(tables.piece.bends):
        if bend in made:
            continue
        for held in _ENDS:
            for mounting in tables.mountings:
                blocked.append(_why(problem, tables.piece, bend, held, mounting, made))
    return tuple(sorted(k + 1 for k in made)), tuple(blocked)


def _reached(tables: Tables, start: int) -> int:
    """The set with most bends made that can be reached; of several the smallest number."""
    layer, best = {start}, start
    while layer:
        best = min(layer)
        after = set()
        for made in layer:
            for bend in range(tables.piece.bends):
                if not (made >> bend) & 1 and tables.table[bend, made]:
                    after.add(made | 1 << bend)
        layer = after
    return best


def _why(
    problem: OrderProblem, piece: Workpiece, bend: int, held: End, mounting: Mounting | None, made: frozenset[int]
) -> Blocked:
    name = mounting.name if mounting else None
    lacks, body = lacking(problem.bender, piece, bend, held, made)
    near = step_clearance(piece, problem.bender, mounting, bend, held, made, all_of_them=False).nearest
    depth = problem.required_clearance - near.gap if near else -math.inf
    if lacks > 1e-9 and lacks >= depth:
        return Blocked(bend + 1, held, name, body, lacks)
    return Blocked(bend + 1, held, name, near.body if near else "", max(0.0, depth), near)
