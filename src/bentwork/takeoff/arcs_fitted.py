"""Straights and arcs brought as near to points as they come: a bend table by least squares (Gauss and Newton).

What a small change of one straight, angle, radius or rotation does to a point further on is a rigid motion of all that
lies beyond it, so that the slopes are exact and cost no more than the points themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Pose, Vec, along, dot, rotate, scale, sub, unit
from bentwork.takeoff.shape import Floats, crossed
from bentwork.takeoff.unbend import Beside, Ints, beside, runs_of

__all__ = ["fitted"]

MOST_STEPS = 12
SETTLED = 1e-7
"""A step that moves no point by more is the last, mm."""
ASTRAY, FAR_ASTRAY = 5.0, 0.02
"""A point is about as far along the bar as it is told, but for so many mm and this share of its length."""
TOUCH = 0.05
"""Bends with less between them touch, mm, if they come as near to the points then."""
NO_WORSE = 1.1
"""They do when it leaves them no further off than so many times as far, or ``NOTHING``."""
NOTHING = 1e-4
LEAST_TURN, MOST_TURN = 1e-4, 359.0
"""Bends keep between these on the way, degrees."""


def fitted(line: Centreline, points: Floats, *, sized: bool = False, held: Sequence[int] = ()) -> Centreline:
    """Return an open bend table near to this one that comes nearest to points in order along it.

    Args:
        line: about right. One that comes back to its beginning is laid open there.
        points: (n, 3), from end A to end B.
        sized: radii and straights are known, and it is angles and rotations that are to be found.
        held: places of bends whose radius is known; of a slight one the points say nothing of it.
    """
    free = [k for k, straight in enumerate(line.table.straights) if straight > 0.0]
    found, off = _settled(line, points, free, sized, held)
    straights = found.table.straights
    short = [k for k in free if straights[k] < TOUCH and 0 < k < len(straights) - 1]
    if not short:
        return found
    without = _changed(found, [(k, -straights[k]) for k in short], [], [], [], (0.0,) * 6)
    touching, over = _settled(without, points, [k for k in free if k not in short], sized, held)
    return touching if over < max(NO_WORSE * off, NOTHING) else found


class _Motion(NamedTuple):
    """What a change by 1 of something does to all that is beyond a run: a turn about a point, and a shift.

    Args:
        first: number of the first run that it moves.
        turn: axis times rad.
        about: where it is.
        shift: mm.
    """

    first: int
    turn: Vec
    about: Vec
    shift: Vec


NO: Vec = (0.0, 0.0, 0.0)
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def _settled(
    line: Centreline, points: Floats, free: Sequence[int], sized: bool, held: Sequence[int]
) -> tuple[Centreline, float]:
    """Return the table that is nearest with these straights free, and how far it is off at most, mm."""
    bends, straights = len(line.table.bends), line.table.straights
    fixed = [len(free) + bends + k for k in (range(bends) if sized else held)]
    for _ in range(MOST_STEPS):
        slopes, misses = _equations(line, points, free)
        slopes[:, fixed] = 0.0
        if sized:
            kept = np.eye(len(free), slopes.shape[1])
            changes = [straights[k] - line.table.straights[k] for k in free]
            slopes, misses = np.concatenate((slopes, kept)), np.append(misses, changes)
        lengths = np.sqrt(np.einsum("ij,ij->j", slopes, slopes))
        lengths[lengths < 1e-9] = np.inf  # what moves nothing stays
        slopes /= lengths
        step = np.linalg.lstsq(slopes.T @ slopes, slopes.T @ misses, rcond=1e-13)[0]
        moved = float(np.abs(slopes @ step).max())
        step /= lengths
        cuts = np.cumsum([len(free), bends, bends, max(0, bends - 1)])
        changes, angles, sizes, rotations, pose = (part.tolist() for part in np.split(step, cuts))
        line = _changed(line, list(zip(free, changes, strict=True)), angles, sizes, rotations, pose)
        if moved < SETTLED:
            break
    return line, float(np.sqrt(_in_order(line, points).squares.max()))


def _equations(line: Centreline, points: Floats, free: Sequence[int]) -> tuple[Floats, Floats]:
    """Return how points move away from the line by each of what is free, and how far off they are now.

    In rows: of every point to the inside of its bend and across, and of the first and the last point along the bar.
    """
    runs = line.runs
    seen = _in_order(line, points)
    frames, feet = _frames(runs, seen.flat[:, 0], seen.runs)
    rel = points - feet
    beyond = line.end
    ends = np.array([line.start.origin, beyond.origin])
    tangents = np.array([line.start.tangent, beyond.tangent])
    along = np.einsum("ij,ij->i", points[[0, -1]] - ends, tangents)
    misses = np.concatenate((*np.einsum("ij,ikj->ki", rel, frames), along))
    motions = _motions(line, free)
    turns, abouts, shifts = (np.array([motion[k] for motion in motions]) for k in (1, 2, 3))
    offsets = shifts - crossed(turns, abouts)
    firsts = np.array([motion.first for motion in motions])[:, None]

    def moved(places: Floats, numbers: Ints) -> Floats:
        found = crossed(np.broadcast_to(turns[:, None], (len(turns), len(places), 3)), places[None]) + offsets[:, None]
        return np.where((numbers >= firsts)[..., None], found, 0.0)

    ways = moved(feet, seen.runs)
    # A larger radius moves its own arc too, the more the further round.
    first_radius = len(free) + len(line.table.bends)
    for k, run in enumerate(run for run in runs if run.bend):
        own = seen.runs == 2 * k + 1
        ways[first_radius + k, own] = (feet[own] - np.array(run.start.origin)) / run.radius
    at_ends = np.einsum("pij,ij->pi", moved(ends, np.array([0, len(runs)])), tangents)
    slopes = np.concatenate((*(np.einsum("pij,ij->pi", ways, frames[:, k]) for k in (0, 1)), at_ends), axis=1)
    return np.ascontiguousarray(slopes.T), misses


def _in_order(line: Centreline, points: Floats) -> Beside:
    """Return points measured from the parts that they are nearest to, of those that are about as far along as they are.

    What comes back to its beginning, or past itself, has others that are as near.
    """
    steps = np.diff(points, axis=0)
    gone = np.concatenate(((0.0,), np.cumsum(np.sqrt(np.einsum("ij,ij->i", steps, steps)))))
    length = line.table.length
    gone *= length / gone[-1]
    slack = ASTRAY + FAR_ASTRAY * length
    best = Beside(np.zeros_like(points), np.zeros(len(points)), np.zeros(len(points), dtype=np.intp))
    squares = np.full(len(points), np.inf)
    for number in runs_of(line):
        run = line.runs[number]
        own = ((gone >= run.station - slack) & (gone <= run.station + run.length + slack)).nonzero()[0]
        if len(own) == 0:
            continue
        seen = beside(line, number, points[own])
        apart = seen.squares
        nearer = apart < squares[own]
        places = own[nearer]
        for whole, part in zip(best, seen, strict=True):
            whole[places] = part[nearer]
        squares[places] = apart[nearer]
    return best


def _frames(runs: Sequence[Run], stations: Floats, numbers: Ints) -> tuple[Floats, Floats]:
    """Return inward and axis where points are nearest to runs, (n, 2, 3), and the places there, (n, 3)."""
    rows = [
        (*run.start.origin, *run.start.tangent, *run.start.inward, *run.start.axis, run.station, run.radius)
        for run in runs
    ]
    own = np.array(rows)[numbers]
    origins, tangents, inwards, axes = (own[:, k : k + 3] for k in (0, 3, 6, 9))
    ahead, radii = stations - own[:, 12], own[:, 13]
    bent = np.isfinite(radii)
    safe = np.where(bent, radii, 1.0)
    angles = np.where(bent, ahead / safe, 0.0)
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    forward = np.where(bent, safe * s[:, 0], ahead)[:, None]
    aside = np.where(bent, safe * (1.0 - c[:, 0]), 0.0)[:, None]
    feet = origins + forward * tangents + aside * inwards
    return np.stack((c * inwards - s * tangents, axes), axis=1), feet


def _motions(line: Centreline, free: Sequence[int]) -> list[_Motion]:
    runs = line.runs
    arcs = [run for run in runs if run.bend]
    found = [_Motion(2 * k + 1, NO, NO, runs[2 * k].start.tangent) for k in free]
    ends = [run.pose(run.length) for run in arcs]
    for k, run in enumerate(arcs):
        centre = along(run.start.origin, run.start.inward, run.radius)
        found.append(_Motion(2 * k + 2, run.start.axis, centre, NO))
    for k, (run, end) in enumerate(zip(arcs, ends, strict=True)):
        found.append(_Motion(2 * k + 2, NO, NO, scale(sub(end.origin, run.start.origin), 1.0 / run.radius)))
    for k, run in enumerate(arcs[1:], 1):
        found.append(_Motion(2 * k + 1, run.start.tangent, run.start.origin, NO))
    found += [_Motion(0, NO, NO, way) for way in (X, Y, Z)]
    found += [_Motion(0, way, line.start.origin, NO) for way in (X, Y, Z)]
    return found


def _changed(
    line: Centreline,
    straights: Sequence[tuple[int, float]],
    angles: Sequence[float],
    radii: Sequence[float],
    rotations: Sequence[float],
    pose: Sequence[float],
) -> Centreline:
    """Return a table changed by so much; angles and rotations in rad."""
    lengths, bends = list(line.table.straights), list(line.table.bends)
    for k, change in straights:
        lengths[k] = max(0.0, lengths[k] + change)
    for k, (bend, angle, radius) in enumerate(zip(bends, angles, radii, strict=False)):
        turn = bend.rotation + (math.degrees(rotations[k - 1]) if k else 0.0)
        # Nothing is made less than half as large at once.
        larger = max(bend.radius + radius, bend.radius / 2.0)
        further = max(bend.angle + math.degrees(angle), bend.angle / 2.0, LEAST_TURN)
        bends[k] = Bend(larger, min(further, 2.0 * bend.angle, MOST_TURN), turn)
    x, y, z, *turns = pose
    origin = (line.start.origin[0] + x, line.start.origin[1] + y, line.start.origin[2] + z)
    tangent, axis = line.start.tangent, line.start.axis
    size = math.hypot(*turns)
    if size > 0.0:
        about = scale((turns[0], turns[1], turns[2]), 1.0 / size)
        tangent, axis = (rotate(way, about, math.degrees(size)) for way in (tangent, axis))
    tangent = unit(tangent)
    return Centreline(
        BendTable(tuple(lengths), tuple(bends)), Pose(origin, tangent, unit(along(axis, tangent, -dot(axis, tangent))))
    )
