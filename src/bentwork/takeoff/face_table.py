"""The faces of a solid in tables, so that all of them are reckoned with at once. Lengths in mm, angles in radians."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edges import Floats, crossed
from bentwork.takeoff.shape import Face, FaceKind, Patch

__all__ = [
    "CONE",
    "CYLINDER",
    "FREE",
    "KINDS",
    "PLANE",
    "TORUS",
    "FaceTable",
    "faces_in_tables",
    "faces_of",
    "faces_together",
    "right_ways",
    "set_sides",
]

Ints = NDArray[np.intp]

KINDS: tuple[FaceKind, ...] = ("free", "plane", "cylinder", "cone", "sphere", "torus")
"""In the order of the kernel."""
FREE, PLANE, CYLINDER, CONE, TORUS = 0, 1, 2, 3, 5


class FaceTable(NamedTuple):
    """Faces with the edges round them.

    Args:
        kinds: places in ``KINDS``, (n,).
        rows: origin, axis (of a plane the normal that points out of the metal), x, y, radius, minor, u and v from and
            to, and 1 where the metal lies on the side of the axis, else -1, as ``Face`` has them; (n, 19).
        edges: numbers of those round one face after the other, a seam twice.
        ways: 1 where a face runs with its edge, the metal of the face on the left seen from outside; -1 where it runs
            against it; 0 for an edge within the face.
        starts: where the edges of each face begin, and where those of the last one end, (n + 1,).
    """

    kinds: Ints
    rows: Floats
    edges: Ints
    ways: Ints
    starts: Ints

    @property
    def sizes(self) -> Ints:
        """How many edges go round each face, (n,)."""
        return self.starts[1:] - self.starts[:-1]

    @property
    def whose(self) -> Ints:
        """Which face each of ``edges`` goes round."""
        return np.arange(len(self.kinds)).repeat(self.sizes)

    def some(self, chosen: NDArray[np.bool_]) -> FaceTable:
        """Return the faces that are chosen, (n,)."""
        if chosen.all():
            return self
        sizes, those = self.sizes, chosen.nonzero()[0]
        own = chosen.repeat(sizes).nonzero()[0]
        starts = np.zeros(len(those) + 1, dtype=np.intp)
        np.add.accumulate(sizes.take(those), out=starts[1:])
        rows = self.rows.take(those, axis=0)
        return FaceTable(self.kinds.take(those), rows, self.edges.take(own), self.ways.take(own), starts)


def set_sides(kinds: Ints, rows: Floats, flipped: NDArray[np.bool_]) -> None:
    """Set on which side of faces the metal lies, and let the normals of planes point out of it.

    Args:
        kinds: of the faces, as in ``FaceTable``.
        rows: of them as there, but for the last number.
        flipped: faces that are turned over.
    """
    right = np.einsum("ij,ij->i", crossed(rows[:, 6:9], rows[:, 9:12]), rows[:, 3:6]) > 0.0
    rows[:, 18] = np.where(flipped != right, 1.0, -1.0)
    planes = kinds == PLANE
    rows[planes, 3:6] *= rows[planes, 18:]


def right_ways(ways: Ints, starts: Ints, areas: Floats, flipped: NDArray[np.bool_]) -> Ints:
    """Return ways round faces, where a face is gone round the wrong way as a whole the other way.

    Args:
        ways: of one face after the other, as in ``FaceTable``.
        starts: where those of each begin, and where those of the last one end.
        areas: of each face in its parameters, below 0 where it lies to the right; 0 where that is not known.
        flipped: faces that are turned over.
    """
    turned = np.where(flipped, -areas, areas) < 0.0
    right: Ints = np.where(turned.repeat(starts[1:] - starts[:-1]), -ways, ways)
    return right


def faces_in_tables(faces: Sequence[Face], rims: Sequence[Sequence[int]]) -> FaceTable:
    """Return faces in tables.

    Args:
        faces: all of a solid's.
        rims: of each face the edges round it, 1 for edge 0, a seam twice; with a minus where the face runs against
            the edge, and 0 for an edge within the face.
    """
    rows = [(*f.origin, *f.axis, *f.x, *f.y, f.radius, f.minor, *f.u, *f.v, 1.0 if f.outward else -1.0) for f in faces]
    row = np.array([number for rim in rims for number in rim], dtype=np.intp)
    starts = np.concatenate(((0,), np.cumsum([len(rim) for rim in rims])))
    kinds = np.array([KINDS.index(face.kind) for face in faces])
    return FaceTable(kinds, np.array(rows), np.abs(row) - 1, np.sign(row), starts)


_NO_ROUND = Face("plane", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0))[3:-2]
"""What a plane has instead of a radius and what goes with it."""
_NO_FORMULA = Face("free", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def faces_together(some: Sequence[FaceTable], shifts: Ints) -> FaceTable:
    """Return the faces of several solids in one table.

    Args:
        some: of each.
        shifts: by how much the numbers of the edges of each are more there.
    """
    kinds, rows, edges, ways, starts = zip(*some, strict=True)
    sizes = [len(own) for own in edges]
    begins = [own[:-1] + after - size for own, after, size in zip(starts, accumulate(sizes), sizes, strict=True)]
    return FaceTable(
        np.concatenate(kinds),
        np.concatenate(rows),
        np.concatenate(edges) + shifts.repeat(sizes),
        np.concatenate(ways),
        np.concatenate((*begins, (sum(sizes),))),
    )


def faces_of(table: FaceTable, patches: Mapping[int, Patch] | None = None) -> tuple[Face, ...]:
    """Return the faces of a table one by one.

    Args:
        table: of them.
        patches: samples of those without formula, by their places.
    """
    edges, starts = table.edges.tolist(), table.starts.tolist()
    made = Face._make
    found = []
    for number, (kind, row) in enumerate(zip(table.kinds.tolist(), table.rows.tolist(), strict=True), 1):
        rim = tuple(edges[starts[number - 1] : starts[number]])
        if len(set(rim)) < len(rim):
            rim = tuple(dict.fromkeys(rim))
        ox, oy, oz, nx, ny, nz, a, b, c, d, e, f, radius, minor, u0, u1, v0, v1, side = row
        if kind == PLANE:
            found.append(made(("plane", (ox, oy, oz), (nx, ny, nz), *_NO_ROUND, rim, number)))
        elif kind == FREE:
            patch = patches[number - 1] if patches else None
            found.append(_NO_FORMULA._replace(patch=patch, edges=rim, part_of=number))
        else:
            place = (ox, oy, oz), (nx, ny, nz), (a, b, c), (d, e, f)
            found.append(made((KINDS[kind], *place, radius, minor, side > 0.0, (u0, u1), (v0, v1), None, rim, number)))
    return tuple(found)
