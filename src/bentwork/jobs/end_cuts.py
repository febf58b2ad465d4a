"""What is done to the ends of a piece that are made by themselves: sawn at a slant, pressed flat, drilled."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bentwork.jobs.bodies import Body
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.own_ends import EndStanding, own_ends
from bentwork.models.cuts import CLEAR, Block, Bore, Pressed, Sawn, sawn_flat
from bentwork.parts.meeting import Limb
from bentwork.space import along, cross, scale, unit
from bentwork.units import angle

__all__ = ["EndCuts", "end_cuts", "room_of"]

_SQUARE = 0.05  # degrees: a flat that leans by less to its bolt is not bent


@dataclass(frozen=True, slots=True)
class EndCuts:
    """What is done to the ends of a piece.

    Args:
        cuts: holes through them, and slanting cuts.
        longer: how much longer than drawn the bar is before it is cut, at end A and at end B, mm.
        pressed: those that are pressed flat.
        plain: which are left as they are drawn, or are not made to the end, and why, a sentence each.
    """

    cuts: tuple[Bore | Sawn, ...]
    longer: tuple[float, float]
    pressed: tuple[Pressed, ...]
    plain: tuple[str, ...]


def end_cuts(spec: PieceSpec, body: Body) -> EndCuts:
    """Return what is done to the ends of a piece that are made by themselves.

    Args:
        spec: the piece.
        body: of it, of either hand.
    """
    about = body.subject
    bends = len(about.line.table.bends)
    longer = {"A": 0.0, "B": 0.0}
    cuts: list[Bore | Sawn] = []
    pressed, plain = [], []
    for one in own_ends(spec, about.stock.section, about.line, as_drawn=about.as_drawn):
        if one.plain is not None:
            if not one.fits:
                plain.append(f"end {one.end} is square: its cut would reach into {_next(one, bends)}")
                continue
            longer[one.end] = one.beyond + CLEAR
            cuts.append(_slant(one, longer[one.end], bent=bends > 0))
            continue
        if one.flat is not None:
            if not one.fits:
                hole = " and without its hole" if one.asked.made.hole else ""
                plain.append(f"end {one.end} is drawn round{hole}: {_too_long(one, bends)}")
                continue
            if one.lean > _SQUARE:
                told = f"the flat of end {one.end} is drawn straight: it is bent {angle(one.lean)} to lie to its bolt"
                plain.append(told)
            across = unit(cross(one.towards, one.limb.along))
            pressed.append(Pressed("AB".index(one.end), across, one.flat.length, one.flat.runs_out))
        if one.asked.made.hole is not None:
            cuts.append(_hole(one, one.asked.made.hole))
    return EndCuts(tuple(cuts), (longer["A"], longer["B"]), tuple(pressed), tuple(plain))


def room_of(limb: Limb, room: float, longer: float) -> Block:
    """Return the room round the straight at an end, from the bend outwards: nothing else of a bent bar is cut.

    Args:
        limb: the straight, from the end as it is drawn inwards.
        room: length of it, mm.
        longer: how much longer the bar is before it is cut, mm.
    """
    ways = (scale(limb.along, -1.0), limb.wide, limb.high)
    sizes = (limb.section.depth("hard") + CLEAR, limb.section.depth("easy") + CLEAR)
    return Block(along(limb.origin, limb.along, room), ways, (room + longer + CLEAR, *sizes))


def _slant(one: EndStanding, longer: float, *, bent: bool) -> Sawn:
    assert one.plain is not None
    normal = one.plain.normal
    cut = sawn_flat(f"the cut of end {one.end}", one.limb.origin, normal, unit(cross(normal, one.towards)))
    within = room_of(one.limb, one.room, longer) if bent else None
    return replace(cut, within=within, end="AB".index(one.end))


def _hole(one: EndStanding, diameter: float) -> Bore:
    section = one.limb.section
    reach = 2.0 * max(section.depth("easy"), section.depth("hard"))
    place = along(one.limb.origin, one.limb.along, one.asked.made.beyond)
    return Bore(f"hole of end {one.end}", place, one.towards, reach, diameter)


def _next(one: EndStanding, bends: int) -> str:
    return f"bend {1 if one.end == 'A' else bends}" if bends else "the other end"


def _too_long(one: EndStanding, bends: int) -> str:
    if not bends:
        return "the bar is shorter than its flats and what it takes to be round again"
    return f"the flat and what it takes to be round again would reach into {_next(one, bends)}"
