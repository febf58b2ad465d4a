"""Drilled holes and slots: where along the developed length, and where round the bar."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bentwork.piece.bend import half_turn
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, cross, distance, dot, norm, scale, sub, unit
from bentwork.takeoff.bar import Hole, off_middle
from bentwork.takeoff.ends import SQUARE_WITHIN
from bentwork.takeoff.rests import Rest
from bentwork.takeoff.shape import Face, Floats
from bentwork.takeoff.unbend import nearest, one_by_one

__all__ = ["holes_of"]

SAME_AXIS, SAME_WAY, ROUNDED = 5e-3, 1e-4, 1e-3
"""Walls whose holes are less apart were drilled in one go, mm, and lean less, rad; what three decimals leave, mm."""
ONE_LEG = 0.95
"""Of how far walls of one axis are apart they may be along the bar, too: holes lean up to 70 degrees."""
ROUND = 1.5 * math.pi
"""A hole shows more than this of its round, rad."""
SLOT_END = (0.9 * math.pi, 1.1 * math.pi)
"""The end of a slot shows half a turn, rad."""


@dataclass(frozen=True, slots=True)
class _Bored:
    """Walls about one axis.

    Args:
        walls: the faces.
        origin: a point of the axis.
        axis: unit.
        low: where along the axis the walls begin.
        high: where they end.
        shown: how much of the round there is, rad.
        slot: from end to end of a slot, middle to middle, as a vector, mm; nothing for a round hole.
        sunk: the largest radius of a countersink, mm.
    """

    walls: tuple[Face, ...]
    origin: Vec
    axis: Vec
    low: float
    high: float
    shown: float
    slot: Vec = (0.0, 0.0, 0.0)
    sunk: float = 0.0

    @property
    def radius(self) -> float:
        """Radius, mm."""
        return self.walls[0].radius


def holes_of(line: Centreline, rests: Sequence[Rest], half: float) -> tuple[Hole, ...]:
    """Return the holes of a bar, by station.

    Args:
        line: of the bar.
        rests: faces that are no sides and no bore.
        half: half of the section's smaller size, mm.
    """
    walls = [r.face for r in rests if r.face.kind == "cylinder" and not r.face.outward]
    if not walls:
        return ()
    groups: list[list[Face]] = []
    for wall in walls:
        for group in groups:
            if _same(wall, group[0]):
                group.append(wall)
                break
        else:
            groups.append([wall])
    sinks = [r for r in rests if r.face.kind == "cone" and not r.face.outward and len(r.points)]
    bored = [_sunk(one, sinks) for one in map(_bored, _apart(line, groups)) if one is not None]
    planes = [r.face for r in rests if r.face.kind == "plane"]
    round_ones = [one for one in bored if one.shown >= ROUND]
    ends = [one for one in bored if SLOT_END[0] <= one.shown <= SLOT_END[1]]
    all_ones = [*round_ones, *_slots(ends, planes)]
    if not all_ones:
        return ()
    around = [r for r in rests if len(r.points)]
    firsts = np.array([r.points[0] for r in around]).reshape(-1, 3)
    rows = zip(all_ones, _near(line, all_ones, half), strict=True)
    found = [_hole(line, one, near, around, firsts, half) for one, near in rows]
    return tuple(sorted((hole for hole in found if hole), key=lambda hole: (hole.at, hole.round)))


def _apart(line: Centreline, groups: Sequence[list[Face]]) -> Iterator[list[Face]]:
    """Yield walls that were drilled in one go: one axis may go through several legs of a bar, far apart along it."""
    several = [wall for group in groups if len(group) > 1 for wall in group]
    if not several:
        yield from groups
        return
    middles = [along(wall.origin, wall.axis, (wall.v[0] + wall.v[1]) / 2.0) for wall in several]
    stations = dict(zip(map(id, several), nearest(line, np.array(middles)).flat[:, 0].tolist(), strict=True))
    places = dict(zip(map(id, several), middles, strict=True))
    length = line.table.length
    for group in groups:
        legs: list[list[Face]] = []
        for wall in group:
            for leg in legs:
                first = id(leg[0])
                between = distance(places[id(wall)], places[first])
                apart = abs(stations[id(wall)] - stations[first])
                apart = min(apart, length - apart) if line.table.closed else apart  # the seam may go through a hole
                if apart <= ONE_LEG * between + SAME_AXIS:
                    leg.append(wall)
                    break
            else:
                legs.append([wall])
        yield from legs


def _same(a: Face, b: Face) -> bool:
    between = sub(a.origin, b.origin)
    ahead = dot(between, b.axis)
    # Thin walls in files of three decimals hardly know which way they are drilled.
    lean = SAME_WAY + ROUNDED / max(min(a.v[1] - a.v[0], b.v[1] - b.v[0]), 1.0)
    aside = norm(along(between, b.axis, -ahead))
    near = aside < SAME_AXIS + lean * abs(ahead) and abs(a.radius - b.radius) < SAME_AXIS
    return near and norm(cross(a.axis, b.axis)) < lean


def _axis_of(walls: Sequence[Face]) -> tuple[Vec, Vec]:
    """Return a point and the direction of the axis of walls: two that are far apart know it better than each alone."""
    first = walls[0]
    middles = [along(wall.origin, wall.axis, (wall.v[0] + wall.v[1]) / 2.0) for wall in walls]
    far = max(middles, key=lambda point: distance(point, middles[0]))
    way = sub(far, middles[0])
    length = norm(way)
    if length < 2.0 * max(wall.v[1] - wall.v[0] for wall in walls) or norm(cross(way, first.axis)) < 1e-6 * length:
        return first.origin, first.axis
    sign = 1.0 if dot(way, first.axis) > 0.0 else -1.0
    return middles[0], scale(way, sign / length)


def _bored(walls: list[Face]) -> _Bored | None:
    origin, axis = _axis_of(walls)
    spans = []
    for wall in walls:
        offset = dot(sub(wall.origin, origin), axis)
        sign = 1.0 if dot(wall.axis, axis) > 0.0 else -1.0
        spans.append(sorted((offset + sign * wall.v[0], offset + sign * wall.v[1])))
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    if high <= low:
        return None
    return _Bored(tuple(walls), origin, axis, low, high, _shown(walls))


def _shown(walls: Sequence[Face]) -> float:
    """Return how much of its round a hole shows, rad: of one aslant, each half lies elsewhere along the axis."""
    first, whole = walls[0], 2.0 * math.pi
    spans = []
    for wall in walls:
        middle, half = _out(wall, (wall.u[0] + wall.u[1]) / 2.0), (wall.u[1] - wall.u[0]) / 2.0
        at = math.atan2(dot(middle, first.y), dot(middle, first.x))
        if half >= math.pi - 1e-6:
            return whole
        low = (at - half) % whole
        spans.append([low, min(low + 2.0 * half, whole)])
        spans.append([0.0, max(0.0, low + 2.0 * half - whole)])
    return sum(b - a for a, b in _union(spans))


def _sunk(bored: _Bored, sinks: Sequence[Rest]) -> _Bored:
    """Return a hole as far as its countersinks go: of a thin wall one may leave nothing else."""
    if not sinks:
        return bored
    low, high, axis, sunk = bored.low, bored.high, np.array(bored.axis), 0.0
    for sink in sinks:
        beside = norm(cross(sub(sink.face.origin, bored.origin), bored.axis))
        if norm(cross(sink.face.axis, bored.axis)) > 1e-4 or beside > 4.0 * SAME_AXIS:
            continue
        rel = sink.points - bored.origin
        along_axis = rel @ axis
        aside = np.linalg.norm(rel - along_axis[:, None] * axis, axis=1)
        # The point of a drill ends on the axis, a countersink as wide as the hole or wider.
        if np.abs(aside.min() - bored.radius) < SAME_AXIS or aside.min() > bored.radius:
            low, high = min(low, float(along_axis.min())), max(high, float(along_axis.max()))
            sunk = max(sunk, float(aside.max()))
    return replace(bored, low=low, high=high, sunk=sunk)


def _slots(ends: Sequence[_Bored], planes: Sequence[Face]) -> Iterator[_Bored]:
    """Return slots: two half rounds that look at one another, and plane walls from one to the other."""
    left = list(ends)
    while left:
        one = left.pop(0)
        for two in left:
            slot = _slot(one, two, planes)
            if slot is not None:
                left.remove(two)
                yield slot
                break


def _slot(one: _Bored, two: _Bored, planes: Sequence[Face]) -> _Bored | None:
    if norm(cross(one.axis, two.axis)) > 1e-4 or abs(one.radius - two.radius) > SAME_AXIS:
        return None
    between = sub(two.origin, one.origin)
    shift = dot(between, one.axis)
    aside = along(between, one.axis, -shift)
    length = norm(aside)
    if length < SAME_AXIS or dot(_back(one), aside) > -0.9 * length or dot(_back(two), aside) < 0.9 * length:
        return None
    sides = set()
    for plane in planes:
        if abs(dot(plane.axis, one.axis)) < 1e-4 and abs(dot(plane.axis, aside)) < 1e-4 * length:
            off = dot(sub(plane.origin, one.origin), unit(cross(one.axis, aside)))
            if abs(abs(off) - one.radius) < SAME_AXIS:
                sides.add(off > 0.0)
    if len(sides) < 2:
        return None
    sign = 1.0 if dot(two.axis, one.axis) > 0.0 else -1.0
    others = sorted((shift + sign * two.low, shift + sign * two.high))
    if others[0] > one.high or others[1] < one.low:
        return None  # in another leg of the bar
    low, high = min(one.low, others[0]), max(one.high, others[1])
    return _Bored((*one.walls, *two.walls), along(one.origin, aside, 0.5), one.axis, low, high, one.shown, aside)


def _back(end: _Bored) -> Vec:
    """Return the direction from the axis to the middle of a half round: the mean over the faces that it is in."""
    found: Vec = (0.0, 0.0, 0.0)
    for wall in end.walls:
        first, last = wall.u
        found = along(found, _out(wall, (first + last) / 2.0), math.sin((last - first) / 2.0))
    return unit(found)


def _out(face: Face, u: float) -> Vec:
    return along(scale(face.x, math.cos(u)), face.y, math.sin(u))


def _hole(
    line: Centreline,
    bored: _Bored,
    near: tuple[int, float, float],
    rests: Sequence[Rest],
    firsts: Floats,
    half: float,
) -> Hole | None:
    low, high, measured = bored.low, bored.high, one_by_one(line, near[0])
    origin, axis = bored.origin, bored.axis
    middle = _foot(measured, origin, axis, near)
    foot, *ends = (measured(along(origin, axis, middle + step)) for step in (0.0, -0.25 * half, 0.25 * half))
    way = [b - a for a, b in zip(*ends, strict=True)]
    if math.hypot(way[1], way[2]) < 0.3 * math.hypot(*way[:3]):
        return None  # along the bar: a bore, or a thread in its end
    outward, inward = high - middle, middle - low
    through = min(outward, inward) > 0.0 and not _has_bottom(bored, rests, firsts)
    angle = math.degrees(math.atan2(way[2], way[1]))
    if inward > outward:
        angle += 180.0
    angle = half_turn(angle)
    if through:
        angle = angle % 180.0
        angle = 0.0 if min(angle, 180.0 - angle) < 1e-6 else angle
    off = off_middle((foot[1], foot[2]), angle)
    off = off if abs(off) > 1e-4 else 0.0
    slant = math.degrees(math.atan2(abs(way[0]), math.hypot(way[1], way[2])))
    slant = slant if slant > SQUARE_WITHIN else 0.0
    slot = norm(bored.slot)
    if not slot:
        return Hole(foot[0], angle, 2.0 * bored.radius, through, off, slant=slant, sunk=2.0 * bored.sunk)
    passes, share = along(origin, axis, middle), 0.5 * min(1.0, half / slot)
    ends = [measured(along(passes, bored.slot, end)) for end in (-share, share)]
    way = [abs(b - a) for a, b in zip(*ends, strict=True)]
    lean = math.degrees(math.atan2(math.hypot(way[1], way[2]), way[0]))
    return Hole(foot[0], angle, 2.0 * bored.radius, through, off, slot, lean, slant)


def _near(line: Centreline, bored: Sequence[_Bored], half: float) -> list[tuple[int, float, float]]:
    """Return near which straight or arc each axis passes the bar, where along the axis, and to within what, mm."""
    middles = np.array([(one.low + one.high) / 2.0 for one in bored])
    widths = np.array([4.0 * half + one.high - one.low for one in bored])
    places = middles[:, None] + widths[:, None] * np.linspace(-1.0, 1.0, 33)
    origins, axes = np.array([one.origin for one in bored]), np.array([one.axis for one in bored])
    points = origins[:, None] + places[..., None] * axes[:, None]
    near = nearest(line, points.reshape(-1, 3))
    each = np.arange(len(bored))
    best = near.squares.reshape(-1, 33).argmin(axis=1)
    runs, steps = near.runs.reshape(-1, 33)[each, best], widths / 16.0
    return list(zip(runs.tolist(), places[each, best].tolist(), steps.tolist(), strict=True))


def _foot(
    measured: Callable[[Vec], tuple[float, float, float, float]], origin: Vec, axis: Vec, near: tuple[int, float, float]
) -> float:
    """Return how far along an axis it passes nearest to the middle of a bar, from where it is near to it."""

    def square(place: float) -> float:
        _, inward, across, off = measured(along(origin, axis, place))
        return inward * inward + across * across + off * off

    _, middle, step = near
    # Along a straight the square of the distance is a parabola; round a bend it comes near to one.
    for _ in range(3):
        one, two, three = square(middle - step), square(middle), square(middle + step)
        curved = one - 2.0 * two + three
        if curved > 0.0:
            middle += step * max(-1.0, min(1.0, (one - three) / (2.0 * curved)))
        step /= 8.0
    return middle


def _has_bottom(bored: _Bored, rests: Sequence[Rest], firsts: Floats) -> bool:
    """Tell whether a hole ends in the metal: a face across it that lies within its round.

    Args:
        bored: the hole.
        rests: faces with samples.
        firsts: of the samples of each the first, (n, 3).
    """
    if not rests:
        return False
    numbers = {one.part_of for one in bored.walls}
    axis, slot = np.array(bored.axis), np.array(bored.slot)
    size = dot(bored.slot, bored.slot)
    reach = (bored.radius + SAME_AXIS) ** 2

    def aside(points: Floats) -> Floats:
        rel = points - bored.origin
        if size:
            rel -= np.clip(rel @ slot / size, -0.5, 0.5)[:, None] * slot
        rel -= (rel @ axis)[:, None] * axis
        found: Floats = np.einsum("ij,ij->i", rel, rel)
        return found

    for k in (aside(firsts) < reach).nonzero()[0].tolist():
        face = rests[k].face
        side = size and face.kind == "plane" and abs(dot(face.axis, bored.axis)) < 1e-4  # of the slot
        if face.part_of in numbers or side or float(aside(rests[k].points).max()) >= reach:
            continue
        at = (rests[k].points - bored.origin) @ axis
        if at.min() < bored.high + SAME_AXIS and at.max() > bored.low - SAME_AXIS:  # not of a hole in another leg
            return True
    return False


def _union(spans: list[list[float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted((s[0], s[1]) for s in spans):
        if found and low < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
