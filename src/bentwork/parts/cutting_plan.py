"""From lengths wanted to a plan of cuts: the cheapest bars, and of plans of one cost the one with the longest rest."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from bentwork.parts.cutting import BarCut, BarOnSale, CuttingPlan, Length, Offcut, Saw, usable
from bentwork.parts.cutting_best import Best, best_cutting
from bentwork.parts.cutting_problem import Kinds, Problem
from bentwork.parts.cutting_rest import longest_rest

__all__ = ["GRID", "cut_plan"]

GRID = 0.1
"""Lengths are counted in steps of this, mm: pieces upwards, bars downwards. Nobody saws finer."""

_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class _Kind:
    length: float
    price: float | None
    offcut: bool


def cut_plan(
    lengths: Sequence[Length], bars: Sequence[BarOnSale], offcuts: Sequence[Offcut] = (), saw: Saw | None = None
) -> CuttingPlan | None:
    """Return the cheapest plan; None when there is no bar on sale and the offcuts do not hold everything.

    Where every bar on sale has a price, what is bought costs as little as can be; where one has none,
    as little length as can be is bought. Lengths that no bar is long enough for are left out and told.

    Args:
        lengths: wanted.
        bars: on sale.
        offcuts: in the workshop, free.
        saw: what it takes.
    """
    saw = saw or Saw()
    fit = [length for length in lengths if usable(length.length, [*bars, *offcuts], saw)]
    too_long = tuple(length for length in lengths if length not in fit)
    if too_long and not bars:
        return None
    by_price = bool(bars) and all(bar.price is not None for bar in bars)
    if not fit:
        return CuttingPlan((), 0.0, 0.0, by_price, True, too_long)
    kinds = [_Kind(bar.length, bar.price, False) for bar in _worth_having(bars, by_price=by_price)]
    kinds += [_Kind(offcut.length, 0.0, True) for offcut in offcuts]
    limits = [sum(length.count for length in fit)] * (len(kinds) - len(offcuts)) + [o.count for o in offcuts]
    if not any(usable(min(length.length for length in fit), [Offcut(kind.length)], saw) for kind in kinds):
        return None
    costs, unit = _whole_costs(kinds, by_price=by_price)
    problem, grid = _in_whole_numbers(fit, kinds, costs, limits, saw)
    best = best_cutting(problem)
    if best is None:
        # Only offcuts are long enough for some, and not for all of them at once.
        short = [length for length in lengths if usable(length.length, bars, saw)]
        planned = cut_plan(short, bars, offcuts, saw) if len(short) < len(fit) else None
        return planned and replace(planned, too_long=tuple(length for length in lengths if length not in short))
    best, proven = longest_rest(problem, best, math.floor(saw.kerf / grid + 1e-6))
    return CuttingPlan(
        _bars(best, problem, fit, kinds, saw, grid),
        float(best.cost * unit),
        float(problem.next_cost(best.bound) * unit) if best.bound < best.cost else float(best.cost * unit),
        by_price,
        proven,
        too_long,
    )


def _worth_having(bars: Sequence[BarOnSale], *, by_price: bool) -> list[BarOnSale]:
    """Leave out a bar that is no longer than another and no cheaper."""
    kept: list[BarOnSale] = []
    for bar in sorted(set(bars), key=lambda bar: (-bar.length, bar.price or 0.0)):
        cheaper = not by_price or all((bar.price or 0.0) < (other.price or 0.0) for other in kept)
        if cheaper and all(bar.length != other.length for other in kept):
            kept.append(bar)
    return kept


def _whole_costs(kinds: Sequence[_Kind], *, by_price: bool) -> tuple[list[int], Fraction]:
    """Return the cost of every kind in whole units, and the unit."""
    exact = []
    for kind in kinds:
        value = 0.0 if kind.offcut else (kind.price or 0.0) if by_price else kind.length
        exact.append(Fraction(round(value, _DECIMALS)).limit_denominator(10**_DECIMALS))
    unit = Fraction(1, math.lcm(*(value.denominator for value in exact)))
    return [int(value / unit) for value in exact], unit


def _in_whole_numbers(
    lengths: Sequence[Length], kinds: Sequence[_Kind], costs: Sequence[int], limits: Sequence[int], saw: Saw
) -> tuple[Problem, float]:
    """Return the problem, and the length that its widths and rooms are counted in, mm.

    A bar of room L + kerf holds widths of length + kerf: the last piece may end with the bar.
    """
    widths = [_upwards(length.length + saw.kerf) for length in lengths]
    rooms = [math.floor((kind.length - saw.ends + saw.kerf) / GRID + 1e-6) for kind in kinds]
    common = math.gcd(*widths)
    demand = Counter[int]()
    for width, length in zip(widths, lengths, strict=True):
        demand[width // common] += length.count
    order = sorted(demand, reverse=True)
    return (
        Problem(
            np.array(order, dtype=np.int64),
            np.array([demand[width] for width in order], dtype=np.int64),
            Kinds(
                np.array([max(0, room // common) for room in rooms], dtype=np.int64),
                np.array(costs, dtype=np.int64),
                np.array(limits, dtype=np.int64),
                np.array([not kind.offcut for kind in kinds]),
            ),
        ),
        GRID * common,
    )


def _upwards(length: float) -> int:
    return math.ceil(length / GRID - 1e-6)


def _bars(
    best: Best, problem: Problem, lengths: Sequence[Length], kinds: Sequence[_Kind], saw: Saw, grid: float
) -> tuple[BarCut, ...]:
    """Give every cut its name, in the order in which the lengths were given, and gather bars that are cut alike."""
    waiting: dict[int, Iterator[tuple[str, float]]] = {}
    common = round(grid / GRID)
    for width in problem.widths:
        mine = [one for one in lengths if _upwards(one.length + saw.kerf) // common == width]
        waiting[int(width)] = iter([(one.name, one.length) for one in mine for _ in range(one.count)])
    made: Counter[BarCut] = Counter()
    # What is bought first, the longest; then the offcuts: the first names go where most is cut alike.
    for kind, pattern in sorted(
        best.cuts, key=lambda cut: (kinds[cut[0]].offcut, -kinds[cut[0]].length, [-c for c in cut[1]])
    ):
        of = kinds[kind]
        cuts = tuple(next(waiting[int(w)]) for w, n in zip(problem.widths, pattern, strict=True) for _ in range(n))
        cuts = tuple(sorted(cuts, key=lambda cut: (-cut[1], cut[0])))
        made[BarCut(of.length, of.price, of.offcut, cuts, 1, saw)] += 1
    bars = [replace(bar, times=times) for bar, times in made.items()]
    return tuple(sorted(bars, key=lambda bar: (not bar.offcut, -bar.length, bar.rest)))
