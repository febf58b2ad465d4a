"""What is clamped for welding, and where: bars that others end on beside their welds, the others against them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bentwork.carry.bar import Bar
from bentwork.carry.strength import softened_length
from bentwork.carry.structure import Structure
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import along_side
from bentwork.jobs.weld_lines import WeldLine
from bentwork.jobs.work import Result

__all__ = ["Clamped", "clamps"]

_LEAST = 30.0
"""From a weld to a clamp, mm: beyond the softened metal, and room for the torch (common practice, no source)."""

_FROM_BEND = 10.0
"""A clamp sits on the straight, so far from where it ends, mm."""


@dataclass(frozen=True, slots=True)
class Clamped:
    """A bar that is clamped down.

    Args:
        bar: its name.
        spots: number of the side, and mm from its beginning, of each clamp; empty for a bar that is held by its middle.
        clear: from a weld to a clamp at least, mm.
    """

    bar: str
    spots: tuple[tuple[int, float], ...]
    clear: float


def clamps(result: Result, structure: Structure, lines: Sequence[WeldLine]) -> tuple[Clamped, ...]:
    """Return where every welded bar is clamped: on each straight with welds, beyond the first and the last of them.

    Where the straight ends before that, between the two welds farthest apart; a bar that only ends on others is held
    in its middle.

    Args:
        result: of the job.
        structure: the frame.
        lines: its welds.
    """
    specs = {spec.name: spec for spec in result.job.pieces}
    found = []
    for bar in structure.bars:
        welds = sorted((station, _reach(line)) for line in lines for name, station in _ends(line) if name == bar.name)
        if not welds:
            continue
        clear = max(_LEAST, softened_length(bar.section))
        inner = [(at, reach) for at, reach in welds if clear < at < bar.length - clear or bar.closed]
        found.append(Clamped(bar.name, tuple(_spots(bar, specs.get(bar.of), inner, clear)) if inner else (), clear))
    return tuple(found)


def _ends(line: WeldLine) -> Iterator[tuple[str, float]]:
    return ((name, at) for name, at in zip(line.bars, line.stations, strict=True) if at is not None)


def _reach(line: WeldLine) -> float:
    """From the middle of a weld to its edge along the bar that it stands on, mm.

    Half of what it goes round, or half a fillet, whichever way that lies; nothing for a seam.
    """
    if line.sort == "seam":
        return 0.0
    return line.length / (8.0 if line.runs == "ring" else 4.0)


def _spots(
    bar: Bar, spec: PieceSpec | None, welds: Sequence[tuple[float, float]], clear: float
) -> list[tuple[int, float]]:
    spots: list[float] = []
    for run in bar.line.runs:
        mine = [(at, reach) for at, reach in welds if _inside(at, run.station - 1e-6, run.length + 2e-6)]
        if run.bend or not mine:
            continue
        start, room = run.station + _FROM_BEND, run.length - 2.0 * _FROM_BEND
        first, last = min(at - reach for at, reach in mine), max(at + reach for at, reach in mine)
        ends = [one for one in (first - clear, last + clear) if _inside(one, start, room)]
        edges = [(a + reach, b - near) for (a, reach), (b, near) in pairwise(mine)]
        gaps = [(b - a, (a + b) / 2.0) for a, b in edges if b - a >= 2.0 * clear]
        spots += ends if len(ends) == 2 or not gaps else [*ends, max(gaps)[1]]
    return [_told(bar, spec, one) for one in sorted(spots)]


def _inside(at: float, start: float, length: float) -> bool:
    return start <= at <= start + length


def _told(bar: Bar, spec: PieceSpec | None, at: float) -> tuple[int, float]:
    """Number of the side, and from its beginning."""
    straights = [run for run in bar.line.runs if run.bend == 0]
    k = next(k for k, run in enumerate(straights) if _inside(at, run.station - 1e-6, run.length + 2e-6))
    if spec is None:
        return k + 1, at - straights[k].station
    side, station, _ = along_side(spec, bar.line, k, at - straights[k].station)
    return side, station
