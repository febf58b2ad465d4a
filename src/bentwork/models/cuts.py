"""What is done to a bar before it is the finished piece: holes drilled, ends cut to sit on others or pressed flat."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from bentwork.parts.meeting import Ends, Meeting
from bentwork.piece.carried import Stretch
from bentwork.space import Vec, add, along, cross, dot, scale, unit

__all__ = ["CLEAR", "Block", "Bore", "Edge", "Pressed", "Sawn", "bore_through", "moved", "sawn_end", "sawn_flat"]

Point = tuple[float, float]
CLEAR = 0.1
"""So much more than the bar is cut, mm: where a cut only touches the longest point the kernel leaves a rag."""

_STANDS_OUT = 0.1  # mm: so far a drill stands out on either side; the next leg of a tight bracket must not be met
_PLAIN = 1e-6  # mm and degrees: an end that is so nearly what it is to be stays as it is


@dataclass(frozen=True, slots=True)
class Bore:
    """A hole or a slot with parallel walls.

    Args:
        told: which it is, in words.
        middle: a point of its axis, mm; of a slot the middle between its two rounds.
        axis: unit vector.
        reach: how far it is cut to either side of the middle along the axis, mm.
        diameter: mm; of a slot its width.
        slot: from the middle to the middle of one round, as a vector square to the axis, mm; zero for a hole.
    """

    told: str
    middle: Vec
    axis: Vec
    reach: float
    diameter: float
    slot: Vec = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch of the line that an end is cut along: straight, or by way of a third point round an arc.

    Args:
        start: (across, up), mm.
        end: likewise.
        via: a point of the arc between them; None for a straight.
    """

    start: Point
    end: Point
    via: Point | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """Room round a straight.

    Args:
        start: the middle of its lower face, mm.
        ways: unit vectors along the straight, along the section's width and along its height.
        sizes: along those, mm.
    """

    start: Vec
    ways: tuple[Vec, Vec, Vec]
    sizes: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Pressed:
    """The end of a round tube pressed flat: its bore lies flat on itself, and no wall is stretched.

    Args:
        end: 0 for end A, 1 for end B.
        across: unit vector along the width of the flat, square to the bar.
        length: of the flat, from the end of the bar, mm.
        runs_out: from there to where the tube is round again, mm.
    """

    end: int
    across: Vec
    length: float
    runs_out: float


@dataclass(frozen=True, slots=True)
class Sawn:
    """An end cut off: everything below a line that runs along the other bar.

    Args:
        told: which end, in words.
        origin: where (0, 0) of the line lies, mm.
        ways: unit vectors along the cut, across it and up to the metal that is left.
        edges: of the line, from one side to the other.
        within: nothing outside is cut, as of a bent bar only the straight at the end may be; None for a straight bar.
        end: 0 for end A, 1 for end B.
    """

    told: str
    origin: Vec
    ways: tuple[Vec, Vec, Vec]
    edges: tuple[Edge, ...]
    within: Block | None = None
    end: int = 0


def bore_through(
    told: str, stretch: Stretch, from_start: float, across: float, diameter: float, half_slot: Vec, thickness: float
) -> Bore:
    """Return a hole square to the wide face of a bar.

    Args:
        told: which it is, in words.
        stretch: the straight or bend that it is in.
        from_start: of the stretch to the middle of the hole, mm; a straight may be left at either end.
        across: from the middle of the width, mm.
        diameter: mm.
        half_slot: (along, across, unused) from the middle to the middle of one round, mm.
        thickness: of the bar, mm.
    """
    here = stretch.at(from_start)
    tangent = here.run.start.tangent
    middle = along(here.run.start.origin, here.wide, across)
    slot = add(scale(tangent, half_slot[0]), scale(here.wide, half_slot[1]))
    more = _STANDS_OUT
    if stretch.run.bend:
        # Beside its middle a bend rises over the plane that the drill stands on, by less than the drill reaches.
        more += diameter / 2.0 + abs(half_slot[0])
    return Bore(told, middle, here.high, thickness / 2.0 + more, diameter, slot)


def sawn_end(told: str, met: Meeting, ends: Ends) -> Sawn | None:
    """Return the cut that makes an end sit on another bar; None where a square end as it is drawn does.

    Args:
        told: which end, in words.
        met: how it meets the other bar.
        ends: how it is cut.
    """
    line, side, _ = met.ways
    if ends == "coped":
        return Sawn(told, met.foot, met.ways, _crown_edges(met))
    plain = met.plain
    if plain.lean < _PLAIN and met.drawn > plain.longest - _PLAIN:
        return None
    inward = _inward(met)
    nearest = along(met.foot, side, met.cope.offset)
    across = unit(cross(plain.normal, line)) if abs(dot(plain.normal, line)) < 0.9 else side
    return sawn_flat(told, along(nearest, inward, plain.middle), plain.normal, across)


def sawn_flat(told: str, middle: Vec, normal: Vec, across: Vec) -> Sawn:
    """Return a plain cut.

    Args:
        told: which end, in words.
        middle: a point of the cut, mm.
        normal: unit vector square to it, towards the metal that is left.
        across: unit vector in it.
    """
    return Sawn(told, middle, (cross(across, normal), across, normal), ())


def moved(cut: Bore | Sawn, shift: Vec) -> Bore | Sawn:
    """Return a cut somewhere else, mm."""
    if isinstance(cut, Bore):
        return replace(cut, middle=add(cut.middle, shift))
    within = cut.within and replace(cut.within, start=add(cut.within.start, shift))
    return replace(cut, origin=add(cut.origin, shift), within=within)


def _inward(met: Meeting) -> Vec:
    """The way from the other bar into this one."""
    line, _, up = met.ways
    theta = math.radians(met.angle)
    return add(scale(line, math.cos(theta)), scale(up, math.sin(theta)))


def _crown_edges(met: Meeting) -> tuple[Edge, ...]:
    """The upper side of the other bar, as the cope has it."""
    found: list[Edge] = []
    for one in met.cope.crown.stretches:
        via = None
        if one.middle is not None:
            half = (one.low[0] + one.high[0]) / 2.0 - one.middle[0], (one.low[1] + one.high[1]) / 2.0 - one.middle[1]
            length = math.hypot(*half)
            # Of half a round the chord goes through the middle: its top is straight up.
            way = (half[0] / length, half[1] / length) if length > 1e-6 * one.radius else (0.0, 1.0)
            via = one.middle[0] + one.radius * way[0], one.middle[1] + one.radius * way[1]
        found.append(Edge(one.low, one.high, via))
    return tuple(found)
