"""The cheapest way to cut: mixes of bars in the order of their cost, until one holds everything.

The first mix that everything goes into is the cheapest, if it is known of all before it that they hold too little.
Whether a mix holds everything is searched through (``cutting_search``); where that takes too long, the mix is held
against the linear program, and patterns of its solution are taken until the rest can be searched through.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import islice

import numpy as np

from bentwork.parts.cutting_mixes import Mix, cheapest_first, mixes
from bentwork.parts.cutting_problem import Ints, Problem
from bentwork.parts.cutting_relaxed import Columns, relax
from bentwork.parts.cutting_search import FOUND, NONE, UNKNOWN, fill_bars, reachable

__all__ = ["Best", "Cut", "best_cutting", "packed"]

Cut = tuple[int, Ints]
"""A kind of bar and what is cut from one."""

_QUICK = 100_000  # places looked at for one mix at first
_LONG = 6_000_000  # and in the end
_TAIL = 6  # bars that are searched through when patterns have been taken for the rest
_DIVES = 3
_MANY = 300  # mixes that are gone through without the linear program
_MOST_MIXES = 1_500  # that are looked at
_MOST_PROGRAMS = 1_500  # of them that are asked of the linear program, times widths: one takes so much longer
_PROBES = (0.001, 0.003, 0.006, 0.01, 0.015, 0.02, 0.03, 0.05)  # above the bound
_MOST_PROBED = 25
_MANY_LONG = 6  # mixes that are searched through at length


@dataclass(frozen=True, eq=False)
class Best:
    """The cheapest cutting that was found.

    Args:
        mix: bars.
        cuts: of every bar, kinds in order; bars from which nothing is cut are left out.
        cost: of the mix.
        bound: no cutting costs less.
    """

    mix: Mix
    cuts: tuple[Cut, ...]
    cost: int
    bound: float


@dataclass(eq=False)
class _Work:
    """What is worked out once for a problem."""

    problem: Problem
    full: Ints
    columns: Columns = field(init=False)

    def __post_init__(self) -> None:
        self.columns = Columns(len(self.problem.widths))
        kinds, widths = self.problem.kinds, self.problem.widths
        for kind in range(len(kinds)):
            for item in np.flatnonzero(self.problem.demand):
                count = min(int(kinds.room[kind] // widths[item]), int(self.problem.demand[item]))
                if count:
                    pattern = np.zeros(len(widths), dtype=np.int64)
                    pattern[item] = count
                    self.columns.add(pattern, kind)

    @property
    def holds(self) -> Ints:
        found: Ints = self.full[0, self.problem.kinds.room]
        return found


def best_cutting(problem: Problem) -> Best | None:
    """Return the cheapest cutting; None when the bars cannot hold everything.

    Args:
        problem: every width goes into a bar.
    """
    work = _Work(problem, reachable(problem.widths, problem.demand, int(problem.kinds.room.max())))
    best = _start(work)
    if best is None:
        return None
    low = 0.0
    few = mixes(problem, work.holds, low, best.cost)
    if few is None or len(few) > _MANY:
        low = _relaxed_cost(work)
        best = _probed(work, best, low)
    unknown: list[tuple[int, Mix]] = []
    programs = 0
    looked_up_to = best.cost
    for number, (cost, mix) in enumerate(cheapest_first(problem, work.holds, low, best.cost)):
        if cost < low - 1e-6:
            continue
        if mix is None or number >= _MOST_MIXES:  # so many more that the search ends here
            looked_up_to = cost
            break
        answer, cuts = packed(problem, mix, work.full, _QUICK)
        if answer == UNKNOWN:
            if not low:
                low = _relaxed_cost(work)
                unknown = [one for one in unknown if one[0] >= low - 1e-6]
            if cost >= low - 1e-6 and programs * len(problem.widths) < _MOST_PROGRAMS:
                programs += 1
                answer, cuts = _by_program(work, mix)
        if answer == FOUND:
            best = Best(mix, cuts, cost, 0.0)
            looked_up_to = cost
            break
        if answer == UNKNOWN and cost >= low - 1e-6:
            unknown.append((cost, mix))
    left = [looked_up_to]
    for number, (cost, mix) in enumerate(unknown):
        answer, cuts = packed(problem, mix, work.full, _LONG) if number < _MANY_LONG else (UNKNOWN, ())
        if answer == FOUND:
            best = Best(mix, cuts, cost, 0.0)
            break
        if answer == UNKNOWN:
            left.append(cost)
    bound = float(min(best.cost, *left))
    if bound < best.cost:
        rounded = _rounded(work)
        best = rounded if rounded is not None and rounded.cost < best.cost else best
    return replace(best, bound=min(bound, float(best.cost)))


def _rounded(work: _Work) -> Best | None:
    """Cut what the linear program cuts by whole patterns, and the rest the best way; None where it cuts none whole."""
    relaxed = relax(work.problem, work.columns)
    if relaxed is None:
        return None
    rest, cuts, matrix = work.problem, list[Cut](), work.columns.matrix
    for column in np.argsort(-relaxed.use, kind="stable"):
        kind = work.columns.kinds[int(column)]
        for _ in range(int(relaxed.use[column] + 1e-6)):
            pattern = np.minimum(matrix[:, column], rest.demand)
            if pattern.any() and rest.kinds.limit[kind] > 0:
                cuts.append((kind, pattern))
                rest = rest.less(pattern, kind)
    last = best_cutting(rest) if cuts and rest.demand.any() else None
    if last is None:
        return None
    cuts += last.cuts
    kinds = work.problem.kinds
    used = np.bincount([kind for kind, _ in cuts], minlength=len(kinds))
    mix = np.where(kinds.free, used, kinds.limit)
    return Best(tuple(int(n) for n in mix), tuple(cuts), int(kinds.cost @ np.where(kinds.free, used, 0)), 0.0)


def _probed(work: _Work, best: Best, low: float) -> Best:
    """Look for a better cutting a little above the bound, where most mixes hold everything."""
    for share in _PROBES:
        cost = low * (1.0 + share)
        if cost >= best.cost:
            break
        asked = cheapest_first(work.problem, work.holds, cost, best.cost)
        for dear, mix in islice(asked, _MOST_PROBED):
            if mix is None:
                break
            answer, cuts = packed(work.problem, mix, work.full, _QUICK)
            if answer == FOUND:
                return Best(mix, cuts, dear, 0.0)
    return best


def _relaxed_cost(work: _Work) -> float:
    relaxed = relax(work.problem, work.columns)
    return relaxed.bound if relaxed is not None else 0.0


def packed(problem: Problem, mix: Mix, full: Ints, nodes: int) -> tuple[int, tuple[Cut, ...]]:
    """Search whether a mix holds the demand; returns what is known of it, and the cuts of its bars.

    Args:
        problem: what is wanted, and the kinds.
        mix: how many bars of every kind.
        full: from ``reachable``, for at least this demand.
        nodes: places looked at at most.
    """
    kinds = np.repeat(np.arange(len(mix)), mix)
    kinds = kinds[full[0, problem.kinds.room[kinds]] > 0]
    if not len(kinds):
        return (NONE if problem.demand.any() else FOUND), ()
    kinds = kinds[np.argsort(problem.kinds.room[kinds], kind="stable")]
    taken = np.zeros((len(kinds), len(problem.widths)), dtype=np.int64)
    answer, _ = fill_bars(problem.widths, problem.demand, problem.kinds.room[kinds], full, nodes, taken)
    if answer != FOUND:
        return answer, ()
    return FOUND, tuple((int(kind), row) for kind, row in zip(kinds, taken, strict=True) if row.any())


def _by_program(work: _Work, mix: Mix) -> tuple[int, tuple[Cut, ...]]:
    """Ask the linear program whether a mix may hold everything, and take patterns of its solution until it does."""
    kinds = work.problem.kinds
    limit = np.array(mix, dtype=np.int64)
    given = replace(
        work.problem,
        kinds=replace(kinds, cost=np.zeros_like(kinds.cost), limit=limit, free=np.zeros(len(kinds), dtype=bool)),
    )
    if relax(given, work.columns) is None:
        return NONE, ()
    banned: set[int] = set()
    for _ in range(_DIVES):
        cuts = _dive(work, given, banned)
        if cuts is not None:
            return FOUND, cuts
    return UNKNOWN, ()


def _dive(work: _Work, problem: Problem, banned: set[int]) -> tuple[Cut, ...] | None:
    """Take the patterns that the linear program uses most, one after the other; the last bars are searched through."""
    cuts: list[Cut] = []
    while problem.demand.any():
        if int(problem.kinds.limit.sum()) <= _TAIL:
            answer, rest = packed(problem, tuple(int(n) for n in problem.kinds.limit), work.full, _QUICK)
            return (*cuts, *rest) if answer == FOUND else None
        relaxed = relax(problem, work.columns)
        if relaxed is None:
            return None
        matrix, use = work.columns.matrix, relaxed.use
        order = [int(k) for k in np.lexsort((np.arange(len(use)), -np.round(use, 6))) if use[k] > 1e-6]
        first = next((column for column in order if column not in banned), order[0])
        if not cuts:
            banned.add(first)
        before = len(cuts)
        for column in [first, *(column for column in order if use[column] >= 1.0 - 1e-6)]:
            kind = work.columns.kinds[column]
            for _ in range(max(1, int(use[column] + 1e-6))):
                pattern = np.minimum(matrix[:, column], problem.demand)
                enough = int(problem.kinds.limit.sum()) > _TAIL
                fits = problem.kinds.limit[kind] > 0 and (pattern == matrix[:, column]).all()
                if enough and (fits or len(cuts) == before) and pattern.any() and problem.kinds.limit[kind] > 0:
                    cuts.append((kind, pattern))
                    problem = problem.less(pattern, kind)
        if len(cuts) == before:
            return None
    return tuple(cuts)


def _start(work: _Work) -> Best | None:
    """Return a first cutting: offcuts, then bars of one kind, each filled as full as can be; the cheapest of these."""
    problem, kinds = work.problem, work.problem.kinds
    found = []
    for kind in np.flatnonzero(kinds.free):
        cuts, demand = [], problem.demand.copy()
        bars = [int(k) for k in np.repeat(np.arange(len(kinds)), np.where(kinds.free, 0, kinds.limit))]
        bars.sort(key=lambda k: int(kinds.room[k]))
        while demand.any():
            which = bars.pop(0) if bars else int(kind)
            pattern = _first_fit(problem.widths, demand, int(kinds.room[which]))
            if pattern.any():
                cuts.append((which, pattern))
                demand = demand - pattern
            elif which == kind:
                break  # the longest are only to be had from another kind
        if not demand.any():
            mix = np.bincount([k for k, _ in cuts], minlength=len(kinds))
            mix = np.where(kinds.free, mix, kinds.limit)
            cost = int(kinds.cost @ np.where(kinds.free, mix, 0))
            found.append(Best(tuple(int(n) for n in mix), tuple(cuts), cost, 0.0))
    return min(found, key=lambda best: (best.cost, len(best.cuts)), default=None) or _any_cutting(work)


def _any_cutting(work: _Work) -> Best | None:
    """Search a cutting where filling bars one by one led to none: with bars of the largest kind for everything."""
    problem, kinds = work.problem, work.problem.kinds
    mix = np.where(kinds.free, 0, kinds.limit)
    if kinds.free.any():
        largest = max(np.flatnonzero(kinds.free), key=lambda kind: (kinds.room[kind], -kinds.cost[kind]))
        mix[largest] = problem.demand.sum()
    asked = tuple(int(count) for count in mix)
    answer, cuts = packed(problem, asked, work.full, _LONG)
    if answer != FOUND:
        return None
    used = np.bincount([kind for kind, _ in cuts], minlength=len(kinds))
    mix = np.where(kinds.free, used, kinds.limit)
    return Best(tuple(int(count) for count in mix), cuts, int(kinds.cost @ np.where(kinds.free, used, 0)), 0.0)


def _first_fit(widths: Ints, demand: Ints, room: int) -> Ints:
    """Fill one bar, the widest first."""
    pattern = np.zeros(len(widths), dtype=np.int64)
    for item, width in enumerate(widths):
        pattern[item] = min(int(demand[item]), room // int(width))
        room -= int(pattern[item]) * int(width)
    return pattern
