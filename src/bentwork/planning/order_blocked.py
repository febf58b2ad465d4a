"""When there is no order: how far one gets, and what is in the way of the bends that stay."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bentwork.clearance.step import Stand
from bentwork.clearance.workpiece import End
from bentwork.planning.order_furthest import furthest
from bentwork.planning.order_itself import BarItself
from bentwork.planning.order_needs import lacking
from bentwork.planning.order_problem import Blocked, OrderProblem
from bentwork.planning.order_tables import Tables

__all__ = ["blocked_ways"]

_ENDS: tuple[End, End] = ("A", "B")
_HELD = (0x5555, 0xAAAA)  # bits of a mask with that end held
_ROUNDS = 400
"""So often the bar is looked at on the way to the furthest set alone; then for every set at once."""

_BAR_AT_ONCE = 14  # bends; a longer bar is then not held against itself to tell how far one gets


def blocked_ways(
    problem: OrderProblem, tables: Tables, stands: Sequence[Stand], start: int
) -> tuple[tuple[int, ...], tuple[Blocked, ...]]:
    """Return the bends that can be made, as many as possible, and for every other bend what blocks it in each way.

    Of the sets of bends that can be reached with the most bends made, the first is taken; a bend that stays is tried
    there with either end held on every mounting, and what is hit deepest is told.
    """
    made = frozenset(_reached(tables, BarItself(tables.piece, problem.bender, tables.clearance), start))
    blocked = [
        _why(problem, stand, bend, held, made)
        for bend in range(tables.piece.bends)
        if bend not in made
        for held in _ENDS
        for stand in stands
    ]
    return tuple(sorted(k + 1 for k in made)), tuple(blocked)


def _reached(tables: Tables, itself: BarItself, start: int) -> list[int]:
    """The set with most bends made that can be reached; of several the smallest number.

    The bar against itself is looked at only on the way there; where it hits, that is struck out, and so on.
    """
    clear: set[tuple[int, int, End]] = set()  # steps in which it doesn't hit
    for round_ in range(_ROUNDS + 1):
        if round_ == _ROUNDS and tables.piece.bends <= _BAR_AT_ONCE:
            tables.fill_all(None, with_bar=True)
        order = furthest(tables.table, start)
        made, hits = start, False
        for bend in order if round_ < _ROUNDS else ():
            for number, end in enumerate(_ENDS):
                if int(tables.table[bend, made]) & _HELD[number]:
                    if (bend, made, end) in clear:
                        break  # one end will do
                    found = itself.hits(bend, made, end)
                    if not found:
                        clear.add((bend, made, end))
                        break
                    for hit in found:
                        tables.rule_out(bend, made, *hit)
            hits = hits or tables.table[bend, made] == 0
            made |= 1 << bend
        if not hits:
            break
    return [k for k in range(tables.piece.bends) if (start >> k) & 1] + order


def _why(problem: OrderProblem, stand: Stand, bend: int, held: End, made: frozenset[int]) -> Blocked:
    name = stand.mounting.name if stand.mounting else None
    lacks, body = lacking(problem.bender, stand.piece, bend, held, made)
    near = stand.step(bend, held, made, all_of_them=False, moving=False).nearest
    depth = problem.required_clearance - near.gap if near else -math.inf
    if lacks > 1e-9 and lacks >= depth:
        return Blocked(bend + 1, held, name, body, lacks)
    return Blocked(bend + 1, held, name, near.body if near else "", max(0.0, depth), near)
