"""Where the end of a straight bar meets another: angle, offset, and how the end is shaped, coped or plain."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from bentwork.parts.cope import Cope
from bentwork.parts.outline import bore_of, outline_of
from bentwork.space import Vec, along, cross, dot, norm, scale, sub, unit
from bentwork.stock.section import Round, Section, Tube

__all__ = ["ALONGSIDE", "Ends", "Limb", "Meeting", "PlainEnd", "meeting", "slanting"]

Ends = Literal["butted", "coped"]

_cut_alike = lru_cache(maxsize=256)(Cope)
"""One cope for ends that are cut alike: they share its curves, and so does a frame that is changed elsewhere."""

ALONGSIDE = 1.0
"""Bars that meet at less lie along one another, degrees: no protractor tells them from parallel (common practice, no
source), and the cut would be 57 times as long as the bar is thick."""


@dataclass(frozen=True, slots=True)
class Limb:
    """A straight stretch of bar in space.

    Args:
        origin: a point on its middle line, mm.
        along: unit vector along it.
        wide: unit vector along the section's width.
        high: unit vector along its height.
        section: its cross-section.
    """

    origin: Vec
    along: Vec
    wide: Vec
    high: Vec
    section: Section

    @property
    def is_round(self) -> bool:
        """Tell whether it is round bar or tube."""
        return isinstance(self.section, Round | Tube)

    def half(self, direction: Vec) -> float:
        """Return how far its surface reaches from its middle line in a direction square to it, mm."""
        outline = outline_of(self.section)
        (a, b), corner = outline.core, outline.corner
        return a * abs(dot(direction, self.wide)) + b * abs(dot(direction, self.high)) + corner

    def face_towards(self, direction: Vec) -> tuple[Vec, float]:
        """Return the face of a bar that is not round which looks most this way: its normal and its distance, mm."""
        ways = [(n, self.half(n)) for axis in (self.wide, self.high) for n in (axis, scale(axis, -1.0))]
        return max(ways, key=lambda way: dot(way[0], direction))


@dataclass(frozen=True, slots=True)
class PlainEnd:
    """An end cut flat to lie on a face, or to touch a round bar along its crown.

    Args:
        lean: how far it is from a square cut, degrees; 0 is square.
        across_width: slope of the cut across the width of the section, degrees; of round bar the whole lean.
        across_height: likewise across its height; 0 for round bar.
        longest: its longest point, along the bar from where the middle lines are nearest, mm.
        middle: where it cuts the bar's middle line, mm.
        gap: between its outer edge and a round bar, at most, mm: what the weld has to bridge.
        normal: unit vector square to the cut, towards the bar.
    """

    lean: float
    across_width: float
    across_height: float
    longest: float
    middle: float
    gap: float
    normal: Vec


@dataclass(frozen=True, slots=True)
class Meeting:
    """The end of a straight bar on another.

    Args:
        angle: between the two bars, degrees, up to 90.
        offset: between their middle lines, mm, 0 or more.
        foot: the place on the middle line of the bar that it sits on, mm.
        drawn: where the end is drawn, along its bar from where the middle lines are nearest, mm.
        plain: its shape when it is butted.
        cope: its shape when it is coped.
        reference: unit vector from the bar's middle to the line on it that turn 0 of the cope stands for.
        ways: unit vectors in space of the frame that ``Cope`` is told in, its origin the foot: along the bar that is
            sat on, across it, up to the bar that ends there.
    """

    angle: float
    offset: float
    foot: Vec
    drawn: float
    plain: PlainEnd
    cope: Cope
    reference: Vec
    ways: tuple[Vec, Vec, Vec]

    @property
    def is_coped(self) -> bool:
        """Tell whether the end is drawn so far in that only a cope lets it there."""
        return not self.cope.plane and self.drawn < self.plain.longest - _DRAWN_WITHIN

    def longest(self, ends: Ends) -> float:
        """Return where its longest point stands, along its bar, mm."""
        return self.cope.longest if ends == "coped" else self.plain.longest

    def shortest(self, ends: Ends) -> float:
        """Return where the bottom of its hollow or its short point stands, along its bar, mm."""
        return self.cope.throat if ends == "coped" else 2.0 * self.plain.middle - self.plain.longest


_SQUARE = 1e-7  # cosine
_ON = 1e-6  # mm
_DRAWN_WITHIN = 0.2  # mm: drawings are typed with a decimal or two


def meeting(end: Vec, bar: Limb, onto: Limb) -> Meeting | None:
    """Return how the end of a bar meets another; None where they lie along one another or pass each other.

    Args:
        end: the middle of the end, mm.
        bar: the bar, its direction from the end into the bar.
        onto: the bar it sits on.
    """
    out, line = bar.along, onto.along
    if dot(out, line) < -_SQUARE:  # square is square, whatever round-off says
        line = scale(line, -1.0)
    slant = max(0.0, dot(out, line))
    across = norm(cross(out, line))
    angle = math.degrees(math.atan2(across, slant))
    if angle < ALONGSIDE:
        return None
    up = unit(along(out, line, -slant))
    side = cross(up, line)
    away = sub(end, onto.origin)
    # From the end, along the bar, to where the middle lines are nearest: out of the plane of line and side.
    drawn = dot(away, up) / across
    nearest = along(end, out, -drawn)
    offset = dot(sub(nearest, onto.origin), side)
    offset = 0.0 if abs(offset) < _ON else offset
    foot = along(onto.origin, line, dot(sub(nearest, onto.origin), line))
    if abs(offset) >= bar.half(side) + onto.half(side) - _ON:
        return None
    reference = unit(sub(scale(up, slant), scale(line, across)))
    cope = _cut_alike(
        outline_of(bar.section),
        bore_of(bar.section),
        outline_of(onto.section),
        min(angle, 90.0),
        offset,
        _turned(bar, reference, side),
        _turned(onto, side, up),
    )
    plain = _plain(bar, onto, up, side, offset, foot, nearest)
    return Meeting(angle, abs(offset), foot, drawn, plain, cope, reference, (line, side, up))


def _turned(limb: Limb, one: Vec, other: Vec) -> float:
    """How far the width of a limb is turned from one direction towards another, degrees; 0 for a round one."""
    return 0.0 if limb.is_round else math.degrees(math.atan2(dot(limb.wide, other), dot(limb.wide, one)))


def _plain(bar: Limb, onto: Limb, up: Vec, side: Vec, offset: float, foot: Vec, nearest: Vec) -> PlainEnd:
    normal, height = (up, _crown(bar, onto, side, offset)) if onto.is_round else onto.face_towards(up)
    facing = dot(bar.along, normal)
    middle = (height - dot(sub(nearest, foot), normal)) / facing
    tilt = sub(normal, scale(bar.along, facing))  # of the plane, across the bar
    lean = math.degrees(math.atan2(norm(tilt), facing))
    longest = middle - (bar.half(unit(tilt)) * norm(tilt) / facing if norm(tilt) > 1e-9 else 0.0)
    return PlainEnd(
        lean, *_slopes(bar, lean, tilt, facing), longest, middle, _gap(bar, onto, side, offset, height), normal
    )


def slanting(bar: Limb, lean: float, towards: Vec) -> PlainEnd:
    """Return a plain end that leans by itself, through the middle of the end as it is drawn.

    Args:
        bar: from its end into the bar.
        lean: off a square cut, degrees, below 90.
        towards: unit vector square to the bar, to where its longest point lies.
    """
    turn = math.radians(lean)
    tilt = scale(towards, math.sin(turn))
    normal = along(tilt, bar.along, math.cos(turn))
    slopes = _slopes(bar, lean, tilt, math.cos(turn))
    return PlainEnd(lean, *slopes, -bar.half(towards) * math.tan(turn), 0.0, 0.0, normal)


def _slopes(bar: Limb, lean: float, tilt: Vec, facing: float) -> tuple[float, float]:
    """The slope of a cut across the width and the height of a section, degrees."""
    if bar.is_round:
        return lean, 0.0
    across = (math.degrees(math.atan2(abs(dot(tilt, axis)), facing)) for axis in (bar.wide, bar.high))
    return next(across), next(across)


def _crown(bar: Limb, onto: Limb, side: Vec, offset: float) -> float:
    """How high a flat end stands on a round bar, mm: on its crown, or beside it where it does not reach the crown."""
    beside = max(0.0, abs(offset) - bar.half(side))
    return math.sqrt(max(0.0, onto.half(side) ** 2 - beside * beside))


def _gap(bar: Limb, onto: Limb, side: Vec, offset: float, height: float) -> float:
    if not onto.is_round:
        return 0.0
    edge = abs(offset) + bar.half(side)
    return height - math.sqrt(max(0.0, onto.half(side) ** 2 - edge * edge))
