"""Holes in round bar and tube where they are drawn: along the bar, round it, through one wall or both."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.jobs.bracket import in_the_flat
from bentwork.jobs.hole_asked import HoleAsked
from bentwork.jobs.hole_place import spot_of
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.own_ends import own_ends
from bentwork.jobs.work import PiecePlan
from bentwork.models.cuts import Bore
from bentwork.piece.carried import Stretch, carried, stretch_at
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, rotate
from bentwork.stock.section import Round, Section, Tube

__all__ = ["BarHole", "bar_bores", "bar_holes", "drilled_round"]

_CLEAR = 0.1  # mm: so far a drill stands out


@dataclass(frozen=True, slots=True)
class BarHole:
    """A hole where it is drawn.

    Args:
        number: of it, from 1.
        asked: as the job has it.
        station: along the middle line from end A as it is drawn, mm; it may lie beyond the ends.
        on_bar: on the straight bar from its end A, trim included, mm.
        at: where its axis meets the middle line, mm.
        towards: unit vector to where it is drilled in from.
        bend: number of the bend that it is in, or reaches into; 0 for none.
        gap: from its edge to the nearest bend, mm; infinite without bends.
        off: it does not lie between the ends, or in what is cut off or pressed flat there.
    """

    number: int
    asked: HoleAsked
    station: float
    on_bar: float
    at: Vec
    towards: Vec
    bend: int
    gap: float
    off: bool


def drilled_round(section: Section) -> bool:
    """Whether holes in a bar of this section are told round the bar."""
    return isinstance(section, Round | Tube)


def bar_holes(plan: PiecePlan) -> tuple[BarHole, ...]:
    """Return the holes of a piece of round bar or tube as it is drawn; none of another, or where it does not fit."""
    spec, line, section = plan.spec, plan.line, plan.stock.section
    if line is None or not drilled_round(section):
        return ()
    trim = spec.trim + plan.longer[0]
    taken = {one.end: one.takes for one in own_ends(spec, section, line)}
    low, high = taken.get("A", 0.0), line.table.length - taken.get("B", 0.0)
    found = []
    for number, (asked, station, stretch) in enumerate(_stations(spec, line), 1):
        half = asked.diameter / 2.0
        here = stretch.at(station - stretch.run.station)
        bends = [(_between(run.station, run.length, station) - half, run.bend) for run in line.runs if run.bend]
        gap, bend = min(bends, default=(float("inf"), 0))
        found.append(
            BarHole(
                number,
                asked,
                station,
                in_the_flat(station, line.runs, plan.marks, trim),
                here.run.start.origin,
                _towards(here, asked.round),
                bend if gap < 0.0 else 0,
                gap,
                station - half < low or station + half > high,
            )
        )
    return tuple(found)


def bar_bores(spec: PieceSpec, section: Section, line: Centreline, *, as_drawn: bool) -> tuple[Bore, ...]:
    """Return the holes of a piece of round bar or tube as they are drilled; none of another.

    Args:
        spec: the piece.
        section: of its bar.
        line: of it, of either hand.
        as_drawn: False for the opposite hand.
    """
    if not isinstance(section, Round | Tube):
        return ()
    half, found = section.diameter / 2.0, []
    for number, (asked, station, stretch) in enumerate(_stations(spec, line), 1):
        here = stretch.at(station - stretch.run.station)
        towards = _towards(here, asked.round if as_drawn else -asked.round)
        # In a bend the skin rises beside the middle of the hole, by less than the drill reaches.
        reach = half + _CLEAR + (asked.diameter / 2.0 if stretch.run.bend else 0.0)
        middle = here.run.start.origin
        if not asked.through:  # from the middle of the bar outwards, so that the other wall is left alone
            middle, reach = along(middle, towards, reach / 2.0), reach / 2.0
        found.append(Bore(f"hole {number}", middle, towards, reach, asked.diameter))
    return tuple(found)


def _stations(spec: PieceSpec, line: Centreline) -> list[tuple[HoleAsked, float, Stretch]]:
    # The line along the inside of the first bend keeps its place on the bar: so the way of the section is of no matter.
    stretches = carried(line)
    placed = [(asked, spot_of(asked, spec, line).station) for asked in spec.holes]
    return [(asked, station, stretch_at(stretches, station)) for asked, station in placed]


def _towards(here: Stretch, turn: float) -> Vec:
    return rotate(here.high, here.run.start.tangent, turn)


def _between(start: float, length: float, station: float) -> float:
    """How far a station lies from a stretch, mm; below 0 within it."""
    return max(start - station, station - start - length)
