"""Ends that are made by themselves, where they are drawn: which way they look, and how much of the bar they take."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from bentwork.jobs.end_asked import OwnEnd
from bentwork.jobs.job import PieceSpec
from bentwork.parts.meeting import Limb, PlainEnd, slanting
from bentwork.parts.stay import FlatEnd, end_rooms, flat_end, tongue_angle
from bentwork.piece.carried import carried
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, dot, norm, rotate, scale, unit
from bentwork.stock.section import Section, Way

__all__ = ["EndStanding", "end_limb", "long_points", "own_ends"]

_LEAST = 1e-6  # sine


@dataclass(frozen=True, slots=True)
class EndStanding:
    """An end where it is drawn.

    Args:
        end: A or B of the bar.
        asked: how it is made.
        limb: the straight that it is the end of, from the middle of the end inwards.
        towards: unit vector square to the bar: to the longest point of its cut, or the way that its flat looks.
        plain: its cut, where it is cut at a slant.
        flat: where it is pressed flat.
        lean: how far its flat is to be bent to lie square to its bolt, degrees.
        room: how much of that straight it has to itself, mm.
    """

    end: Literal["A", "B"]
    asked: OwnEnd
    limb: Limb
    towards: Vec
    plain: PlainEnd | None
    flat: FlatEnd | None
    lean: float
    room: float

    @property
    def beyond(self) -> float:
        """How far its longest point lies beyond the middle of its cut, mm; 0 for an end that is not cut."""
        return 0.0 if self.plain is None else -self.plain.longest

    @property
    def takes(self) -> float:
        """How much of the bar is cut or pressed, from the end as it is drawn, mm."""
        return self.beyond if self.flat is None else self.flat.whole

    @property
    def fits(self) -> bool:
        """Whether it leaves the bend behind it alone."""
        return self.takes <= self.room - _LEAST


def end_limb(line: Centreline, section: Section, way: Way, end: Literal["A", "B"]) -> tuple[Limb, float]:
    """Return the straight at an end of a bar, from the end inwards, and its length, mm."""
    stretches, straights = carried(line, way), line.table.straights
    if end == "A":
        here = stretches[0]
        return Limb(here.run.start.origin, here.run.start.tangent, here.wide, here.high, section), straights[0]
    last = stretches[-1].at(stretches[-1].run.length)
    pose = line.end
    return Limb(pose.origin, scale(pose.tangent, -1.0), last.wide, last.high, section), straights[-1]


def own_ends(spec: PieceSpec, section: Section, line: Centreline, *, as_drawn: bool = True) -> tuple[EndStanding, ...]:
    """Return the ends of a piece that are made by themselves, A before B.

    Args:
        spec: the piece.
        section: of its bar.
        line: of the piece, of either hand.
        as_drawn: False for that of the opposite hand.
    """
    names: tuple[Literal["A", "B"], ...] = ("A", "B")
    found = [
        None if asked is None else _standing(asked, name, spec, section, line, as_drawn)
        for asked, name in zip(spec.own_ends, names, strict=True)
    ]
    rooms = end_rooms([0.0 if one is None else one.takes for one in found], line.table.straights)
    return tuple(replace(one, room=room) for one, room in zip(found, rooms, strict=True) if one is not None)


def long_points(spec: PieceSpec, section: Section, line: Centreline) -> tuple[float, float]:
    """Return how far slanting cuts of end A and B reach beyond the ends as they are drawn, mm."""
    found = {one.end: one.beyond for one in own_ends(spec, section, line)}
    return found.get("A", 0.0), found.get("B", 0.0)


def _standing(
    asked: OwnEnd, end: Literal["A", "B"], spec: PieceSpec, section: Section, line: Centreline, as_drawn: bool
) -> EndStanding:
    limb, _ = end_limb(line, section, spec.way, end)
    # The line along the inside of the first bend keeps its place on the section, round every bend.
    inside = limb.high if spec.way == "easy" else limb.wide
    ahead = limb.along if end == "A" else scale(limb.along, -1.0)
    towards = rotate(inside, ahead, asked.round if as_drawn else -asked.round)
    lean, axis = 0.0, asked.made.axis
    if axis is not None:
        axis = unit(axis if as_drawn else _flipped(axis, spec))
        lean = tongue_angle(limb.along, axis)
        aside = along(axis, limb.along, -dot(axis, limb.along))
        towards = unit(aside) if norm(aside) > _LEAST else towards
    plain = slanting(limb, asked.cut, towards) if asked.cut else None
    return EndStanding(end, asked, limb, towards, plain, flat_end(section, asked.made), lean, 0.0)


def _flipped(v: Vec, spec: PieceSpec) -> Vec:
    axis = spec.mirror_in.axis if spec.mirror_in is not None else 1
    x, y, z = (-c if k == axis else c for k, c in enumerate(v))
    return (x, y, z)
