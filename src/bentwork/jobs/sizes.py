"""Sizes that were taken on a bar at the bench, as readings between the middles of its legs."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bentwork.fitup.chain import walk
from bentwork.fitup.made import ANGLE, Floats
from bentwork.fitup.readings import Kind, Reading
from bentwork.fitup.spots import NO_CORNER, Spot, points_of
from bentwork.jobs.fitting import Fitting
from bentwork.jobs.measured import MeasuredSize

__all__ = ["beyond", "readable", "reading_of"]


_KINDS: dict[str, Kind] = {"gap": "gap", "offset": "sideways", "rock": "rock"}
_UPWARDS: Kind = "upwards"


def readable(size: MeasuredSize, bends: int, made: Sequence[int], *, closed: bool) -> str:
    """Return why a size cannot be read on a bar of which some bends are made; empty where it can."""
    done = set(made)
    if size.kind in ("gap", "offset"):
        if not closed:
            return "an open piece has no ends that meet"
        return "" if len(done) == bends else "the ends come together when every bend is made"
    if size.kind == "rock":
        return "" if len(done) > 1 else "a bar rocks on a table when two bends are made"
    if size.kind == "height" and size.start not in done:
        return f"bend {size.start} is not made yet: only a bend lies flat on a table"
    for place in (size.start or 0, size.end or 0):
        if place > bends + 1:
            return f"the piece has {bends} bends; end B is place {bends + 1}"
        if 0 < place <= bends and place not in done:
            return f"bend {place} is not made yet"
        if closed and place > bends and len(done) < bends:
            return "end B of a closed piece is cut when every bend is made; until then nothing tells where it will be"
    if size.kind == "height" and not _off_the_table(size, sorted(done), bends):
        return f"what is beside bend {size.start} lies on the table with it; take a place further on"
    return ""


def _off_the_table(size: MeasuredSize, made: Sequence[int], bends: int) -> bool:
    """Whether a place lies beyond the legs of the bend that is flat: those two and their far corners lie with it."""
    flat, place = size.start or 0, size.end or 0
    legs = [0, *made, bends + 1]
    return abs(legs.index(place) - legs.index(flat)) > 1


def reading_of(size: MeasuredSize, fitting: Fitting, made: Sequence[int]) -> Reading | None:
    """Return a size as a reading; None where nothing can be told from it."""
    bar = fitting.bar
    if readable(size, bar.bends, made, closed=fitting.matters.closed):
        return None
    if size.kind in _KINDS:
        kind = _UPWARDS if size.way == "up" else _KINDS[size.kind]
        return Reading(kind, size.length, sd=size.sd, sure=size.sure, units=fitting.units)
    start, end = size.start or 0, size.end or 0
    corners = [place for place in (start, end) if 0 < place <= bar.bends]
    if any(bar.values[ANGLE, place - 1] >= NO_CORNER for place in corners):
        return None
    if size.kind == "height":
        spots = (*_lies_flat(size.start or 0, fitting, sorted(made)), _spot(size.end or 0, fitting))
        return Reading("height", size.length, spots=spots, sd=size.sd, sure=size.sure, units=fitting.units)
    more = beyond(size, fitting)
    length = size.length - more
    if length <= 0.0:
        return None
    if size.kind == "leg":
        legs = sorted(made)
        if [one for one in legs if start < one < end] or (end > bar.bends and legs[-1] != start):
            return None
        return Reading(
            "leg",
            length,
            sum(one <= start for one in legs) + 1,
            sd=size.sd,
            sure=size.sure,
            units=fitting.units,
            more=more,
        )
    ends = tuple(_spot(place, fitting) for place in (start, end))
    return Reading("across", length, spots=ends, sd=size.sd, sure=size.sure, units=fitting.units, more=more)


def _lies_flat(bend: int, fitting: Fitting, made: Sequence[int]) -> tuple[Spot, Spot, Spot]:
    """Three places of a bend that lies flat with both its legs: on the leg before it, its corner, on the leg behind."""
    bar, here = fitting.bar, bend - 1
    starts, ends, place = bar.starts, bar.starts + bar.used, made.index(bend)
    before = 0.0 if place == 0 else float(ends[made[place - 1] - 1])
    after = bar.length if place + 1 == len(made) else float(starts[made[place + 1] - 1])
    legs = 0.5 * (before + float(starts[here])), 0.5 * (float(ends[here]) + after)
    return Spot("its leg", at=legs[0]), Spot(f"corner {bend}", corner=bend), Spot("its other leg", at=legs[1])


def _spot(place: int, fitting: Fitting) -> Spot:
    bar = fitting.bar
    if place == 0:
        return Spot("end A", at=0.0)
    return Spot("end B", at=bar.length) if place > bar.bends else Spot(f"corner {place}", corner=place)


def beyond(size: MeasuredSize, fitting: Fitting) -> float:
    """Return how much longer a size is than between the middles, mm: corner points of the bar's skin lie out or in."""
    if size.measured_to == "middle" or size.kind == "height":  # over a table, the bar's half is below both
        return 0.0
    start, end = size.start or 0, size.end or 0
    bar, section = fitting.bar, fitting.plan.stock.section
    out = 1.0 if size.measured_to == "outside" else -1.0
    half = section.depth(fitting.plan.spec.way) / 2.0
    walks = walk(bar.values[:, :, np.newaxis], bar.shares)
    spots = [_spot(place, fitting) for place in (start, end)]
    points = points_of(spots, walks, bar)[0][..., 0]
    skins = [point + out * half * _outward(fitting, place) for point, place in zip(points, (start, end), strict=True)]
    return float(np.linalg.norm(skins[1] - skins[0]) - np.linalg.norm(points[1] - points[0]))


def _outward(fitting: Fitting, place: int) -> Floats:
    """From a corner point to that of the skin outside it, in halves of the bar's depth; nothing at an end."""
    bar, line = fitting.bar, fitting.plan.line
    if not 0 < place <= bar.bends or line is None:
        return np.zeros(3)
    walks = walk(bar.values[:, :, np.newaxis], bar.shares)
    before, after = float(bar.starts[place - 1]), float(bar.starts[place - 1] + bar.used[place - 1])
    tangents = [walks.station(at, past=past).tangent[:, 0] for at, past in ((before, place - 1), (after, place))]
    away = tangents[0] - tangents[1]
    size = float(np.linalg.norm(away))
    if size < 1e-9:
        return np.zeros(3)
    return np.asarray(away / size / math.cos(math.radians(float(bar.values[ANGLE, place - 1])) / 2.0))
