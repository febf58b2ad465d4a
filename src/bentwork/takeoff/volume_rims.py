"""Cylinders, cones and tori cut along any curve: their share of a solid's volume as an integral round their rims.

The flux of the position vector through a face is an area integral over its parameters; by Green's theorem it is a line
integral round the rim, and along each span of an edge both factors are taken for polynomials of the fourth degree
through five samples. Through a cylinder or cone it is - H(v) dG(u), with the angle u about the axis and v along it; on
a torus v goes round the tube, and there it matters where the face was cut open.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import SAMPLED, Edge, Edges, Floats, crossed
from bentwork.takeoff.face_table import CONE, TORUS, FaceTable, Ints

__all__ = ["Spans", "cut_round"]


def _weights() -> Floats:
    """Return w with the integral of f dg = f w g over a span, f and g given at five even samples."""
    powers = np.arange(5)
    coefficients = np.linalg.inv((np.arange(5) / 4.0)[:, None] ** powers)
    moments = np.array([[k / (i + k) if i + k else 0.0 for k in range(5)] for i in range(5)])
    found: Floats = coefficients.T @ moments @ coefficients
    return found


_WEIGHTS = _weights()
_EVEN = np.linspace(0.0, 1.0, 5)[:, None]
TINY = 1e-12
"""Nothing is divided by less, mm: there is no way out from the axis itself."""
SEAM = 0.02
"""How far what is rounded to few decimals may be from going round a tube, or along it, rad."""


class _Rims(NamedTuple):
    """Spans round faces: nodes, which way each is gone (1 or -1), whose it is, and whether it is gone both ways."""

    nodes: Floats
    signs: Floats
    which: Ints
    twice: NDArray[np.bool_]


class Spans:
    """Five even samples of every span of every edge, (n, 5, 3), and which are whose."""

    def __init__(self, edges: Edges, used: NDArray[np.bool_], finely: NDArray[np.bool_] | None = None) -> None:
        """Take the edges that are ``used``; places of others are left empty.

        Args:
            edges: of a solid.
            used: those that are asked for.
            finely: splines to take in four times as many spans, which those of high degrees need.
        """
        self.counts = np.zeros(edges.count, dtype=np.intp)
        self.begins = np.zeros(edges.count, dtype=np.intp)
        self.nodes = np.zeros((0, 5, 3))
        if not used.any():
            return
        lines, circles = used[edges.line_numbers], used[edges.circle_numbers]
        others = [number for number, edge in edges.others.items() if used[number] and len(edge.points)]
        order = np.concatenate((edges.line_numbers[lines], edges.circle_numbers[circles], np.array(others, np.intp)))
        straight = edges.ends[lines]
        bent, sizes = _of_arcs(edges.arcs[circles])
        free, more = _in_fives(
            [_points_on(edges.others[number], finely is not None and bool(finely[number])) for number in others]
        )
        self.nodes = np.concatenate((straight[:, :1] + _EVEN * (straight[:, 1:] - straight[:, :1]), bent, free))
        counts = np.concatenate((np.ones(len(straight), dtype=np.intp), sizes, more))
        self.counts[order] = counts
        self.begins[order] = counts.cumsum() - counts

    def round(self, faces: FaceTable) -> _Rims:
        """Return the spans round faces."""
        counts = self.counts.take(faces.edges)
        each = np.arange(len(counts)).repeat(counts)
        shift = self.begins.take(faces.edges) - counts.cumsum() + counts
        nodes = self.nodes.take(shift.take(each) + np.arange(len(each)), axis=0)
        whose = faces.whose
        order = (whose * len(self.counts) + faces.edges).argsort(kind="stable")
        edges, owners, ways = faces.edges[order], whose[order], faces.ways[order]
        again = (edges[1:] == edges[:-1]) & (owners[1:] == owners[:-1]) & (ways[1:] != ways[:-1])
        twice = np.zeros(len(order), dtype=bool)
        twice[order[1:][again]] = twice[order[:-1][again]] = True
        return _Rims(nodes, faces.ways.take(each).astype(float), whose.take(each), twice.take(each))

    def chords(self, numbers: Ints) -> Floats:
        """Return the way from the first to the last point of edges, (n, 3)."""
        begins = self.begins[numbers]
        found: Floats = self.nodes[begins + self.counts[numbers] - 1, 4] - self.nodes[begins, 0]
        return found

    def swept(self, numbers: Ints, middles: Floats) -> Floats:
        """Return the integrals of r x dr along edges, r from a middle of each, (n, 3)."""
        counts = self.counts[numbers]
        ends = counts.cumsum()
        starts = ends - counts
        places = (self.begins[numbers] - starts).repeat(counts) + np.arange(ends[-1])
        nodes = self.nodes.take(places, axis=0) - middles.repeat(counts, axis=0)[:, None]
        both = np.add.reduceat(nodes.transpose(0, 2, 1) @ (_WEIGHTS @ nodes), starts)
        return (both - both.transpose(0, 2, 1))[:, (1, 2, 0), (2, 0, 1)]


def _of_arcs(arcs: Floats) -> tuple[Floats, Ints]:
    """Return the spans of arcs (rows as in ``Edges``), (n, 5, 3), and how many each has."""
    sweeps = arcs[:, 14] - arcs[:, 13]
    counts = np.maximum(1, np.ceil(sweeps / SAMPLED).astype(np.intp))
    each = np.arange(len(arcs)).repeat(counts)
    steps = np.arange(len(each)) - (counts.cumsum() - counts).take(each)
    row = arcs.take(each, axis=0)
    angles = row[:, 13, None] + (steps[:, None] + _EVEN[:, 0]) * (sweeps / counts).take(each)[:, None]
    cosines, sines = (row[:, 12, None] * some(angles) for some in (np.cos, np.sin))
    return row[:, None, :3] + cosines[..., None] * row[:, None, 6:9] + sines[..., None] * row[:, None, 9:12], counts


def _points_on(edge: Edge, finely: bool) -> Floats:
    if not finely or edge.finer is None:
        return edge.points
    return edge.finer(4 * (len(edge.points) - 1))[0]


def _in_fives(curves: Sequence[Floats]) -> tuple[Floats, Ints]:
    """Return samples of curves, four to a span and one more, as spans with both their ends, and how many each has."""
    if not curves:
        return np.zeros((0, 5, 3)), np.zeros(0, dtype=np.intp)
    counts = np.array([(len(points) - 1) // 4 for points in curves])
    each = np.arange(len(curves)).repeat(counts)
    # Each curve has a sample more than its spans begin with.
    places = 4 * np.arange(len(each)) + each
    return np.concatenate(curves).take(places[:, None] + np.arange(5), axis=0), counts


def cut_round(faces: FaceTable, spans: Spans, middles: Floats) -> Floats:
    """Return the flux of the position vector from a middle through each of cylinders, cones and tori, mm3.

    It is nan where the rim of one does not come back to where it began.

    Args:
        faces: cylinders, cones and tori whose tube does not reach their axis.
        spans: of all the edges round them.
        middles: of each, (n, 3).
    """
    found = np.empty(len(faces.kinds))
    for flux, some in ((_cones, faces.kinds != TORUS), (_tori, faces.kinds == TORUS)):
        if some.any():
            own = faces.some(some)
            found[some] = flux(own, spans.round(own), middles[some])
    return found


def _seen(faces: FaceTable, rims: _Rims, middles: Floats) -> tuple[_Nodes, Floats]:
    """Return nodes as they lie about the axes of their faces, and where faces stand."""
    origins, x, axes = faces.rows[:, :3], faces.rows[:, 6:9], faces.rows[:, 3:6]
    # y is made anew: a face's own may be left-handed.
    own = np.empty((len(x), 3, 3))
    own[:, 0], own[:, 1], own[:, 2] = x, crossed(axes, x), axes
    place = np.einsum("ij,ikj->ik", origins - middles, own)
    rel = (rims.nodes - origins.take(rims.which, axis=0)[:, None]) @ own.transpose(0, 2, 1).take(rims.which, axis=0)
    x, y, z = (rel[:, :, k] for k in range(3))
    out = np.maximum(np.sqrt(x * x + y * y), TINY)
    return _Nodes(out, z, _steadily(np.arctan2(y, x)), y / out, x / out), place


class _Nodes(NamedTuple):
    """Nodes about an axis: how far from it and along it, the angle with its sine and cosine; (s, 5) each."""

    out: Floats
    along: Floats
    u: Floats
    sine: Floats
    cosine: Floats


def _steadily(angles: Floats) -> Floats:
    """Return angles, which are changed, without leaps from one sample to the next."""
    leaps = np.rint((angles[:, 1:] - angles[:, :-1]) / (2.0 * np.pi))
    if leaps.any():
        angles[:, 1:] -= 2.0 * np.pi * leaps.cumsum(axis=1)
    return angles


def _back(fluxes: Floats, u: Floats, rims: _Rims) -> Floats:
    """Return fluxes, nan where not all that is gone round the axis along a rim is gone back."""
    gone = np.bincount(rims.which, rims.signs * (u[:, 4] - u[:, 0]))
    return np.where(np.abs(gone) < SEAM, fluxes, np.nan)


def _cones(faces: FaceTable, rims: _Rims, middles: Floats) -> Floats:
    nodes, place = _seen(faces, rims, middles)
    which = rims.which
    radius, lean = faces.rows[:, 12], np.where(faces.kinds == CONE, faces.rows[:, 13], 0.0)
    cosine, sine = np.cos(lean), np.sin(lean)
    level, aside, beside = radius * cosine - place[:, 2] * sine, cosine * place[:, 0], cosine * place[:, 1]
    of_face = np.column_stack((1.0 / cosine, radius, sine / 2.0, level, aside, beside)).take(which, axis=0)[..., None]
    slant, radius, half_sine, level, aside, beside = (of_face[:, k] for k in range(6))
    v = nodes.along * slant
    height = v * (radius + v * half_sine)
    return _back(-_along(rims, height, level * nodes.u + aside * nodes.sine - beside * nodes.cosine), nodes.u, rims)


def _tori(faces: FaceTable, rims: _Rims, middles: Floats) -> Floats:
    nodes, place = _seen(faces, rims, middles)
    u = nodes.u
    _, signs, which, twice = rims
    of_face = np.column_stack((faces.rows[:, (12, 13, 16, 17, 18)], place)).take(which, axis=0)[..., None]
    big, small, low, high, way, cx, cy, cz = (of_face[:, k] for k in range(8))
    out, up = nodes.out - big, nodes.along
    v = _steadily(np.arctan2(up, out))
    # Where a face meets itself round the tube, the rim goes forth at its lower end and back at its upper one.
    forth = (u[:, 4:] - u[:, :1]) * signs[:, None] * way > 0.0
    seam = twice[:, None] & (high - low > 2.0 * np.pi - SEAM) & (np.ptp(v, axis=1, keepdims=True) < SEAM)
    wanted = np.where(seam, np.where(forth, low, high), (low + high) / 2.0)
    v -= 2.0 * np.pi * np.rint((v[:, 2:3] - wanted) / (2.0 * np.pi))
    tube = np.maximum(np.sqrt(out * out + up * up), TINY)
    sine, cosine = up / tube, out / tube
    one = big * sine + small * (v + sine * cosine) / 2.0
    two = big * one + small * (big * v + small * sine) + cz * (small * sine * sine / 2.0 - big * cosine)
    aside = cx * nodes.sine - cy * nodes.cosine
    return _back(-_along(rims, small * one, aside) - _along(rims, small * two, u), u, rims)


def _along(rims: _Rims, f: Floats, g: Floats) -> Floats:
    """Return the integrals of f dg round each face."""
    found: Floats = np.bincount(rims.which, rims.signs * np.einsum("ij,ij->i", f, g @ _WEIGHTS.T)).astype(float)
    return found
