"""Crossbars between two straights: from what the job asks for to pieces of the frame, cut to sit where they stand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from bentwork.jobs.crossbar_asked import Crossbar
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import Rail, limb_of
from bentwork.parts.meeting import Meeting, meeting
from bentwork.parts.spread import spread
from bentwork.piece.corners import Corners
from bentwork.space import Vec, add, along, distance, dot, scale, sub, unit
from bentwork.stock.section import Section

__all__ = ["Laid", "crossbar_specs", "lay"]

_EQUAL = 0.01  # mm: crossbars that differ by less are one piece, made several times
_SQUARE = 0.2  # of cosine: straights at wider angles have no common way to go along
_BEYOND = 1e-6


@dataclass(frozen=True, slots=True)
class Laid:
    """One crossbar where it stands.

    Args:
        start: the middle of its first end, at its longest point, mm.
        end: likewise of its second.
        meetings: of both ends.
        stations: how far along the first and the second straight it stands, mm.
        beyond: how far it stands beyond the end of either straight, mm; 0 where it meets both.
    """

    start: Vec
    end: Vec
    meetings: tuple[Meeting, Meeting]
    stations: tuple[float, float]
    beyond: tuple[float, float]


@lru_cache(maxsize=64)  # jobs are read by several at once, which what is ``jobs.kept`` would not bear
def lay(asked: Crossbar, rails: tuple[Rail, Rail], section: Section) -> tuple[Laid, ...]:
    """Return every crossbar where it stands.

    Args:
        asked: what the job says.
        rails: the two straights.
        section: of the crossbars.

    Raises:
        ValueError: the bars cannot stand between the two straights: they would lie along them, pass them or have no
            length; or numbers and margins do not go together. The text says which.
    """
    one, other = rails
    places = spread(one.length, asked.count, asked.spacing, asked.first, asked.last)
    return tuple(_laid(asked, one, other, section, place) for place in places)


def _laid(asked: Crossbar, one: Rail, other: Rail, section: Section, place: float) -> Laid:
    near = along(one.limb.origin, one.limb.along, place)
    far_place = _across(asked, one, other, near)
    far = along(other.limb.origin, other.limb.along, far_place)
    near_off, far_off = add(near, asked.off), add(far, asked.off)
    if distance(near_off, far_off) < 1e-6:
        raise ValueError("the two straights cross there")
    way = unit(sub(far_off, near_off))
    line = Corners((near_off, far_off), ()).centreline()
    limb = limb_of(line, line.runs[0], section, "easy")
    back = type(limb)(far_off, scale(way, -1.0), limb.wide, limb.high, section)
    found = meeting(near_off, limb, one.limb), meeting(far_off, back, other.limb)
    if found[0] is None or found[1] is None:
        raise ValueError("a bar there would lie along a straight, or pass beside it")
    starts = [meet.longest(asked.ends) - meet.drawn for meet in (found[0], found[1])]
    if distance(near_off, far_off) - sum(starts) < 1.0:
        raise ValueError("there is no room for a bar between the two straights")
    return Laid(
        _tidy(along(near_off, way, starts[0])),
        _tidy(along(far_off, way, -starts[1])),
        (found[0], found[1]),
        (place, far_place),
        (_beyond(place, one.length), _beyond(far_place, other.length)),
    )


def _tidy(point: Vec) -> Vec:
    """Round-off of the corners' setbacks taken out: what is written of the place is short."""
    x, y, z = (round(c, 6) + 0.0 for c in point)
    return (x, y, z)


def _across(asked: Crossbar, one: Rail, other: Rail, near: Vec) -> float:
    """How far along the second straight the bar stands: square across from the first, and shifted."""
    shared = dot(one.limb.along, other.limb.along)
    away = sub(near, other.limb.origin)
    if abs(shared) < _SQUARE:  # nothing is square across: the nearest place
        return dot(away, other.limb.along) + asked.shift
    return (dot(away, one.limb.along) + asked.shift) / shared


def _beyond(place: float, length: float) -> float:
    out = max(-place, place - length, 0.0)
    return out if out > _BEYOND else 0.0


def crossbar_specs(asked: Crossbar, laid: tuple[Laid, ...]) -> tuple[PieceSpec, ...]:
    """Return crossbars as pieces: one piece with its copies where all are equal, else one for each, numbered."""
    if all(_equal(a, b) for a, b in pairwise(laid)):
        first = laid[0]
        shifts = tuple(_tidy(sub(bar.start, first.start)) for bar in laid) if len(laid) > 1 else ()
        shape = Corners((first.start, first.end), ())
        return (PieceSpec(asked.name, asked.stock, shape, count=len(laid), at=shifts, ends=asked.ends),)
    return tuple(
        PieceSpec(f"{asked.name} {number}", asked.stock, Corners((bar.start, bar.end), ()), ends=asked.ends)
        for number, bar in enumerate(laid, 1)
    )


def _equal(one: Laid, other: Laid) -> bool:
    return math.dist(sub(one.end, one.start), sub(other.end, other.start)) < _EQUAL
