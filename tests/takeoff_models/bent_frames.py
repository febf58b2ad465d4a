"""Frames fused into one solid at random that have a bent bar in them: bars between its legs, or laid on them."""

from __future__ import annotations

import math
import random

from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross, dot, unit
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from tests.takeoff_models import solids as make
from tests.takeoff_models.truth import Truth

RAILS: tuple[Section, ...] = (
    *(Flat(20.0, 4.0), Flat(30.0, 3.0), Flat(25.0, 6.0), Square(12.0, 12.0), Round(14.0)),
    *(SquareTube(25.0, 25.0, 2.0, 3.0), SquareTube(30.0, 20.0, 2.0, 0.0), SquareTube(40.0, 20.0, 2.0, 3.0)),
)
BARS: tuple[Section, ...] = (Flat(18.0, 4.0), Square(8.0, 8.0), Round(8.0), SquareTube(12.0, 12.0, 1.0, 2.0))
SPACE = 12.0
"""Between bars, and from them to the next bend, mm."""


def sizes(section: Section) -> tuple[float, float]:
    """The larger and the smaller size of a section."""
    if isinstance(section, Round | Tube):
        return section.diameter, section.diameter
    assert isinstance(section, Flat | Square | SquareTube)
    return section.width, section.height


def anywhere(chance: random.Random) -> Pose:
    """A place and three directions."""

    def some() -> Vec:
        return (chance.uniform(-1.0, 1.0), chance.uniform(-1.0, 1.0), chance.uniform(-1.0, 1.0))

    ahead = unit(some())
    aside = some()
    across = unit(along(aside, ahead, -dot(aside, ahead)))
    return Pose((chance.uniform(-500.0, 500.0), chance.uniform(-500.0, 500.0), 80.0), ahead, across)


def bar(line: Centreline, section: Section, way: str = "easy") -> TopoDS_Shape:
    """A bar by itself."""
    return make.swept(line, section) if isinstance(section, Round | Tube) else make.built(line, section, way)


def bent_frame(chance: random.Random) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """A bar bent to a U, a U with its ends turned up, or a closed frame, with others from leg to leg; some tilted.

    What ends on a leg ends square on a flat side of it, or lies on it; round on round ends where both are one. Ends are
    not in the truth.
    """
    rail = chance.choice(RAILS)
    wide, thin = sizes(rail)
    way = chance.choice(("easy", "hard")) if wide != thin else None
    deep, tall = (wide, thin) if way == "hard" else (thin, wide)
    radius = deep * chance.uniform(1.5, 3.0)
    leg, apart = chance.uniform(150.0, 300.0), chance.uniform(100.0, 300.0)
    here = anywhere(chance) if chance.random() < 0.5 else Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    square = Bend(radius, 90.0, 0.0)
    form = chance.choice(("U", "closed", "turned up") if way is None else ("U", "closed"))
    begin = 0.0
    if form == "closed":
        table = BendTable((leg / 2.0, apart, leg, apart, leg / 2.0), (square,) * 4, closed=True)
        begin = -leg / 2.0
    elif form == "turned up":
        up = chance.choice((-90.0, 90.0))
        ends = Bend(radius, chance.uniform(20.0, 90.0), up)
        table = BendTable((leg, apart, leg, 60.0), (square, square, ends))
    else:
        table = BendTable((leg, apart, leg), (square, square))
    truths = [Truth(Centreline(table, here), rail, way)]
    far = apart + 2.0 * radius  # from middle to middle of the legs
    inward = cross(here.axis, here.tangent)

    def at(x: float, y: float, z: float) -> Vec:
        return along(along(along(here.origin, here.tangent, x), inward, y), here.axis, z)

    corner = rail.corner_radius if isinstance(rail, SquareTube) else 0.0
    parts = [bar(truths[0].line, rail, way or "easy")]
    place = begin + SPACE
    while len(truths) < 6:
        section = chance.choice(BARS if not isinstance(rail, Round) else (Round(8.0),))
        broad, high = sizes(section)
        if place + broad + SPACE > begin + leg:
            break
        x, room = place + broad / 2.0, tall / 2.0 - corner - high / 2.0
        place += broad + chance.uniform(SPACE, 120.0)
        if isinstance(rail, Round):
            sunk = math.sqrt(rail.diameter**2 - broad**2) / 2.0
            drawn = Centreline(BendTable((far,)), Pose(at(x, 0.0, 0.0), inward, here.axis))
            line = Centreline(BendTable((far - 2.0 * sunk,)), Pose(at(x, sunk, 0.0), inward, here.axis))
        else:
            if chance.random() < 0.3 and not isinstance(section, Round):
                over = chance.choice((0.0, chance.uniform(1.0, 30.0)))
                y, z = -deep / 2.0 - over, tall / 2.0 + high / 2.0
            elif room > 0.5:
                flush = corner == 0.0 and not isinstance(section, Round) and chance.random() < 0.3
                y, z = deep / 2.0, chance.choice((-room, room)) if flush else chance.uniform(0.1 - room, room - 0.1)
            else:
                continue
            thick = cross(inward, here.axis)
            drawn = line = Centreline(BendTable((far - 2.0 * y,)), Pose(at(x, y, z), inward, thick))
        truths.append(Truth(line, section))
        parts.append(bar(drawn, section))
    shape = make.fused(parts)
    return (make.unified(shape) if chance.random() < 0.5 else shape), tuple(truths)


def hoops(chance: random.Random) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """Two bars bent alike above one another, with posts between them; some tilted. Ends are not in the truth."""
    rail = chance.choice(RAILS)
    wide, thin = sizes(rail)
    way = chance.choice(("easy", "hard")) if wide != thin else None
    deep, tall = (wide, thin) if way == "hard" else (thin, wide)
    square = Bend(deep * chance.uniform(1.5, 3.0), 90.0, 0.0)
    leg, apart, high = chance.uniform(150.0, 300.0), chance.uniform(100.0, 300.0), chance.uniform(120.0, 220.0)
    here = anywhere(chance) if chance.random() < 0.5 else Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    inward = cross(here.axis, here.tangent)

    def at(x: float, y: float, z: float) -> Vec:
        return along(along(along(here.origin, here.tangent, x), inward, y), here.axis, z)

    table = BendTable((leg, apart, leg), (square, square))
    lines = [Centreline(table, Pose(at(0.0, 0.0, z), here.tangent, here.axis)) for z in (0.0, high)]
    truths = [Truth(line, rail, way) for line in lines]
    parts = [bar(line, rail, way or "easy") for line in lines]
    room = deep - 2.0 * (rail.corner_radius if isinstance(rail, SquareTube) else 0.0)
    posts = [one for one in BARS if sizes(one)[1] < room - 0.5] or [Flat(18.0, 2.0)]
    for x in [leg * (k + 0.7) / 4.0 for k in range(chance.randint(1, 3))]:
        for y in (0.0, apart + 2.0 * square.radius):
            if isinstance(rail, Round):
                section: Section = Round(8.0)
                sunk = math.sqrt(rail.diameter**2 - 8.0**2) / 2.0
                parts.append(bar(Centreline(BendTable((high,)), Pose(at(x, y, 0.0), here.axis, inward)), section))
                line = Centreline(BendTable((high - 2.0 * sunk,)), Pose(at(x, y, sunk), here.axis, inward))
            else:
                section = chance.choice(posts)
                thick = cross(here.axis, inward)
                line = Centreline(BendTable((high - tall,)), Pose(at(x, y, tall / 2.0), here.axis, thick))
                parts.append(bar(line, section))
            truths.append(Truth(line, section))
    shape = make.fused(parts)
    return (make.unified(shape) if chance.random() < 0.5 else shape), tuple(truths)
