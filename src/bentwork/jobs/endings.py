"""Where straight bars of the frame end on others: found from where they stand, whoever asked for them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.bar import Bar
from bentwork.carry.touching import Touch, touches
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import along_side, limb_of
from bentwork.parts.meeting import Ends, Limb, Meeting, meeting
from bentwork.piece.carried import carried
from bentwork.space import Vec, cross, dot, scale, sub

__all__ = ["Ending", "StraightBar", "straight_bars"]

_SAME = 0.02  # mm and degrees: ends of two bars that differ by less are cut alike
_CORNER = 0.5  # of the other's half depth: an end nearer to its middle line than this is a corner, not a crossbar


@dataclass(frozen=True, slots=True)
class Ending:
    """One end of a straight bar on another bar.

    Args:
        end: A or B of the straight bar.
        onto: name of the other bar.
        piece: of the other bar.
        side: of the other bar, by the number that the maker knows it by; None where it is a bend.
        bend: number of the bend it meets; None where it is a straight.
        station: from the beginning of that side to the middle of the end, mm; along the bar from end A for a bend.
        side_length: length of that side, mm.
        meeting: angle, offset and shape.
        ends: how it is drawn.
        reach: how far the bar reaches along the other to either side of the station, mm.
    """

    end: Literal["A", "B"]
    onto: str
    piece: str
    side: int | None
    bend: int | None
    station: float
    side_length: float
    meeting: Meeting
    ends: Ends
    reach: float

    @property
    def spare(self) -> float:
        """How much longer it is drawn than it has to be, mm; below 0 where it ends short of the other bar."""
        return self.meeting.longest(self.ends) - self.meeting.drawn


@dataclass(frozen=True, slots=True)
class StraightBar:
    """A straight bar of the frame that ends on others.

    Args:
        bar: where it stands.
        endings: one or two, A before B.
        line_turn: where the line scribed along the bar from turn 0 of end A arrives at end B, degrees, as turns of end
            B; None unless both ends meet a bar.
        tops: where up is at each of the endings, as turns; None where the bar stands upright.
    """

    bar: Bar
    endings: tuple[Ending, ...]
    line_turn: float | None
    tops: tuple[float | None, ...]

    @property
    def cut_length(self) -> float:
        """To saw it to, from longest point to longest point, mm."""
        return self.bar.length - sum(one.spare for one in self.endings)

    def cut_as(self, ends: Ends) -> float:
        """Return the length it would have with both ends so, mm."""
        return self.bar.length - sum(one.meeting.longest(ends) - one.meeting.drawn for one in self.endings)

    def like(self, other: StraightBar) -> bool:
        """Tell whether two bars are cut alike, on whatever they sit."""
        if self.bar.section != other.bar.section or self.bar.material.name != other.bar.material.name:
            return False
        return len(self.endings) == len(other.endings) and all(
            abs(a - b) <= _SAME for a, b in zip(_sizes(self), _sizes(other), strict=True)
        )


def _sizes(one: StraightBar) -> list[float]:
    found = [one.cut_length, one.line_turn or 0.0]
    for ending in one.endings:
        met = ending.meeting
        cope, plain = met.cope, met.plain
        found += [met.angle, cope.offset, plain.lean, float(ending.ends == "coped"), plain.across_width]
        found += [plain.across_height, *cope.sizes]
    return found


def straight_bars(
    bars: Sequence[Bar], specs: Mapping[str, PieceSpec], up: Vec = (0.0, 0.0, 1.0)
) -> tuple[StraightBar, ...]:
    """Return every straight bar of which an end meets another bar, in the order of the frame.

    Args:
        bars: of the frame.
        specs: the pieces by name.
        up: unit vector.
    """
    met: dict[tuple[int, Literal["A", "B"]], list[Ending]] = {}
    for touch in touches(bars, of=_is_straight):
        for mine in (0, 1):
            found = _ending(bars, specs, touch, mine)
            if found is not None:
                met.setdefault((touch.bars[mine], found.end), []).append(found)
                break
    made = []
    for number, bar in enumerate(bars):
        ends: tuple[Literal["A", "B"], ...] = ("A", "B")
        # Where an end touches several bars it is cut to sit on the one that its own middle line runs to.
        mine_all = [min(met[number, end], key=lambda one: one.meeting.offset) for end in ends if (number, end) in met]
        if mine_all:
            made.append(_straight(bar, tuple(mine_all), up))
    return tuple(made)


def _straight(bar: Bar, endings: tuple[Ending, ...], up: Vec) -> StraightBar:
    tops = []
    for ending in endings:
        flat = abs(dot(bar.line.start.tangent, up)) < 0.999
        tops.append(_turn(up, ending, bar) if flat else None)
    line_turn = _turn(endings[0].meeting.reference, endings[1], bar) if len(endings) == 2 else None
    return StraightBar(bar, endings, line_turn, tuple(tops))


def _turn(direction: Vec, ending: Ending, bar: Bar) -> float:
    """The turn at an end that a direction stands for, degrees in [0, 360)."""
    u = ending.meeting.reference
    side = cross(u, _inward(bar, ending.end))
    turn = math.degrees(math.atan2(dot(direction, side), dot(direction, u)))
    return round(turn % 360.0, 9) % 360.0


def _inward(bar: Bar, end: Literal["A", "B"]) -> Vec:
    way = bar.line.start.tangent
    return way if end == "A" else scale(way, -1.0)


def _is_straight(bar: Bar) -> bool:
    return not (bar.line.table.bends or bar.closed)


def _ending(bars: Sequence[Bar], specs: Mapping[str, PieceSpec], touch: Touch, mine: int) -> Ending | None:
    bar, other = bars[touch.bars[mine]], bars[touch.bars[1 - mine]]
    if not touch.ends[mine] or not _is_straight(bar):
        return None
    end: Literal["A", "B"] = "A" if touch.stations[mine] < bar.length / 2.0 else "B"
    along = limb_of(bar.line, bar.line.runs[0], bar.section, bar.way)
    place = bar.line.start.origin if end == "A" else bar.line.end.origin
    limb = Limb(place, _inward(bar, end), along.wide, along.high, bar.section)
    station = touch.stations[1 - mine]
    straight, onto = _onto(other, station)
    found = meeting(place, limb, onto)
    said = specs[bar.of].ends
    if found is None or (touch.ends[1 - mine] and said is None and found.drawn < _CORNER * other.half_depth):
        return None
    ends: Ends = "coped" if said == "coped" or (found.is_coped and not said) else "butted"
    reach = bar.section.depth() / 2.0 if limb.is_round else limb.half(found.reference)
    reach /= math.sin(math.radians(found.angle))
    if straight is None:
        bend = next(run.bend for run in other.line.runs if run.bend and station <= run.station + run.length + 1e-9)
        return Ending(end, other.name, other.of, None, bend, station, 0.0, found, ends, reach)
    exact = dot(sub(found.foot, onto.origin), onto.along)
    number, along_it, whole = along_side(specs[other.of], other.line, straight, exact)
    return Ending(end, other.name, other.of, number, None, along_it, whole, found, ends, reach)


def _onto(bar: Bar, station: float) -> tuple[int | None, Limb]:
    """The stretch of a bar at a station: number of the straight from 0 (None for a bend), and the limb."""
    straight = -1
    for run in bar.line.runs:
        straight += run.bend == 0
        if station <= run.station + run.length + 1e-9 and run.length > 1e-9:
            break
    if run.bend == 0:
        limb = limb_of(bar.line, run, bar.section, bar.way)
        return straight, limb
    stretch = next(one for one in carried(bar.line, bar.way) if one.run.bend == run.bend)
    here = stretch.at(min(max(station - run.station, 0.0), run.length))
    pose = here.run.start
    return None, Limb(pose.origin, pose.tangent, here.wide, here.high, bar.section)
