"""Holes drilled into a bar where they are drawn: along the bar, round it, through one wall or both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.jobs.bracket import in_the_flat
from bentwork.jobs.hole_asked import HoleAsked, drilled_along, drilled_into_bar, side_drilled
from bentwork.jobs.hole_place import spot_of
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.own_ends import own_ends
from bentwork.jobs.work import PiecePlan
from bentwork.models.cuts import Bore
from bentwork.piece.carried import Stretch, carried, stretch_at
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, cross, rotate
from bentwork.stock.section import Section, SquareTube, Way

__all__ = ["BarHole", "bar_bores", "bar_holes"]

_CLEAR = 0.1  # mm: so far a drill stands out
_NEAR = 1.0  # of the bar's thickness: a hole so near to a bend draws out of round (common practice, no source)


@dataclass(frozen=True, slots=True)
class BarHole:
    """A hole where it is drawn.

    Args:
        number: of it, from 1.
        asked: as the job has it.
        station: along the middle line from end A as it is drawn, mm; it may lie beyond the ends.
        on_bar: on the straight bar from its end A, trim included, mm.
        at: where its axis passes the middle line, mm.
        along: which way of the section it is drilled.
        bend: number of the bend that it is in, or reaches into; 0 for none.
        after: it is so near to a bend that it is drilled when that is made.
        off: it does not lie between the ends, or in what is cut off or pressed flat there.
        over_corner: it reaches into the rounded corner of a tube.
    """

    number: int
    asked: HoleAsked
    station: float
    on_bar: float
    at: Vec
    along: Literal["width", "height"]
    bend: int
    after: bool
    off: bool
    over_corner: bool


def bar_holes(plan: PiecePlan) -> tuple[BarHole, ...]:
    """Return the holes drilled into a piece as it is drawn; none of a bracket, or where the piece does not fit."""
    spec, line, section = plan.spec, plan.line, plan.stock.section
    if line is None or not drilled_into_bar(section, spec.way):
        return ()
    trim = spec.trim + plan.longer[0]
    taken = {one.end: one.takes for one in own_ends(spec, section, line)}
    low, high = taken.get("A", 0.0), line.table.length - taken.get("B", 0.0)
    found = []
    for number, (asked, station, stretch) in enumerate(_stations(spec, line), 1):
        half = asked.diameter / 2.0
        bends = [(_between(run.station, run.length, station) - half, run.bend) for run in line.runs if run.bend]
        gap, bend = min(bends, default=(float("inf"), 0))
        found.append(
            BarHole(
                number,
                asked,
                station,
                in_the_flat(station, line.runs, plan.marks, trim),
                _drilled(stretch, station, asked.round, asked.across)[0],
                drilled_along(spec.way, asked.round),
                bend if gap < 0.0 else 0,
                gap < _NEAR * section.depth(spec.way),
                station - half < low or station + half > high,
                _over_corner(asked, section, spec.way),
            )
        )
    return tuple(found)


def bar_bores(spec: PieceSpec, section: Section, line: Centreline, *, as_drawn: bool) -> tuple[Bore, ...]:
    """Return the holes of a piece as they are drilled into the bar; none of a bracket.

    Args:
        spec: the piece.
        section: of its bar.
        line: of it, of either hand.
        as_drawn: False for the opposite hand.
    """
    if not drilled_into_bar(section, spec.way):
        return ()
    found, hand = [], 1.0 if as_drawn else -1.0
    for number, (asked, station, stretch) in enumerate(_stations(spec, line), 1):
        middle, towards = _drilled(stretch, station, hand * asked.round, hand * asked.across)
        thick, _ = side_drilled(section, spec.way, asked.round)
        # In a bend the skin rises beside the middle of the hole, by less than the drill reaches.
        reach = thick / 2.0 + _CLEAR + (asked.diameter / 2.0 if stretch.run.bend else 0.0)
        if not asked.through:  # from the middle of the bar outwards, so that the other wall is left alone
            middle, reach = along(middle, towards, reach / 2.0), reach / 2.0
        found.append(Bore(f"hole {number}", middle, towards, reach, asked.diameter))
    return tuple(found)


def _stations(spec: PieceSpec, line: Centreline) -> list[tuple[HoleAsked, float, Stretch]]:
    # The line along the inside of the first bend keeps its place on the bar: so the way of the section is of no matter.
    stretches = carried(line)
    placed = [(asked, spot_of(asked, spec, line).station) for asked in spec.holes]
    return [(asked, station, stretch_at(stretches, station)) for asked, station in placed]


def _drilled(stretch: Stretch, station: float, turn: float, across: float) -> tuple[Vec, Vec]:
    """Return where the axis of a hole passes the middle line, and the way to where it is drilled in from."""
    here = stretch.at(station - stretch.run.station)
    pose = here.run.start
    towards = rotate(here.high, pose.tangent, turn)
    return along(pose.origin, cross(towards, pose.tangent), across), towards


def _over_corner(asked: HoleAsked, section: Section, way: Way) -> bool:
    corner = section.corner_radius if isinstance(section, SquareTube) else 0.0
    _, wide = side_drilled(section, way, asked.round)
    return corner > 0.0 and abs(asked.across) + asked.diameter / 2.0 > wide / 2.0 - corner


def _between(start: float, length: float, station: float) -> float:
    """How far a station lies from a stretch, mm; below 0 within it."""
    return max(start - station, station - start - length)
