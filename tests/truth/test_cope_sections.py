"""Copes against the CAD kernel: its own section of two cylinders (OpenCASCADE, BRepAlgoAPI_Section), and its own cut.

The kernel intersects the two surfaces numerically and knows nothing of our formula.
"""

from __future__ import annotations

import math

import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Section
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.parts.cope import Cope

# equal and unequal diameters, square and slanting, on and beside the middle line, tube and solid, wider than the other
CASES = [
    Cope(25.0, 21.0, 25.0, 90.0),
    Cope(25.0, 21.0, 25.0, 45.0),
    Cope(20.0, 17.0, 30.0, 90.0),
    Cope(20.0, 17.0, 30.0, 60.0, 3.0),
    Cope(16.0, 12.0, 33.7, 37.5, -6.5),
    Cope(12.0, 0.0, 12.0, 90.0),
    Cope(12.0, 0.0, 16.0, 52.0, 1.5),
    Cope(22.0, 18.0, 20.0, 70.0),
    Cope(20.0, 16.0, 25.0, 25.0, 4.0),
]
_LONG = 400.0


def _bars(cope: Cope, radius: float) -> tuple[TopoDS_Shape, TopoDS_Shape]:
    theta = math.radians(cope.angle)
    onto = BRepPrimAPI_MakeCylinder(
        gp_Ax2(gp_Pnt(-_LONG, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0)), cope.onto / 2.0, 2.0 * _LONG
    ).Shape()
    out = gp_Dir(math.cos(theta), 0.0, math.sin(theta))
    bar = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(0.0, cope.offset, 0.0), out), radius, _LONG).Shape()
    return onto, bar


def _section(cope: Cope, radius: float) -> list[tuple[float, float]]:
    """(turn, length) of points of the kernel's own section that lie on the coped bar's surface."""
    onto, bar = _bars(cope, radius)
    made = BRepAlgoAPI_Section(onto, bar)
    theta = math.radians(cope.angle)
    found = []
    edges = TopExp_Explorer(made.Shape(), TopAbs_EDGE)
    while edges.More():
        edge = TopoDS.Edge(edges.Current())
        if not BRep_Tool.Degenerated_s(edge):
            curve = BRepAdaptor_Curve(edge)
            low, high = curve.FirstParameter(), curve.LastParameter()
            for k in range(41):
                point = curve.Value(low + (high - low) * k / 40.0)
                x, y, z = point.X(), point.Y() - cope.offset, point.Z()
                length = x * math.cos(theta) + z * math.sin(theta)
                u = -x * math.sin(theta) + z * math.cos(theta)
                if z > -1e-9 and length > 1e-6 and abs(math.hypot(u, y) - radius) < 1e-4:  # near side, not its flat end
                    found.append((math.degrees(math.atan2(y, u)), length))
        edges.Next()
    return found


@pytest.mark.parametrize("cope", CASES, ids=lambda one: f"{one.outside:g}-{one.onto:g}-{one.angle:g}-{one.offset:g}")
def test_outer_edge_lies_on_the_kernels_section(cope: Cope) -> None:
    points = _section(cope, cope.outside / 2.0)
    assert len(points) > 30
    # The kernel's curve is approximated to about a micrometre; where both surfaces run level, that is a slope of many.
    assert max(abs(cope.outer(turn) - length) for turn, length in points) < 0.02
    assert sum(abs(cope.outer(turn) - length) < 1e-4 for turn, length in points) > 0.9 * len(points)


@pytest.mark.parametrize(
    "cope", [one for one in CASES if not one.solid], ids=lambda one: f"{one.outside:g}-{one.angle:g}"
)
def test_inner_edge_lies_on_the_kernels_section(cope: Cope) -> None:
    points = _section(cope, cope.bore / 2.0)
    assert len(points) > 30
    assert max(abs(cope.inner(turn) - length) for turn, length in points) < 0.02


def _volume(shape: TopoDS_Shape) -> float:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


@pytest.mark.parametrize(
    "cope", [one for one in CASES if not one.wider], ids=lambda one: f"{one.outside:g}-{one.angle:g}"
)
def test_longest_point_and_depth_are_those_of_the_kernels_cut(cope: Cope) -> None:
    """A solid bar, cut by the kernel: a slice just beyond the longest point is empty, one just inside is not."""
    onto, bar = _bars(cope, cope.outside / 2.0)
    left = BRepAlgoAPI_Cut(bar, onto).Shape()
    theta = math.radians(cope.angle)
    out = gp_Dir(math.cos(theta), 0.0, math.sin(theta))

    def metal(low: float, high: float) -> float:
        """Volume of what is left of the bar between two lengths."""
        start = gp_Pnt(low * math.cos(theta), cope.offset, low * math.sin(theta))
        slab = BRepPrimAPI_MakeCylinder(gp_Ax2(start, out), cope.outside, high - low).Shape()
        return _volume(BRepAlgoAPI_Common(left, slab).Shape())

    full = math.pi / 4.0 * cope.outside**2
    assert metal(max(cope.longest - 1.0, 0.0), cope.longest - 0.01) < 1e-6
    assert metal(cope.longest, cope.longest + 0.5) > 1e-4
    assert metal(cope.throat - 0.5, cope.throat) < 0.5 * full - 1e-3
    assert metal(cope.throat, cope.throat + 1.0) == pytest.approx(full, rel=1e-6)
