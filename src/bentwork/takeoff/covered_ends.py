"""Ends of bars on other bars of one solid, also those that a weld seam or a gusset covers; whether the bars touch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bentwork.space import Vec, cross, dot, norm, scale, sub
from bentwork.takeoff.against_bars import Member, first_met, inside_of, stand_out
from bentwork.takeoff.bar import Bar
from bentwork.takeoff.copes import cope_reach
from bentwork.takeoff.ends import frame_at, lengthened
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.rests import Rest, seen_from
from bentwork.takeoff.runs import MEETS
from bentwork.takeoff.shape import Face, Floats

__all__ = ["exactly", "runs_beside", "stands_by_itself", "touching", "uncovered"]

ALL_ROUND, ROUND = (
    np.column_stack((np.cos(angles), np.sin(angles)))
    for angles in (np.linspace(0.0, 2.0 * math.pi, count, endpoint=False) for count in (72, 24))
)
"""Where lines along a bar are followed to another; where they are looked at for whether bars touch; (n, 2)."""
CORNERS = np.array(((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)))
BETWEEN = 0.2
"""What lies further than this share of a stretch from both of its ends lies between them."""
COVERED = 2.0
"""So many times the bar's size of an end may be covered."""
TOUCHES = 0.05
"""Bars that come nearer to one another than this touch, mm."""
STEPS = 32
"""Steps in which another bar is looked for there."""
EXACT, ROUNDED = 1e-7, 0.01
"""A line meets a bar that it passes no further away, mm; with coordinates that are rounded."""
SEEN_LONGER = 0.05
"""Share of its half size by which the sides of a bar may be taken for longer than they are."""
FACING = 0.5
"""A plate on which a bar stands leans less than 60 degrees from square to it: cosine."""
BESIDE = 0.5
"""What else runs along more than this share of a bar is part of it: the bar has another section."""


def uncovered(members: Sequence[Member]) -> list[Member]:
    """Return members whose joined ends go on to the bar that they meet, where something else covers how they meet."""
    boxes = [_box(bar, outline) for bar, outline in members]
    found = []
    for k, (bar, outline) in enumerate(members):
        reach = COVERED * outline.largest
        more = [0.0, 0.0]
        for side, point in ((0, bar.line.start.origin), (1, bar.line.end.origin)):
            if bar.ends[side].cut == "joined":
                far = reach + 2.0 * outline.largest
                round_it = np.array((np.array(point) - far, np.array(point) + far))
                others = [members[n] for n, box in enumerate(boxes) if n != k and _meet(box, round_it)]
                more[side] = _further(bar, outline, side, others, 0.0, reach, STEPS)
        found.append((_longer(bar, more), outline))
    return found


def _box(bar: Bar, outline: Outline) -> Floats:
    """Return the least and the greatest coordinates of a bar, or somewhat less and more, (2, 3)."""
    line, more = bar.line, 1.0 + outline.inward + outline.across
    points = line.sample(1.0) if line.table.bends else np.array((line.start.origin, line.end.origin))
    return np.array((points.min(axis=0) - more, points.max(axis=0) + more))


def _meet(one: Floats, two: Floats) -> bool:
    """Tell whether two boxes have a point in common."""
    return bool((one[0] <= two[1]).all() and (two[0] <= one[1]).all())


def exactly(bar: Bar, outline: Outline, others: Sequence[Member], sides: Sequence[Face]) -> Bar:
    """Return a round bar whose joined ends go as far as its metal does before it is inside the bars that it meets.

    The kernel may take sides that end on another bar for a little longer than they are.

    Args:
        bar: it.
        outline: its section.
        others: bars that it meets.
        sides: of these, that it touches.
    """
    window = SEEN_LONGER * outline.half
    # By formula where all that it touches is straight and round.
    straight = all(face.kind == "cylinder" and face.outward for face in sides)
    rounds = sides if straight else ()

    def further(side: int) -> float:
        pose = bar.line.end if side else bar.line.start
        ahead = pose.tangent if side else scale(pose.tangent, -1.0)
        there = [face for face in rounds if _from_axis(face, pose.origin) < face.radius + outline.largest]
        reaches = [cope_reach(face, pose.origin, ahead, outline.inward) for face in there]
        near = [reach for reach in reaches if abs(reach) < window]
        # One side may be several faces.
        if near and max(near) - min(near) < MEETS:
            return max(near)
        return _further(bar, outline, side, others, -window, window, 1)

    return _longer(bar, [further(side) if bar.ends[side].cut == "joined" else 0.0 for side in (0, 1)])


def _from_axis(face: Face, point: Vec) -> float:
    return norm(cross(sub(point, face.origin), face.axis))


def _longer(bar: Bar, more: Sequence[float]) -> Bar:
    line = lengthened(bar.line, *more) if any(more) else None
    if line is None:
        return bar
    return replace(bar, line=line, holes=tuple(replace(hole, at=hole.at + more[0]) for hole in bar.holes))


def touching(members: Sequence[Member]) -> list[bool]:
    """Tell of every member whether it touches another one by itself."""
    boxes = [_box(bar, outline) for bar, outline in members]
    touched = [False] * len(members)
    for k, member in enumerate(members):
        for n, other in enumerate(members):
            left = n != k and not (touched[k] and touched[n]) and _meet(boxes[k], boxes[n])
            if left and _touch(member, other):
                touched[k] = touched[n] = True
    return touched


def stands_by_itself(bar: Bar, outline: Outline, rests: Sequence[Rest]) -> bool:
    """Tell whether a bar ends where it seems to: each end is cut, or stands on a plate; what goes on there is not it.

    Args:
        bar: it, where it is drawn.
        outline: its section.
        rests: the faces that touch its sides.
    """
    seen = seen_from(bar.line, rests, outline)
    on_sides = outline.beyond(seen.flat) < TOUCHES
    for side, end in enumerate(bar.ends):
        if end.cut != "joined":
            continue
        ahead = bar.line.end.tangent if side else scale(bar.line.start.tangent, -1.0)
        at_end = on_sides & (np.abs(seen.flat[:, 0] - side * bar.length) < outline.half)
        there = np.logical_or.reduceat(at_end, seen.starts) if seen.rests else at_end
        faces = [rest.face for rest, is_there in zip(seen.rests, there.tolist(), strict=True) if is_there]
        looks = [dot(face.axis, ahead) for face in faces if face.kind == "plane"]
        stands = [look for look in looks if look < -FACING]
        flush = [look for look in looks if abs(look) < 1e-3]
        if not stands or len(stands) + len(flush) < len(faces):
            return False
    return True


def _touch(member: Member, other: Member) -> bool:
    """Tell whether a line along a bar, as far from its middle as its nearest sides are, touches another bar."""
    bar, outline = other
    if bar.line.table.bends:
        return float(inside_of(member, _skin(bar, outline)).min()) < TOUCHES
    pose, steps = bar.line.start, 2 + min(1000, int(bar.length / outline.half))
    starts = np.array(pose.origin) + outline.half * ROUND @ np.array((pose.inward, pose.axis))
    return bool(np.isfinite(first_met(member, starts, np.array(pose.tangent), (0.0, bar.length), TOUCHES, steps)).any())


def runs_beside(rests: Sequence[Floats], members: Sequence[Member]) -> bool:
    """Tell whether a face, by its samples, goes along the better part of a member: a rib or a web of its section.

    A plate that both ends of a bar stand on has samples at these alone.
    """
    if not rests:
        return False
    points, starts = np.concatenate(rests), np.cumsum([0, *(len(some) for some in rests[:-1])])
    for some, stations, out in stand_out(members, points):
        lengths = np.array([[bar.length] for bar, _ in some])
        close = out < np.array([[outline.largest] for _, outline in some])
        at = np.minimum(np.maximum(stations, 0.0), lengths)
        high = np.maximum.reduceat(np.where(close, at, -np.inf), starts, axis=1)
        low = np.minimum.reduceat(np.where(close, at, np.inf), starts, axis=1)
        sizes = np.diff(starts, append=len(points))
        from_low, to_high = at - low.repeat(sizes, axis=1), high.repeat(sizes, axis=1) - at
        between = close & (np.minimum(from_low, to_high) > BETWEEN * (from_low + to_high))
        if bool(((high - low > BESIDE * lengths) & np.logical_or.reduceat(between, starts, axis=1)).any()):
            return True
    return False


def _skin(bar: Bar, outline: Outline) -> Floats:
    """Return points round the middle of a bar, as far from it as its nearest sides, (n, 3)."""
    ways = outline.half * ROUND
    stations = np.linspace(0.0, bar.length, 2 + min(1000, int(bar.length / outline.half)))
    runs = bar.line.runs
    which = np.searchsorted([run.station + run.length for run in runs[:-1]], stations)
    found = []
    for k, run in enumerate(runs):
        along, pose = (stations[which == k] - run.station)[:, None], run.start
        origin, tangent, inward = np.array(pose.origin), np.array(pose.tangent), np.array(pose.inward)
        turned = along / run.radius
        cosines, sines = np.cos(turned), np.sin(turned)
        if run.bend:
            middles = origin + run.radius * (sines * tangent + (1.0 - cosines) * inward)
        else:
            middles = origin + along * tangent
        inwards = cosines * inward - sines * tangent
        across = ways[:, :1] * inwards[:, None] + ways[:, 1:] * np.array(pose.axis)
        found.append((middles[:, None] + across).reshape(-1, 3))
    return np.concatenate(found)


def _further(
    bar: Bar,
    outline: Outline,
    side: int,
    others: Sequence[Member],
    begin: float,
    end: float,
    steps: int,
) -> float:
    """Return how much further a bar goes at an end until all round it has met other bars, mm; 0 where it does not.

    Args:
        bar: it.
        outline: its section.
        side: 0 for end A, 1 for end B.
        others: bars that it may meet.
        begin: it is looked for from so far beyond the end, mm.
        end: to so far.
        steps: in so many, and then between them.
    """
    tangent, inward = frame_at(bar.line, side)
    pose = bar.line.end if side else bar.line.start
    ahead = np.array(pose.tangent if side else scale(pose.tangent, -1.0))
    start = np.array(pose.origin) + _rim(outline) @ np.array((inward, cross(tangent, inward)))

    reaches = np.full(len(start), np.inf)
    for slack in (EXACT, ROUNDED):
        # Bars flush with one another pass by a little where coordinates are rounded.
        left = np.isinf(reaches)
        for other in others if left.any() else ():
            reaches[left] = np.minimum(reaches[left], first_met(other, start[left], ahead, (begin, end), slack, steps))
    farthest = _highest(reaches) if outline.is_round else float(reaches.max())
    return farthest if begin + 1e-3 < farthest < np.inf or farthest == begin == 0.0 else 0.0


def _highest(around: Floats) -> float:
    """Return the highest of values in even steps round a circle, also where it lies between two of them."""
    k = int(around.argmax())
    before, best, after = (float(around[n % len(around)]) for n in (k - 1, k, k + 1))
    bulge = 2.0 * best - before - after
    return best + (before - after) ** 2 / (8.0 * bulge) if 0.0 < bulge < math.inf else best


def _rim(outline: Outline) -> Floats:
    """Return points round a section, towards the inside of the first bend and along its axis, (n, 2)."""
    if outline.is_round:
        return outline.inward * ALL_ROUND
    sizes = np.array((outline.inward, outline.across))
    ways = ALL_ROUND / sizes
    found: Floats = np.concatenate((ALL_ROUND / np.abs(ways).max(axis=1, keepdims=True), sizes * CORNERS))
    return found
