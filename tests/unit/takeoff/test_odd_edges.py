"""Edges that drawings do not need and files have: one within a curved face, and one of next to no length."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Wire

from bentwork.space import Vec, scale
from bentwork.stock.section import Flat
from bentwork.takeoff.edges import Edge, Edges, edges_in_tables
from bentwork.takeoff.kernel_faces import asked
from bentwork.takeoff.shape import Face
from bentwork.takeoff.straight_edges import straight_strips


def rod_with_a_line_on_it() -> TopoDS_Shape:
    """A rod of 12 mm whose round face has a line drawn within it, opposite its seam."""
    rod = BRepPrimAPI_MakeCylinder(6.0, 100.0).Shape()
    explorer = TopExp_Explorer(rod, TopAbs_ShapeEnum.TopAbs_FACE)
    while int(BRepAdaptor_Surface(TopoDS.Face(explorer.Current())).GetType()) != 1:
        explorer.Next()
    line = BRepBuilderAPI_MakeEdge(gp_Pnt(-6.0, 0.0, 20.0), gp_Pnt(-6.0, 0.0, 80.0)).Edge()
    builder, wire = BRep_Builder(), TopoDS_Wire()
    builder.MakeWire(wire)
    builder.Add(wire, line.Oriented(TopAbs_Orientation.TopAbs_INTERNAL))
    face = explorer.Current()
    face.Free(True)
    builder.Add(face, wire)
    return rod


def test_an_edge_within_a_curved_face_keeps_its_number() -> None:
    seen = asked(rod_with_a_line_on_it())
    edges = dict(seen.read_edges().each())
    (round_face,) = (face for face in seen.faces if face.kind == "cylinder")
    own = [edges[number] for number in round_face.edges]
    assert sorted(edge.kind for edge in own) == ["circle", "circle", "line", "line"]
    within = [edge for edge in own if edge.kind == "line" and edge.points[:, 0].max() < 0.0]
    assert [abs(edge.points[1, 2] - edge.points[0, 2]) for edge in within] == pytest.approx([60.0])
    # What the face is sampled by is those edges: all on the rod.
    (points,) = seen.samples([round_face])
    assert np.hypot(points[:, 0], points[:, 1]) == pytest.approx(np.full(len(points), 6.0))


def flat_bar(*cuts: float) -> tuple[Edges, list[Face]]:
    """A flat bar of 100 x 20 x 5 mm with two of its long edges, of one side, cut at these places."""
    corner: dict[tuple[int, int, int], Vec] = {
        (i, j, k): (100.0 * i, 20.0 * j, 5.0 * k) for i in (0, 1) for j in (0, 1) for k in (0, 1)
    }
    ends: list[tuple[Vec, Vec]] = []
    for a, p in corner.items():
        for b, q in corner.items():
            if a < b and sum(map(abs, np.subtract(a, b))) == 1 and not (a[0] < b[0] and a[2] == 0):
                ends.append((p, q))
    ends += [((x, w, 0.0), (y, w, 0.0)) for w in (0.0, 20.0) for x, y in pairwise([0.0, *cuts, 100.0])]
    edges = [Edge("line", np.array(pair)) for pair in ends]
    faces: list[Face] = []
    normals: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    for axis in (2, 1, 0):  # the side with the cuts is seen first
        for level, normal in ((0.0, scale(normals[axis], -1.0)), ((100.0, 20.0, 5.0)[axis], normals[axis])):
            own = tuple(k for k, edge in enumerate(edges) if np.allclose(edge.points[:, axis], level))
            origin = scale(normals[axis], level)
            faces.append(Face("plane", origin, normal, edges=own, part_of=len(faces) + 1))
    return edges_in_tables(len(edges), enumerate(edges)), faces


@pytest.mark.parametrize("size", [0.002, 0.006, 0.009, 0.02])
def test_an_edge_of_next_to_no_length_does_not_hide_the_bar(size: float) -> None:
    found = straight_strips(*flat_bar(40.0, 40.0 + size))
    assert [strip.outline.section for strip in found] == [Flat(20.0, 5.0)]
    assert math.isclose(found[0].parts[0].length, 100.0, abs_tol=1e-9)
