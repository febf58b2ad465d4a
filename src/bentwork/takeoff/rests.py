"""Faces that are no sides of a bar, as they lie on it when it is straightened."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from math import cos, pi, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import Centreline
from bentwork.space import add, along, scale
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Face, Floats
from bentwork.takeoff.unbend import Ints, beside, nearest

__all__ = ["Rest", "Seen", "reaches", "seen_from", "with_middle"]

THERE = 0.3
"""Samples of rims that lie nearer round a face are at one place of it, rad."""
HALF_ROUND = 0.9 * pi
"""A face that goes so far round is a half or all of a bar, a bore or a hole, rad."""


class Rest(NamedTuple):
    """A face that is no side of the bar; a named tuple, because every member of a frame has dozens beside it.

    Args:
        face: as the kernel gave it.
        points: samples of its edges, (n, 3).
    """

    face: Face
    points: Floats


class Seen(NamedTuple):
    """Faces as they lie on a straightened bar.

    Args:
        rests: they, those with samples.
        flat: samples of one after the other, (n, 3).
        starts: where those of each begin.
        lows: how far along the bar each begins, mm.
        highs: and ends.
        outs: how far each stands out beyond the section, mm.
    """

    rests: Sequence[Rest]
    flat: Floats
    starts: Sequence[int]
    lows: Sequence[float]
    highs: Sequence[float]
    outs: Sequence[float]


def with_middle(face: Face, samples: Floats) -> Floats:
    """Return the samples of a face, (n, 3), with one more in the middle of half a round or more.

    The rims of a bar or a bore from leg to leg of a bent bar are on both of these, and it is not.
    """
    if face.kind != "cylinder" or face.u[1] - face.u[0] < HALF_ROUND or not len(samples):
        return samples
    u = (face.u[0] + face.u[1]) / 2.0
    # Its rims may lean: half way between what they are there, or else a slanting hole through a thin wall stands out.
    rel = samples - np.array(face.origin)
    turns = np.arctan2(rel @ np.array(face.y), rel @ np.array(face.x)) - u
    off = np.abs((turns + pi) % (2.0 * pi) - pi)
    there = (rel @ np.array(face.axis))[off < max(THERE, float(off.min()) + 1e-6)]
    v = (float(there.min()) + float(there.max())) / 2.0
    out = along(scale(face.x, face.radius * cos(u)), face.y, face.radius * sin(u))
    return np.concatenate((samples, [along(add(face.origin, out), face.axis, v)]))


def seen_from(line: Centreline, rests: Sequence[Rest], outline: Outline) -> Seen:
    """Return faces as they lie on a straightened bar of a section."""
    seen = [rest for rest in rests if len(rest.points)]
    if not seen:
        return Seen((), np.zeros((0, 3)), (), (), (), ())
    sizes = [len(rest.points) for rest in seen]
    starts = np.array([0, *accumulate(sizes[:-1])])
    flat = _best_way(line, np.concatenate([rest.points for rest in seen]), starts, sizes, outline)
    return Seen(seen, flat, starts.tolist(), *reaches(flat, outline.beyond(flat), starts))


def reaches(flat: Floats, out: Floats, starts: Ints) -> tuple[list[float], list[float], list[float]]:
    """Return how far along a bar each of several faces begins and ends, and how far it stands out, mm.

    Args:
        flat: their samples on the straightened bar, (n, 3).
        out: how far each stands out beyond the section, mm, (n,).
        starts: where those of each face begin.
    """
    along = flat[:, 0]
    lows, highs = np.minimum.reduceat(along, starts), np.maximum.reduceat(along, starts)
    return lows.tolist(), highs.tolist(), np.maximum.reduceat(out, starts).tolist()


def _best_way(line: Centreline, points: Floats, starts: Ints, sizes: Sequence[int], outline: Outline) -> Floats:
    """Return points of faces as they lie on the straightened bar, (n, 3).

    What lies in the first or last part's own section is measured from there, even where another part runs past it.
    """
    near_by = nearest(line, points)
    last = len(line.runs) - 1
    if line.table.closed or last == 0:
        return near_by.flat
    length, far = line.table.length, 1.5 * outline.largest
    (low, lowest), (high, highest) = (
        (some.reduceat(near_by.runs, starts), some.reduceat(near_by.flat[:, 0], starts))
        for some in (np.minimum, np.maximum)
    )
    # The others lie at one end alone. An end runs on, and where it passes the other end that is no part of it.
    between = (((high > 0) & (low < last)) | (lowest < -far) | (highest > length + far)).nonzero()[0]
    if len(between) == 0:
        return near_by.flat

    def within(number: int, some: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Return points measured from one part, and which lie in its section at an end."""
        flat, off, _ = beside(line, number, some)
        # Further from both ends than the section is large is not at an end.
        at_end = np.minimum(np.abs(flat[:, 0]), np.abs(flat[:, 0] - length)) <= far
        return flat, at_end & (outline.beyond(flat) <= 0.02) & (np.abs(off) <= 0.02)

    # Of most faces the first point already lies elsewhere.
    maybe = np.logical_or(*(within(number, points[starts[between]])[1] for number in (0, last)))
    for own in (slice(starts[k], starts[k] + sizes[k]) for k in between[maybe].tolist()):
        (first, one), (second, two) = (within(number, points[own]) for number in (0, last))
        if one.all() != two.all():
            near_by.flat[own] = first if one.all() else second
    return near_by.flat
