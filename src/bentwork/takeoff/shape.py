"""A solid as the CAD kernel hands it over: plain faces and edges, nothing of the kernel left in them. Lengths in mm.

Angles here are radians: they are parameters of faces and edges, and never shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np

from bentwork.space import Vec
from bentwork.takeoff.edges import Edge, EdgeKind, Edges, Floats, Ints, crossed

__all__ = ["Edge", "EdgeKind", "Face", "FaceKind", "Floats", "Patch", "Shape", "crossed"]

FaceKind = Literal["plane", "cylinder", "cone", "sphere", "torus", "free"]


@dataclass(frozen=True, slots=True)
class Patch:
    """Samples of a face that has no formula: a grid that holds every knot line.

    Args:
        points: (n, m, 3).
        normals: (n, m, 3), unit, pointing out of the metal.
        u_knots: rows at which one span of the surface ends and the next begins, the first and last among them.
        v_knots: the same for columns.
        finer: gives points and normals of a grid with so many samples in every span of the columns (or, when the
            first argument is true, of the rows), and few the other way; the dense way is the second index.
    """

    points: Floats
    normals: Floats
    u_knots: tuple[int, ...]
    v_knots: tuple[int, ...]
    finer: Callable[[bool, int], tuple[Floats, Floats]]

    @property
    def spans(self) -> int:
        """How many knot spans the face has."""
        return (len(self.u_knots) - 1) * (len(self.v_knots) - 1)


class Face(NamedTuple):
    """A face of a solid; a named tuple, because a solid may have tens of thousands.

    Args:
        kind: of surface.
        origin: a point of the plane or axis; the centre of a sphere or torus; apex side reference of a cone.
        axis: of revolution; of a plane the normal that points out of the metal.
        x: where the first parameter is 0.
        y: where it is a quarter turn.
        radius: of cylinder, sphere, cone at the origin; of a torus the large one, mm.
        minor: the small radius of a torus, mm; the half angle of a cone.
        outward: the metal lies on the side of the axis (of the tube's centre, for a torus).
        u: range of the first parameter.
        v: range of the second: mm along a cylinder's axis, an angle round a torus's tube.
        patch: samples, of a free face.
        edges: numbers of its edges in the solid.
        part_of: number of the face in the solid; parts of one free face share it.
    """

    kind: FaceKind
    origin: Vec
    axis: Vec
    x: Vec = (1.0, 0.0, 0.0)
    y: Vec = (0.0, 1.0, 0.0)
    radius: float = 0.0
    minor: float = 0.0
    outward: bool = True
    u: tuple[float, float] = (0.0, 0.0)
    v: tuple[float, float] = (0.0, 0.0)
    patch: Patch | None = None
    edges: tuple[int, ...] = ()
    part_of: int = 0


@dataclass(frozen=True, slots=True)
class Shape:
    """One solid, or one wire when there are no faces.

    Args:
        faces: all of them.
        read_edges: gives the edges; asked only when they are needed.
        read_volume: gives the volume, mm3.
        closed: the shell has no gap and no edge with more than two faces.
        read_finely: gives the volume more exactly than that, and takes longer; None where that is exact.
    """

    faces: tuple[Face, ...]
    read_edges: Callable[[], Edges]
    read_volume: Callable[[], float]
    closed: bool = True
    read_finely: Callable[[], float] | None = None
    _spread: list[tuple[Floats, Ints, Ints]] = field(default_factory=list, init=False, repr=False, compare=False)
    _known: dict[int, Floats] = field(default_factory=dict, init=False, repr=False, compare=False)

    def samples(self, faces: Sequence[Face]) -> list[Floats]:
        """Return samples of the edges of faces, and of faces themselves where they have no formula, (n, 3) each."""
        # Every attempt at a bar asks again, and all at once they take a fraction of the time of one by one.
        new = [face for face in faces if face.part_of not in self._known]
        if new:
            if not self._spread:
                self._spread.append(self.read_edges().spread())
            self._known.update(zip((face.part_of for face in new), _of_rims(new, *self._spread[0]), strict=True))
        return [
            own if face.patch is None else np.concatenate((own, face.patch.points.reshape(-1, 3)))
            for face, own in ((face, self._known[face.part_of]) for face in faces)
        ]


def _of_rims(faces: Sequence[Face], points: Floats, firsts: Ints, counts: Ints) -> Iterator[Floats]:
    """Yield samples of the edges of every face, (n, 3), out of what ``Edges.spread`` gives."""
    own = np.array([number for face in faces for number in face.edges], dtype=np.intp)
    sizes = counts.take(own)
    after = sizes.cumsum()
    seen = points.take((firsts.take(own) - after + sizes).repeat(sizes) + np.arange(int(sizes.sum())), axis=0)
    ends, begin, at = [0, *after.tolist()], 0, 0
    for face in faces:
        at += len(face.edges)
        yield seen[begin : ends[at]]
        begin = ends[at]
