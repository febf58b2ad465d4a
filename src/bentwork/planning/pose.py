"""The bar as it lies in the bender at one step, with the bends that are made already; in the bender's frame, mm.

The die's axis is z, the held side of the bar lies along x at y = -R on a left-hand bender, which turns the free side
towards +y; a right-hand one is its mirror image.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bentwork.piece.bend import Bend, half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.planning.marks import End
from bentwork.space import HOME, Pose, Vec, cross, dot, rotate, sub
from bentwork.tooling.bender import Bender

__all__ = ["InBender", "in_bender"]


@dataclass(frozen=True, slots=True)
class InBender:
    """A bar in the bender.

    Args:
        line: the bar from the end that is held, in the bender's frame.
        station: of the start of the bend that is being made, from that end.
        bend: number of that bend within ``line``; 0 where it is not bent yet.
    """

    line: Centreline
    station: float
    bend: int


def in_bender(
    table: BendTable,
    bend: int,
    held: End,
    made: Iterable[int],
    angle: float,
    bender: Bender,
    trim: float = 0.0,
    longest_end: float | None = None,
) -> InBender:
    """Return the bar while a bend is at an angle.

    Args:
        table: the piece.
        bend: number of the bend that is being made, from 1 at end A.
        held: the end on whose side the bar is held.
        made: numbers of the bends made before.
        angle: that the bend is at, degrees; 0 before the pull.
        bender: that makes it.
        trim: spare length on each end.
        longest_end: what lies beyond the last bend on either side is cut off at this length, for pictures.
    """
    own = table if held == "A" else table.reversed()
    count = len(own.bends)

    def seen(number: int) -> int:
        return number if held == "A" else count + 1 - number

    here, before = seen(bend), {seen(number) for number in made}
    straights: list[float] = [own.straights[0] + trim]
    bends: list[Bend] = []
    at, direction, station, index = 0.0, 0.0, 0.0, 0
    here_points, beside = 0.0, None  # where this bend turns to, and the bend made whose axis the bar has here
    for number, (one, points_to) in enumerate(zip(own.bends, own.directions, strict=True), 1):
        turn = angle if number == here else one.angle if number in before else 0.0
        if number == here:
            station, index = at + straights[-1], len(bends) + 1 if angle > 0.0 else 0
            here_points, beside = points_to, direction if bends else None
        radius = bender.radius if number == here else one.radius
        if turn > 0.0:
            bends.append(Bend(radius, turn, half_turn(points_to - direction) if bends else 0.0))
            direction = points_to
            if beside is None:
                beside = points_to
            at += straights[-1] + bends[-1].arc
            # What is not yet wrapped is still straight.
            rest = max(0.0, one.arc - bends[-1].arc) if number == here else 0.0
            straights.append(rest + own.straights[number])
        else:
            straights[-1] += one.arc + own.straights[number]
    straights[-1] += trim
    if longest_end is not None:
        cut = max(0.0, straights[0] - longest_end) if bends else 0.0
        straights[0], station = straights[0] - cut, station - cut
        straights[-1] = min(straights[-1], longest_end)
    line = Centreline(BendTable(tuple(straights), tuple(bends)), HOME)
    sign = -1.0 if bender.hand == "right" else 1.0
    # The bend axis where the bend begins: of the bend itself, or of what it will be when the bar is still straight.
    pose = line.runs[2 * index - 1].start if index else _turned(line.pose(station), here_points, beside)
    to = Pose((0.0, -sign * bender.radius, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, sign))
    return InBender(Centreline(line.table, _moved(HOME, pose, to)), station, index)


def _turned(pose: Pose, points_to: float, beside: float | None) -> Pose:
    """Return a pose on straight bar with the axis of a bend that is not made yet."""
    if beside is None:
        return pose
    return Pose(pose.origin, pose.tangent, rotate(pose.axis, pose.tangent, points_to - beside))


def _moved(what: Pose, was: Pose, becomes: Pose) -> Pose:
    """Return a pose moved as a rigid body that takes one pose to another."""

    def turned(v: Vec) -> Vec:
        parts = (dot(v, was.tangent), dot(v, was.axis), dot(v, cross(was.axis, was.tangent)))
        into = (becomes.tangent, becomes.axis, cross(becomes.axis, becomes.tangent))
        x, y, z = (sum(part * axis[i] for part, axis in zip(parts, into, strict=True)) for i in range(3))
        return (x, y, z)

    x, y, z = turned(sub(what.origin, was.origin))
    origin = (becomes.origin[0] + x, becomes.origin[1] + y, becomes.origin[2] + z)
    return Pose(origin, turned(what.tangent), turned(what.axis))
