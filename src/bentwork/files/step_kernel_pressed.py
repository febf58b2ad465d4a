"""A tube pressed flat at its end, by the CAD kernel: the faces from where it is round to the end of the flat.

Across the bar the wall runs as a stadium: two half rounds about middles that move apart as they get smaller, and two
straights between them. The line in the middle of the wall keeps its length, so that every section has the metal of the
tube. Outside and inside it is made of four faces each, two planes and two cones that lean; where the flat begins the
inside has closed to a line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeVertex,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Shape

__all__ = ["pressed_faces"]

Section = tuple[float, float, float]
"""Where along the bar, half the distance between the middles of the half rounds, their radius; mm."""


def pressed_faces(
    pressed: Mapping[str, Any], tip: Sequence[float], out: Sequence[float], diameter: float, bore: float
) -> list[TopoDS_Shape]:
    """Return the faces of a pressed end; they close a tube that is round and open where they begin.

    Args:
        pressed: see ``models.cuts``.
        tip: the middle of its end, mm.
        out: unit vector out of the bar.
        diameter: of the tube, mm.
        bore: its inside, mm.
    """
    made = _Made(tip, out, pressed["across"])
    flat, whole = pressed["length"], pressed["length"] + pressed["runs_out"]
    half = math.pi * bore / 4.0  # half round the bore, laid flat
    wall = (diameter - bore) / 2.0
    folds = (-flat, half, wall)
    faces: list[TopoDS_Shape] = []
    for sections in (
        ((-whole, 0.0, diameter / 2.0), folds),
        ((-whole, 0.0, bore / 2.0), (-flat, half, 0.0)),
        (folds, (0.0, half, wall)),
    ):
        for side in (1.0, -1.0):
            faces += [made.rounded(side, *sections), made.level(side, *sections)]
    return [*faces, made.end((0.0, half, wall))]


class _Made:
    """Makes faces about an end."""

    def __init__(self, tip: Sequence[float], out: Sequence[float], across: Sequence[float]) -> None:
        up = (
            out[1] * across[2] - out[2] * across[1],
            out[2] * across[0] - out[0] * across[2],
            out[0] * across[1] - out[1] * across[0],
        )
        self._frame = tuple(zip(tip, out, across, up, strict=True))

    def _at(self, x: float, y: float, z: float) -> gp_Pnt:
        return gp_Pnt(*(o + x * a + y * b + z * c for o, a, b, c in self._frame))

    def _arc(self, side: float, section: Section) -> TopoDS_Edge:
        x, half, radius = section
        ends = [self._at(x, side * half, up * radius) for up in (-1.0, 1.0)]
        return BRepBuilderAPI_MakeEdge(
            GC_MakeArcOfCircle(ends[0], self._at(x, side * (half + radius), 0.0), ends[1]).Value()
        ).Edge()

    def rounded(self, side: float, one: Section, other: Section) -> TopoDS_Shape:
        """From the half round of one section to that of another; to a point where that has no radius."""
        made = BRepOffsetAPI_ThruSections(False, True)
        for x, half, radius in (one, other):
            if radius > 0.0:
                made.AddWire(BRepBuilderAPI_MakeWire(self._arc(side, (x, half, radius))).Wire())
            else:
                made.AddVertex(BRepBuilderAPI_MakeVertex(self._at(x, side * half, 0.0)).Vertex())
        made.Build()
        return made.Shape()

    def level(self, side: float, one: Section, other: Section) -> TopoDS_Shape:
        """Between the half rounds, above (1) or below (-1)."""
        made = BRepBuilderAPI_MakePolygon()
        corners = [(x, sign * half, side * radius) for x, half, radius in (one, other) for sign in (-1.0, 1.0)]
        for k in (0, 1, 3, 2):
            if k != 1 or corners[1] != corners[0]:
                made.Add(self._at(*corners[k]))
        made.Close()
        return BRepBuilderAPI_MakeFace(made.Wire(), True).Face()

    def end(self, section: Section) -> TopoDS_Shape:
        x, half, radius = section
        wire = BRepBuilderAPI_MakeWire(self._arc(1.0, section))
        corners = [self._at(x, half, radius), self._at(x, -half, radius)]
        wire.Add(BRepBuilderAPI_MakeEdge(*corners).Edge())
        wire.Add(self._arc(-1.0, section))
        wire.Add(BRepBuilderAPI_MakeEdge(self._at(x, -half, -radius), self._at(x, half, -radius)).Edge())
        return BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()
