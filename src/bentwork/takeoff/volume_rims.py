"""Cylinders, cones and tori cut along any curve: their share of a solid's volume as an integral round their rims.

The flux of the position vector through a face is an area integral over its parameters; by Green's theorem it is a line
integral round the rim, and along each span of an edge both factors are taken for polynomials of the fourth degree
through five samples. Through a cylinder or cone it is - H(v) dG(u), with the angle u about the axis and v along it; on
a torus v goes round the tube, and there it matters where the face was cut open.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import SAMPLED, Edges
from bentwork.takeoff.shape import Face, Floats, crossed

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


_Rims: TypeAlias = tuple[Floats, Floats, NDArray[np.intp], NDArray[np.bool_]]


class Spans:
    """Five even samples of every span of every edge, (n, 5, 3), and which are whose."""

    def __init__(self, edges: Edges, used: set[int]) -> None:
        """Take the edges that are ``used``; places of others are left empty."""
        self.counts = np.zeros(edges.count, dtype=np.intp)
        self.begins = np.zeros(edges.count, dtype=np.intp)
        self.nodes = np.zeros((0, 5, 3))
        if not used:
            return
        lines = [k for k, number in enumerate(edges.line_numbers) if number in used]
        circles = [k for k, number in enumerate(edges.circle_numbers) if number in used]
        others = [number for number, edge in edges.others.items() if number in used and len(edge.points)]
        order = [edges.line_numbers[k] for k in lines] + [edges.circle_numbers[k] for k in circles] + others
        straight = edges.ends[lines]
        bent, sizes = _of_arcs(edges.arcs[circles])
        free, more = _in_fives([edges.others[number].points for number in others])
        self.nodes = np.concatenate((straight[:, :1] + _EVEN * (straight[:, 1:] - straight[:, :1]), bent, free))
        counts = np.concatenate((np.ones(len(lines), dtype=np.intp), sizes, more))
        self.counts[order] = counts
        self.begins[order] = np.cumsum(counts) - counts

    def round(self, rims: Sequence[list[int]]) -> _Rims:
        """Return the spans round faces: nodes, which way each is gone (1 or -1), whose it is, if it is gone twice."""
        row = np.array([number for rim in rims for number in rim])
        edges = np.abs(row) - 1
        counts = self.counts[edges]
        each = np.repeat(np.arange(len(row)), counts)
        first = np.cumsum(counts) - counts
        places = self.begins[edges][each] + np.arange(len(each)) - first[each]
        faces = np.repeat(np.arange(len(rims)), [len(rim) for rim in rims])
        twice = np.array([-number in own for rim in rims for own in (set(rim),) for number in rim])
        return self.nodes[places], np.sign(row)[each].astype(float), faces[each], twice[each]

    def chords(self, numbers: Sequence[int]) -> Floats:
        """Return the way from the first to the last point of edges, (n, 3)."""
        begins = self.begins[numbers]
        found: Floats = self.nodes[begins + self.counts[numbers] - 1, 4] - self.nodes[begins, 0]
        return found

    def swept(self, numbers: Sequence[int], middle: Floats) -> Floats:
        """Return the integrals of r x dr along edges, r from a middle, (n, 3)."""
        counts = self.counts[numbers]
        starts = np.cumsum(counts) - counts
        places = np.repeat(self.begins[numbers] - starts, counts) + np.arange(int(counts.sum()))
        nodes = self.nodes[places] - middle
        both = np.add.reduceat(nodes.transpose(0, 2, 1) @ (_WEIGHTS @ nodes), starts)
        return (both - both.transpose(0, 2, 1))[:, (1, 2, 0), (2, 0, 1)]


def _of_arcs(arcs: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Return the spans of arcs (rows as in ``Edges``), (n, 5, 3), and how many each has."""
    sweeps = arcs[:, 14] - arcs[:, 13]
    counts = np.maximum(1, np.ceil(sweeps / SAMPLED).astype(np.intp))
    each = np.repeat(np.arange(len(arcs)), counts)
    steps = np.arange(len(each)) - (np.cumsum(counts) - counts)[each]
    row = arcs[each]
    angles = row[:, 13, None] + (steps[:, None] + _EVEN[:, 0]) * (sweeps / counts)[each, None]
    cosines, sines = (row[:, 12, None] * some(angles) for some in (np.cos, np.sin))
    return row[:, None, :3] + cosines[..., None] * row[:, None, 6:9] + sines[..., None] * row[:, None, 9:12], counts


def _in_fives(curves: Sequence[Floats]) -> tuple[Floats, NDArray[np.intp]]:
    """Return samples of curves, four to a span and one more, as spans with both their ends, and how many each has."""
    if not curves:
        return np.zeros((0, 5, 3)), np.zeros(0, dtype=np.intp)
    counts = np.array([(len(points) - 1) // 4 for points in curves])
    each = np.repeat(np.arange(len(curves)), counts)
    # Each curve has a sample more than its spans begin with.
    places = 4 * np.arange(len(each)) + each
    found: Floats = np.concatenate(curves)[places[:, None] + np.arange(5)]
    return found, counts


def cut_round(faces: Sequence[Face], rims: Sequence[list[int]], spans: Spans, middle: Floats) -> float | None:
    """Return the flux of the position vector from a middle through cylinders, cones and tori, mm3.

    None when the rim of one of them does not come back to where it began.

    Args:
        faces: cylinders, cones and tori whose tube does not reach their axis.
        rims: of each the edges round it, 1 for edge 0, with a minus where the face runs against the edge.
        spans: of all these edges.
        middle: (3,).
    """
    total = 0.0
    for flux, tori in ((_cones, False), (_tori, True)):
        some = [k for k, face in enumerate(faces) if (face.kind == "torus") == tori]
        if some:
            found = flux([faces[k] for k in some], spans.round([rims[k] for k in some]), middle)
            if found is None:
                return None
            total += found
    return total


def _seen(faces: Sequence[Face], rims: _Rims, middle: Floats) -> tuple[_Nodes, Floats]:
    """Return nodes as they lie about the axes of their faces, and where faces stand."""
    nodes, _, which, _ = rims
    frames = np.array([(*f.origin, *f.x, *f.axis) for f in faces])
    # y is made anew: a face's own may be left-handed.
    own = np.stack((frames[:, 3:6], crossed(frames[:, 6:], frames[:, 3:6]), frames[:, 6:]), axis=1)
    place = np.einsum("ij,ikj->ik", frames[:, :3] - middle, own)
    rel = (nodes - frames[which, None, :3]) @ own.transpose(0, 2, 1)[which]
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
    """Return angles without leaps from one sample to the next."""
    steps = angles[:, 1:] - angles[:, :-1]
    steps -= 2.0 * np.pi * np.rint(steps / (2.0 * np.pi))
    found = np.empty(angles.shape)
    found[:, 0] = angles[:, 0]
    np.cumsum(steps, axis=1, out=found[:, 1:])
    found[:, 1:] += angles[:, :1]
    return found


def _comes_back(u: Floats, rims: _Rims) -> bool:
    """Tell whether all that is gone round the axis along a rim is gone back."""
    _, signs, which, _ = rims
    return float(np.abs(np.bincount(which, signs * (u[:, 4] - u[:, 0]))).max()) < SEAM


def _cones(faces: Sequence[Face], rims: _Rims, middle: Floats) -> float | None:
    nodes, place = _seen(faces, rims, middle)
    if not _comes_back(nodes.u, rims):
        return None
    _, signs, which, _ = rims
    radius = np.array([face.radius for face in faces])
    lean = np.array([face.minor if face.kind == "cone" else 0.0 for face in faces])
    cosine, sine = np.cos(lean), np.sin(lean)
    level, aside, beside = radius * cosine - place[:, 2] * sine, cosine * place[:, 0], cosine * place[:, 1]
    of_face = np.column_stack((1.0 / cosine, radius, sine / 2.0, level, aside, beside))[which, :, None]
    slant, radius, half_sine, level, aside, beside = (of_face[:, k] for k in range(6))
    v = nodes.along * slant
    height = v * (radius + v * half_sine)
    return -_along(signs, height, level * nodes.u + aside * nodes.sine - beside * nodes.cosine)


def _tori(faces: Sequence[Face], rims: _Rims, middle: Floats) -> float | None:
    nodes, place = _seen(faces, rims, middle)
    u = nodes.u
    if not _comes_back(u, rims):
        return None
    _, signs, which, twice = rims
    table = np.array([(f.radius, f.minor, *f.v, 1.0 if f.outward else -1.0) for f in faces])
    of_face = np.column_stack((table, place))[which, :, None]
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
    return -_along(signs, small * one, aside) - _along(signs, small * two, u)


def _along(signs: Floats, f: Floats, g: Floats) -> float:
    """Return the integral of f dg along all spans."""
    return float(signs @ (f * (g @ _WEIGHTS.T)).sum(axis=1))
