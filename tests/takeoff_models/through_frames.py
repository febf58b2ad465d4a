"""Frames fused into one solid at random whose bars go through others, stand on them askew, or on both sides of them.

Ends are not in the truth, but where the bars end is: of one that ends on another that is as far as its metal is seen.
"""

from __future__ import annotations

import math
import random
from typing import TypeAlias

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross, dot, scale, sub, unit
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from tests.takeoff_models import solids as make
from tests.takeoff_models.bent_frames import BARS, RAILS, SPACE, anywhere, bar, sizes
from tests.takeoff_models.truth import Truth

Made: TypeAlias = tuple[TopoDS_Shape, tuple[Truth, ...]]
FORMS = ("U", "closed", "turned up")
PLAIN = Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


class Place:
    """Where a frame lies: legs along x, the second one far along y, z square to both."""

    def __init__(self, pose: Pose) -> None:
        """Take the beginning of the first leg."""
        self.pose, self.x, self.y, self.z = pose, pose.tangent, cross(pose.axis, pose.tangent), pose.axis

    def at(self, x: float, y: float, z: float) -> Vec:
        """Return a point."""
        return along(along(along(self.pose.origin, self.x, x), self.y, y), self.z, z)

    def across(self, x: float, z: float, begin: float, end: float) -> Centreline:
        """Return a straight from y to y; the smaller size of a flat lies along z."""
        start = Pose(self.at(x, begin, z), self.y, cross(self.y, self.z))
        return Centreline(BendTable((end - begin,)), start)

    def bridge(self, x: float, z: float, high: float, far: float, radius: float) -> Centreline:
        """Return a bar that stands on both legs."""
        table = BendTable((high, far - 2.0 * radius, high), (Bend(radius, 90.0, 0.0),) * 2)
        return Centreline(table, Pose(self.at(x, 0.0, z), self.z, cross(self.z, self.y)))


def somewhere(chance: random.Random) -> Place:
    """Return flat on the table, or askew."""
    return Place(anywhere(chance) if chance.random() < 0.5 else PLAIN)


def fused(chance: random.Random, parts: list[TopoDS_Shape]) -> TopoDS_Shape:
    """Return bars as one solid, with the seams or without."""
    shape = make.fused(parts)
    return make.unified(shape) if chance.random() < 0.5 else shape


def filled(line: Centreline, section: Section, way: str = "easy") -> TopoDS_Shape:
    """Return all that is inside the outside of a bar."""
    if isinstance(section, Tube):
        return bar(line, Round(section.diameter))
    if isinstance(section, SquareTube):
        more = section.wall if section.corner_radius else 0.0
        wide, high = section.width - more, section.height - more
        core = make.built(line, Square(wide, high) if wide == high else Flat(wide, high), way)
        return make.fused([make.built(line, section, way), core]) if more else core
    return bar(line, section, way)


def without(shape: TopoDS_Shape, *others: TopoDS_Shape) -> TopoDS_Shape:
    """Return a solid without others, perhaps in pieces."""
    for other in others:
        shape = BRepAlgoAPI_Cut(shape, other).Shape()
    return shape


# Round bars.


def apart(point: Vec, line: Centreline) -> float:
    """Return how far a point is from a middle, mm, but for where it is nearest to an end."""
    found = math.inf
    for run in line.runs:
        rel = sub(point, run.start.origin)
        ahead, inward, aside = (dot(rel, way) for way in (run.start.tangent, run.start.inward, run.start.axis))
        if run.bend == 0:
            if 0.0 <= ahead <= run.length:
                found = min(found, math.hypot(inward, aside))
        elif 0.0 <= math.degrees(math.atan2(ahead, run.radius - inward)) <= run.angle:
            found = min(found, math.hypot(math.hypot(ahead, run.radius - inward) - run.radius, aside))
    return found


def sunk(origin: Vec, ahead: Vec, radius: float, rail: Centreline, rail_radius: float) -> float:
    """Return how far along a round bar that begins inside another one the first of its outside is seen, mm."""
    one = unit(cross(ahead, (0.3, 0.5, 0.8)))
    two = cross(ahead, one)

    def seen(turn: float) -> float:
        begin = along(along(origin, one, radius * math.cos(turn)), two, radius * math.sin(turn))
        low, high = 0.0, 0.0
        while apart(along(begin, ahead, high), rail) < rail_radius:
            low, high = high, high + 1.0
        while high - low > 1e-11:
            middle = (low + high) / 2.0
            low, high = (middle, high) if apart(along(begin, ahead, middle), rail) < rail_radius else (low, middle)
        return high

    least = min(range(90), key=lambda k: seen(k * math.pi / 45.0)) * math.pi / 45.0
    low, high = least - math.pi / 45.0, least + math.pi / 45.0
    while high - low > 1e-7:
        third = (high - low) / 3.0
        low, high = (low, high - third) if seen(low + third) < seen(high - third) else (low + third, high)
    return seen((low + high) / 2.0)


def shorter(line: Centreline, at_a: float, at_b: float) -> Centreline:
    """Return a middle with this much less at its ends."""
    straights = list(line.table.straights)
    straights[0] -= at_a
    straights[-1] -= at_b
    start = Pose(along(line.start.origin, line.start.tangent, at_a), line.start.tangent, line.start.axis)
    return Centreline(BendTable(tuple(straights), line.table.bends), start)


def round_frame(chance: random.Random) -> Made:
    """A round bar or tube bent to a U, a U with an end turned up or a closed frame, and others on it.

    Rungs and stays askew from leg to leg, bars through both legs, bars bent over both, one from the bow between the
    legs, one outward from a bend. Tubes are coped, and go through holes; a thing that only solid bars do is to be as
    thick as what they end on: rounded to three decimals the kernel does not read tubes right that do.
    """
    hollow = chance.random() < 0.5
    thick = chance.choice((14.0, 16.0, 22.0, 25.0))
    rail: Round | Tube = Tube(thick, chance.choice((1.5, 2.0))) if hollow else Round(thick)
    radius, leg, between = thick * chance.uniform(1.5, 3.0), chance.uniform(200.0, 350.0), chance.uniform(150.0, 300.0)
    place, form, square, begin = somewhere(chance), chance.choice(FORMS), Bend(radius, 90.0, 0.0), 0.0
    if form == "closed":
        table, begin = BendTable((leg / 2.0, between, leg, between, leg / 2.0), (square,) * 4, closed=True), -leg / 2.0
    elif form == "turned up":
        up = Bend(radius, chance.uniform(20.0, 90.0), chance.choice((-90.0, 90.0)))
        table = BendTable((leg, between, leg, 60.0), (square, square, up))
    else:
        table = BendTable((leg, between, leg), (square, square))
    main, far = Centreline(table, place.pose), between + 2.0 * radius
    whole, outside = bar(main, rail), filled(main, rail)
    truths = [Truth(main, rail)]
    parts: list[TopoDS_Shape] = []
    x, kinds = begin + SPACE, ["rung", "stay", "bridge", "through", "bow", "stub"]
    while len(parts) < 5:
        kind = chance.choice(kinds)
        small = chance.choice([size for size in (8.0, 10.0, 12.0, 16.0, 19.0) if size < thick])
        if not hollow and kind in ("rung", "bridge") and chance.random() < 0.2:
            small = thick
        section: Round | Tube = Tube(small, 1.0) if hollow else Round(small)
        slant = chance.uniform(20.0, min(150.0, leg / 2.0)) if kind == "stay" else 0.0
        wide = slant + 2.0 * small if slant else small
        ends = (True, True)
        if kind in ("bow", "stub"):
            # There is room for one of them.
            kinds = [one for one in kinds if one not in ("bow", "stub")]
            ends = (True, False)
        elif x + wide + SPACE > begin + leg:
            break
        if kind == "rung":
            line = place.across(x + small / 2.0, 0.0, 0.0, far)
        elif kind == "stay":
            way = unit(along(scale(place.x, slant), place.y, far))
            start = Pose(place.at(x + small, 0.0, 0.0), way, place.z)
            line = Centreline(BendTable((math.hypot(slant, far),)), start)
        elif kind == "bridge":
            high = chance.uniform(60.0, 150.0)
            line = place.bridge(x + small / 2.0, 0.0, high, far, small * chance.uniform(1.5, 3.0))
        elif kind == "through":
            over = chance.uniform(20.0, 80.0)
            line, ends = place.across(x + small / 2.0, 0.0, -over, far + over), (False, False)
        elif kind == "bow":
            start = Pose(
                place.at(begin + leg + radius, radius + between * chance.uniform(0.3, 0.7), 0.0),
                place.x,
                scale(place.y, chance.choice((-1.0, 1.0))),
            )
            lengths = chance.uniform(thick + 5.0, 60.0), chance.uniform(40.0, 80.0)
            line = Centreline(BendTable(lengths, (Bend(2.0 * small, chance.uniform(30.0, 90.0), 0.0),)), start)
        else:
            turn = chance.uniform(0.2, 0.8) * math.pi / 2.0
            way = along(scale(place.x, math.sin(turn)), place.y, -math.cos(turn))
            start = Pose(along(place.at(begin + leg, radius, 0.0), way, radius), way, place.z)
            line = Centreline(BendTable((chance.uniform(60.0, 150.0),)), start)
        if kind not in ("bow", "stub"):
            x += wide + chance.uniform(SPACE, 60.0)
        one = bar(line, section)
        if hollow and kind == "through":
            whole = without(whole, filled(line, section))
        elif hollow:
            one = make.solid_of(without(one, outside))
        parts.append(one)
        from_a = sunk(line.start.origin, line.start.tangent, small / 2.0, main, thick / 2.0) if ends[0] else 0.0
        back = scale(line.end.tangent, -1.0)
        from_b = sunk(line.end.origin, back, small / 2.0, main, thick / 2.0) if ends[1] else 0.0
        truths.append(Truth(shorter(line, from_a, from_b), section))
    return fused(chance, [whole, *parts]), tuple(truths)


# Square, rectangular and flat bars.

SMALL = (*BARS, Flat(12.0, 3.0), Square(6.0, 6.0))


def square_frame(chance: random.Random) -> Made:
    """Two straight rails, a U or a closed frame of square, rectangular or flat bar, and others on it.

    Rungs and stays askew from leg to leg, bars through both, bars bent over both, stubs on the outside, and what is on
    both sides of a leg in one line: that is one bar where the leg is solid, and two where it is hollow.
    """
    rail = chance.choice([one for one in RAILS if not isinstance(one, Round)])
    wide, thin = sizes(rail)
    way = chance.choice(("easy", "hard")) if wide != thin else None
    deep, tall = (wide, thin) if way == "hard" else (thin, wide)
    radius, leg, between = deep * chance.uniform(1.5, 3.0), chance.uniform(200.0, 350.0), chance.uniform(150.0, 300.0)
    place, form, square, begin = somewhere(chance), chance.choice(("U", "closed", "straight")), Bend(radius, 90.0), 0.0
    far = between + 2.0 * radius
    if form == "closed":
        table, begin = BendTable((leg / 2.0, between, leg, between, leg / 2.0), (square,) * 4, closed=True), -leg / 2.0
        rails = [Centreline(table, place.pose)]
    elif form == "U":
        rails = [Centreline(BendTable((leg, between, leg), (square, square)), place.pose)]
    else:
        starts = (Pose(place.at(0.0, y, 0.0), place.x, place.z) for y in (0.0, far))
        rails = [Centreline(BendTable((leg,)), start) for start in starts]
    hollow = isinstance(rail, SquareTube)
    corner = rail.corner_radius if isinstance(rail, SquareTube) else 0.0
    truths = [Truth(line, rail, way if form != "straight" else None) for line in rails]
    wholes, outsides = ([of(line, rail, way or "easy") for line in rails] for of in (bar, filled))
    parts: list[TopoDS_Shape] = []
    count, x = 0, begin + SPACE
    while count < 5:
        kind, section = chance.choice(("rung", "bridge", "through", "stub", "pair", "stay")), chance.choice(SMALL)
        broad, high = sizes(section)
        slant = chance.uniform(20.0, min(150.0, leg / 2.0)) if kind == "stay" else 0.0
        if broad * slant > 0.9 * deep * far:
            continue  # its square end would come out on the far side of the rail
        room = deep / 2.0 - corner - high / 2.0 if kind == "bridge" else tall / 2.0 - corner - high / 2.0
        takes = slant + 1.5 * broad + 6.0 if slant else broad
        if x + takes + SPACE > begin + leg:
            break
        if room < 0.5:
            x += 5.0  # too thick for this rail: another one, or none at all
            continue
        middle, z = x + broad / 2.0, chance.uniform(0.1 - room, room - 0.1)
        over = chance.uniform(20.0, 80.0) + (6.0 if isinstance(section, Flat) else 2.0) * broad
        inner, outer = deep / 2.0, -deep / 2.0 - over
        if kind == "rung":
            lines = told = [place.across(middle, z, inner, far - inner)]
        elif kind == "stub":
            lines = told = [place.across(middle, z, outer, -inner)]
        elif kind == "through":
            lines = told = [place.across(middle, z, outer, far - outer)]
            if hollow:
                wholes = [without(whole, filled(lines[0], section)) for whole in wholes]
        elif kind == "pair":
            lines = [place.across(middle, z, outer, -inner), place.across(middle, z, inner, far - inner)]
            told = lines if hollow else [place.across(middle, z, outer, far - inner)]
        elif kind == "bridge":
            bend = high * chance.uniform(1.5, 3.0)
            lines = told = [place.bridge(middle, tall / 2.0, chance.uniform(60.0, 150.0), far, bend)]
        else:
            ahead, share = unit(along(scale(place.x, slant), place.y, far)), far / math.hypot(slant, far)
            start, thick = place.at(x + 0.75 * broad + 3.0, 0.0, z), cross(place.x, place.y)
            lines = [Centreline(BendTable((far / share,)), Pose(start, ahead, cross(ahead, thick)))]
            # On a flat side of the rail one side of it goes further than the other.
            more = broad * slant / far / 2.0
            told = [shorter(lines[0], *(inner / share - more,) * 2)]
        shapes = [bar(line, section) for line in lines]
        parts += [without(one, *outsides) for one in shapes] if kind == "stay" else shapes
        bent = "easy" if kind == "bridge" and broad != high else None
        truths += [Truth(line, section, bent) for line in told]
        x += takes + chance.uniform(SPACE, 60.0)
        count += 1
    return fused(chance, [*wholes, *parts]), tuple(truths)


# Bars bent to a U that cross at the top.

HOOPS: tuple[Section, ...] = (
    *(Round(10.0), Round(14.0), Tube(20.0, 1.5), Tube(16.0, 1.5), Square(12.0, 12.0), Flat(20.0, 4.0), Flat(12.0, 3.0)),
    *(SquareTube(20.0, 20.0, 1.5, 0.0), SquareTube(25.0, 25.0, 2.0, 3.0)),
)


def crossed_hoops(chance: random.Random) -> Made:
    """Two bars, each bent to a U, that cross at the top; on a hollow one the other ends on both sides."""
    first = chance.choice(HOOPS)
    hollow = isinstance(first, Tube | SquareTube)
    others = [one for one in HOOPS if hollow or not isinstance(one, Tube | SquareTube)]
    if isinstance(first, Tube):
        others = [one for one in others if isinstance(one, Round | Tube) and one.diameter < first.diameter]
    elif isinstance(first, SquareTube):
        flat = first.height - 2.0 * first.corner_radius
        others = [one for one in others if sizes(one)[1] < flat - 1.0]
    second = chance.choice(others)
    place, high = somewhere(chance), chance.uniform(80.0, 200.0)
    askew = 90.0 if isinstance(first, SquareTube) else chance.choice((90.0, chance.uniform(50.0, 130.0)))
    turn = math.radians(askew)
    way = along(scale(place.x, math.cos(turn)), place.y, math.sin(turn))
    thin = sizes(second)[1]
    bend, half = Bend(thin * chance.uniform(1.6, 3.0), 90.0), chance.uniform(90.0, 200.0)
    legs, bow = high - bend.radius, half - bend.radius

    def beginning(half: float, way: Vec) -> Pose:
        return Pose(along(place.pose.origin, way, -half), place.z, cross(place.z, way))

    own = Bend(sizes(first)[1] * chance.uniform(1.6, 3.0), 90.0)
    own_half = chance.uniform(90.0, 200.0)
    table = BendTable((high - own.radius, 2.0 * (own_half - own.radius), high - own.radius), (own, own))
    main = Centreline(table, beginning(own_half, place.x))
    other = Centreline(BendTable((legs, 2.0 * bow, legs), (bend, bend)), beginning(half, way))
    bent = "easy" if isinstance(second, Flat) else None
    truths = [Truth(main, first, "easy" if isinstance(first, Flat) else None)]
    whole, rest = bar(main, first), bar(other, second)
    if not hollow:
        return fused(chance, [whole, rest]), (*truths, Truth(other, second, bent))
    for ahead in (way, scale(way, -1.0)):
        if isinstance(first, Tube):
            assert isinstance(second, Round | Tube)
            top = place.at(0.0, 0.0, high)
            off = sunk(top, scale(ahead, -1.0), second.diameter / 2.0, main, first.diameter / 2.0)
        else:
            off = sizes(first)[0] / 2.0
        truths.append(Truth(Centreline(BendTable((legs, bow - off), (bend,)), beginning(half, ahead)), second, bent))
    return fused(chance, [whole, without(rest, filled(main, first))]), tuple(truths)
