"""A simple jig for crossbars: stops at the ends of a straight, and spacer blocks between the bars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from bentwork.jobs.endings import EndedBar, Ending
from bentwork.parts.blocks import Stack, stack
from bentwork.space import dot

__all__ = ["Row", "rows"]

_SAME = 0.02  # mm: gaps that differ by less take one stack
_BESIDE = 0.7  # cosine: bars that come to a straight from farther apart than 45 degrees are not in one another's way


@dataclass(frozen=True, slots=True)
class Row:
    """Bars that stand on one straight, side by side, in their order along it.

    Bars that come to it from another side, or pass over or below these, are a row of their own.

    Args:
        onto: the straights that have the same row: name of the bar and number of its side.
        bars: names of the bars that stand there.
        middles: from the beginning of the straight, mm, of the first of ``onto``.
        clear: room between the beginning of the straight, the bars and its end, mm: one more than there are bars.
        turned: those of ``onto`` that run the other way: there the same is measured from the end of the straight.
        stacks: blocks for the room between the bars, in their order; empty without blocks or with one bar.
    """

    onto: tuple[tuple[str, int], ...]
    bars: tuple[str, ...]
    middles: tuple[float, ...]
    clear: tuple[float, ...]
    turned: tuple[tuple[str, int], ...] = ()
    stacks: tuple[Stack, ...] = ()

    @property
    def between(self) -> tuple[float, ...]:
        """Room between neighbouring bars, mm."""
        return self.clear[1:-1]

    @property
    def stops(self) -> tuple[float, float]:
        """From the ends of the straight to the first and the last bar, mm: where the stops are clamped."""
        return self.clear[0], self.clear[-1]


def rows(bars: Sequence[EndedBar], blocks: Sequence[float] = ()) -> tuple[Row, ...]:
    """Return the rows of every straight that bars stand on; straights with the same gaps share one.

    Args:
        bars: of the frame that end on others.
        blocks: sizes that the maker owns, mm.
    """
    standing: list[tuple[tuple[str, int], list[tuple[Ending, str]]]] = []
    for one in bars:
        for ending in one.endings:
            if ending.side is None:
                continue
            where = (ending.onto, ending.side)
            mine = (on for at, on in standing if at == where and any(_level(ending, other) for other, _ in on))
            row_of = next(mine, None)
            if row_of is None:
                standing.append((where, row_of := []))
            row_of.append((ending, one.bar.name))
    found: list[Row] = []
    for where, on in standing:
        row = _row(where, sorted(on, key=lambda item: item[0].station))
        known = next((k for k, other in enumerate(found) if _alike(row, other) or _alike(_back(row), other)), None)
        if known is None:
            found.append(row)
        else:
            other = found[known]
            turned = other.turned if _alike(row, other) else (*other.turned, where)
            found[known] = replace(other, onto=(*other.onto, where), turned=turned)
    stacks: dict[float, Stack] = {}
    return tuple(_stacked(row, blocks, stacks) for row in found)


def _level(one: Ending, other: Ending) -> bool:
    """Whether two bars come to a straight from the same side and at the same height across it."""
    mine, others = one.meeting, other.meeting
    if dot(mine.ways[2], others.ways[2]) < _BESIDE:
        return False
    facing = 1.0 if dot(mine.ways[1], others.ways[1]) > 0.0 else -1.0
    apart = abs(mine.cope.offset - facing * others.cope.offset)
    return apart < mine.cope.half_beside + others.cope.half_beside - _SAME


def _row(where: tuple[str, int], on: Sequence[tuple[Ending, str]]) -> Row:
    length = on[0][0].side_length
    edges = [0.0]
    for ending, _ in on:
        edges += [ending.station - ending.reach, ending.station + ending.reach]
    edges.append(length)
    clear = tuple(b - a for a, b in pairwise(edges))[::2]
    return Row((where,), tuple(name for _, name in on), tuple(ending.station for ending, _ in on), clear)


def _alike(one: Row, other: Row) -> bool:
    """The same bars with the same gaps."""
    return set(one.bars) == set(other.bars) and all(
        abs(a - b) < _SAME for a, b in zip(one.clear, other.clear, strict=True)
    )


def _back(row: Row) -> Row:
    """The gaps from the other end."""
    return replace(row, clear=row.clear[::-1])


def _stacked(row: Row, blocks: Sequence[float], known: dict[float, Stack]) -> Row:
    if not blocks:
        return row
    for gap in row.between:
        if gap > 0.0 and round(gap, 2) not in known:
            known[round(gap, 2)] = stack(blocks, round(gap, 2))
    stacks = tuple(known[round(gap, 2)] for gap in row.between if gap > 0.0)
    return replace(row, stacks=stacks)
