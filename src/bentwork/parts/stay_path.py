"""The way of a stay round what a straight one would foul: one bend, or two."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.distances import COLUMNS
from bentwork.clearance.gaps import body_row, gap_to_lines
from bentwork.clearance.ways import way_clears, way_length
from bentwork.parts.keep_out import KeepOut, near_to, standing_in
from bentwork.piece.corners import Corners
from bentwork.space import Vec, add, along, cross, distance, perpendicular, scale, sub, unit

__all__ = ["Fouls", "Obstacles", "Way", "find_way", "fouls"]

Floats = NDArray[np.float64]

_CHORD = 0.25  # mm
_TURNS = 16  # directions off the straight line that are tried
_SINGLE = ((0.5,), (0.35,), (0.65,), (0.2,), (0.8,))  # of the way: where a single bend is tried
_DOUBLE = ((0.3, 0.7), (0.2, 0.8), (0.2, 0.5), (0.5, 0.8), (0.15, 0.35), (0.65, 0.85), (0.1, 0.9))
_OFFSETS = 16
_FURTHEST = 0.6  # of the straight length: further off no stay is bent
_FINE = 0.5  # mm; how closely the offset is found
_SWUNG = 4.0  # mm; how far a body that swings may go between two of its places
_WORTH_TWO = 1.1  # a single bend is taken although two would be shorter, up to so many times the length


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """What a stay must clear.

    Args:
        outs: keep-outs, each with its clearance.
        lines: (m, 7) bars of the frame: where a chord begins, how it runs, the bar's radius, mm.
        names: of the bar that each line is of.
        clearance: wanted to the bars, mm.
        free: how far from its ends it may touch what it is fixed to, mm.
    """

    outs: tuple[KeepOut, ...]
    lines: Floats
    names: tuple[str, ...]
    clearance: float
    free: float


@dataclass(frozen=True, slots=True)
class Fouls:
    """What a stay comes too close to: by name, the gap and the one wanted, mm, and the place."""

    name: str
    gap: float
    wanted: float
    place: Vec


@dataclass(frozen=True, slots=True)
class Way:
    """A way from end to end.

    Args:
        points: corner points, ends included, mm.
        length: along the middle line, mm.
        fouls: what the straight way would foul; empty where it is straight.
        clear: whether this way clears everything.
    """

    points: tuple[Vec, ...]
    length: float
    fouls: tuple[Fouls, ...] = ()
    clear: bool = True


def find_way(start: Vec, end: Vec, radius: float | None, thick: float, least: float, obstacles: Obstacles) -> Way:
    """Return the shortest way that was found; a straight one where nothing is in the way, or where nothing clears.

    Args:
        start: one end, mm.
        end: the other.
        radius: of a bend, mm; None when the stay cannot be bent.
        thick: radius of the stay itself, mm.
        least: straight that is wanted at each end, mm.
        obstacles: what it must clear.
    """
    straight = Way((start, end), distance(start, end))
    found = fouls(straight.points, 0.0, thick, obstacles)
    if not found:
        return straight
    stuck = Way(straight.points, straight.length, found, clear=False)
    if radius is None:
        return stuck
    bend, around = (radius, least), _Around.of(obstacles, thick, (start, end))
    single = _best(_families(start, end, _SINGLE), bend, around, math.inf)
    most = math.inf if single is None else single.length / _WORTH_TWO
    best = _best(_families(start, end, _DOUBLE), bend, around, most) or single
    if best is None or fouls(best.points, radius, thick, obstacles):
        return stuck
    return Way(best.points, best.length, found)


def fouls(points: Sequence[Vec], radius: float, thick: float, obstacles: Obstacles) -> tuple[Fouls, ...]:
    """Return everything that a way with these corners comes too close to, the worst first."""
    chords = _between(_chords(points, radius), obstacles.free)
    if chords is None:
        return ()
    found = []
    for out in obstacles.outs:
        near = near_to(out, chords, thick)
        if near.gap < out.clearance:
            found.append(Fouls(out.name, near.gap, out.clearance, near.place))
    if len(obstacles.lines):
        gap, line, other = gap_to_lines(chords, obstacles.lines)
        if gap - thick < obstacles.clearance:
            x, y, z = (float(c) for c in (chords[line] + chords[line + 1]) / 2.0)
            found.append(Fouls(obstacles.names[other], gap - thick, obstacles.clearance, (x, y, z)))
    return tuple(sorted(found, key=lambda one: one.gap - one.wanted))


def _chords(points: Sequence[Vec], radius: float) -> Floats:
    corners = Corners(tuple(points), (radius,) * (len(points) - 2))
    return corners.centreline().sample(_CHORD)


def _between(chords: Floats, free: float) -> Floats | None:
    """The chords without what lies nearer than ``free`` to either end along the way; None when nothing is left."""
    steps = np.linalg.norm(np.diff(chords, axis=0), axis=1)
    along_way = np.append(0.0, np.cumsum(steps))
    low, high = free, along_way[-1] - free
    if high - low < 1e-6:
        return None
    ends = [[np.interp(at, along_way, chords[:, k]) for k in range(3)] for at in (low, high)]
    inside = chords[(along_way > low) & (along_way < high)]
    return np.vstack([ends[0], inside, ends[1]])


_Family = Callable[[float], tuple[Vec, ...]]
"""From how far a way is set off the straight one, mm, to its corner points."""


def _families(start: Vec, end: Vec, sets: Sequence[tuple[float, ...]]) -> Iterator[_Family]:
    way = unit(sub(end, start))
    aside = perpendicular(way)
    over = cross(way, aside)
    for k in range(_TURNS):
        turn = 2.0 * math.pi * k / _TURNS
        off = add(scale(aside, math.cos(turn)), scale(over, math.sin(turn)))
        for shares in sets:
            yield partial(_set_off, start, end, shares, off)


def _set_off(start: Vec, end: Vec, shares: tuple[float, ...], off: Vec, far: float) -> tuple[Vec, ...]:
    step = sub(end, start)
    return (start, *(along(add(start, scale(step, share)), off, far) for share in shares), end)


def _best(families: Iterator[_Family], bend: tuple[float, float], around: _Around, most: float) -> Way | None:
    """The shortest way of some families, no longer than ``most``: of each the smallest offset that clears."""
    best: Way | None = None
    for family in families:
        best = _smallest(family, bend, around, most if best is None else best.length) or best
    return best


def _smallest(family: _Family, bend: tuple[float, float], around: _Around, most: float) -> Way | None:
    radius, least = bend
    straight = family(0.0)
    furthest = _FURTHEST * distance(straight[0], straight[-1])
    low = 0.0
    for k in range(1, _OFFSETS + 1):
        high = furthest * (k / _OFFSETS) ** 1.5
        length = way_length(np.array(family(high)), radius, least)
        if length >= most:
            return None
        if length > 0.0 and around.clears(family(high), radius):
            break
        low = high
    else:
        return None
    while high - low > _FINE:
        middle = 0.5 * (low + high)
        fits = way_length(np.array(family(middle)), radius, least) > 0.0 and around.clears(family(middle), radius)
        low, high = (low, middle) if fits else (middle, high)
    points = family(high)
    length = way_length(np.array(points), radius, least)
    return Way(points, length) if 0.0 < length < most else None


@dataclass(frozen=True, slots=True, eq=False)
class _Around:
    """Obstacles as the search reads them: a body that swings stands in many places, each taken so much larger."""

    bodies: Floats
    wanted: Floats
    lines: Floats
    gap: float
    free: float
    thick: float

    @classmethod
    def of(cls, obstacles: Obstacles, thick: float, ends: Sequence[Vec]) -> _Around:
        rows, wanted = [], []
        for out in obstacles.outs:
            for solid, more in standing_in(out, ends, _SWUNG):
                rows.append(body_row(solid))
                wanted.append(out.clearance + more)
        bodies = np.array(rows, dtype=np.float64).reshape(len(rows), COLUMNS)
        return cls(bodies, np.array(wanted), obstacles.lines, obstacles.clearance, obstacles.free, thick)

    def clears(self, points: Sequence[Vec], radius: float) -> bool:
        corners = np.array(points)
        return way_clears(corners, radius, self.free, self.thick, self.bodies, self.wanted, self.lines, self.gap)
