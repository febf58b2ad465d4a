"""Of all ways to cut that cost the same, the one that leaves the longest single length of a bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bentwork.parts.cutting_best import Best, packed
from bentwork.parts.cutting_mixes import Mix, mixes
from bentwork.parts.cutting_problem import Ints, Problem
from bentwork.parts.cutting_search import FOUND, UNKNOWN, reachable

__all__ = ["longest_rest"]

_NODES = 60_000
_MOST_MIXES = 12


def longest_rest(problem: Problem, best: Best, kerf: int) -> tuple[Best, bool]:
    """Return the best cutting of the same cost by its longest rest, and whether none leaves a longer one.

    One bar is taken shorter and shorter as long as everything still goes in: of what is bought, or, where nothing is
    bought, of the offcuts.

    Args:
        problem: what is cut.
        best: a cheapest cutting.
        kerf: of a cut, whole.
    """
    full = reachable(problem.widths, problem.demand, int(problem.kinds.room.max()))
    asked = mixes(problem, full[0, problem.kinds.room], best.cost, best.cost + 1) or ()
    same = [best.mix, *(mix for _, mix in asked if mix != best.mix)]
    every = asked != () and len(same) <= _MOST_MIXES
    unknown = 0  # a rest up to this was looked for and not decided
    longest = _rest(problem, best, kerf)
    for mix in same[:_MOST_MIXES]:
        for kind in _kinds_to_spare(problem, mix):
            most = _most(problem, mix, kind, full) - kerf
            low, high = longest, most  # a rest of ``low`` is had
            while low < high:
                middle = (low + high + 1) // 2
                answer, found = _with_rest(problem, mix, kind, middle + kerf, full)
                if answer == UNKNOWN:
                    unknown = max(unknown, high)
                if found is None:
                    high = middle - 1
                else:
                    best = replace(best, mix=mix, cuts=found)
                    low = max(middle, _rest(problem, best, kerf))
            longest = low
    # What was not decided for one mix does not matter where another one leaves as much.
    return best, every and unknown <= longest


def _rest(problem: Problem, best: Best, kerf: int) -> int:
    """Return the longest rest of a bar that counts, after the last cut; never below 0."""
    rooms = problem.kinds.room
    bought = any(problem.kinds.free[kind] for kind, _ in best.cuts)
    rests = [
        int(rooms[kind] - pattern @ problem.widths)
        for kind, pattern in best.cuts
        if problem.kinds.free[kind] or not bought
    ]
    return max(0, max(rests, default=0) - kerf)


def _kinds_to_spare(problem: Problem, mix: Mix) -> Iterator[int]:
    free = problem.kinds.free
    bought = any(count and free[kind] for kind, count in enumerate(mix))
    for kind in sorted(range(len(mix)), key=lambda k: -int(problem.kinds.room[k])):
        if mix[kind] and bool(free[kind]) == bought:
            yield kind


def _most(problem: Problem, mix: Mix, kind: int, full: Ints) -> int:
    """Return what could be left of a bar at most, if all others were as full as can be."""
    held = sum(count * int(full[0, room]) for count, room in zip(mix, problem.kinds.room, strict=True))
    others = held - int(full[0, problem.kinds.room[kind]])
    return int(problem.kinds.room[kind]) - max(0, problem.total - others)


def _with_rest(
    problem: Problem, mix: Mix, kind: int, rest: int, full: Ints
) -> tuple[int, tuple[tuple[int, Ints], ...] | None]:
    """Search a cutting that leaves so much of one bar of a kind."""
    kinds = problem.kinds
    short = max(0, int(kinds.room[kind]) - rest)
    room, cost = np.append(kinds.room, short), np.append(kinds.cost, kinds.cost[kind])
    with_short = replace(
        kinds, room=room, cost=cost, limit=np.append(kinds.limit, 1), free=np.append(kinds.free, False)
    )
    counts = [*mix, 1]
    counts[kind] -= 1
    answer, cuts = packed(replace(problem, kinds=with_short), tuple(counts), full, _NODES)
    if answer != FOUND:
        return answer, None
    return answer, tuple((kind if of == len(mix) else of, pattern) for of, pattern in cuts)
