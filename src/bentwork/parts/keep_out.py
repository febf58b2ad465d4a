"""Room that the frame must leave: a wheel, a lamp, a hand, a lid that swings; bodies with a wanted clearance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, solid_of
from bentwork.clearance.gaps import body_row, gap_of_sides, gap_to_body, place_of_gap
from bentwork.parts.keep_out_sides import Sides, gap_with_sides
from bentwork.space import Vec, cross, norm, rotate, sub, unit
from bentwork.tooling.shop import Body

__all__ = ["KeepOut", "Near", "Swing", "near_to", "standing_in", "turned"]

Floats = NDArray[np.float64]

_TO, _TO_FAR = 0.05, 0.01  # mm, and of the gap: how closely the gap to a body that swings is told
_PLACES = 360  # of a body that swings, at most


@dataclass(frozen=True, slots=True)
class Swing:
    """How a body swings: about a line, from one angle to another.

    Args:
        start: a point on the line, mm.
        end: another; the turn is right-handed about the way from start to end.
        first: degrees from where the body is drawn.
        last: likewise, above ``first``, up to 360 more.

    Raises:
        ValueError: the two points are one, or the angles do not go up.
    """

    start: Vec
    end: Vec
    first: float
    last: float

    def __post_init__(self) -> None:
        if norm(sub(self.end, self.start)) < 1e-9:
            raise ValueError("a body swings about a line between two different points")
        if not 0.0 < self.last - self.first <= 360.0:
            raise ValueError("a body swings from one angle to a larger one")


@dataclass(frozen=True, slots=True)
class KeepOut:
    """Room that the frame must leave.

    Args:
        name: what the maker calls it.
        bodies: that together are it.
        clearance: wanted between it and the frame, mm.
        swing: how it swings; None where it stands still.
    """

    name: str
    bodies: tuple[Body, ...]
    clearance: float = 0.0
    swing: Swing | None = None


@dataclass(frozen=True, slots=True)
class Near:
    """Where a bar comes nearest to a keep-out.

    Args:
        gap: between their surfaces, mm; below 0 where the bar is inside, by how far its middle line at least is.
        place: on the bar's middle line, mm.
        line: number of the chord of its middle line.
        angle: how far the body has swung then, degrees; 0 where it stands still.
    """

    gap: float
    place: Vec
    line: int
    angle: float = 0.0


def near_to(out: KeepOut, points: Floats, radius: float, sides: Sides | None = None) -> Near:
    """Return where a bar comes nearest to a keep-out.

    A body that swings is followed by branch and bound: between two angles the gap changes by no more than its own
    outermost point moves, or that of the bar as the body sees it.

    Args:
        out: the keep-out.
        points: (n, 3) chords of the bar's middle line, mm.
        radius: how far its surface is from there, mm; of a bar with sides, from these.
        sides: of a bar that is not round.
    """
    found = [_near(solid_of(body), out.swing, points, radius, sides) for body in out.bodies]
    return min(found, key=lambda one: one.gap)


def turned(points: Floats, swing: Swing, angle: float) -> Floats:
    """Return points turned about the line of a swing, (n, 3) mm; the angle in degrees."""
    axis = np.array(unit(sub(swing.end, swing.start)))
    away = points - np.array(swing.start)
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    along = away @ axis
    found: Floats = (
        np.array(swing.start) + cos * away + sin * np.cross(axis, away) + (1.0 - cos) * along[:, None] * axis
    )
    return found


def standing_in(out: KeepOut, region: Sequence[Vec], apart: float) -> list[tuple[Solid, float]]:
    """Return a keep-out as bodies that stand still, and how much larger each is to be taken, mm.

    Args:
        out: the keep-out.
        region: places round which it matters, mm; what swings is taken so large that nothing of it is lost up to one
            and a half times as far from its axis.
        apart: how far the outermost of these may be from one place to the next of a body that swings, mm; farther
            where that would take more places than are worth it.
    """
    solids = [solid_of(body) for body in out.bodies]
    swing = out.swing
    if swing is None:
        return [(solid, 0.0) for solid in solids]
    axis = unit(sub(swing.end, swing.start))
    reach = 1.5 * max(norm(cross(axis, sub(place, swing.start))) for place in region)
    count = min(_PLACES, max(1, math.ceil(reach * math.radians(swing.last - swing.first) / apart)))
    step = (swing.last - swing.first) / count
    more = reach * math.radians(step) / 2.0
    angles = [swing.first + step * (k + 0.5) for k in range(count)]
    return [(_turned_solid(solid, swing, angle), more) for solid in solids for angle in angles]


def _turned_solid(solid: Solid, swing: Swing, angle: float) -> Solid:
    axis = unit(sub(swing.end, swing.start))
    middle = _vec(turned(np.array([solid.middle]), swing, angle)[0])
    one, other, third = (rotate(way, axis, angle) for way in solid.turn)
    return replace(solid, middle=middle, turn=(one, other, third))


def _near(solid: Solid, swing: Swing | None, points: Floats, radius: float, sides: Sides | None) -> Near:
    row = body_row(solid)
    if swing is None:
        gap, place, line = _gap(points, sides, radius, row)
        return Near(gap, _vec(place), line)
    angle = _nearest_angle(solid, row, swing, points, sides)
    if sides is not None and _gap(*_seen(points, sides, swing, angle), radius, row)[0] < 0.0:
        angle = _nearest_angle(solid, row, swing, points, None)  # where the middle line is deepest in it
    gap, place, line = _gap(*_seen(points, sides, swing, angle), radius, row)
    return Near(gap, _vec(turned(place[None, :], swing, angle)[0]), line, angle)


def _gap(points: Floats, sides: Sides | None, radius: float, row: Floats) -> tuple[float, Floats, int]:
    """The gap to a body that stands still, the place on the middle line, the number of the chord."""
    if sides is not None:
        return gap_with_sides(points, sides, radius, row)
    gap, line = gap_to_body(points, row)
    return gap - radius, place_of_gap(points, line, row), line


def _seen(points: Floats, sides: Sides | None, swing: Swing, angle: float) -> tuple[Floats, Sides | None]:
    """The bar as the body sees it that has swung so far."""
    there = turned(points, swing, -angle)
    return there, None if sides is None else _turned_sides(points, sides, there, swing, angle)


def _turned_sides(points: Floats, sides: Sides, there: Floats, swing: Swing, angle: float) -> Sides:
    ways = (turned(points + of, swing, -angle) - there for of in (sides.wide, sides.high))
    return Sides(next(ways), next(ways))


def _nearest_angle(solid: Solid, row: Floats, swing: Swing, points: Floats, sides: Sides | None) -> float:
    axis = np.array(unit(sub(swing.end, swing.start)))
    away = np.vstack([points, solid.middle]) - np.array(swing.start)
    out = np.linalg.norm(np.cross(away, axis), axis=1)
    reach = min(float(out[:-1].max()) + (sides.reach if sides else 0.0), float(out[-1]) + solid.around)

    def gap(angle: float, enough: float) -> float:
        """The gap; where it is more than enough, no more than it."""
        there = turned(points, swing, -angle)
        middle = float(gap_to_body(there, row)[0])
        if sides is None:
            return middle
        if middle - sides.reach >= enough:
            return middle - sides.reach
        turned_sides = _turned_sides(points, sides, there, swing, angle)
        return float(gap_of_sides(there, turned_sides.wide, turned_sides.high, row)[0])

    ends = (swing.first, swing.last)
    best, at = min((gap(angle, math.inf), angle) for angle in ends)
    open_ones = [ends]
    while open_ones:
        low, high = open_ones.pop()
        middle = 0.5 * (low + high)
        further = reach * math.radians(high - low) / 2.0
        here = gap(middle, best + further)
        if here < best:
            best, at = here, middle
        if best <= 0.0:
            break
        if here - further < best - max(_TO, _TO_FAR * best):
            open_ones += [(low, middle), (middle, high)]
    return at


def _vec(point: Sequence[float] | Floats) -> Vec:
    x, y, z = (float(c) for c in point)
    return (x, y, z)
