"""Bars of one solid that meet at a mitre: each ends in the middle of the cut, as it does when it is drawn by itself."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, cross, dot, norm, scale, sub, unit
from bentwork.takeoff.bar import Bar, End
from bentwork.takeoff.ends import frame_at, lengthened, looking
from bentwork.takeoff.outline import Outline

__all__ = ["mitred"]

MEET = 0.05
"""Middles that pass one another this near meet, mm."""
NEARLY = 0.15
"""Share of the bar's half size by which its long point may differ from that of a mitre: ends are sampled."""
LEAST_SINE = 0.05
"""Bars that meet at a smaller angle run on."""


def mitred(members: Sequence[tuple[Bar, Outline]]) -> tuple[Bar, ...]:
    """Return the members, those that reach the long point of a mitre with another cut back to the middle of it.

    A corner where one bar was laid against the other and all was fused into one face has the same shape: it is told
    as a mitre too.
    """
    cuts: list[dict[int, tuple[float, End]]] = [{} for _ in members]
    ends = [
        (k, _Ended(bar, outline, side, *_end(bar.line, side), 2.0 * outline.largest))
        for k, (bar, outline) in enumerate(members)
        for side in (0, 1)
        if bar.ends[side].cut in ("joined", "shaped")
    ]
    for at, other in _near(ends):
        (k, one), (n, two) = ends[at], ends[other]
        found = _mitre(one, two)
        if found is not None:
            cuts[k][one.side], cuts[n][two.side] = found
    bars = []
    for (bar, _), cut in zip(members, cuts, strict=True):
        line = lengthened(bar.line, *(-cut[side][0] if side in cut else 0.0 for side in (0, 1))) if cut else None
        if line is None:
            bars.append(bar)
            continue
        a, b = (cut[side][1] if side in cut else bar.ends[side] for side in (0, 1))
        back = cut[0][0] if 0 in cut else 0.0
        holes = tuple(replace(hole, at=hole.at - back) for hole in bar.holes)
        bars.append(replace(bar, line=line, ends=(a, b), holes=holes))
    return tuple(bars)


class _Ended(NamedTuple):
    """An end of a bar: which, where, the direction out of it, and how far off its long point may be, mm."""

    bar: Bar
    outline: Outline
    side: int
    point: Vec
    way: Vec
    near: float


def _near(ends: Sequence[tuple[int, _Ended]]) -> list[tuple[int, int]]:
    """Return which ends come near one of a bar before theirs, at an angle, with that end."""
    if not ends:
        return []
    bars, nears = np.array([k for k, _ in ends]), np.array([end.near for _, end in ends])
    points, ways = np.array([(end.point, end.way) for _, end in ends]).transpose(1, 0, 2)
    gaps = points[:, None] - points
    meet = np.einsum("ijk,ijk->ij", gaps, gaps) <= (nears[:, None] + nears) ** 2
    meet &= (np.abs(ways @ ways.T) < 1.0 - 0.4 * LEAST_SINE**2) & (bars[:, None] > bars)
    found: list[tuple[int, int]] = list(zip(*(row.tolist() for row in meet.nonzero()), strict=True))
    return found


def _mitre(one: _Ended, two: _Ended) -> tuple[tuple[float, End], tuple[float, End]] | None:
    """Return how far each of two ends is cut back, and how; None where they do not meet at a mitre."""
    p, t, q, v = one.point, one.way, two.point, two.way
    normal = cross(t, v)
    sine = norm(normal)
    if sine < LEAST_SINE:
        return None
    normal, gap = scale(normal, 1.0 / sine), sub(q, p)
    if abs(dot(gap, normal)) > MEET:
        return None
    s, u = dot(cross(gap, v), normal) / sine, dot(cross(gap, t), normal) / sine
    lean = math.atan2(sine, -dot(t, v)) / 2.0
    found = []
    for end, reach, other in ((one, -s, v), (two, -u, t)):
        tangent, inward = frame_at(end.bar.line, end.side)
        half = _half(end.outline, tangent, inward, normal)
        if abs(reach - half * math.tan(lean)) > NEARLY * half:
            return None
        cut = End("mitred", math.degrees(lean), half * math.tan(lean))
        # On the outside of the corner: where the other bar would go if it went on.
        found.append((reach, looking(cut, tangent, inward, along(other, end.way, -dot(other, end.way)))))
    return found[0], found[1]


def _end(line: Centreline, side: int) -> tuple[Vec, Vec]:
    """Return an end and the direction out of it."""
    pose = line.end if side else line.start
    return pose.origin, pose.tangent if side else scale(pose.tangent, -1.0)


def _half(outline: Outline, tangent: Vec, inward: Vec, normal: Vec) -> float:
    """Return half of the section's size in the plane of a corner, at right angles to the bar."""
    if outline.is_round:
        return outline.inward
    x = unit(cross(normal, tangent))
    return abs(dot(x, inward)) * outline.inward + abs(dot(x, cross(tangent, inward))) * outline.across
