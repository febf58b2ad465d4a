"""From a stay that is asked for to a piece of the frame: where it starts, which way it goes, how it is cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.nearest import nearest_station
from bentwork.jobs.end_asked import OwnEnd
from bentwork.jobs.job import Mirror, PieceSpec
from bentwork.jobs.rail import limb_of, standing
from bentwork.jobs.stay_asked import StayAsked, StayLaid
from bentwork.parts.keep_out import KeepOut
from bentwork.parts.meeting import Limb, meeting
from bentwork.parts.stay import flat_end
from bentwork.parts.stay_path import Obstacles, Way, find_way
from bentwork.parts.survey import Survey
from bentwork.piece.corners import Corners
from bentwork.space import Vec, along, cross, distance, perpendicular, sub, unit
from bentwork.stock.bar import Stock
from bentwork.stock.section import Section
from bentwork.tolerances import CLEARANCE_CHORD

__all__ = ["lay_stay", "stay_spec"]

_FREE = 1.5  # of both thicknesses: so far from its ends a stay may touch what it is fixed to (common practice)
_FREE_MORE = 10.0  # mm
_STRAIGHT = 2.0  # of the thickness: straight that is wanted at a plain end before a bend (common practice)


def lay_stay(
    asked: StayAsked,
    found: Survey | None,
    pieces: Mapping[str, PieceSpec],
    stocks: Mapping[str, Stock],
    outs: Sequence[KeepOut],
) -> StayLaid:
    """Return a stay where it stands.

    Args:
        asked: what the job says.
        found: the measured points; None where there are none.
        pieces: of the frame without this stay, by name.
        stocks: by name.
        outs: keep-outs.

    Raises:
        KeyError: a point or piece is named that there is not.
        ValueError: its ends are one point.
    """
    start, end = _place(asked.start, found), _place(asked.end, found)
    section = stocks[asked.stock].section
    # The way round is looked for as for a round bar; how near the stay really comes is told with all its sides.
    thick = max(section.depth("easy"), section.depth("hard")) / 2.0
    bars = _bars(pieces, stocks)
    from_ = None if asked.piece is None else _from(asked.piece, start, bars)
    if from_ is not None and asked.ends[0].kind == "butted":
        start = _tidy(pose_at(from_.bar, from_.station).origin)
    if distance(start, end) < 1.0:
        raise ValueError("its two ends are one point")
    least = _STRAIGHT * section.depth() + max(one.beyond for one in asked.ends)
    flats = [flat_end(section, one) for one in asked.ends]
    least = max(least, *(0.0 if flat is None else flat.whole for flat in flats))
    way = _way((start, end), asked.radius, (thick, least), asked.clearance, tuple(outs), bars)
    back = 0.0
    if from_ is not None and asked.ends[0].kind == "butted":
        back = _cut_back(way, from_, section)
    return StayLaid(asked, start, end, way, (back, 0.0), None if from_ is None else from_.away)


@lru_cache(maxsize=64)  # jobs are read by several at once, which what is ``jobs.kept`` would not bear
def _way(
    ends: tuple[Vec, Vec],
    radius: float | None,
    sizes: tuple[float, float],
    clearance: float,
    outs: tuple[KeepOut, ...],
    bars: tuple[Bar, ...],
) -> Way:
    thick, least = sizes
    return find_way(*ends, radius, thick, least, _obstacles(clearance, bars, outs, thick))


def stay_spec(laid: StayLaid) -> PieceSpec:
    """Return a stay as a piece: its holes' ends reach beyond them, a welded end begins on the bar's surface."""
    asked, points = laid.asked, list(laid.way.points)
    first, last = unit(sub(points[1], points[0])), unit(sub(points[-1], points[-2]))
    points[0] = _tidy(along(points[0], first, laid.cut_back[0] - asked.ends[0].beyond))
    points[-1] = _tidy(along(points[-1], last, asked.ends[1].beyond - laid.cut_back[1]))
    bends = len(points) - 2
    one, other = (None if end.kind == "butted" else OwnEnd(made=end) for end in asked.ends)
    return PieceSpec(
        asked.name,
        asked.stock,
        Corners(tuple(points), (asked.radius or 0.0,) * bends),
        bender=asked.bender if bends else None,
        mirror=asked.mirror_in is not None,
        mirror_in=None if asked.mirror_in is None else Mirror(*asked.mirror_in),
        own_ends=(one, other),
    )


def _place(where: str | Vec, found: Survey | None) -> Vec:
    if not isinstance(where, str):
        return where
    if found is None:
        raise KeyError(where)
    return _tidy(found.place(where))


def _tidy(point: Vec) -> Vec:
    """Nothing is measured finer than a thousandth; what is written of the place stays short."""
    x, y, z = (round(c, 3) + 0.0 for c in point)
    return (x, y, z)


@dataclass(frozen=True, slots=True)
class _From:
    """Where a stay starts on a bar: the bar, mm from its end A, mm away from its middle line."""

    bar: Bar
    station: float
    away: float


def _from(piece: str, start: Vec, bars: Sequence[Bar]) -> _From:
    near = [(*nearest_station(bar, start), bar) for bar in bars if piece in (bar.name, bar.of)]
    if not near:
        raise KeyError(piece)
    station, away, bar = min(near, key=lambda one: one[1])
    return _From(bar, station, away)


def _bars(pieces: Mapping[str, PieceSpec], stocks: Mapping[str, Stock]) -> tuple[Bar, ...]:
    """Every copy of every piece where it stands, as far as its corners fit."""
    found = []
    for spec in pieces.values():
        for name in spec.copy_names if spec.stock in stocks else ():
            _, line = standing(pieces, name)
            stock = stocks[spec.stock]
            if line is not None:
                found.append(Bar(name, line, stock.section, stock.material, spec.way, spec.name))
    return tuple(found)


def _obstacles(clearance: float, bars: Sequence[Bar], outs: Sequence[KeepOut], thick: float) -> Obstacles:
    rows, names = [], []
    for bar in bars:
        chords = bar.line.sample(CLEARANCE_CHORD)
        for k in range(len(chords) - 1):
            rows.append([*chords[k], *(chords[k + 1] - chords[k]), bar.half_depth + CLEARANCE_CHORD])
            names.append(bar.name)
    lines = np.array(rows, dtype=np.float64).reshape(len(rows), 7)
    free = _FREE * 2.0 * (thick + max((bar.half_depth for bar in bars), default=0.0)) + _FREE_MORE
    return Obstacles(tuple(outs), lines, tuple(names), clearance, free)


def _cut_back(way: Way, from_: _From, own: Section) -> float:
    """How far from the bar's middle line a welded end stops, mm: at its longest point; half the bar on a bend."""
    start, out, bar = way.points[0], unit(sub(way.points[1], way.points[0])), from_.bar
    runs = (run for run in bar.line.runs if run.station <= from_.station <= run.station + run.length)
    run = next((run for run in runs if run.bend == 0 and run.length > 0.0), None)
    if run is not None:
        aside = perpendicular(out)
        limb = Limb(start, out, aside, cross(out, aside), own)
        found = meeting(start, limb, limb_of(bar.line, run, bar.section, bar.way))
        if found is not None:
            return found.longest("butted") - found.drawn
    return bar.half_depth
