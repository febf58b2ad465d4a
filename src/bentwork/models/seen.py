"""The lines of a bent bar as seen along one direction: its outline, its edges, its ends and its centreline.

Nothing is hidden: a drawing for CAD shows every line. What lies across the view is exact (straight lines and arcs),
the outline of a bend that is seen askew is a chain of points on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from bentwork.models.carried import Stretch, carried
from bentwork.models.lines import Arc, Chain, Inked, Line, Point, Shape, once
from bentwork.models.skin import Skin, skins
from bentwork.piece.centreline import Centreline, Run, chords_for
from bentwork.space import Vec, add, along, cross, dot, rotate, scale, sub
from bentwork.stock.section import Section, Way

__all__ = ["seen"]

_ALONG = 1e-9  # a direction this near to that of the view is seen as a point
_EDGE_ON = 1e-6  # an axis this near to lying across the view: a bend of 1 m radius is a micrometre off
CHORD_ERROR = 0.01


def seen(line: Centreline, section: Section, way: Way, right: Vec, up: Vec) -> tuple[Inked, ...]:
    """Return the lines of a bar on the layers CENTRELINE, OUTLINE and ENDS.

    Args:
        line: the piece in space.
        section: of its bar.
        way: of its first bend.
        right: direction in space that runs to the right, unit vector.
        up: direction that runs up, unit vector.
    """
    eye = _Eye(right, up)
    stretches = carried(line, way)
    outer = skins(section)[0]
    drawn = []
    for stretch in stretches:
        drawn += [Inked("CENTRELINE", shape) for shape in eye.path(stretch, 0.0, 0.0)]
        if outer.is_round:
            drawn += [Inked("OUTLINE", shape) for shape in eye.skin(stretch, outer.radius)]
        else:
            for across, high in _edges(outer):
                drawn += [Inked("OUTLINE", shape) for shape in eye.path(stretch, across, high)]
    if stretches and not line.table.closed:
        ends = (stretches[0], stretches[-1].at(stretches[-1].run.length))
        drawn += [Inked("ENDS", eye.end(end, skin)) for end in ends for skin in skins(section)]
    return once(drawn)


def _edges(outer: Skin) -> Iterable[Point]:
    """The corners of a section; of a rounded one where its flats begin."""
    w, h, r = outer.width / 2.0, outer.height / 2.0, outer.radius
    for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        yield (x * w, y * (h - r))
        if r > 0.0:
            yield (x * (w - r), y * h)


class _Eye:
    """A direction of view."""

    def __init__(self, right: Vec, up: Vec) -> None:
        self.right, self.up, self.towards = right, up, cross(right, up)

    def flat(self, v: Vec) -> Point:
        return (dot(v, self.right), dot(v, self.up))

    def path(self, stretch: Stretch, across: float, high: float) -> Iterator[Shape]:
        """The line that a point of the section draws."""
        run = stretch.run
        off = add(scale(stretch.wide, across), scale(stretch.high, high))
        first = add(run.start.origin, off)
        if run.bend == 0:
            yield Line(self.flat(first), self.flat(along(first, run.start.tangent, run.length)))
            return
        axis, turn = run.start.axis, math.degrees(run.length / run.radius)
        arm = sub(first, stretch.centre)
        centre = along(stretch.centre, axis, dot(arm, axis))
        arm = sub(first, centre)
        radius = math.sqrt(dot(arm, arm))
        tilt = dot(axis, self.towards)
        if abs(tilt) > 1.0 - _ALONG:
            yield self._arc(centre, arm, radius, turn, tilt)
            return
        count = max(2, chords_for(radius, math.radians(turn), CHORD_ERROR))
        points = tuple(self.flat(add(centre, rotate(arm, axis, turn * k / count))) for k in range(count + 1))
        if abs(tilt) < _EDGE_ON:  # seen from the edge it goes to and fro on one line
            turns = [rotate(arm, axis, angle) for angle in (0.0, turn, *self._outermost(arm, axis, turn))]
            places = [self.flat(add(centre, t)) for t in turns]
            yield Line(min(places), max(places))
            return
        yield Chain(points)

    def _arc(self, centre: Vec, arm: Vec, radius: float, turn: float, tilt: float) -> Shape:
        x, y = self.flat(arm)
        start = math.degrees(math.atan2(y, x))
        angles = (start, start + turn) if tilt > 0.0 else (start - turn, start)
        return Arc(self.flat(centre), radius, *angles)

    def _outermost(self, arm: Vec, axis: Vec, turn: float) -> list[float]:
        """Angles, degrees, at which a point that goes round an axis across the view turns back as seen."""
        level = cross(axis, self.towards)
        ahead = cross(axis, arm)
        first = math.degrees(math.atan2(dot(ahead, level), dot(arm, level))) % 180.0
        return [angle for angle in (first, first + 180.0) if 0.0 < angle < turn]

    def skin(self, stretch: Stretch, radius: float) -> Iterator[Shape]:
        """The outline of a round bar: half a diameter from the centreline as seen."""
        run = stretch.run
        tangent, axis = run.start.tangent, run.start.axis
        origin = self.flat(run.start.origin)
        if run.bend == 0:
            side = self._side(tangent)
            if side is None:
                yield Arc(origin, radius)
                return
            end = self.flat(along(run.start.origin, tangent, run.length))
            for sign in (radius, -radius):
                yield Line(_off(origin, side, sign), _off(end, side, sign))
            return
        tilt = dot(axis, self.towards)
        turn = math.degrees(run.length / run.radius)
        arm = sub(run.start.origin, stretch.centre)
        if abs(tilt) > 1.0 - _ALONG:
            for beside in (radius, -radius):
                yield self._arc(stretch.centre, scale(arm, 1.0 + beside / run.radius), run.radius + beside, turn, tilt)
        elif abs(tilt) < _EDGE_ON:
            yield from self._edge_on(stretch, arm, turn, radius)
        else:
            sides = self._sides(run, radius)
            for sign in (radius, -radius):
                yield Chain(tuple(_off(place, side, sign) for place, side in sides))

    def _sides(self, run: Run, radius: float) -> list[tuple[Point, Point]]:
        """Places on a bend seen askew and the way to the left of each, near enough for its outline."""
        count = max(2, chords_for(run.radius + radius, run.length / run.radius, CHORD_ERROR))
        most = 2.0 * math.acos(max(0.0, 1.0 - CHORD_ERROR / radius))

        def at(distance: float) -> tuple[float, Point, Point]:
            pose = run.pose(distance)
            side = self._side(pose.tangent)
            assert side is not None, "seen askew, a bend nowhere runs straight towards the eye"
            return distance, self.flat(pose.origin), side

        # Where the bar all but comes towards the eye its outline swings round it within a few degrees of the bend.
        waiting = [at(run.length * k / count) for k in range(count, -1, -1)]
        found = [waiting.pop()]
        while waiting:
            (before, _, one), (after, _, other) = found[-1], waiting[-1]
            if _between(one, other) > most and after - before > 1e-6 * run.length:
                waiting.append(at((before + after) / 2.0))
            else:
                found.append(waiting.pop())
        return [(place, side) for _, place, side in found]

    def _edge_on(self, stretch: Stretch, arm: Vec, turn: float, radius: float) -> Iterator[Shape]:
        """A bend seen from its edge: a band, round where the bar comes towards the eye and goes back."""
        axis = stretch.run.start.axis
        turns = self._outermost(arm, axis, turn)
        places = [self.flat(add(stretch.centre, rotate(arm, axis, angle))) for angle in (0.0, turn, *turns)]
        side = self.flat(axis)
        low, high = min(places), max(places)
        for sign in (radius, -radius):
            yield Line(_off(low, side, sign), _off(high, side, sign))
        for place in places[2:]:
            out = math.degrees(math.atan2(*reversed(_minus(place, self.flat(stretch.centre)))))
            yield Arc(place, radius, out - 90.0, out + 90.0)

    def _side(self, tangent: Vec) -> Point | None:
        """Unit vector to the left of a bar as seen; None where it is seen from its end."""
        x, y = self.flat(tangent)
        length = math.hypot(x, y)
        return None if length < _ALONG else (-y / length, x / length)

    def end(self, stretch: Stretch, skin: Skin) -> Shape:
        """An end face."""
        origin = stretch.run.start.origin
        tilt = dot(stretch.run.start.tangent, self.towards)
        if skin.is_round and abs(tilt) > 1.0 - _ALONG:
            return Arc(self.flat(origin), skin.radius)
        if skin.is_round and abs(tilt) < _ALONG:
            side = self._side(stretch.run.start.tangent)
            assert side is not None
            middle = self.flat(origin)
            return Line(_off(middle, side, -skin.radius), _off(middle, side, skin.radius))
        polygon = skin.polygon(skin.chords(CHORD_ERROR)).tolist()
        points = [self.flat(add(origin, add(scale(stretch.wide, x), scale(stretch.high, y)))) for x, y in polygon]
        if abs(tilt) < _ALONG:
            return Line(min(points), max(points))
        return Chain(tuple(p for p, before in zip(points, (points[-1], *points), strict=False) if p != before), True)


def _off(place: Point, side: Point, by: float) -> Point:
    return (place[0] + side[0] * by, place[1] + side[1] * by)


def _between(a: Point, b: Point) -> float:
    """Angle between two unit vectors, rad."""
    return abs(math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]))


def _minus(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1])
