"""The centreline in space: straights and arcs placed, points and frames along the bar, samples."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend_table import BendTable
from bentwork.space import HOME, Pose, Vec, along, cross, dot, norm, rotate, scale, sub

__all__ = ["Centreline", "Gap", "Run", "chords_for"]


@dataclass(frozen=True, slots=True)
class Run:
    """One stretch of the centreline: a straight (``radius`` infinite, ``angle`` 0) or an arc.

    Args:
        start: pose at the start of the run; its axis is the axis of the arc.
        station: distance from end A along the centreline, mm.
        length: length of the run, mm.
        radius: centreline radius, mm; infinite for a straight.
        bend: number of the bend from 1, 0 for a straight.
    """

    start: Pose
    station: float
    length: float
    radius: float = math.inf
    bend: int = 0

    @property
    def angle(self) -> float:
        """Degrees that the run turns; 0 for a straight."""
        return 0.0 if self.bend == 0 else math.degrees(self.length / self.radius)

    def pose(self, distance: float) -> Pose:
        """Return the pose at this distance into the run, mm."""
        origin, tangent, axis = self.start.origin, self.start.tangent, self.start.axis
        if self.bend == 0:
            return Pose(along(origin, tangent, distance), tangent, axis)
        theta = distance / self.radius
        c, s = math.cos(theta), math.sin(theta)
        inward = cross(axis, tangent)
        point = along(along(origin, tangent, self.radius * s), inward, self.radius * (1.0 - c))
        turned = (
            c * tangent[0] + s * inward[0],
            c * tangent[1] + s * inward[1],
            c * tangent[2] + s * inward[2],
        )
        return Pose(point, turned, axis)


@dataclass(frozen=True, slots=True)
class Gap:
    """How the two ends of a piece meet.

    Args:
        distance: from end B to end A, mm.
        angle: between the directions of the two ends, degrees.
    """

    distance: float
    angle: float


@dataclass(frozen=True, slots=True)
class Centreline:
    """A bend table placed in space.

    Args:
        table: the piece.
        start: pose of end A; its axis is the axis of the first bend.
    """

    table: BendTable
    start: Pose = HOME
    _placed: list[tuple[Run, ...]] = field(default_factory=list, init=False, repr=False, compare=False)

    @property
    def runs(self) -> tuple[Run, ...]:
        """All straights and arcs in order, straights of no length included."""
        if not self._placed:  # worked out once: nearly every question about the bar begins here
            self._placed.append(self._runs())
        return self._placed[0]

    def _runs(self) -> tuple[Run, ...]:
        runs = []
        pose, station = self.start, 0.0
        for number, bend in enumerate(self.table.bends, 1):
            straight = self.table.straights[number - 1]
            runs.append(Run(pose, station, straight))
            axis = pose.axis if number == 1 else rotate(pose.axis, pose.tangent, bend.rotation)
            pose = Pose(along(pose.origin, pose.tangent, straight), pose.tangent, axis)
            arc = Run(pose, station + straight, bend.arc, bend.radius, number)
            runs.append(arc)
            station += straight + bend.arc
            pose = arc.pose(bend.arc)
        runs.append(Run(pose, station, self.table.straights[-1]))
        return tuple(runs)

    @property
    def end(self) -> Pose:
        """Pose of end B."""
        last = self.runs[-1]
        return last.pose(last.length)

    @property
    def gap(self) -> Gap:
        """How far end B misses end A, for a closed piece."""
        end = self.end
        turn = math.degrees(
            math.atan2(norm(cross(end.tangent, self.start.tangent)), dot(end.tangent, self.start.tangent))
        )
        return Gap(norm(sub(end.origin, self.start.origin)), turn)

    @property
    def corners(self) -> tuple[Vec, ...]:
        """Corner points from end A to end B, mm: the ends, and where neighbouring straights would meet.

        A bend of 180 degrees or more has no such point; it gives the two corners of its two halves.
        """
        points = [self.start.origin]
        for run in self.runs:
            if run.bend == 0:
                continue
            halves = 1 if run.angle < 179.0 else 2
            setback = run.radius * math.tan(run.length / run.radius / 2.0 / halves)
            for half in range(halves):
                pose = run.pose(run.length * half / halves)
                points.append(along(pose.origin, pose.tangent, setback))
        points.append(self.end.origin)
        return tuple(points)

    def pose(self, station: float) -> Pose:
        """Return point, direction and bend axis at a distance from end A along the bar, mm.

        Raises:
            ValueError: the station is not on the bar.
        """
        length = self.table.length
        if not -1e-9 <= station <= length + 1e-9:
            raise ValueError(f"the bar reaches from 0 to {length:g} mm; {station:g} is not on it")
        runs = self.runs
        for run in runs:
            if station <= run.station + run.length:
                return run.pose(max(0.0, station - run.station))
        return runs[-1].pose(runs[-1].length)

    def sample(self, chord_error: float) -> NDArray[np.float64]:
        """Return points (n, 3) on the centreline, mm, whose chords lie within ``chord_error`` of it.

        Tangent points are always among them; straights get no points of their own.
        """
        points: list[Vec] = [self.start.origin]
        for run in self.runs:
            if run.length == 0.0:
                continue
            count = 1 if run.bend == 0 else chords_for(run.radius, run.length / run.radius, chord_error)
            points.extend(run.pose(run.length * i / count).origin for i in range(1, count + 1))
        return np.array(points, dtype=np.float64)

    def mirrored(self, axis: int = 1, at: float = 0.0) -> Centreline:
        """Return the mirror image in the plane where coordinate ``axis`` (0, 1, 2) equals ``at`` mm."""

        def flip(v: Vec, offset: float = 0.0) -> Vec:
            flipped = list(v)
            flipped[axis] = 2.0 * offset - flipped[axis]
            return (flipped[0], flipped[1], flipped[2])

        start = Pose(flip(self.start.origin, at), flip(self.start.tangent), scale(flip(self.start.axis), -1.0))
        return Centreline(self.table.mirrored(), start)


def chords_for(radius: float, theta: float, chord_error: float) -> int:
    """Return how many equal chords keep an arc of theta radians within ``chord_error`` (its sagitta), mm.

    Raises:
        ValueError: the error is not above 0.
    """
    if not chord_error > 0.0:
        raise ValueError("a chord error is a length above 0")
    if chord_error >= radius:
        return max(1, math.ceil(theta / math.pi))
    return max(1, math.ceil(theta / (2.0 * math.acos(1.0 - chord_error / radius))))
