"""Straights and arcs in space before they are a bend table: found one by one, then chained by their ends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Pose, Vec, add, along, cross, distance, dot, norm, perpendicular, rotate, scale, sub, unit
from bentwork.takeoff.arcs_fitted import fitted

__all__ = [
    "ASKEW",
    "ASTRAY",
    "TANGENT",
    "Arc",
    "Part",
    "Path",
    "Straight",
    "centreline_of",
    "chained",
    "key_of",
    "part_of_run",
    "trued",
]

MEETS = 5e-3
"""Ends closer than this are one, mm: twice what coordinates rounded to 3 decimals can be apart."""
APART = 2.0 * MEETS
"""Parts that run on into one another are chained if their ends are nearer, mm: of a slight bend each is known less."""
TANGENT = 2e-3
"""Ends whose directions differ by less run on into one another, rad: a tenth of a degree."""
ROUNDED = 1.5e-3
"""What 3 decimals may move both ends of a part against one another, mm: the shorter it is, the more it leans."""
ASTRAY = 2e-4
"""The direction in which a bend ends is known to within this where coordinates are rounded to 3 decimals, rad."""
MOST_TRUED = 3.0
"""Of bends that turn further the straights do not tell the axis, rad."""
ASKEW: Vec = (0.5477, 0.6263, 0.5546)
"""A direction of length 1 along which different places hardly ever look alike; those that do not are not near."""
DRIFT = 2e-3
"""A bar whose bend table leads further from where its last part ends is brought to all parts together, mm."""
HALF = math.pi
"""Arcs that turn further are cut in two, so that a ring is two half circles."""


# What parts say of themselves is asked again and again: it is worked out once.
@dataclass(frozen=True)
class Straight:
    """A straight from one end to the other, mm."""

    a: Vec
    b: Vec

    @cached_property
    def tangents(self) -> tuple[Vec, Vec]:
        """Directions of travel at both ends."""
        way = unit(sub(self.b, self.a))
        return way, way

    @cached_property
    def length(self) -> float:
        """Length, mm."""
        return distance(self.a, self.b)

    def turned(self) -> Straight:
        """Return it travelled the other way."""
        return Straight(self.b, self.a)


@dataclass(frozen=True)
class Arc:
    """An arc about an axis by the right-hand rule.

    Args:
        centre: of the circle.
        axis: unit.
        out: unit, from the centre to the first end.
        radius: mm.
        angle: rad.
    """

    centre: Vec
    axis: Vec
    out: Vec
    radius: float
    angle: float

    @cached_property
    def a(self) -> Vec:
        """First end."""
        return along(self.centre, self.out, self.radius)

    @cached_property
    def b(self) -> Vec:
        """Second end."""
        return along(self.centre, self.last_out, self.radius)

    @cached_property
    def last_out(self) -> Vec:
        """Unit, from the centre to the second end."""
        return rotate(self.out, self.axis, math.degrees(self.angle))

    @cached_property
    def tangents(self) -> tuple[Vec, Vec]:
        """Directions of travel at both ends."""
        return cross(self.axis, self.out), cross(self.axis, self.last_out)

    @cached_property
    def length(self) -> float:
        """Length, mm."""
        return self.radius * self.angle

    def turned(self) -> Arc:
        """Return it travelled the other way."""
        return replace(self, axis=scale(self.axis, -1.0), out=self.last_out)


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """A free curve.

    Args:
        points: (n, 3) in order.
        ways: (n, 3), unit, directions of travel.
    """

    points: NDArray[np.float64]
    ways: NDArray[np.float64]

    @property
    def a(self) -> Vec:
        """First end."""
        return _vec(self.points[0])

    @property
    def b(self) -> Vec:
        """Second end."""
        return _vec(self.points[-1])

    @property
    def tangents(self) -> tuple[Vec, Vec]:
        """Directions of travel at both ends."""
        return _vec(self.ways[0]), _vec(self.ways[-1])

    @property
    def length(self) -> float:
        """Length of its chords, mm."""
        return float(np.linalg.norm(np.diff(self.points, axis=0), axis=1).sum())

    def turned(self) -> Path:
        """Return it travelled the other way."""
        return Path(self.points[::-1], -self.ways[::-1])


def _vec(a: NDArray[np.float64]) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))


Part: TypeAlias = Straight | Arc | Path


def part_of_run(run: Run) -> Straight | Arc:
    """Return a stretch of a centreline as a straight or an arc."""
    start = run.start
    if not run.bend:
        return Straight(start.origin, run.pose(run.length).origin)
    centre = along(start.origin, start.inward, run.radius)
    return Arc(centre, start.axis, scale(start.inward, -1.0), run.radius, run.length / run.radius)


def key_of(part: Part) -> tuple[tuple[float, ...], ...]:
    """Return what a part has in common with itself travelled the other way."""
    a, b = (tuple(round(c, 6) for c in end) for end in (part.a, part.b))
    return (min(a, b), max(a, b))


def chained(parts: Sequence[Part]) -> list[tuple[list[Part], bool]]:
    """Chain parts whose ends meet and run on into one another.

    Returns:
        every chain in the order of travel, and whether it comes back to its beginning.
    """
    ends = {(k, e): _end(part, e) for k, part in enumerate(parts) for e in (0, 1)}
    seen = sorted((dot(point, ASKEW), end) for end, (point, _) in ends.items())
    near: dict[tuple[int, int], list[tuple[int, int]]] = {end: [] for end in ends}
    for k, (place, end) in enumerate(seen):
        for n in range(k + 1, len(seen)):
            if seen[n][0] - place > APART:
                break
            near[end].append(seen[n][1])
            near[seen[n][1]].append(end)
    partner: dict[tuple[int, int], tuple[int, int]] = {}
    for end, (point, way) in ends.items():
        if end in partner:
            continue
        best, gap = None, APART
        for other in sorted(near[end]):
            if other in partner:
                continue
            there, back = ends[other]
            apart = distance(point, there)
            kink = TANGENT + ROUNDED / max(min(parts[end[0]].length, parts[other[0]].length), MEETS)
            if apart < gap and norm(add(way, back)) < kink and dot(way, back) < 0.0:
                best, gap = other, apart
        if best is not None:
            partner[end], partner[best] = best, end
    return _followed(parts, partner)


def _followed(parts: Sequence[Part], partner: dict[tuple[int, int], tuple[int, int]]) -> list[tuple[list[Part], bool]]:
    found = []
    left = set(range(len(parts)))
    firsts = [k for k in range(len(parts)) if (k, 0) not in partner or (k, 1) not in partner]
    for k in [*firsts, *range(len(parts))]:
        if k not in left:
            continue
        entry = (k, 0) if (k, 0) not in partner or (k, 1) in partner else (k, 1)
        chain: list[Part] = []
        while True:
            number, end = entry
            left.discard(number)
            chain.append(parts[number] if end == 0 else parts[number].turned())
            following = partner.get((number, 1 - end))
            if following is None or following[0] not in left:
                found.append((chain, following == (k, 0) or (following is not None and following[0] == k)))
                break
            entry = following
    return found


def _end(part: Part, end: int) -> tuple[Vec, Vec]:
    """Return the point of an end and the direction that leads out of the part there."""
    tangent = part.tangents[end]
    return (part.b, tangent) if end else (part.a, scale(tangent, -1.0))


def trued(chain: Sequence[Part], closed: bool) -> list[Part]:
    """Return a chain whose arcs turn from straight to straight: these know better how far, being longer.

    Args:
        chain: parts in the order of travel.
        closed: it comes back to its beginning.
    """
    found = list(chain)
    for k, arc in enumerate(chain):
        if not isinstance(arc, Arc) or arc.angle > MOST_TRUED:
            continue
        ways = list(arc.tangents)
        for side, n in ((0, k - 1), (1, k + 1)):
            beside = chain[n % len(chain)] if closed or 0 <= n < len(chain) else arc
            if isinstance(beside, Straight) and beside.length > arc.radius:
                ways[side] = beside.tangents[1 - side]
        axis = cross(ways[0], ways[1])
        angle = math.atan2(norm(axis), dot(ways[0], ways[1]))
        if dot(axis, arc.axis) > 0.0 and abs(angle - arc.angle) < ASTRAY + 4.0 * MEETS / arc.radius:
            axis = unit(axis)
            found[k] = Arc(arc.centre, axis, cross(ways[0], axis), arc.radius, angle)
    return found


def centreline_of(chain: Sequence[Part], closed: bool) -> Centreline | None:
    """Return a chain as a bend table placed in space; None when its parts are no bends.

    A closed chain begins in the middle of its longest straight.
    """
    parts = _halved(_seamed(_joined(list(chain), closed)) if closed else _joined(list(chain), False))
    arcs = [part for part in parts if isinstance(part, Arc)]
    straights: list[float] = []
    at, way = parts[0].a, parts[0].tangents[0]
    start = at
    axis = arcs[0].axis if arcs else perpendicular(way)
    bends: list[Bend] = []
    first_way = arcs[0].tangents[0] if arcs else way
    for k, arc in enumerate(arcs):
        room = dot(sub(arc.a, at), arc.tangents[0])
        straights.append(0.0 if -MEETS < room < 1e-6 else room)
        rotation = 0.0
        if k:
            shared, before = arc.tangents[0], arcs[k - 1].axis
            rotation = math.degrees(math.atan2(dot(cross(before, arc.axis), shared), dot(before, arc.axis)))
            rotation = 0.0 if abs(rotation) < 1e-9 else rotation
        bends.append(Bend(arc.radius, math.degrees(arc.angle), rotation))
        at, way = arc.b, arc.tangents[1]
    rest = dot(sub(parts[-1].b, at), way)
    straights.append(0.0 if -MEETS < rest < 1e-6 else rest)
    if min(straights) < 0.0:
        return None
    line = Centreline(BendTable(tuple(straights), tuple(bends), closed), _pose(start, first_way, axis))
    if closed or len(arcs) < 2 or distance(line.end.origin, parts[-1].b) < DRIFT:
        return line
    # What each part is off by adds up over the bends: where they lie none of them knows better than all.
    points = np.array([*(point for part in parts for point in _points_on(part)), parts[-1].b])
    return fitted(line, points, sized=True)


def _points_on(part: Part) -> Iterator[Vec]:
    """Yield the first end of a straight or an arc, and points on it."""
    if isinstance(part, Arc):
        for k in range(8):
            yield along(part.centre, rotate(part.out, part.axis, math.degrees(part.angle) * k / 8.0), part.radius)
    else:
        way = sub(part.b, part.a)
        for k in range(4):
            yield along(part.a, way, k / 4.0)


def _pose(origin: Vec, tangent: Vec, axis: Vec) -> Pose:
    """Return a pose whose axis is at right angles to its tangent to the last digit."""
    tangent = unit(tangent)
    return Pose(origin, tangent, unit(along(axis, tangent, -dot(axis, tangent))))


def _joined(parts: list[Part], closed: bool) -> list[Part]:
    """Make one part of neighbours that are pieces of the same straight or the same circle."""
    if closed and len(parts) > 1:
        turn = next((k for k in range(len(parts)) if _one(parts[k - 1], parts[k]) is None), 0)
        parts = parts[turn:] + parts[:turn]
    found: list[Part] = []
    for part in parts:
        together = _one(found[-1], part) if found else None
        if together is None:
            found.append(part)
        else:
            found[-1] = together
    return found


def _one(first: Part, second: Part) -> Part | None:
    if isinstance(first, Straight) and isinstance(second, Straight):
        return Straight(first.a, second.b) if dot(first.tangents[0], second.tangents[0]) > 1.0 - 1e-7 else None
    if isinstance(first, Arc) and isinstance(second, Arc):
        same = distance(first.centre, second.centre) < 2 * MEETS and abs(first.radius - second.radius) < MEETS
        if same and dot(first.axis, second.axis) > 0.999 and first.angle + second.angle <= 2.0 * math.pi + 1e-6:
            return replace(first, angle=first.angle + second.angle)
    return None


def _seamed(parts: list[Part]) -> list[Part]:
    """Begin a closed chain in the middle of its longest straight, or of its longest arc when it has none."""
    straights = [k for k, part in enumerate(parts) if isinstance(part, Straight)]
    if not straights:
        return parts
    lengths = {k: round(parts[k].length, 3) for k in straights}
    k = max(straights, key=lambda n: (lengths[n], -n))
    seam = parts[k]
    middle = scale(add(seam.a, seam.b), 0.5)
    return [Straight(middle, seam.b), *parts[k + 1 :], *parts[:k], Straight(seam.a, middle)]


def _halved(parts: list[Part]) -> list[Part]:
    found: list[Part] = []
    for part in parts:
        if isinstance(part, Arc) and part.angle > 1.95 * HALF:
            half = replace(part, angle=part.angle / 2.0)
            found += [half, replace(half, out=half.last_out)]
        else:
            found.append(part)
    return found
