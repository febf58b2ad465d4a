"""The ends of a stay as they are made: drilled, or pressed flat and drilled."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.jobs.bodies import Body
from bentwork.jobs.stay_asked import StayLaid
from bentwork.models.cuts import Bore, Pressed
from bentwork.parts.stay import EndAsked, flat_end, flat_rooms, tongue_angle
from bentwork.piece.carried import carried
from bentwork.space import Vec, along, cross, dot, norm, unit
from bentwork.units import angle

__all__ = ["StayEnds", "stay_ends"]

_SQUARE = 0.05  # degrees: a flat that leans by less to its bolt is not bent
_LEAST = 1e-6  # sine and mm


@dataclass(frozen=True, slots=True)
class StayEnds:
    """What is done to the ends of a stay.

    Args:
        holes: through them.
        pressed: those that are pressed flat.
        plain: which are left as they are drawn, or are not made to the end, and why, a sentence each.
    """

    holes: tuple[Bore, ...]
    pressed: tuple[Pressed, ...]
    plain: tuple[str, ...]


def stay_ends(laid: StayLaid, body: Body) -> StayEnds:
    """Return what is done to the ends of a stay.

    Args:
        laid: the stay where it stands.
        body: of it, of either hand.
    """
    about = body.subject
    section, line = about.stock.section, about.line
    stretches = carried(line, about.way)
    flats = tuple(flat_end(section, end) for end in laid.asked.ends)
    rooms = flat_rooms(flats, line.table.straights)
    reach = 2.0 * max(section.depth("easy"), section.depth("hard"))
    holes, pressed, plain = [], [], []
    for number, (end, place, flat) in enumerate(zip(laid.asked.ends, (laid.start, laid.end), flats, strict=True)):
        if end.kind == "butted" or end.hole is None:
            continue
        side, way = "AB"[number], (line.end if number else line.start).tangent
        place, axis = _where(laid, body, end, place)
        if flat is not None:
            if flat.whole > rooms[number] - _LEAST:
                plain.append(f"end {side} is drawn round and without its hole: {_too_long(line.table.bends, number)}")
                continue
            lean = 0.0 if axis is None else tongue_angle(way, axis)
            if lean > _SQUARE:
                plain.append(f"the flat of end {side} is drawn straight: it is bent {angle(lean)} to lie to its bolt")
            axis = _square(axis, way) or stretches[-number].high
            pressed.append(Pressed(number, unit(cross(axis, way)), flat.length, flat.runs_out))
        holes.append(Bore(f"hole of end {side}", place, axis or stretches[-number].high, reach, end.hole))
    return StayEnds(tuple(holes), tuple(pressed), tuple(plain))


def _too_long(bends: tuple[object, ...], number: int) -> str:
    if not bends:
        return "the stay is shorter than its flats and what it takes to be round again"
    return f"the flat and what it takes to be round again would reach into bend {len(bends) if number else 1}"


def _square(axis: Vec | None, way: Vec) -> Vec | None:
    """The bolt's axis made square to the bar; None where there is none, or where it runs along the bar."""
    if axis is None:
        return None
    aside = along(axis, way, -dot(axis, way))
    return unit(aside) if norm(aside) > _LEAST else None


def _where(laid: StayLaid, body: Body, end: EndAsked, place: Vec) -> tuple[Vec, Vec | None]:
    """The middle of a hole and the axis of its bolt, of the hand that the body is."""
    axis = None if end.axis is None else unit(end.axis)
    if body.subject.as_drawn or laid.asked.mirror_in is None:
        return place, axis
    plane, at = laid.asked.mirror_in
    return _flipped(place, plane, at), None if axis is None else _flipped(axis, plane, 0.0)


def _flipped(v: Vec, axis: int, at: float) -> Vec:
    x, y, z = (2.0 * at - c if k == axis else c for k, c in enumerate(v))
    return (x, y, z)
