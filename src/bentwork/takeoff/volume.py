"""The volume of a solid of planes, cylinders and tori by the divergence theorem: exact, face by face.

The volume is a third of the flux of the position vector through all faces. Through a plane it is the plane's distance
from the origin times its area, and the area is half the integral of r x dr round its edges; through a rectangle of the
parameters of a cylinder or torus it has a closed formula; cylinders and cones of another outline are integrated round
it. Nothing here knows of a bar: only faces and edges are asked.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import Edges, Floats, crossed, edges_together
from bentwork.takeoff.face_table import CONE, CYLINDER, FREE, KINDS, PLANE, TORUS, FaceTable, Ints, faces_together
from bentwork.takeoff.spline_fluxes import SplineFaces
from bentwork.takeoff.volume_rims import Spans, cut_round

__all__ = ["volume_of", "volumes_of"]

GAP = 0.02
"""The edges of a plane come back to where they began within this, mm, or the formula is not used."""
_HAS_FORMULA = np.array([kind in ("plane", "cylinder", "cone", "torus") for kind in KINDS])
FACES_AT_ONCE = 20_000
"""Faces that are reckoned with together."""
AGREES = 1e-3
"""The edges round a spline face go round as much as it has, but for this share: files round both."""
FLAT = 1e-9
"""A face with less than this share of its area beside its plane is flat."""
CROOKED = 1e-6
"""Circles on a torus run along or across it to within this, or are none of its parameter lines."""


def volume_of(faces: FaceTable, edges: Edges, splines: SplineFaces | None = None) -> float | None:
    """Return the volume of a solid, mm3, below 0 when it is inside out; None where faces need an integral.

    Args:
        faces: of it.
        edges: of it.
        splines: those without formula, if all of these are splines.
    """
    if splines is None:
        return volumes_of([(faces, edges)])[0]
    if not _has_formulas(faces, edges, free=True):
        return None
    (total,) = _volumes([(faces, edges)], splines)
    return None if math.isnan(total) else total


def volumes_of(solids: Sequence[tuple[FaceTable, Edges]]) -> list[float | None]:
    """Return the same of each of several solids, reckoned together."""
    found: list[float | None] = [None] * len(solids)
    left = [k for k, (faces, edges) in enumerate(solids) if _has_formulas(faces, edges)]
    while left:
        ends = accumulate(len(solids[k][0].kinds) for k in left)
        here = max(1, sum(end <= FACES_AT_ONCE for end in ends))
        own, left = left[:here], left[here:]
        for k, total in zip(own, _volumes([solids[k] for k in own]), strict=True):
            found[k] = None if math.isnan(total) else total
    return found


def _has_formulas(faces: FaceTable, edges: Edges, *, free: bool = False) -> bool:
    """Tell whether faces may have one each, with an edge round all that they are; ``free`` ones need none."""
    kinds, sizes = faces.kinds, faces.sizes
    if not ((_HAS_FORMULA[kinds] | (free & (kinds == FREE))).all() and sizes.all() and faces.ways.all()):
        return False
    if ((kinds == TORUS) & (faces.rows[:, 13] >= faces.rows[:, 12])).any():
        return False
    poles = [number for number, edge in edges.others.items() if len(edge.points) == 0]
    return not poles or not np.isin(faces.edges, poles).any()


def _volumes(solids: Sequence[tuple[FaceTable, Edges]], splines: SplineFaces | None = None) -> list[float]:
    """Return the volumes of solids, mm3; nan where the edges round a face do not bear out its formula.

    Args:
        solids: to reckon with.
        splines: faces without formula, of one solid.
    """
    tables, all_edges = zip(*solids, strict=True)
    faces, edges = solids[0]
    if len(solids) > 1:
        edges, shifts = edges_together(all_edges)
        faces = faces_together(tables, shifts)
    counts, middles = [len(table.kinds) for table in tables], np.array([_middle(own) for own in all_edges])
    by_face, by_edge = middles.repeat(counts, axis=0), middles.repeat([own.count for own in all_edges], axis=0)
    kinds = faces.kinds
    plain, curved = (faces.sizes <= 4) & (kinds != CONE), np.zeros(edges.count, dtype=bool)
    if edges.others:
        curved[[number for number, edge in edges.others.items() if len(edge.points)]] = True
        plain &= ~np.logical_or.reduceat(curved[faces.edges], faces.starts[:-1])
    plain |= kinds == PLANE
    free = kinds == FREE
    fluxes, used, rest = np.empty(len(kinds)), curved.copy(), faces.some(~plain & ~free)
    used[rest.edges] = True
    spans = Spans(edges, used, None if splines is None else _round_flat_ones(faces, edges, splines))
    if len(rest.kinds):
        fluxes[~plain & ~free] = cut_round(rest, spans, by_face[~plain & ~free])
    round_about = _Edges(edges, by_edge, curved.nonzero()[0], spans)
    for kind, flux in ((PLANE, _planes), (CYLINDER, _cylinders), (TORUS, _tori)):
        own = plain & (kinds == kind)
        if own.any():
            fluxes[own] = flux(faces.some(own), round_about, by_face[own])
    if splines is not None:
        fluxes[free] = _through_splines(faces.some(free), round_about, by_face[free], splines)
    found: list[float] = (np.add.reduceat(fluxes, [0, *accumulate(counts[:-1])]) / 3.0).tolist()
    return found


def _round_flat_ones(faces: FaceTable, edges: Edges, splines: SplineFaces) -> NDArray[np.bool_]:
    """Tell which edges go round faces that are planes, as splines or otherwise: of these nothing else is known."""
    flat = faces.kinds == PLANE
    flat[faces.kinds == FREE] = [max(one.degrees) == 1 for one in splines.surfaces]
    found = np.zeros(edges.count, dtype=bool)
    found[faces.some(flat).edges] = True
    return found


def _middle(edges: Edges) -> Floats:
    """Return about the middle of a solid: what an edge lies beside its faces counts by how far away it is."""
    points = np.concatenate((edges.ends[:, 0], edges.points, *(edge.points for edge in edges.others.values())))
    middle: Floats = (points.max(axis=0) + points.min(axis=0)) / 2.0
    return middle


class _Edges:
    """Of every edge, from a middle: chord, integral of r x dr, length, and axis (0 for a line).

    The integral along a line is p x q; along a circle c x (q - p) and r^2 times its angle about its axis.
    """

    def __init__(self, edges: Edges, middles: Floats, curved: Ints, spans: Spans) -> None:
        begins, self.chords = np.zeros((edges.count, 3)), np.zeros((edges.count, 3))
        straight, bent = edges.line_numbers, edges.circle_numbers
        begins[straight] = edges.ends[:, 0] - middles[straight]
        self.chords[straight] = edges.ends[:, 1] - edges.ends[:, 0]
        starts = edges.points[edges.starts[:-1]]
        begins[bent] = starts - middles[bent]
        self.chords[bent] = edges.points[edges.starts[1:] - 1] - starts
        self.swept = crossed(begins, self.chords)
        self.sizes = np.sqrt(np.einsum("ij,ij->i", self.chords, self.chords))
        self.axes = np.zeros((edges.count, 3))
        centres, axes, radii, turns = edges.arcs[:, :3], edges.arcs[:, 3:6], edges.arcs[:, 12], edges.arcs[:, 14]
        turns = turns - edges.arcs[:, 13]
        self.axes[bent] = axes
        self.sizes[bent] = radii * turns
        self.swept[bent] = crossed(centres - middles[bent], self.chords[bent]) + (radii**2 * turns)[:, None] * axes
        if len(curved):
            self.chords[curved] = spans.chords(curved)
            self.swept[curved] = spans.swept(curved, middles[curved])


def _planes(faces: FaceTable, edges: _Edges, middles: Floats) -> Floats:
    ways, starts, normals = faces.ways[:, None], faces.starts[:-1], faces.rows[:, 3:6]
    gaps = np.abs(np.add.reduceat(ways * edges.chords.take(faces.edges, axis=0), starts)).max(axis=1)
    areas = 0.5 * np.add.reduceat(ways * edges.swept.take(faces.edges, axis=0), starts)
    shown = np.einsum("ij,ij->i", areas, normals)
    offsets = np.einsum("ij,ij->i", faces.rows[:, :3] - middles, normals)
    right = (gaps <= GAP) & (shown >= 0.999 * np.sqrt(np.einsum("ij,ij->i", areas, areas)))
    return np.where(right, offsets * shown, np.nan)


def _through_splines(faces: FaceTable, edges: _Edges, middles: Floats, splines: SplineFaces) -> Floats:
    seen = splines.fluxes()
    if seen is None:
        return np.full(len(faces.kinds), np.nan)
    fluxes, areas, sizes = seen
    # By Stokes' theorem: what is cut off the sides of a face, or out of it, is missing in what goes round it too; but
    # what is cut out of it twice may cancel out.
    round_about = 0.5 * np.add.reduceat(faces.ways[:, None] * edges.swept.take(faces.edges, axis=0), faces.starts[:-1])
    off = round_about - areas
    right = (faces.sizes <= 4) & (np.sqrt(np.einsum("ij,ij->i", off, off)) <= AGREES * sizes)
    found = np.where(right, fluxes - np.einsum("ij,ij->i", areas, middles), np.nan)
    # A flat one may be of any outline.
    flat = ~right & (np.sqrt(np.einsum("ij,ij->i", areas, areas)) > (1.0 - FLAT) * sizes)
    if flat.any():
        whole = np.einsum("ij,ij->i", areas, areas)
        share = np.einsum("ij,ij->i", round_about, areas) / np.where(flat, whole, 1.0)
        found[flat] = (share * (fluxes - np.einsum("ij,ij->i", areas, middles)))[flat]
    return found


def _rectangles(faces: FaceTable, middles: Floats) -> Floats:
    """Return where each face stands along its axis, x and y, its radii and ranges, 1 where metal is inside; (10, n)."""
    rows = faces.rows
    place = np.einsum("ij,ikj->ki", rows[:, :3] - middles, rows[:, 3:12].reshape(-1, 3, 3))
    return np.concatenate((place, rows[:, 12:].T))


def _agree(around: Floats, faces: FaceTable, edges: _Edges) -> NDArray[np.bool_]:
    """Tell which faces have rims as long as those of the rectangles of their parameters."""
    shown = np.add.reduceat(edges.sizes.take(faces.edges), faces.starts[:-1])
    found: NDArray[np.bool_] = np.abs(shown - around) < 1e-4 * around + 1e-3
    return found


def _cylinders(faces: FaceTable, edges: _Edges, middles: Floats) -> Floats:
    _, cx, cy, radius, _, u0, u1, v0, v1, sign = _rectangles(faces, middles)
    turn, length = u1 - u0, v1 - v0
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    right = _agree(2.0 * (radius * turn + length), faces, edges)
    return np.where(right, sign * radius * length * (radius * turn + aside), np.nan)


def _tori(faces: FaceTable, edges: _Edges, middles: Floats) -> Floats:
    own = faces.rows[:, 3:6].take(faces.whose, axis=0)
    lean = np.abs(np.einsum("ij,ij->i", own, edges.axes.take(faces.edges, axis=0)))
    crooked = np.logical_or.reduceat((lean > CROOKED) & (lean < 1.0 - CROOKED), faces.starts[:-1])
    cz, cx, cy, big, small, u0, u1, v0, v1, sign = _rectangles(faces, middles)
    turn, tube = u1 - u0, v1 - v0
    sines, cosines = np.sin(v1) - np.sin(v0), np.cos(v1) - np.cos(v0)
    twice_sine = (np.sin(2.0 * v1) - np.sin(2.0 * v0)) / 4.0
    squares = tube / 2.0 + twice_sine  # of the cosine
    aside = cx * (np.sin(u1) - np.sin(u0)) - cy * (np.cos(u1) - np.cos(u0))
    across = aside * (big * sines + small * squares)
    up = turn * cz * (-big * cosines + small * (np.sin(v1) ** 2 - np.sin(v0) ** 2) / 2.0)
    out = turn * (big * big * sines + big * small * (tube + squares) + small * small * sines)
    rims = 2.0 * small * tube + turn * (2.0 * big + small * (np.cos(v0) + np.cos(v1)))
    return np.where(_agree(rims, faces, edges) & ~crooked, sign * small * (across + up + out), np.nan)
