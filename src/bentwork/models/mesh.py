"""A body as triangles: its volume, where it is open, and normals that keep edges sharp and round faces smooth."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.space import Vec

__all__ = ["Mesh", "Shaded"]

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]
_SMOOTH = 40.0
"""Faces that meet at a smaller angle than this, degrees, are shown as one round face. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Shaded:
    """Triangles to be looked at: a point has one normal, so it stands there once for every face that meets in it.

    Args:
        points: (n, 3), mm.
        normals: (n, 3), unit vectors.
        triangles: (m, 3), indices of points.
        inside: of each point whether it lies on the inside of a bore or a hole, where little light comes, (n,).
    """

    points: Array
    normals: Array
    triangles: Indices
    inside: Flags


@dataclass(frozen=True, slots=True)
class Mesh:
    """A body as triangles, anticlockwise as seen from outside.

    Args:
        points: (n, 3), mm; no two of them coincide.
        triangles: (m, 3), indices of points.
        inside: of each triangle whether it lies on the inside of a bore or a hole, (m,); None where there is none.
    """

    points: Array
    triangles: Indices
    inside: Flags | None = None

    @property
    def corners(self) -> Array:
        """Corners of the triangles (m, 3, 3), mm."""
        found: Array = self.points[self.triangles]
        return found

    @property
    def volume(self) -> float:
        """Volume within the triangles, mm3: the sum of tetrahedra to the origin (divergence theorem)."""
        a, b, c = (self.corners[:, k] for k in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)

    @property
    def surface(self) -> float:
        """Area of all triangles, mm2."""
        return float(np.linalg.norm(self._crossed(), axis=1).sum() / 2.0)

    @property
    def open_edges(self) -> int:
        """How many edges are not run along once each way; 0 where the body is closed."""
        size = np.int64(len(self.points))
        a, b = self.triangles.ravel(), np.roll(self.triangles, -1, axis=1).ravel()
        there, back = np.unique(a * size + b, return_counts=True), np.unique(b * size + a)
        twice = int((there[1] > 1).sum())
        return twice + len(np.setxor1d(there[0], back))

    def moved(self, by: Vec) -> Mesh:
        """Return the same body elsewhere."""
        return Mesh(self.points + np.array(by), self.triangles, self.inside)

    def shaded(self) -> Shaded:
        """Return the triangles with a normal at every corner, sharp where faces meet at 40 degrees and more.

        The normal of a corner is that of all faces round the point that are no further than that from its own face,
        each with the weight of its angle at the point, so that it does not matter how a face is cut into triangles.
        """
        crossed = self._crossed()
        normal = crossed / np.maximum(np.linalg.norm(crossed, axis=1, keepdims=True), 1e-300)
        angle = self._angles()
        order = np.argsort(self.triangles.ravel(), kind="stable")
        owner = self.triangles.ravel()[order]
        count = np.bincount(owner, minlength=len(self.points))
        first = np.concatenate(([0], np.cumsum(count)[:-1]))
        # Every corner with every corner at the same point.
        many = count[owner]
        one = np.repeat(np.arange(len(owner)), many)
        other = np.arange(len(one)) - np.repeat(np.cumsum(many) - many, many) + first[owner[one]]
        mine, theirs = order[one] // 3, order[other] // 3
        near = np.einsum("ij,ij->i", normal[mine], normal[theirs]) > math.cos(math.radians(_SMOOTH))
        total = np.zeros((len(owner), 3))
        weighted = normal[theirs] * angle.ravel()[order[other], None]
        np.add.at(total, order[one[near]], weighted[near])
        total /= np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-300)
        key = np.column_stack((self.triangles.ravel(), np.round(total * 1e6)))
        _, kept, index = np.unique(key, axis=0, return_index=True, return_inverse=True)
        inside = np.zeros(len(self.triangles), dtype=bool) if self.inside is None else self.inside
        points = self.points[self.triangles.ravel()[kept]]
        return Shaded(points, total[kept], index.reshape(-1, 3), inside[kept // 3])

    def _crossed(self) -> Array:
        corners = self.corners
        found: Array = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        return found

    def _angles(self) -> Array:
        """Angle of every triangle at each of its corners (m, 3), rad."""
        corners = self.corners
        found = np.empty(self.triangles.shape)
        for k in range(3):
            u, v = corners[:, (k + 1) % 3] - corners[:, k], corners[:, (k + 2) % 3] - corners[:, k]
            found[:, k] = np.arctan2(np.linalg.norm(np.cross(u, v), axis=1), np.einsum("ij,ij->i", u, v))
        return found
