"""Lines in a plane at full size: straights, arcs, chains of points and words, each on a layer. x right, y up, mm."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

__all__ = ["OUR_DRAWING", "Arc", "Chain", "Inked", "Line", "Point", "Words", "bounds", "moved", "once"]

OUR_DRAWING = "bentwork, 1:1"
"""The comment of a drawing that was made here begins with this: it shows a piece, and is none to take off."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line between two points."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc, anticlockwise from one angle to the other, degrees; a whole circle from 0 to 360."""

    centre: Point
    radius: float
    start: float = 0.0
    end: float = 360.0

    @property
    def whole(self) -> bool:
        """Tell whether it is a circle."""
        return self.end - self.start >= 360.0


@dataclass(frozen=True, slots=True)
class Chain:
    """Straight lines from point to point; closed: and back to the first."""

    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """Words that begin at a point, their capitals so high, mm."""

    at: Point
    text: str
    height: float = 3.5


Shape = Line | Arc | Chain | Words


@dataclass(frozen=True, slots=True)
class Inked:
    """A shape on a layer."""

    layer: str
    shape: Shape


def moved(inked: Inked, dx: float, dy: float) -> Inked:
    """Return the same shape elsewhere."""

    def to(p: Point) -> Point:
        return (p[0] + dx, p[1] + dy)

    shape: Shape
    match inked.shape:
        case Line(start, end):
            shape = Line(to(start), to(end))
        case Arc() as arc:
            shape = replace(arc, centre=to(arc.centre))
        case Chain(points, closed):
            shape = Chain(tuple(to(p) for p in points), closed)
        case Words() as words:
            shape = replace(words, at=to(words.at))
    return Inked(inked.layer, shape)


def bounds(drawn: Iterable[Inked]) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of what is drawn, words left out; the points where arcs turn are counted.

    Raises:
        ValueError: nothing is drawn.
    """
    points = [point for inked in drawn for point in _outermost(inked.shape)]
    if not points:
        raise ValueError("nothing is drawn")
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _outermost(shape: Shape) -> tuple[Point, ...]:
    match shape:
        case Line(start, end):
            return (start, end)
        case Chain(points, _):
            return points
        case Words():
            return ()
    quarters = [90.0 * k for k in range(math.ceil(shape.start / 90.0), math.floor(shape.end / 90.0) + 1)]
    turns = [math.radians(angle) for angle in (shape.start, *quarters, shape.end)]
    (x, y), r = shape.centre, shape.radius
    return tuple((x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns)


def once(drawn: Iterable[Inked]) -> tuple[Inked, ...]:
    """Drop lines of no length, and what lies where another shape does: a cutter would go over it twice."""
    kept: dict[object, Inked] = {}
    for inked in drawn:
        key = _key(inked.shape)
        if key is not None:
            kept.setdefault((inked.layer, key), inked)
    return tuple(kept.values())


def _key(shape: Shape) -> object:
    """What is the same for shapes that look the same; None where nothing is to be seen."""

    def near(p: Point) -> tuple[float, float]:
        return (round(p[0], 6) + 0.0, round(p[1], 6) + 0.0)

    match shape:
        case Line(start, end):
            return None if near(start) == near(end) else frozenset((near(start), near(end)))
        case Arc():
            angles = (0.0, 360.0) if shape.whole else (round(shape.start % 360.0, 6), round(shape.end % 360.0, 6))
            return (near(shape.centre), round(shape.radius, 6), *angles)
        case Chain(points, closed):
            there = tuple(near(p) for p in points)
            return (closed, frozenset((there, there[::-1]))) if len(set(there)) > 1 else None
    return shape
