"""How the faces of a solid touch, and what touches the sides of its bars."""

from __future__ import annotations

from collections.abc import Sequence, Set

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import Centreline
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.rests import Rest, Seen, reaches, with_middle
from bentwork.takeoff.shape import Face, Floats, Shape

__all__ = ["Around"]

Bools = NDArray[np.bool_]


class Around:
    """The faces of a solid, and how they touch; asked about several bars at once.

    Attributes:
        faces: they.
    """

    def __init__(self, shape: Shape, faces: Sequence[Face]) -> None:
        """Take a solid and its faces."""
        self.faces = faces
        self._samples = list(map(with_middle, faces, shape.samples(faces)))
        self._parts = np.array([face.part_of for face in faces], dtype=np.intp)
        edges = np.array([number for face in faces for number in face.edges], dtype=np.intp)
        sizes = np.array([len(face.edges) for face in faces], dtype=np.intp)
        # Edges by their numbers, and of every edge the faces that it borders.
        order = edges.argsort(kind="stable")
        self._bordered = np.arange(len(faces)).repeat(sizes)[order]
        new = np.diff(edges[order], prepend=-1) > 0
        self._edges = new.nonzero()[0]
        self._rims = np.empty_like(edges)
        self._rims[order] = new.cumsum() - 1
        self._rimmed = sizes.nonzero()[0]
        self._begun = (sizes.cumsum() - sizes)[self._rimmed]

    def own(self, several: Sequence[Set[int]]) -> Bools:
        """Tell which faces are among each of several sets of their numbers, (n, faces)."""
        marks = np.zeros((len(several), int(self._parts.max(initial=0)) + 1), dtype=bool)
        for row, numbers in zip(marks, several, strict=True):
            row[list(numbers)] = True
        found: Bools = marks[:, self._parts]
        return found

    def rims(self, own: Bools) -> Bools:
        """Tell which edges each of several sets of faces has, (n, edges)."""
        return np.logical_or.reduceat(own[:, self._bordered], self._edges, axis=1)

    def touching(self, rims: Bools) -> Bools:
        """Tell which faces each of several sets of edges border, (n, faces)."""
        found = np.zeros((len(rims), len(self.faces)), dtype=bool)
        found[:, self._rimmed] = np.logical_or.reduceat(rims[:, self._rims], self._begun, axis=1)
        return found

    def _beside(self, several: Sequence[Set[int]]) -> Bools:
        own = self.own(several)
        return self.touching(self.rims(own)) & ~own

    def rests(self, own: Set[int], foreign: Set[int] = frozenset()) -> list[Rest]:
        """Return the faces that touch the sides of a bar, but for those of another; by their numbers."""
        beside = self._beside([own])[0].nonzero()[0].tolist()
        found = ((self.faces[k], self._samples[k]) for k in beside)
        return [Rest(face, points) for face, points in found if len(points) and face.part_of not in foreign]

    def seen(self, bars: Sequence[tuple[Centreline, Outline, Set[int]]], within: float) -> list[Seen]:
        """Return what touches the sides of straight bars, as it is seen from each.

        Args:
            bars: middle, section, and the numbers of the sides.
            within: faces that stand out beyond the section by as much are left out, mm.
        """
        counts = np.array([len(points) for points in self._samples])
        if not bars or not counts.any():
            return [_nothing() for _ in bars]
        points, firsts = np.concatenate(self._samples), counts.cumsum() - counts
        beside = self._beside([sides for _, _, sides in bars]) & (counts > 0)
        poses = [line.start for line, _, _ in bars]
        frames = np.array([(pose.tangent, pose.inward, pose.axis) for pose in poses])
        origins = np.array([pose.origin for pose in poses])
        half = np.array([[outline.inward, outline.across] for _, outline, _ in bars])[..., None]
        # Of most of what lies elsewhere one sample of two tells.
        for some in (firsts, firsts + counts // 2):
            at = points[np.minimum(some, len(points) - 1)].T
            places = frames[:, 1:] @ at - frames[:, 1:] @ origins[..., None]
            beside &= (np.abs(places) - half < within).all(axis=1)
        which, face = beside.nonzero()
        if len(which) == 0:
            return [_nothing() for _ in bars]
        sizes = counts[face]
        starts = sizes.cumsum() - sizes
        flat: Floats = points[np.arange(int(sizes.sum())) + (firsts[face] - starts).repeat(sizes)]
        out, bounds = np.empty(len(flat)), np.searchsorted(which, np.arange(len(bars) + 1))
        begun = np.append(starts, len(flat))[bounds].tolist()
        for k, (_, outline, _) in enumerate(bars):
            own = slice(begun[k], begun[k + 1])
            flat[own] = (flat[own] - origins[k]) @ frames[k].T
            out[own] = outline.beyond(flat[own])
        rows = list(zip(face.tolist(), starts.tolist(), *reaches(flat, out, starts), strict=True))
        found = []
        for k, (begin, end) in enumerate(zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True)):
            kept = [row for row in rows[begin:end] if row[4] < within]
            rests = [Rest(self.faces[row[0]], self._samples[row[0]]) for row in kept]
            _, at, lows, highs, outs = zip(*kept, strict=True) if kept else ((), (), (), (), ())
            found.append(Seen(rests, flat[begun[k] : begun[k + 1]], [n - begun[k] for n in at], lows, highs, outs))
        return found


def _nothing() -> Seen:
    return Seen((), np.zeros((0, 3)), (), (), (), ())
