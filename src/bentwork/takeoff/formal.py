"""Faces and edges without formula that are planes, cylinders, lines or circles all the same: seen span by span.

A surface is part of a pipe of radius r when, along one family of its lines, the points move by r times what the
normals move: those lines are circles about the pipe's middle, which is the points less r times the normals.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from bentwork.space import Vec, cross, perpendicular
from bentwork.takeoff.edges import Edges, edges_in_tables
from bentwork.takeoff.shape import Edge, Face, Floats, Patch, crossed

__all__ = [
    "ARCS_ON_END",
    "Circle",
    "Spine",
    "circle_through",
    "formal_edges",
    "formal_faces",
    "off_circle",
]

EXACT = 2e-5
"""A span that is nearer to a line or a circle is one, mm: splines that stand for circles are exact to 1e-9."""
NEAR = 5e-3
"""A surface whose middles scatter by less is part of a pipe, mm: approximations are made to 1e-3 or so."""
ARCS_ON_END = 8
"""Arcs of different radii one after the other, no straight between them: more are no bar but an ellipse or a sweep."""
SPINE_SAMPLES = 480
"""Samples along a free pipe: what lies between two of them differs from both by far less than its arcs do."""


@dataclass(frozen=True, slots=True)
class Spine:
    """The middle of part of a pipe that is no straight and no arc.

    Args:
        radius: of the pipe, mm.
        outward: the metal is inside.
        ends: of the middle, (2, 3).
        read: gives points and unit tangents along it, (n, 3) each, as dense as arcs are fitted to.
        around: how much of the round it shows, rad.
        part_of: number of its face.
    """

    radius: float
    outward: bool
    ends: Floats
    read: Callable[[], tuple[Floats, Floats]]
    around: float
    part_of: int


def formal_faces(faces: Iterable[Face]) -> tuple[list[Face], list[Spine]]:
    """Return faces, those without formula replaced by what they are, and the middles of free pipes."""
    found: list[Face] = []
    spines: list[Spine] = []
    for face in faces:
        if face.patch is None:
            found.append(face)
            continue
        parts, spine = _seen(face, face.patch)
        found += parts
        if spine is not None:
            spines.append(spine)
    return found, spines


def _seen(face: Face, patch: Patch) -> tuple[list[Face], Spine | None]:
    points, normals = patch.points, patch.normals
    mean = normals.reshape(-1, 3).mean(axis=0)
    size = float(np.linalg.norm(mean))
    if size > 0.999:
        flat = points.reshape(-1, 3) @ (mean / size)
        flat = flat - float(flat.mean())
        if float(np.abs(flat).max()) < NEAR and float(np.linalg.norm(normals - mean / size, axis=2).max()) < 1e-3:
            return [face._replace(kind="plane", origin=_vec(points[0, 0]), axis=_vec(mean / size), patch=None)], None
    for swapped in (False, True):
        p, n = (points.transpose(1, 0, 2), normals.transpose(1, 0, 2)) if swapped else (points, normals)
        pipe = _as_pipe(p, n)
        if pipe is not None:
            return _along(face, patch, pipe, swapped)
    return [face], None


@dataclass(frozen=True, slots=True)
class _Pipe:
    radius: float
    middles: Floats
    tangents: Floats
    around: float


def _as_pipe(points: Floats, normals: Floats) -> _Pipe | None:
    """Take the first index for the one that goes round the pipe."""
    dp, dn = points[1:] - points[:-1], normals[1:] - normals[:-1]
    squares = np.einsum("ijk,ijk->ij", dn, dn)
    turning = float(squares.sum())
    if turning < 1e-6:
        return None
    radius = float(np.einsum("ijk,ijk->", dp, dn)) / turning
    dp -= radius * dn
    if abs(radius) > 2000.0 or float(np.einsum("ijk,ijk->ij", dp, dp).max()) > NEAR**2:
        return None
    middles = points - radius * normals
    middle = middles.mean(axis=0)
    middles -= middle
    if float(np.einsum("ijk,ijk->ij", middles, middles).max()) > 4.0 * NEAR**2:
        return None
    around = float(2.0 * np.arcsin(np.minimum(np.sqrt(squares) / 2.0, 1.0)).sum() / squares.shape[1])
    ways = crossed(normals[:-1], normals[1:]).sum(axis=0)
    sizes = np.sqrt(np.einsum("ij,ij->i", ways, ways))[:, None]
    ways = ways / np.where(sizes > 0.0, sizes, 1.0)
    if float(((middle[1:] - middle[:-1]) * ways[:-1]).sum()) < 0.0:
        ways = -ways
    return _Pipe(radius, middle, ways, around)


def _along(face: Face, patch: Patch, pipe: _Pipe, swapped: bool) -> tuple[list[Face], Spine | None]:
    """Cut a pipe into cylinders and tori where its spans say so; a spine when one of them is neither."""
    knots = patch.u_knots if swapped else patch.v_knots
    middles, radius, outward = pipe.middles, abs(pipe.radius), pipe.radius > 0.0
    if float(np.abs(middles - middles[0]).max()) < NEAR:
        centre = _vec(middles.mean(axis=0))
        return [face._replace(kind="sphere", origin=centre, radius=radius, outward=outward, patch=None)], None
    runs = _runs(middles, knots)
    if runs is None:

        def read() -> tuple[Floats, Floats]:
            dense = _as_pipe(*patch.finer(swapped, max(6, SPINE_SAMPLES // (len(knots) - 1)))) or pipe
            return dense.middles, dense.tangents

        return [], Spine(radius, outward, middles[[0, -1]], read, pipe.around, face.part_of)
    found = []
    for first, last, circle in runs:
        part = middles[first : last + 1]
        if circle is None:
            along = part[-1] - part[0]
            length = float(np.linalg.norm(along))
            axis = _vec(along / length)
            x = perpendicular(axis)
            y = cross(axis, x)
            one = face._replace(kind="cylinder", origin=_vec(part[0]), axis=axis, x=x, y=y, radius=radius)
            found.append(one._replace(outward=outward, u=(0.0, pipe.around), v=(0.0, length), patch=None))
        else:
            centre_at, normal, big = circle
            x_way = (part[0] - centre_at) / big
            y_way = _cross(normal, x_way)
            angle = _swept(part, centre_at, x_way, y_way)
            one = face._replace(kind="torus", origin=_vec(centre_at), axis=_vec(normal), x=_vec(x_way), y=_vec(y_way))
            one = one._replace(radius=big, minor=radius, outward=outward, u=(0.0, angle))
            found.append(one._replace(v=(0.0, pipe.around), patch=None))
    return found, None


Circle = tuple[Floats, Floats, float]


def _runs(points: Floats, knots: Sequence[int]) -> list[tuple[int, int, Circle | None]] | None:
    """Return (first, last, circle or None for a line) for spans put together; None when one of them is neither."""
    whole = _fit(points)
    if whole is not False:
        return [(0, len(points) - 1, whole)]
    found: list[tuple[int, int, Circle | None]] = []
    for first, last in pairwise(knots):
        span = points[first : last + 1]
        if float(np.linalg.norm(span[-1] - span[0])) < 1e-7 and float(np.ptp(span, axis=0).max()) < 1e-7:
            continue
        if found:
            before = found[-1][0]
            together = points[before : last + 1]
            fit = _fit(together)
            if fit is not False and (fit is None) == (found[-1][2] is None):
                found[-1] = (before, last, fit)
                continue
        fit = _fit(span)
        if fit is False:
            return None
        found.append((first, last, fit))
        if len(found) > ARCS_ON_END and all(circle is not None for _, _, circle in found[-ARCS_ON_END - 1 :]):
            return None
    return found or None


def _fit(points: Floats) -> Circle | Literal[False] | None:
    """Return a circle, None for a line, False for neither."""
    chord = points[-1] - points[0]
    length = math.sqrt(float(chord @ chord))
    if length > 1e-9:
        rel = points - points[0]
        way = chord / length
        at = rel @ way
        off = rel - at[:, None] * way
        if float(np.abs(off).max()) < EXACT and float(np.einsum("ij,ij->i", off, off).max()) < EXACT**2:
            return None if bool((at[1:] > at[:-1] - EXACT).all()) else False
    circle = circle_through(points)
    if circle is None:
        return False
    return circle if circle[2] < 1e5 and float(off_circle(points, circle).max()) < EXACT else False


def off_circle(points: Floats, circle: Circle) -> Floats:
    """Return how far each point lies from a circle, (n,)."""
    centre, normal, radius = circle
    rel = points - centre
    flat = rel @ normal
    off: Floats = np.hypot(np.sqrt(np.maximum(np.einsum("ij,ij->i", rel, rel) - flat * flat, 0.0)) - radius, flat)
    return off


def circle_through(points: Floats) -> Circle | None:
    """Return centre, normal (right-handed in the order of the points) and radius of the circle nearest to points.

    The plane is that of the sum of the triangles in the fan from the first point; in it the circle is fitted by least
    squares (Kasa's method: |p|^2 is linear in centre and radius), about the mean of the points.
    """
    if len(points) < 3:
        return None
    rel = points - points[0]
    # The sum of all a x b of the fan is what is left of the sum of all a b^T when its mirror image is taken away.
    fan = rel[:-1].T @ rel[1:]
    normal = np.array((fan[1, 2] - fan[2, 1], fan[2, 0] - fan[0, 2], fan[0, 1] - fan[1, 0]))
    size = math.sqrt(float(normal @ normal))
    if size < 1e-12:
        return None
    normal = normal / size
    x = rel[len(rel) // 2] - (rel[len(rel) // 2] @ normal) * normal
    long = math.sqrt(float(x @ x))
    if long < 1e-12:
        return None
    x = x / long
    flat = rel @ np.array((x, _cross(normal, x), normal)).T
    middle = flat.mean(axis=0)
    u, v = (flat[:, 0] - middle[0]) / long, (flat[:, 1] - middle[1]) / long
    square = u * u + v * v
    uu, uv, vv, us, vs = (float(c) for c in (u @ u, u @ v, v @ v, u @ square, v @ square))
    det = uu * vv - uv * uv
    if det <= 1e-24 * uu * vv:
        return None
    at_u, at_v = (us * vv - vs * uv) / (2.0 * det), (vs * uu - us * uv) / (2.0 * det)
    radius = long * math.sqrt(at_u**2 + at_v**2 + (uu + vv) / len(points))
    y = _cross(normal, x)
    centre = points[0] + (middle[0] + long * at_u) * x + (middle[1] + long * at_v) * y + middle[2] * normal
    return centre, normal, radius


def _swept(points: Floats, centre: Floats, x: Floats, y: Floats) -> float:
    rel = points - centre
    angles = np.arctan2(rel @ y, rel @ x)
    steps = angles[1:] - angles[:-1]
    return float((steps - 2.0 * math.pi * np.rint(steps / (2.0 * math.pi))).sum())


def formal_edges(edges: Edges) -> Edges:
    """Return edges, those without formula cut into the lines and circles that they are."""
    found: list[tuple[int, Edge]] = []
    for number, edge in edges.others.items():
        if len(edge.points) > 2 and edge.knots and (runs := _runs(edge.points, edge.knots)) is not None:
            found += [(number, _part(edge.points[first : last + 1], circle)) for first, last, circle in runs]
    if not found:
        return edges
    cut = {number for number, _ in found}
    return edges_in_tables(edges.count, [*(pair for pair in edges.each() if pair[0] not in cut), *found])


def _part(points: Floats, circle: Circle | None) -> Edge:
    if circle is None:
        return Edge("line", points[[0, -1]])
    centre, normal, radius = circle
    x = (points[0] - centre) / radius
    sweep = _swept(points, centre, x, _cross(normal, x))
    return Edge("circle", points, (), _vec(centre), _vec(normal), radius, sweep)


def _cross(a: Floats, b: Floats) -> Floats:
    """Return a x b, (3,) each; many times faster than numpy's own."""
    (p, q, r), (u, v, w) = a.tolist(), b.tolist()
    return np.array((q * w - r * v, r * u - p * w, p * v - q * u))


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
