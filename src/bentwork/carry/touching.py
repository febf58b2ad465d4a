"""Where bars come within touching distance of one another."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.carry.bar import Bar
from bentwork.carry.touching_search import nearest_points, run_rows
from bentwork.piece.carried import carried
from bentwork.piece.centreline import Run
from bentwork.space import Pose, Vec, distance, dot, norm, scale, sub
from bentwork.stock.section import Round, Tube

__all__ = ["TOUCHES_WITHIN", "Touch", "reach_of", "touches"]

TOUCHES_WITHIN = 3.0
"""Gap between two surfaces that is still taken for a joint, mm: what a fillet weld bridges (common practice)."""


@dataclass(frozen=True, slots=True)
class Touch:
    """Two bars that come within touching distance.

    Args:
        bars: numbers of the two.
        stations: where, from end A of each, mm.
        places: the nearest points of the two centrelines, mm.
        gap: between the surfaces, mm; below 0 where one is coped into the other or butts on it.
        ends: whether it is an end of each.
    """

    bars: tuple[int, int]
    stations: tuple[float, float]
    places: tuple[Vec, Vec]
    gap: float
    ends: tuple[bool, bool]


def touches(
    bars: Sequence[Bar], within: float = TOUCHES_WITHIN, of: Callable[[Bar], bool] = lambda _: True
) -> tuple[Touch, ...]:
    """Return every place where two different bars come within touching distance, in the order of the bars.

    Bars that lie beside one another for a while touch at both ends of that length. A gap is from
    surface to surface, in the direction from one centreline to the other.

    Args:
        bars: of the frame.
        within: largest gap between the surfaces, mm.
        of: what one of the two must be.
    """
    if len(bars) < 2:
        return ()
    rows = [run_rows(bar.line.runs) for bar in bars]
    first = np.cumsum([0, *map(len, rows)])
    lengths, half_depths = [bar.length for bar in bars], [bar.half_depth for bar in bars]
    runs = np.array([row for own in rows for row in own])
    asked = np.array([of(bar) for bar in bars])
    near = nearest_points(runs, first, np.array(lengths), np.array(half_depths), asked, float(within))
    found: list[Touch] = []
    pair, mine = (-1, -1), 0
    for row in near.tolist():
        touch = _touch(bars, lengths, half_depths, row)
        if touch.bars != pair:
            pair, mine = touch.bars, len(found)
        # The seam of a closed bar is met from both of its sides.
        if touch.gap <= within and not any(distance(touch.places[0], o.places[0]) < 1e-3 for o in found[mine:]):
            found.append(touch)
    return tuple(found)


def _touch(bars: Sequence[Bar], lengths: Sequence[float], half_depths: Sequence[float], row: Sequence[float]) -> Touch:
    """From a row of ``nearest_points``; lengths and half depths are those of the bars."""
    pair = (int(row[0]), int(row[1]))
    stations = (row[2], row[3])
    places = ((row[4], row[5], row[6]), (row[7], row[8], row[9]))
    between = sub(places[1], places[0])
    gap = apart = norm(between)
    if apart > 1e-9:
        out = scale(between, 1.0 / apart)
        own = _reach(bars[pair[0]], half_depths[pair[0]], row[2], (row[10], row[11], row[12]), out)
        gap -= own + _reach(bars[pair[1]], half_depths[pair[1]], row[3], (row[13], row[14], row[15]), out)
    ends = [
        not bars[k].closed and min(station, lengths[k] - station) < half_depths[k]
        for k, station in zip(pair, stations, strict=True)
    ]
    return Touch(pair, stations, places, gap, (ends[0], ends[1]))


def reach_of(bar: Bar, station: float, out: Vec) -> float:
    """Return how far the surface reaches from the centreline in a direction, mm: little for a bar that butts end on.

    Args:
        bar: the bar.
        station: mm from its end A.
        out: unit vector away from its centreline.
    """
    return _reach(bar, bar.half_depth, station, _pose(bar.line.runs, station).tangent, out)


def _reach(bar: Bar, half_depth: float, station: float, way: Vec, out: Vec) -> float:
    if isinstance(bar.section, Round | Tube):
        along = dot(out, way)
        return half_depth * math.sqrt(max(0.0, 1.0 - along * along))
    for stretch in carried(bar.line, bar.way):
        if station <= stretch.run.station + stretch.run.length + 1e-9:
            break
    here = stretch.at(min(max(station - stretch.run.station, 0.0), stretch.run.length))
    wide, high = bar.section.depth("hard"), bar.section.depth("easy")
    return (abs(dot(out, here.wide)) * wide + abs(dot(out, here.high)) * high) / 2.0


def _pose(runs: Sequence[Run], station: float) -> Pose:
    for run in runs:
        if station <= run.station + run.length:
            return run.pose(max(0.0, station - run.station))
    return runs[-1].pose(runs[-1].length)
