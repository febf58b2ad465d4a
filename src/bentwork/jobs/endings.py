"""Where bars of the frame end on others, straight or bent: found from where they stand, whoever asked for them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.bar import Bar
from bentwork.carry.touching import Touch, touches
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.own_ends import end_limb, long_points
from bentwork.jobs.rail import along_side, limb_of
from bentwork.parts.meeting import Ends, Limb, Meeting, meeting
from bentwork.piece.carried import carried
from bentwork.space import Vec, add, cross, dot, scale, sub

__all__ = ["EndedBar", "Ending", "ended_bars"]

_SAME = 0.02  # mm and degrees: ends of two bars that differ by less are cut alike
_CORNER = 0.5  # of the other's half depth: an end nearer to its middle line than this is a corner, not a crossbar
_PLAIN = 1e-6  # mm: an end that is so nearly what it is to be stays as it is


@dataclass(frozen=True, slots=True)
class Ending:
    """One end of a bar on another bar.

    Args:
        end: A or B of the bar.
        onto: name of the other bar.
        piece: of the other bar.
        side: of the other bar, by the number that the maker knows it by; None where it is a bend.
        bend: number of the bend it meets; None where it is a straight.
        station: from the beginning of that side to the middle of the end, mm; along the bar from end A for a bend.
        side_length: length of that side, mm.
        meeting: angle, offset and shape.
        ends: how it is drawn.
        reach: how far the bar reaches along the other to either side of the station, mm.
        limb: the straight that it is the end of, from the end as it is drawn inwards.
        room: length of that straight, mm; 0 where the bar ends in a bend.
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
    limb: Limb
    room: float

    @property
    def spare(self) -> float:
        """How much longer it is drawn than it has to be, mm; below 0 where it ends short of the other bar."""
        return self.meeting.longest(self.ends) - self.meeting.drawn

    @property
    def back(self) -> float:
        """How far back from the end as it is drawn the cut reaches, mm."""
        return self.meeting.shortest(self.ends) - self.meeting.drawn

    @property
    def into_bend(self) -> bool:
        """Whether there is something to cut, and the straight at the end is too short for it."""
        return max(self.back, -self.spare) > _PLAIN and self.back > self.room - _PLAIN


@dataclass(frozen=True, slots=True)
class EndedBar:
    """A bar of the frame that ends on others.

    Args:
        bar: where it stands.
        endings: one or two, A before B.
        line_turn: where the line scribed along the bar from turn 0 of end A arrives at end B, degrees, as turns of end
            B; None unless both ends meet a bar.
        tops: where up is at each of the endings, as turns; None where the bar stands upright.
        beyond: how far the longest point of an end that is cut by itself lies beyond that end as it is drawn, mm.
    """

    bar: Bar
    endings: tuple[Ending, ...]
    line_turn: float | None
    tops: tuple[float | None, ...]
    beyond: float = 0.0

    @property
    def bent(self) -> bool:
        """Whether it is cut to sit on the others after it is bent."""
        return bool(self.bar.line.table.bends)

    @property
    def cut_length(self) -> float:
        """From longest point to longest point, along the bar, mm: to saw a straight one to."""
        return self.bar.length - sum(one.spare for one in self.endings) + self.beyond

    def cut_as(self, ends: Ends) -> float:
        """Return the length it would have with both ends so, mm."""
        return (
            self.bar.length - sum(one.meeting.longest(ends) - one.meeting.drawn for one in self.endings) + self.beyond
        )

    def like(self, other: EndedBar) -> bool:
        """Tell whether two bars are cut alike, on whatever they sit."""
        if self.bar.section != other.bar.section or self.bar.material.name != other.bar.material.name:
            return False
        return len(self.endings) == len(other.endings) and all(
            abs(a - b) <= _SAME for a, b in zip(_sizes(self), _sizes(other), strict=True)
        )


def _sizes(one: EndedBar) -> list[float]:
    found = [one.cut_length, one.line_turn or 0.0]
    for ending in one.endings:
        met = ending.meeting
        cope, plain = met.cope, met.plain
        found += [met.angle, cope.offset, plain.lean, float(ending.ends == "coped"), plain.across_width]
        found += [plain.across_height, *cope.sizes]
    return found


def ended_bars(
    bars: Sequence[Bar],
    specs: Mapping[str, PieceSpec],
    up: Vec = (0.0, 0.0, 1.0),
) -> tuple[EndedBar, ...]:
    """Return every bar of which an end meets another bar, in the order of the frame.

    Args:
        bars: of the frame.
        specs: the pieces by name.
        up: unit vector.
    """
    met: dict[tuple[int, Literal["A", "B"]], list[Ending]] = {}
    limbs = _Limbs(bars)
    for touch in touches(bars, of=_is_open):
        # Where two ends meet, it is the one that the job asks to be cut, else the straight one.
        for mine in sorted((0, 1), key=lambda k: (specs[bars[touch.bars[k]].of].ends is None, _bent(bars, touch, k))):
            found = _ending(limbs, specs, touch, mine)
            # An end that is made by itself is not cut to sit on anything.
            if found is not None and specs[bars[touch.bars[mine]].of].own_ends["AB".index(found.end)] is None:
                met.setdefault((touch.bars[mine], found.end), []).append(found)
                break
    made = []
    for number, bar in enumerate(bars):
        ends: tuple[Literal["A", "B"], ...] = ("A", "B")
        # Where an end touches several bars it is cut to sit on the one that its own middle line runs to.
        mine_all = [min(met[number, end], key=lambda one: one.meeting.offset) for end in ends if (number, end) in met]
        if mine_all:
            beyond = sum(long_points(specs[bar.of], bar.section, bar.line))
            made.append(_ended(bar, tuple(mine_all), up, beyond))
    return tuple(made)


def _ended(bar: Bar, endings: tuple[Ending, ...], up: Vec, beyond: float) -> EndedBar:
    tops = []
    for ending in endings:
        flat = abs(dot(ending.limb.along, up)) < 0.999
        tops.append(_turn(up, ending) if flat else None)
    line_turn = None
    if len(endings) == 2:
        one, other = endings
        # A line scribed along the bar keeps its place on the section, round every bend.
        scribed = one.meeting.reference
        across, upwards = dot(scribed, one.limb.wide), dot(scribed, one.limb.high)
        line_turn = _turn(add(scale(other.limb.wide, across), scale(other.limb.high, upwards)), other)
    return EndedBar(bar, endings, line_turn, tuple(tops), beyond)


def _turn(direction: Vec, ending: Ending) -> float:
    """The turn at an end that a direction stands for, degrees in [0, 360)."""
    u = ending.meeting.reference
    side = cross(u, ending.limb.along)
    turn = math.degrees(math.atan2(dot(direction, side), dot(direction, u)))
    return round(turn % 360.0, 9) % 360.0


def _is_open(bar: Bar) -> bool:
    return not bar.closed


def _bent(bars: Sequence[Bar], touch: Touch, k: int) -> bool:
    return bool(bars[touch.bars[k]].line.table.bends)


class _Limbs:
    """The straights of bars, each worked out once: in a frame many ends meet the same one."""

    def __init__(self, bars: Sequence[Bar]) -> None:
        self.bars = bars
        self._ends: dict[tuple[int, Literal["A", "B"]], tuple[Limb, float]] = {}
        self._straights: dict[tuple[int, int], Limb] = {}

    def end(self, number: int, end: Literal["A", "B"]) -> tuple[Limb, float]:
        """The straight at an end of a bar, from the end inwards, and its length, mm."""
        if (number, end) not in self._ends:
            bar = self.bars[number]
            self._ends[number, end] = end_limb(bar.line, bar.section, bar.way, end)
        return self._ends[number, end]

    def onto(self, number: int, station: float) -> tuple[int | None, Limb]:
        """The stretch of a bar at a station: number of the straight from 0 (None for a bend), and the limb."""
        bar, straight = self.bars[number], -1
        for run in bar.line.runs:
            straight += run.bend == 0
            if station <= run.station + run.length + 1e-9 and run.length > 1e-9:
                break
        if run.bend == 0:
            if (number, straight) not in self._straights:
                self._straights[number, straight] = limb_of(bar.line, run, bar.section, bar.way)
            return straight, self._straights[number, straight]
        stretch = next(one for one in carried(bar.line, bar.way) if one.run.bend == run.bend)
        here = stretch.at(min(max(station - run.station, 0.0), run.length))
        pose = here.run.start
        return None, Limb(pose.origin, pose.tangent, here.wide, here.high, bar.section)


def _ending(limbs: _Limbs, specs: Mapping[str, PieceSpec], touch: Touch, mine: int) -> Ending | None:
    number, onto_it = touch.bars[mine], touch.bars[1 - mine]
    bar, other = limbs.bars[number], limbs.bars[onto_it]
    if not touch.ends[mine] or bar.closed:
        return None
    end: Literal["A", "B"] = "A" if touch.stations[mine] < bar.length / 2.0 else "B"
    limb, room = limbs.end(number, end)
    station = touch.stations[1 - mine]
    straight, onto = limbs.onto(onto_it, station)
    found = meeting(limb.origin, limb, onto)
    said = specs[bar.of].ends
    if found is None or (touch.ends[1 - mine] and said is None and found.drawn < _CORNER * other.half_depth):
        return None
    # Bent ends are often laid against a bar: then their middle line passes it.
    if bar.line.table.bends and said is None and found.offset >= onto.half(found.ways[1]):
        return None
    ends: Ends = "coped" if said == "coped" or (found.is_coped and not said) else "butted"
    reach = bar.section.depth() / 2.0 if limb.is_round else limb.half(found.reference)
    reach /= math.sin(math.radians(found.angle))
    if straight is None:
        bend = next(run.bend for run in other.line.runs if run.bend and station <= run.station + run.length + 1e-9)
        return Ending(end, other.name, other.of, None, bend, station, 0.0, found, ends, reach, limb, room)
    exact = dot(sub(found.foot, onto.origin), onto.along)
    side, along_it, whole = along_side(specs[other.of], other.line, straight, exact)
    return Ending(end, other.name, other.of, side, None, along_it, whole, found, ends, reach, limb, room)
