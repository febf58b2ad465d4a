"""Points in order that are lines or circles: many sets of them at once. Lengths in mm, angles in radians."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Generator, Iterable, Sequence
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np

from bentwork.space import Vec, along, cross, dot, norm, scale
from bentwork.takeoff.edges import Floats, crossed

__all__ = [
    "ARCS_ON_END",
    "Arc",
    "Circle",
    "Run",
    "circle_through",
    "off_circle",
    "off_circles",
    "runs_of",
    "stacked",
    "taken",
]

EXACT = 2e-5
"""A span that is nearer to a line or a circle is one, mm: splines that stand for circles are exact to 1e-9."""
ABOUT = 3.0 * EXACT
"""A span that is not nearer to a line or a circle is no part of either, mm."""
HARDLY = 1.5e-3
"""What turns by less is a line whose points are rounded, rad."""
LOOKED_AT = (0.3, 0.7)
"""Where in a row spans are looked at first, as shares of it: in the middle a cope is like an arc."""
ARCS_ON_END = 8
"""Arcs of different radii one after the other, no straight between them: more are no bar but an ellipse or a sweep."""

Circle = tuple[Floats, Floats, float]
"""Centre, normal and radius."""


class Arc(NamedTuple):
    """Part of a circle.

    Args:
        centre: of the circle.
        axis: points run round it by the right-hand rule.
        radius: mm.
        x: from the centre to the first point, in radii.
        y: a quarter turn further.
        sweep: from the first point to the last, rad.
    """

    centre: Vec
    axis: Vec
    radius: float
    x: Vec
    y: Vec
    sweep: float


Fit = Arc | Literal[False] | None
"""An arc, None for a line, False for neither."""
Run = tuple[int, int, Arc | None]
"""Place of the first point and of the last; an arc, None for a line."""


def runs_of(rows: Iterable[tuple[Floats, Sequence[int]]]) -> list[list[Run] | None]:
    """Return the lines and arcs that each row of points is made of; None where a part of it is neither.

    Args:
        rows: points, (n, 3), and places in them where one span ends and the next begins.
    """
    every = list(rows)
    found: list[list[Run] | None] = [None] * len(every)
    # What one row asks next hangs on what was answered before; what all of them ask at a time is fitted together.
    walks = {k: _walk(*every[k]) for k in _likely(every)}
    asked = {k: next(walk) for k, walk in walks.items()}
    while asked:
        alike = defaultdict[int, list[int]](list)
        for k, points in asked.items():
            alike[len(points)].append(k)
        sets, asked = asked, {}
        for those in alike.values():
            for k, fit in zip(those, _fits([sets[k] for k in those]), strict=True):
                try:
                    asked[k] = walks[k].send(fit)
                except StopIteration as end:
                    found[k] = end.value
    return found


def _likely(rows: Sequence[tuple[Floats, Sequence[int]]]) -> list[int]:
    """Return the rows of which some spans are about lines or arcs: of others a part is neither."""
    found = list(range(len(rows)))
    for share in LOOKED_AT:
        alike = defaultdict[int, list[tuple[int, Floats]]](list)
        for k in found:
            points, knots = rows[k]
            spans = len(knots) - 1
            if spans > 1:  # else the whole is the span
                first = int(share * spans)
                span = points[knots[first] : knots[first + 1] + 1]
                alike[len(span)].append((k, span))
        neither: set[int] = set()
        for those in alike.values():
            fits = _fits([span for _, span in those], ABOUT)
            neither.update(k for (k, _), fit in zip(those, fits, strict=True) if fit is False)
        found = [k for k in found if k not in neither]
    return found


def _walk(points: Floats, knots: Sequence[int]) -> Generator[Floats, Fit, list[Run] | None]:
    """Yield what is to be fitted, and return runs: the whole in one, else spans put together."""
    whole = yield points
    if whole is not False:
        return [(0, len(points) - 1, whole)]
    found: list[Run] = []
    for first, last in pairwise(knots):
        span = points[first : last + 1]
        if float(np.linalg.norm(span[-1] - span[0])) < 1e-7 and float(np.ptp(span, axis=0).max()) < 1e-7:
            continue
        if found:
            before = found[-1][0]
            fit = yield points[before : last + 1]
            if fit is not False and (fit is None) == (found[-1][2] is None):
                found[-1] = (before, last, fit)
                continue
        fit = yield span
        if fit is False:
            return None
        found.append((first, last, fit))
        if len(found) > ARCS_ON_END and all(arc is not None for _, _, arc in found[-ARCS_ON_END - 1 :]):
            return None
    return found or None


def _fits(sets: Sequence[Floats], within: float = EXACT) -> list[Fit]:
    """Return what each of k sets of points is, (n, 3) each."""
    points = stacked(sets)
    rel = points - points[:, :1]
    chords = rel[:, -1]
    lengths = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    open_ones = lengths > 1e-9
    ways = chords / np.where(open_ones, lengths, 1.0)[:, None]
    at = np.matmul(rel, ways[:, :, None])
    rel -= at * ways[:, None]
    straight = open_ones & (np.einsum("ijk,ijk->ij", rel, rel).max(axis=1) < within**2)
    onward = (at[:, 1:, 0] > at[:, :-1, 0] - within).all(axis=1)
    found: list[Fit] = [None if line else False for line in (straight & onward).tolist()]
    bent = (~straight).nonzero()[0].tolist()
    if bent:
        for k, arc in zip(bent, _arcs(taken(points, bent), within), strict=True):
            found[k] = None if arc is not False and arc.sweep < HARDLY else arc
    return found


def _arcs(points: Floats, within: float) -> list[Arc | Literal[False]]:
    """Return the arc that each of k sets of points is, (k, n, 3); False where it is none."""
    found: list[Arc | Literal[False]] = [False] * len(points)
    some = [(k, one) for k, one in enumerate(_circles_through(points)) if one is not None and one[2] < 1e5]
    if not some:
        return found
    rows = np.array([(*centre, *normal, radius) for _, (centre, normal, radius) in some])
    points = taken(points, [k for k, _ in some])
    rel, normals, radii = points - rows[:, None, :3], rows[:, 3:6], rows[:, 6:]
    near = (_off(rel, np.matmul(rel, normals[:, :, None])[:, :, 0], radii).max(axis=1) < within).tolist()
    if not any(near):
        return found
    x = rel[:, 0] / radii
    y = crossed(normals, x)
    angles = np.arctan2(np.matmul(rel, y[:, :, None]), np.matmul(rel, x[:, :, None]))[..., 0]
    steps = angles[:, 1:] - angles[:, :-1]
    sweeps = (steps - 2.0 * math.pi * np.rint(steps / (2.0 * math.pi))).sum(axis=1).tolist()
    starts: list[Vec] = list(map(tuple, x.tolist()))
    quarters: list[Vec] = list(map(tuple, y.tolist()))
    for is_arc, (k, circle), *more in zip(near, some, starts, quarters, sweeps, strict=True):
        if is_arc:
            found[k] = Arc(*circle, *more)
    return found


def off_circle(points: Floats, circle: Circle) -> Floats:
    """Return how far each point lies from a circle, (n,)."""
    centre, normal, radius = circle
    rel = points - centre
    return _off(rel, rel @ normal, radius)


def off_circles(points: Floats, circles: Sequence[tuple[Vec, Vec, float]]) -> Floats:
    """Return how far each point lies from each of k circles, (k, n): centre, normal and radius."""
    centres, normals = (np.array([circle[k] for circle in circles]) for k in (0, 1))
    rel = points - centres[:, None]
    return _off(rel, np.matmul(rel, normals[:, :, None])[..., 0], np.array([[circle[2]] for circle in circles]))


def _off(rel: Floats, flat: Floats, radii: Floats | float) -> Floats:
    """Return how far points lie from circles, (..., n).

    Args:
        rel: points from the centres, (..., n, 3).
        flat: how far they lie above the planes, (..., n).
        radii: (..., 1), or one.
    """
    out = np.sqrt(np.maximum(np.einsum("...j,...j->...", rel, rel) - flat * flat, 0.0)) - radii
    off: Floats = np.hypot(out, flat)
    return off


def circle_through(points: Floats) -> Circle | None:
    """Return centre, normal (right-handed in the order of the points) and radius of the circle nearest to points.

    The plane is that of the sum of the triangles in the fan from the first point; in it the circle is fitted by least
    squares (Kasa's method: |p|^2 is linear in centre and radius), about the mean of the points.
    """
    circle = _circles_through(points[None])[0]
    return None if circle is None else (np.array(circle[0]), np.array(circle[1]), circle[2])


_Circle = tuple[Vec, Vec, float]


def _circles_through(points: Floats) -> list[_Circle | None]:
    """Return the circle nearest to each of k sets of points, (k, n, 3)."""
    # What is of one set goes in plain numbers: for one set that is faster than arrays, for many hardly slower.
    found: list[_Circle | None] = [None] * len(points)
    if points.shape[1] < 3:
        return found
    count = points.shape[1]
    rel = points - points[:, :1]
    fans = np.matmul(rel[:, :-1].transpose(0, 2, 1), rel[:, 1:]).tolist()
    seen = [_axes(fan, far) for fan, far in zip(fans, rel[:, count // 2].tolist(), strict=True)]
    own = [k for k, one in enumerate(seen) if one is not None]
    if not own:
        return found
    frames, sizes = zip(*(one for one in seen if one is not None), strict=True)
    flat = np.matmul(np.array(frames), taken(rel, own).transpose(0, 2, 1))
    middles = flat.sum(axis=2) / count
    flat -= middles[:, :, None]
    flat /= np.array(sizes)[:, None, None]
    uv = flat[:, :2]
    flat[:, 2] = np.einsum("ijk,ijk->ik", uv, uv)
    sums = np.matmul(flat, uv.transpose(0, 2, 1)).tolist()
    starts = points[:, 0].tolist()
    for k, frame, size, middle, own_sums in zip(own, frames, sizes, middles.tolist(), sums, strict=True):
        found[k] = _kasa(starts[k], frame, size, middle, own_sums, count)
    return found


def _axes(fan: list[list[float]], far: list[float]) -> tuple[tuple[Vec, Vec, Vec], float] | None:
    """Return two directions in the plane of points and one across it, and how far the point half way lies off.

    Args:
        fan: sum of all a b^T of points that follow each other, from the first, (3, 3).
        far: the point half way, from the first.
    """
    # The sum of all a x b is what is left of that when its mirror image is taken away.
    (_, xy, xz), (yx, _, yz), (zx, zy, _) = fan
    normal = (yz - zy, zx - xz, xy - yx)
    size = norm(normal)
    if size < 1e-12:
        return None
    normal = scale(normal, 1.0 / size)
    x = (far[0], far[1], far[2])
    x = along(x, normal, -dot(x, normal))
    long = norm(x)
    if long < 1e-12:
        return None
    x = scale(x, 1.0 / long)
    return (x, cross(normal, x), normal), long


def _kasa(
    start: list[float], frame: tuple[Vec, Vec, Vec], long: float, middle: list[float], sums: list[list[float]], n: int
) -> _Circle | None:
    """Return the circle of least squares.

    Args:
        start: where the frame stands.
        frame: two directions in the plane, and across it.
        long: what lengths in the sums are shares of, mm.
        middle: mean of the points in the frame.
        sums: of u u, u v; v u, v v; (u^2 + v^2) u, (u^2 + v^2) v, with u and v from the mean.
        n: how many points.
    """
    (uu, uv), (_, vv), (us, vs) = sums
    det = uu * vv - uv * uv
    if det <= 1e-24 * uu * vv:
        return None
    at_u, at_v = (us * vv - vs * uv) / (2.0 * det), (vs * uu - us * uv) / (2.0 * det)
    radius = long * math.sqrt(at_u**2 + at_v**2 + (uu + vv) / n)
    x, y, normal = frame
    centre = along(along((start[0], start[1], start[2]), x, middle[0] + long * at_u), y, middle[1] + long * at_v)
    return along(centre, normal, middle[2]), normal, radius


def taken(points: Floats, own: Sequence[int]) -> Floats:
    """Return some of what is stacked, by their places in rising order."""
    return points if len(own) == len(points) else points[own]


def stacked(arrays: Sequence[Floats]) -> Floats:
    """Return arrays of one shape as one array."""
    return arrays[0][None] if len(arrays) == 1 else np.array(arrays)
