"""Where a hole that is asked for lies on the drawn bar: which straight, how far along it, how far off its middle."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from bentwork.jobs.hole_asked import HoleAsked
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import side_of
from bentwork.piece.carried import carried
from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Vec, dot, sub

__all__ = ["Spot", "spot_of"]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the drawn bar.

    Args:
        station: from end A along the middle line, mm; it may lie beyond the ends.
        across: from the middle of the width, mm; see ``HoleAsked``.
        straight: the straight that it is in or next to, from 0 at end A.
        from_straight: from the beginning of that straight, mm.
        off_face: from the middle of the thickness, mm; 0 unless a place in space was given.
    """

    station: float
    across: float
    straight: int
    from_straight: float
    off_face: float = 0.0


def spot_of(asked: HoleAsked, spec: PieceSpec, line: Centreline) -> Spot:
    """Return where a hole lies on the bar as it is drawn.

    Args:
        asked: the hole.
        spec: the piece.
        line: of the piece as drawn.
    """
    straights = _straights(line)
    if asked.at is not None:
        return min(_beside(asked.at, spec, line), key=lambda item: item[0])[1]
    along = asked.along or 0.0
    if asked.side is None:
        station = along
    else:
        # A side with the seam in it begins in the last straight and ends in the first.
        mine = max((k for k in range(len(straights)) if side_of(spec, k) == asked.side), default=0)
        station = straights[mine].station - _setback(line, mine) + along
        if line.table.closed and station > line.table.length:
            station -= line.table.length
    k = next((k for k, run in enumerate(straights) if station <= run.station + run.length), len(straights) - 1)
    return Spot(station, asked.across, k, station - straights[k].station)


def _straights(line: Centreline) -> list[Run]:
    return [run for run in line.runs if run.bend == 0]


def _setback(line: Centreline, straight: int) -> float:
    """Return how far the corner point lies before the beginning of a straight, mm; 0 at end A."""
    if straight == 0:
        return 0.0
    bend = line.table.bends[straight - 1]
    return bend.radius * math.tan(math.radians(min(bend.angle, 179.0)) / 2.0)


def _beside(at: Vec, spec: PieceSpec, line: Centreline) -> Iterator[tuple[float, Spot]]:
    """Every straight, with how far the place is from it in all."""
    stretches = {round(one.run.station, 9): one for one in carried(line, spec.way)}
    for k, run in enumerate(_straights(line)):
        stretch = stretches.get(round(run.station, 9))
        if stretch is None or run.length <= 0.0:
            continue
        away = sub(at, run.start.origin)
        along = dot(away, run.start.tangent)
        off = abs(dot(away, stretch.high))
        past = max(0.0, -along, along - run.length)
        yield past + off, Spot(run.station + along, dot(away, stretch.wide), k, along, off)
