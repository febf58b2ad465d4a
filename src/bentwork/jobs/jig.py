"""A simple jig for crossbars: stops at the ends of a straight, and spacer blocks between the bars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bentwork.jobs.endings import Ending, StraightBar
from bentwork.parts.blocks import Stack, stack

__all__ = ["Row", "rows"]

_SAME = 0.02  # mm: gaps that differ by less take one stack


@dataclass(frozen=True, slots=True)
class Row:
    """Bars that stand on one straight, in their order along it.

    Args:
        onto: the straights that have the same row: name of the bar and number of its side.
        bars: names of the bars that stand there.
        middles: from the beginning of the straight, mm, of the first of ``onto``.
        clear: room between the beginning of the straight, the bars and its end, mm: one more than there are bars.
        stacks: blocks for the room between the bars, in their order; empty without blocks or with one bar.
    """

    onto: tuple[tuple[str, int], ...]
    bars: tuple[str, ...]
    middles: tuple[float, ...]
    clear: tuple[float, ...]
    stacks: tuple[Stack, ...] = ()

    @property
    def between(self) -> tuple[float, ...]:
        """Room between neighbouring bars, mm."""
        return self.clear[1:-1]

    @property
    def stops(self) -> tuple[float, float]:
        """From the ends of the straight to the first and the last bar, mm: where the stops are clamped."""
        return self.clear[0], self.clear[-1]


def rows(bars: Sequence[StraightBar], blocks: Sequence[float] = ()) -> tuple[Row, ...]:
    """Return the row of every straight that bars stand on; straights with the same gaps share one.

    Args:
        bars: of the frame that end on others.
        blocks: sizes that the maker owns, mm.
    """
    standing: dict[tuple[str, int], list[tuple[Ending, str]]] = {}
    for one in bars:
        for ending in one.endings:
            if ending.side is not None:
                standing.setdefault((ending.onto, ending.side), []).append((ending, one.bar.name))
    found: list[Row] = []
    for where, on in standing.items():
        row = _row(where, sorted(on, key=lambda item: item[0].station))
        known = next((k for k, other in enumerate(found) if _alike(row, other)), None)
        if known is None:
            found.append(row)
        else:
            other = found[known]
            found[known] = Row((*other.onto, where), other.bars, other.middles, other.clear)
    stacks: dict[float, Stack] = {}
    return tuple(_stacked(row, blocks, stacks) for row in found)


def _row(where: tuple[str, int], on: Sequence[tuple[Ending, str]]) -> Row:
    length = on[0][0].side_length
    edges = [0.0]
    for ending, _ in on:
        edges += [ending.station - ending.reach, ending.station + ending.reach]
    edges.append(length)
    clear = tuple(b - a for a, b in pairwise(edges))[::2]
    return Row((where,), tuple(name for _, name in on), tuple(ending.station for ending, _ in on), clear)


def _alike(one: Row, other: Row) -> bool:
    """The same bars with the same gaps, from one end or from the other."""
    if set(one.bars) != set(other.bars):
        return False
    ways = (one.clear, one.clear[::-1])
    return any(max(abs(a - b) for a, b in zip(way, other.clear, strict=True)) < _SAME for way in ways)


def _stacked(row: Row, blocks: Sequence[float], known: dict[float, Stack]) -> Row:
    if not blocks:
        return row
    for gap in row.between:
        if gap > 0.0 and round(gap, 2) not in known:
            known[round(gap, 2)] = stack(blocks, round(gap, 2))
    stacks = tuple(known[round(gap, 2)] for gap in row.between if gap > 0.0)
    return Row(row.onto, row.bars, row.middles, row.clear, stacks)
