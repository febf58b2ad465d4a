"""A solid as plain faces and edges in tables, whoever read them, and whether it is right as it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from bentwork.takeoff.edges import Edges
from bentwork.takeoff.face_table import FaceTable, Ints
from bentwork.takeoff.shape import Patch
from bentwork.takeoff.spline_fluxes import SplineFaces

__all__ = ["Written", "is_closed"]


@dataclass(frozen=True, slots=True, eq=False)
class Written:
    """A solid as it was written.

    Args:
        faces: all of them.
        edges: all of them.
        closed: two faces meet in every edge, or one with itself.
        told: its edges in space were enough to tell how far its faces reach.
        patches: samples of faces that are splines, by their places.
        splines: the same faces, in their order.
        shells: that it has to fall into, one more than it has voids.
    """

    faces: FaceTable
    edges: Edges
    closed: bool
    told: bool = False
    patches: Mapping[int, Patch] = field(default_factory=dict)
    splines: SplineFaces | None = None
    shells: int = 1

    @property
    def right(self) -> bool:
        """Whether it is right as the file has it, and nothing is left to be mended."""
        return self.told and self.closed and _in_order(self.faces, self.edges, self.shells)


def is_closed(rims: Ints, edges: Edges) -> bool:
    """Tell whether two faces meet in every edge, or one with itself; poles are none.

    Args:
        rims: edges round one face after the other.
        edges: of the solid.
    """
    uses = np.bincount(rims, minlength=edges.count)
    return all(number in edges.others for number in (uses != 2).nonzero()[0].tolist())


def _in_order(faces: FaceTable, edges: Edges, shells: int) -> bool:
    """Tell of a closed solid whether every edge is run along once each way, and faces hang together in its shells."""
    poles = any(len(edge.points) == 0 for edge in edges.others.values())
    if poles or np.bincount(faces.edges, faces.ways, edges.count).any():
        return False
    left = faces.whose.take(faces.edges.argsort(kind="stable")).tolist()
    group = list(range(len(faces.kinds)))
    apart = len(group) - 1
    for one, other in zip(left[::2], left[1::2], strict=True):
        while group[one] != one:
            group[one] = one = group[group[one]]
        while group[other] != other:
            group[other] = other = group[group[other]]
        if one != other:
            group[one] = other
            apart -= 1
    return apart == shells - 1
