"""Room that the frame must leave: a wheel, a lamp, a hand, a lid that swings; bodies with a wanted clearance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid, solid_of
from bentwork.clearance.gaps import body_row, gap_to_body, place_of_gap
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


def near_to(out: KeepOut, points: Floats, radius: float) -> Near:
    """Return where a bar comes nearest to a keep-out.

    A body that swings is followed by branch and bound: between two angles the gap changes by no more than its own
    outermost point moves, or that of the bar as the body sees it.

    Args:
        out: the keep-out.
        points: (n, 3) chords of the bar's middle line, mm.
        radius: how far its surface is from there, mm.
    """
    found = [_near(solid_of(body), out.swing, points, radius) for body in out.bodies]
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


def _near(solid: Solid, swing: Swing | None, points: Floats, radius: float) -> Near:
    row = body_row(solid)
    if swing is None:
        gap, line = gap_to_body(points, row)
        return Near(gap - radius, _vec(place_of_gap(points, line, row)), line)
    angle = _nearest_angle(solid, row, swing, points)
    there = turned(points, swing, -angle)  # as the body sees the bar
    gap, line = gap_to_body(there, row)
    place = turned(place_of_gap(there, line, row)[None, :], swing, angle)[0]
    return Near(gap - radius, _vec(place), line, angle)


def _nearest_angle(solid: Solid, row: Floats, swing: Swing, points: Floats) -> float:
    axis = np.array(unit(sub(swing.end, swing.start)))
    away = np.vstack([points, solid.middle]) - np.array(swing.start)
    out = np.linalg.norm(np.cross(away, axis), axis=1)
    reach = min(float(out[:-1].max()), float(out[-1]) + solid.around)

    def gap(angle: float) -> float:
        return float(gap_to_body(turned(points, swing, -angle), row)[0])

    ends = (swing.first, swing.last)
    best, at = min((gap(angle), angle) for angle in ends)
    open_ones = [ends]
    while open_ones:
        low, high = open_ones.pop()
        middle = 0.5 * (low + high)
        here = gap(middle)
        if here < best:
            best, at = here, middle
        if best <= 0.0:
            break
        if here - reach * math.radians(high - low) / 2.0 < best - max(_TO, _TO_FAR * best):
            open_ones += [(low, middle), (middle, high)]
    return at


def _vec(point: Sequence[float] | Floats) -> Vec:
    x, y, z = (float(c) for c in point)
    return (x, y, z)
