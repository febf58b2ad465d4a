"""Surface and mass of bent bars against the solid's own, by an independent geometry kernel (OCP).

Each solid is put together from the kernel's cylinders and pieces of tori, or from boxes and revolved rectangles: their
faces are analytic, so that area and volume are the kernel's integrals and owe nothing to our formulas.
"""

from __future__ import annotations

import math

import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from bentwork.files.job_file import parse_job
from bentwork.jobs.buying import buying
from bentwork.jobs.consumed import piece_surface
from bentwork.jobs.work import work
from bentwork.parts.consumables import Weld

ROUND = """\
format = 1
[stock.rod]
section = "round"
diameter = 12
material = "S235"
[piece.hook]
stock = "rod"
straights = [100, 250, 80]
bends = [[50, 90, 0], [40, 60, 45]]
"""
FLAT = """\
format = 1
[stock.strap]
section = "flat"
width = 30
height = 4
material = "S235"
[piece.bracket]
stock = "strap"
straights = [60, 100, 60]
bends = [[10, 90, 0], [10, 90, 0]]
"""


def _area(shape: TopoDS_Shape) -> float:
    props = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, props, 1e-12)
    return float(props.Mass())


def _volume(shape: TopoDS_Shape) -> float:
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-12)
    return float(props.Mass())


def _rods() -> list[TopoDS_Shape]:
    axis = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
    straight = [BRepPrimAPI_MakeCylinder(axis, 6.0, length).Shape() for length in (100.0, 250.0, 80.0)]
    bent = [
        BRepPrimAPI_MakeTorus(axis, radius, 6.0, math.radians(turn)).Shape()
        for radius, turn in ((50.0, 90.0), (40.0, 60.0))
    ]
    return [*straight, *bent]


def _straps() -> list[TopoDS_Shape]:
    straight = [BRepPrimAPI_MakeBox(length, 30.0, 4.0).Shape() for length in (60.0, 100.0, 60.0)]
    outline = BRepBuilderAPI_MakePolygon()
    for x, y in ((8.0, 0.0), (12.0, 0.0), (12.0, 30.0), (8.0, 30.0)):
        outline.Add(gp_Pnt(x, y, 0.0))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    upright = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))
    bent = [BRepPrimAPI_MakeRevol(face, upright, math.pi / 2.0).Shape() for _ in range(2)]
    return [*straight, *bent]


@pytest.mark.parametrize(("text", "parts", "end"), [(ROUND, _rods, math.pi * 36.0), (FLAT, _straps, 120.0)])
def test_surface_and_mass(text: str, parts: object, end: float) -> None:
    assert callable(parts)
    solids = parts()
    # Where parts meet, both their ends lie inside: all ends but two come off.
    outside = sum(_area(solid) for solid in solids) - (2 * len(solids) - 2) * end
    volume = sum(_volume(solid) for solid in solids)
    result = work(parse_job(text.encode(), "hook.toml"))
    (plan,) = result.pieces
    assert piece_surface(plan) * 1e6 == pytest.approx(outside, rel=1e-6)
    bought = buying(result)
    assert bought.surface * 1e6 == pytest.approx(outside, rel=1e-6)
    assert bought.mass == pytest.approx(volume * 7850.0 * 1e-9, rel=1e-6)


def test_weld_metal_of_a_fillet_round_a_rod() -> None:
    """A fillet of throat a round a rod on a plate, as a revolved right triangle of legs a sqrt 2.

    Reckoned along the rod's outline it is a little less than the solid: its middle lies further out. With a fifth on
    top for what is laid on too much the reckoned metal covers it.
    """
    throat, radius = 2.0, 10.0
    leg = throat * math.sqrt(2.0)
    outline = BRepBuilderAPI_MakePolygon()
    for x, z in ((radius, 0.0), (radius + leg, 0.0), (radius, leg)):
        outline.Add(gp_Pnt(x, 0.0, z))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    solid = BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), 2.0 * math.pi).Shape()
    weld = Weld("rod on plate", 2.0 * math.pi * radius, throat, 7850.0)
    metal = _volume(solid) * 7850.0 * 1e-9
    assert weld.mass / 1.2 < metal < weld.mass
    # The triangle's middle lies a third of the leg outside the rod (Pappus).
    assert metal == pytest.approx(weld.mass / 1.2 * (1.0 + leg / 3.0 / radius), rel=1e-6)
