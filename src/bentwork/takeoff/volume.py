"""The volume of a solid of planes, cylinders and tori by the divergence theorem: exact, face by face.

The volume is a third of the flux of the position vector through all faces. Through a plane it is the plane's distance
from the origin times its area, and the area is half the integral of r x dr round its edges; through a rectangle of the
parameters of a cylinder or torus it has a closed formula; cylinders and cones of another outline are integrated round
it. Nothing here knows of a bar: only faces and edges are asked.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.takeoff.edges import Edges
from bentwork.takeoff.shape import Face, Floats, crossed
from bentwork.takeoff.volume_rims import Spans, cut_round

__all__ = ["volume_of"]

GAP = 0.02
"""The edges of a plane come back to where they began within this, mm, or the formula is not used."""
CROOKED = 1e-6
"""Circles on a torus run along or across it to within this, or are none of its parameter lines."""


def volume_of(faces: Sequence[Face], rims: Sequence[list[int]], edges: Edges) -> float | None:
    """Return the volume of a solid, mm3, below 0 when it is inside out; None where faces need an integral.

    Args:
        faces: all of the solid's.
        rims: of each face the edges round it, 1 for edge 0, a seam twice; with a minus where the face runs against
            the edge, the metal of the face on the left seen from outside, and 0 for an edge within the face.
        edges: of the solid.
    """
    kinds: dict[str, list[int]] = {"plane": [], "cylinder": [], "torus": [], "cut": []}
    curved = {number for number, edge in edges.others.items() if len(edge.points)}
    points = edges.others.keys() - curved
    # As they stand in rims, gone forth or back.
    at_points, along_curves = ({sign * (k + 1) for k in some for sign in (1, -1)} for some in (points, curved))
    for number, face in enumerate(faces):
        rim = rims[number]
        if face.kind not in ("plane", "cylinder", "cone", "torus") or len(rim) == 0 or 0 in rim:
            return None
        if not at_points.isdisjoint(rim) or (face.kind == "torus" and face.minor >= face.radius):
            return None
        plain = len(rim) <= 4 and face.kind != "cone" and along_curves.isdisjoint(rim)
        kinds[face.kind if plain or face.kind == "plane" else "cut"].append(number)
    middle = np.array(faces[0].origin)
    used = {abs(k) - 1 for number in kinds["cut"] for k in rims[number]}
    spans = Spans(edges, used | curved)
    round_about = _Edges(edges, middle, curved, spans)
    total = 0.0
    if used:
        cut = cut_round([faces[k] for k in kinds["cut"]], [rims[k] for k in kinds["cut"]], spans, middle)
        if cut is None:
            return None
        total = cut
    for kind, flux in (("plane", _planes), ("cylinder", _cylinders), ("torus", _tori)):
        if kinds[kind]:
            some = flux([faces[k] for k in kinds[kind]], _Rims([rims[k] for k in kinds[kind]]), round_about, middle)
            if some is None:
                return None
            total += some
    return total / 3.0


class _Edges:
    """Of every edge, from a middle: chord, integral of r x dr, length, and axis (0 for a line).

    The integral along a line is p x q; along a circle c x (q - p) and r^2 times its angle about its axis.
    """

    def __init__(self, edges: Edges, middle: Floats, curved: set[int], spans: Spans) -> None:
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
        if curved:
            numbers = list(curved)
            self.chords[numbers] = spans.chords(numbers)
            self.swept[numbers] = spans.swept(numbers, middle)


class _Rims:
    """The rims of several faces in one row: numbers of edges, which way they run, where each face begins."""

    def __init__(self, rims: Sequence[list[int]]) -> None:
        row = np.array([number for rim in rims for number in rim])
        self.edges = np.abs(row) - 1
        self.signs = np.sign(row)[:, None]
        counts = [len(rim) for rim in rims]
        self.starts = np.cumsum([0, *counts[:-1]])
        self.faces = np.repeat(np.arange(len(rims)), counts)


def _planes(faces: Sequence[Face], rims: _Rims, edges: _Edges, middle: Floats) -> float | None:
    if float(np.abs(np.add.reduceat(rims.signs * edges.chords[rims.edges], rims.starts)).max()) > GAP:
        return None
    areas = 0.5 * np.add.reduceat(rims.signs * edges.swept[rims.edges], rims.starts)
    normals = np.array([face.axis for face in faces])
    shown = np.einsum("ij,ij->i", areas, normals)
    if bool((shown < 0.999 * np.sqrt(np.einsum("ij,ij->i", areas, areas))).any()):
        return None
    offsets = np.einsum("ij,ij->i", np.array([face.origin for face in faces]) - middle, normals)
    return float(offsets @ shown)


def _rectangles(faces: Sequence[Face], middle: Floats) -> Floats:
    """Return a row for each face: where it stands in its own axes (3), radii, ranges, and 1 where metal is inside."""
    row: list[float] = []  # one after the other: turned into an array in half the time
    for f in faces:
        row += (*f.origin, *f.x, *f.y, *f.axis, f.radius, f.minor, *f.u, *f.v, 1.0 if f.outward else -1.0)
    table = np.array(row).reshape(-1, 19)
    place = np.einsum("ij,ikj->ik", table[:, :3] - middle, table[:, 3:12].reshape(-1, 3, 3))
    return np.column_stack((place, table[:, 12:]))


def _agree(around: Floats, rims: _Rims, edges: _Edges) -> bool:
    """Tell whether the rims of faces are as long as those of the rectangles of their parameters."""
    shown = np.add.reduceat(edges.sizes[rims.edges], rims.starts)
    return bool((np.abs(shown - around) < 1e-4 * around + 1e-3).all())


def _cylinders(faces: Sequence[Face], rims: _Rims, edges: _Edges, middle: Floats) -> float | None:
    cx, cy, _, radius, _, u0, u1, v0, v1, sign = _rectangles(faces, middle).T
    turn, length = u1 - u0, v1 - v0
    if not _agree(2.0 * (radius * turn + length), rims, edges):
        return None
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    return float((sign * radius * length * (radius * turn + aside)).sum())


def _tori(faces: Sequence[Face], rims: _Rims, edges: _Edges, middle: Floats) -> float | None:
    own = np.array([face.axis for face in faces])[rims.faces]
    lean = np.abs(np.einsum("ij,ij->i", own, edges.axes[rims.edges]))
    if bool(((lean > CROOKED) & (lean < 1.0 - CROOKED)).any()):
        return None
    cx, cy, cz, big, small, u0, u1, v0, v1, sign = _rectangles(faces, middle).T
    turn, tube = u1 - u0, v1 - v0
    sines, cosines = np.sin(v1) - np.sin(v0), np.cos(v1) - np.cos(v0)
    twice_sine = (np.sin(2.0 * v1) - np.sin(2.0 * v0)) / 4.0
    if not _agree(2.0 * small * tube + turn * (2.0 * big + small * (np.cos(v0) + np.cos(v1))), rims, edges):
        return None
    squares = tube / 2.0 + twice_sine  # of the cosine
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    across = aside * (big * sines + small * squares)
    up = turn * cz * (-big * cosines + small * (np.sin(v1) ** 2 - np.sin(v0) ** 2) / 2.0)
    out = turn * (big * big * sines + big * small * (tube + squares) + small * small * sines)
    return float((sign * small * (across + up + out)).sum())
