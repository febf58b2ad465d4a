"""The volume of a solid of planes, cylinders and tori by the divergence theorem: exact, face by face.

The volume is a third of the flux of the position vector through all faces. Through a plane it is the plane's distance
from the origin times its area, and the area is half the integral of r x dr round its edges; through a rectangle of the
parameters of a cylinder or torus it has a closed formula; cylinders and cones of another outline are integrated round
it. Nothing here knows of a bar: only faces and edges are asked.
"""

from __future__ import annotations

import numpy as np

from bentwork.takeoff.edges import Edges, Floats, crossed
from bentwork.takeoff.face_table import CONE, CYLINDER, KINDS, PLANE, TORUS, FaceTable, Ints
from bentwork.takeoff.volume_rims import Spans, cut_round

__all__ = ["volume_of"]

GAP = 0.02
"""The edges of a plane come back to where they began within this, mm, or the formula is not used."""
_HAS_FORMULA = np.array([kind in ("plane", "cylinder", "cone", "torus") for kind in KINDS])
CROOKED = 1e-6
"""Circles on a torus run along or across it to within this, or are none of its parameter lines."""


def volume_of(faces: FaceTable, edges: Edges) -> float | None:
    """Return the volume of a solid, mm3, below 0 when it is inside out; None where faces need an integral."""
    kinds, sizes = faces.kinds, faces.sizes
    if not (_HAS_FORMULA[kinds].all() and sizes.all() and faces.ways.all()):
        return None
    if ((kinds == TORUS) & (faces.rows[:, 13] >= faces.rows[:, 12])).any():
        return None
    plain, curved = (sizes <= 4) & (kinds != CONE), np.zeros(edges.count, dtype=bool)
    if edges.others:
        points = curved.copy()
        for number, edge in edges.others.items():
            (curved if len(edge.points) else points)[number] = True
        if points[faces.edges].any():
            return None
        plain &= ~np.logical_or.reduceat(curved[faces.edges], faces.starts[:-1])
    plain |= kinds == PLANE
    middle, used = faces.rows[0, :3], curved.copy()
    cut = None if plain.all() else faces.some(~plain)
    if cut is not None:
        used[cut.edges] = True
    spans = Spans(edges, used)
    total = cut_round(cut, spans, middle) if cut is not None else 0.0
    if total is None:
        return None
    round_about = _Edges(edges, middle, curved.nonzero()[0], spans)
    for kind, flux in ((PLANE, _planes), (CYLINDER, _cylinders), (TORUS, _tori)):
        own = plain & (kinds == kind)
        if own.any():
            some = flux(faces.some(own), round_about, middle)
            if some is None:
                return None
            total += some
    return total / 3.0


class _Edges:
    """Of every edge, from a middle: chord, integral of r x dr, length, and axis (0 for a line).

    The integral along a line is p x q; along a circle c x (q - p) and r^2 times its angle about its axis.
    """

    def __init__(self, edges: Edges, middle: Floats, curved: Ints, spans: Spans) -> None:
        begins, self.chords = np.zeros((edges.count, 3)), np.zeros((edges.count, 3))
        straight, bent = edges.line_numbers, edges.circle_numbers
        begins[straight] = edges.ends[:, 0] - middle
        self.chords[straight] = edges.ends[:, 1] - edges.ends[:, 0]
        starts = edges.points[edges.starts[:-1]]
        begins[bent] = starts - middle
        self.chords[bent] = edges.points[edges.starts[1:] - 1] - starts
        self.swept = crossed(begins, self.chords)
        self.sizes = np.sqrt(np.einsum("ij,ij->i", self.chords, self.chords))
        self.axes = np.zeros((edges.count, 3))
        centres, axes, radii, turns = edges.arcs[:, :3], edges.arcs[:, 3:6], edges.arcs[:, 12], edges.arcs[:, 14]
        turns = turns - edges.arcs[:, 13]
        self.axes[bent] = axes
        self.sizes[bent] = radii * turns
        self.swept[bent] = crossed(centres - middle, self.chords[bent]) + (radii**2 * turns)[:, None] * axes
        if len(curved):
            self.chords[curved] = spans.chords(curved)
            self.swept[curved] = spans.swept(curved, middle)


def _planes(faces: FaceTable, edges: _Edges, middle: Floats) -> float | None:
    ways, starts = faces.ways[:, None], faces.starts[:-1]
    if float(np.abs(np.add.reduceat(ways * edges.chords.take(faces.edges, axis=0), starts)).max()) > GAP:
        return None
    areas = 0.5 * np.add.reduceat(ways * edges.swept.take(faces.edges, axis=0), starts)
    normals = faces.rows[:, 3:6]
    shown = np.einsum("ij,ij->i", areas, normals)
    if bool((shown < 0.999 * np.sqrt(np.einsum("ij,ij->i", areas, areas))).any()):
        return None
    offsets = np.einsum("ij,ij->i", faces.rows[:, :3] - middle, normals)
    return float(offsets @ shown)


def _rectangles(faces: FaceTable, middle: Floats) -> Floats:
    """Return where each face stands along its axis, x and y, its radii and ranges, 1 where metal is inside; (10, n)."""
    rows = faces.rows
    place = np.einsum("ij,ikj->ki", rows[:, :3] - middle, rows[:, 3:12].reshape(-1, 3, 3))
    return np.concatenate((place, rows[:, 12:].T))


def _agree(around: Floats, faces: FaceTable, edges: _Edges) -> bool:
    """Tell whether the rims of faces are as long as those of the rectangles of their parameters."""
    shown = np.add.reduceat(edges.sizes.take(faces.edges), faces.starts[:-1])
    return bool((np.abs(shown - around) < 1e-4 * around + 1e-3).all())


def _cylinders(faces: FaceTable, edges: _Edges, middle: Floats) -> float | None:
    _, cx, cy, radius, _, u0, u1, v0, v1, sign = _rectangles(faces, middle)
    turn, length = u1 - u0, v1 - v0
    if not _agree(2.0 * (radius * turn + length), faces, edges):
        return None
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    return float((sign * radius * length * (radius * turn + aside)).sum())


def _tori(faces: FaceTable, edges: _Edges, middle: Floats) -> float | None:
    own = faces.rows[:, 3:6].take(faces.whose, axis=0)
    lean = np.abs(np.einsum("ij,ij->i", own, edges.axes.take(faces.edges, axis=0)))
    if bool(((lean > CROOKED) & (lean < 1.0 - CROOKED)).any()):
        return None
    cz, cx, cy, big, small, u0, u1, v0, v1, sign = _rectangles(faces, middle)
    turn, tube = u1 - u0, v1 - v0
    sines, cosines = np.sin(v1) - np.sin(v0), np.cos(v1) - np.cos(v0)
    twice_sine = (np.sin(2.0 * v1) - np.sin(2.0 * v0)) / 4.0
    if not _agree(2.0 * small * tube + turn * (2.0 * big + small * (np.cos(v0) + np.cos(v1))), faces, edges):
        return None
    squares = tube / 2.0 + twice_sine  # of the cosine
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    across = aside * (big * sines + small * squares)
    up = turn * cz * (-big * cosines + small * (np.sin(v1) ** 2 - np.sin(v0) ** 2) / 2.0)
    out = turn * (big * big * sines + big * small * (tube + squares) + small * small * sines)
    return float((sign * small * (across + up + out)).sum())
