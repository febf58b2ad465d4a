"""Points of a bent bar where they lie on the straight one: distance from end A, and across."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend import half_turn
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, dot, sub
from bentwork.takeoff.shape import Floats

__all__ = ["Beside", "Ints", "beside", "nearest", "one_by_one", "runs_of", "unbent"]

Ints = NDArray[np.intp]
MOST_PAIRS = 400_000
"""Points held against straights and arcs at a time."""


class Beside(NamedTuple):
    """Points measured from parts of a centreline.

    Args:
        flat: where they lie on the straightened bar, (n, 3).
        off: how far beyond the ends of its part each lies, mm, (n,).
        runs: number of the part that each was measured from, (n,).
    """

    flat: Floats
    off: Floats
    runs: Ints

    @property
    def squares(self) -> Floats:
        """Squares of how far they lie from the centreline, mm2, (n,)."""
        across, off = self.flat[:, 1:], self.off
        found: Floats = np.einsum("ij,ij->i", across, across)
        found += off * off
        return found


def unbent(line: Centreline, points: Floats) -> Floats:
    """Return points (n, 3) in the coordinates of the straightened bar, (n, 3).

    The columns are the station from end A, negative before it and more than the length beyond B; the distance from
    the centreline towards the inside of the first bend; and at right angles to that, along the axis of the first
    bend. Each point is measured from the part of the centreline that is nearest to it.
    """
    return nearest(line, points).flat


def nearest(line: Centreline, points: Floats) -> Beside:
    """Return points measured each from the part of a centreline that is nearest to it."""
    straights, arcs = _parts(line)
    each = MOST_PAIRS // len(line.runs)
    if len(points) > each > 0:
        some = [nearest(line, points[k : k + each]) for k in range(0, len(points), each)]
        return Beside(*(np.concatenate(column) for column in zip(*some, strict=True)))
    best = straights.nearest(points)
    if arcs is None:
        return best
    squares = best.squares - 1e-12
    ahead, back, aside = arcs.places(points)
    rho = np.sqrt(ahead * ahead + back * back)
    # No part of a circle is nearer than the circle: of most points that rules out nearly all of them.
    over = rho - arcs.sizes[0, :, None]
    arc, which = (over * over + aside * aside < squares).nonzero()
    if len(which) == 0:
        return best
    near = arcs.measured(ahead[arc, which], back[arc, which], aside[arc, which], arc)
    apart = near.squares
    nearer = (apart < squares[which]).nonzero()[0]
    if len(arcs.numbers) > 1:
        nearer = nearer[(-apart[nearer]).argsort()]  # of what is written to one place the last one stays
    places = which[nearer]
    for whole, part in zip(best, near, strict=True):
        whole[places] = part[nearer]
    return best


def beside(line: Centreline, number: int, points: Floats) -> Beside:
    """Return points measured from one straight or arc, by its number."""
    part = _part(line, number)
    if isinstance(part, _Straights):
        return part.nearest(points)
    ahead, back, aside = (place[0] for place in part.places(points))
    return part.measured(ahead, back, aside, 0)


def one_by_one(line: Centreline, number: int) -> Callable[[Vec], tuple[float, float, float, float]]:
    """Return what measures points from one straight or arc one by one: of a few, arrays take longer.

    It gives where a point lies on the straightened bar, and how far beyond the ends of the part, as ``Beside`` has it.
    """
    run = line.runs[number]
    origin, tangent, inward, axis = run.start.origin, run.start.tangent, run.start.inward, run.start.axis
    ((c, d),) = _turned(line, [number])
    low, high = _reach(line, number)
    radius, middle = run.radius, run.length / run.radius / 2.0  # of a straight infinite, and nothing

    def straight(point: Vec) -> tuple[float, float, float, float]:
        rel = sub(point, origin)
        ahead, one, two = dot(rel, tangent), dot(rel, inward), dot(rel, axis)
        at = min(max(ahead, low), high)
        return run.station + at, c * one - d * two, d * one + c * two, ahead - at

    def arc(point: Vec) -> tuple[float, float, float, float]:
        rel = sub(point, origin)
        ahead, back, aside = dot(rel, tangent), radius - dot(rel, inward), dot(rel, axis)
        # The round is cut open opposite the middle of the arc.
        angle = math.radians(half_turn(math.degrees(math.atan2(ahead, back) - middle))) + middle
        at = min(max(angle, 0.0), 2.0 * middle)
        rho, beyond = math.hypot(ahead, back), angle - at
        one = radius - rho * math.cos(beyond)
        return run.station + at * radius, c * one - d * aside, d * one + c * aside, rho * math.sin(beyond)

    return arc if run.bend else straight


def runs_of(line: Centreline) -> list[int]:
    """Return the numbers of straights and arcs that points are measured from: all but straights of no length."""
    runs = line.runs
    last = len(runs) - 1
    return [k for k, run in enumerate(runs) if run.bend or run.length or k in (0, last)]


def _reach(line: Centreline, number: int) -> tuple[float, float]:
    """Return between what a straight is measured from, mm: an open end runs on."""
    # Both ends of a closed piece run on into the bar itself: nothing is measured from beyond them.
    open_ended = not line.table.closed
    low = -math.inf if number == 0 and open_ended else 0.0
    last = number == len(line.runs) - 1 and open_ended
    return low, math.inf if last else line.runs[number].length


def _turned(line: Centreline, numbers: Sequence[int]) -> list[tuple[float, float]]:
    """Return cosine and sine of how far parts are turned about the bar, from the first bend."""
    directions = line.table.directions or (0.0,)
    turns = [math.radians(directions[max(0, (k + 1) // 2 - 1)]) for k in numbers]
    return [(math.cos(turn), math.sin(turn)) for turn in turns]


# The same line is asked about again and again, for its sides, ends and holes.
@lru_cache(maxsize=16)
def _parts(line: Centreline) -> tuple[_Straights, _Arcs | None]:
    numbers = runs_of(line)
    bent = [k for k in numbers if line.runs[k].bend]
    return _Straights(line, [k for k in numbers if not line.runs[k].bend]), _Arcs(line, bent) if bent else None


@lru_cache(maxsize=64)
def _part(line: Centreline, number: int) -> _Straights | _Arcs:
    return _Arcs(line, [number]) if line.runs[number].bend else _Straights(line, [number])


class _Axes:
    """Origins of parts, and of each the directions of travel, inward and across, as one turn of points.

    Points are seen in rows: there are many of them and few parts.
    """

    def __init__(self, origins: Sequence[Vec], axes: Sequence[tuple[Vec, Vec, Vec]]) -> None:
        self.count = len(origins)
        self.first = np.array(origins[0])[:, None]
        self.turn = np.array([own[k] for k in range(3) for own in axes])
        rels = [sub(origin, origins[0]) for origin in origins]
        self.shift = np.array([[dot(rel, own[k])] for k in range(3) for rel, own in zip(rels, axes, strict=True)])

    def seen(self, points: Floats) -> Floats:
        """Return points along the first axes of all parts, then along the second and the third, (3 k, n)."""
        found: Floats = self.turn @ (points.T - self.first)
        if self.count > 1:
            found -= self.shift
        return found


class _Straights:
    def __init__(self, line: Centreline, numbers: Sequence[int]) -> None:
        runs = line.runs
        axes, sizes = [], []
        for k, (c, d) in zip(numbers, _turned(line, numbers), strict=True):
            run = runs[k]
            (ix, iy, iz), (ax, ay, az) = run.start.inward, run.start.axis
            # Across as the first bend sees it.
            inward = (c * ix - d * ax, c * iy - d * ay, c * iz - d * az)
            axes.append((run.start.tangent, inward, (d * ix + c * ax, d * iy + c * ay, d * iz + c * az)))
            sizes.append((run.station, *_reach(line, k)))
        self.numbers = np.array(numbers)
        self.axes = _Axes([runs[k].start.origin for k in numbers], axes)
        self.stations, self.lows, self.highs = np.array(sizes).T[..., None]

    def nearest(self, points: Floats) -> Beside:
        """Return points measured from the nearest of these."""
        seen, count = self.axes.seen(points), len(self.numbers)
        ahead, inward, up = seen[:count], seen[count : 2 * count], seen[2 * count :]
        reached = np.minimum(np.maximum(ahead, self.lows), self.highs)
        off = ahead - reached
        reached += self.stations
        if count == 1:
            seen[0] = reached[0]
            return Beside(seen.T, off[0], np.full(len(points), self.numbers[0]))
        which = (inward * inward + up * up + off * off).argmin(axis=0)
        at = which * len(points) + np.arange(len(points))
        flat = np.empty((3, len(points)))
        flat[0], flat[1], flat[2] = reached.take(at), inward.take(at), up.take(at)
        return Beside(flat.T, off.take(at), self.numbers.take(which))


class _Arcs:
    def __init__(self, line: Centreline, numbers: Sequence[int]) -> None:
        runs = [line.runs[k] for k in numbers]
        self.numbers = np.array(numbers)
        self.axes = _Axes(
            [run.start.origin for run in runs],
            [(run.start.tangent, run.start.inward, run.start.axis) for run in runs],
        )
        rows = zip(runs, _turned(line, numbers), strict=True)
        self.sizes = np.array([(run.radius, run.station, run.length / run.radius / 2.0, *turn) for run, turn in rows]).T

    def places(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Return how far ahead of where arcs begin points lie, back from their axes, and along these, (k, n) each."""
        seen, count = self.axes.seen(points), len(self.numbers)
        return seen[:count], self.sizes[0, :, None] - seen[count : 2 * count], seen[2 * count :]

    def measured(self, ahead: Floats, back: Floats, aside: Floats, arcs: Ints | int) -> Beside:
        """Return points measured from these arcs, one each or all from one, out of what ``places`` says of them."""
        radius, station, middle, c, d = self.sizes.take(arcs, axis=1)
        # The round is cut open opposite the middle of the arc.
        angle = (np.arctan2(ahead, back) - middle + math.pi) % (2.0 * math.pi) - math.pi + middle
        inside = np.minimum(np.maximum(angle, 0.0), 2.0 * middle)
        rho = np.sqrt(ahead * ahead + back * back)
        angle -= inside
        a = radius - rho * np.cos(angle)
        flat = np.empty((3, len(ahead)))
        flat[0], flat[1], flat[2] = station + inside * radius, c * a - d * aside, d * a + c * aside
        return Beside(flat.T, rho * np.sin(angle), np.zeros(len(ahead), dtype=np.intp) + self.numbers.take(arcs))
