"""Cuts by the CAD kernel: holes and slots drilled through a solid, its ends cut to sit on other bars, tabs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

__all__ = ["tab_shape", "tool", "without"]

Numbers = Any  # lists of floats, as they come out of JSON


def without(shape: TopoDS_Shape, taken: TopoDS_Shape) -> TopoDS_Shape:
    """Return what is left of a solid; an empty shape where nothing is.

    Raises:
        ValueError: the kernel cannot do it.
    """
    cut = BRepAlgoAPI_Cut(shape, taken)
    if not cut.IsDone():
        raise ValueError("the kernel cannot cut it")
    return cut.Shape()


def tool(cut: Mapping[str, Any], far: float) -> TopoDS_Shape:
    """Return what a cut takes away as a solid.

    Args:
        cut: a bore (``middle``, ``axis``, ``reach``, ``diameter``, ``slot``) or a sawn end (``origin``, ``ways``,
            ``edges``, ``within``), see ``models.cuts``.
        far: beyond this nothing is to be cut, mm.
    """
    if "axis" in cut:
        return _bore(cut)
    sawn = _sawn(cut, far)
    if cut["within"] is None:
        return sawn
    kept = BRepAlgoAPI_Common(sawn, _block(cut["within"]))
    if not kept.IsDone():
        raise ValueError("the kernel cannot cut it")
    return kept.Shape()


def tab_shape(part: Mapping[str, Any]) -> TopoDS_Shape:
    """Return a tab.

    Args:
        part: ``corners`` (x, y) of its outline, ``round`` (x, y) of its outer end or None, ``hole`` (diameter),
            ``at`` (middle of its hole, mm), ``ways`` (x, y and the bolt), ``thickness``.
    """
    x, y, bolt = part["ways"]
    low = _off(part["at"], bolt, -part["thickness"] / 2.0)
    corners = [_at(low, x, y, *corner) for corner in part["corners"]]
    wire = BRepBuilderAPI_MakeWire()
    for one, other in pairwise(corners):
        wire.Add(BRepBuilderAPI_MakeEdge(one, other).Edge())
    if part["round"] is None:
        wire.Add(BRepBuilderAPI_MakeEdge(corners[-1], corners[0]).Edge())
    else:
        arc = GC_MakeArcOfCircle(corners[-1], _at(low, x, y, *part["round"]), corners[0]).Value()
        wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    body = _prism(BRepBuilderAPI_MakeFace(wire.Wire(), True).Face(), bolt, part["thickness"])
    hole = {
        "middle": part["at"],
        "axis": bolt,
        "reach": part["thickness"],
        "diameter": part["hole"],
        "slot": (0.0, 0.0, 0.0),
    }
    return without(body, _bore(hole))


def _bore(cut: Mapping[str, Any]) -> TopoDS_Shape:
    axis, slot, radius = cut["axis"], cut["slot"], cut["diameter"] / 2.0
    low = _off(cut["middle"], axis, -cut["reach"])
    half = math.hypot(*slot)
    wire = BRepBuilderAPI_MakeWire()
    if half == 0.0:
        circle = gp_Circ(gp_Ax2(gp_Pnt(*low), gp_Dir(*axis)), radius)
        wire.Add(BRepBuilderAPI_MakeEdge(circle).Edge())
    else:
        x = [c / half for c in slot]
        y = _cross(axis, x)
        ends = [_at(low, x, y, sign * half, sign * side * radius) for sign in (1.0, -1.0) for side in (-1.0, 1.0)]
        for k, sign in ((0, 1.0), (2, -1.0)):
            arc = GC_MakeArcOfCircle(ends[k], _at(low, x, y, sign * (half + radius), 0.0), ends[k + 1]).Value()
            wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
            wire.Add(BRepBuilderAPI_MakeEdge(ends[k + 1], ends[(k + 2) % 4]).Edge())
    return _prism(BRepBuilderAPI_MakeFace(wire.Wire(), True).Face(), axis, 2.0 * cut["reach"])


def _sawn(cut: Mapping[str, Any], far: float) -> TopoDS_Shape:
    """Everything below the line, out to where nothing is left to cut."""
    ahead, across, up = cut["ways"]
    start = _off(cut["origin"], ahead, -far)
    edges = cut["edges"]
    line: list[tuple[Numbers, Numbers, Numbers]] = []
    here: Numbers = (-far, 0.0)
    for edge in edges:
        foot = (edge["start"][0], 0.0)
        line += [(here, foot, None), (foot, edge["start"], None)] if edge is edges[0] else []
        line.append((edge["start"], edge["end"], edge["via"]))
        here = edge["end"]
    if edges:
        line.append((here, (here[0], 0.0), None))
        here = (here[0], 0.0)
    line += [(here, (far, 0.0), None), ((far, 0.0), (far, -far), None)]
    line += [((far, -far), (-far, -far), None), ((-far, -far), (-far, 0.0), None)]
    wire = BRepBuilderAPI_MakeWire()
    for one, other, via in line:
        if math.dist(one, other) < 1e-7:
            continue
        ends = _at(start, across, up, *one), _at(start, across, up, *other)
        if via is None:
            wire.Add(BRepBuilderAPI_MakeEdge(*ends).Edge())
        else:
            arc = GC_MakeArcOfCircle(ends[0], _at(start, across, up, *via), ends[1]).Value()
            wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    return _prism(_face(wire.Wire()), ahead, 2.0 * far)


def _block(block: Mapping[str, Any]) -> TopoDS_Shape:
    way, wide, high = block["ways"]
    length, across, up = block["sizes"]
    corners = [(x * across / 2.0, y * up / 2.0) for x, y in ((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))]
    wire = BRepBuilderAPI_MakeWire()
    for one, other in pairwise((*corners, corners[0])):
        ends = _at(block["start"], wide, high, *one), _at(block["start"], wide, high, *other)
        wire.Add(BRepBuilderAPI_MakeEdge(*ends).Edge())
    return _prism(_face(wire.Wire()), way, length)


def _face(wire: TopoDS_Wire) -> TopoDS_Face:
    return BRepBuilderAPI_MakeFace(TopoDS.Wire(wire), True).Face()


def _prism(face: TopoDS_Face, way: Numbers, length: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakePrism(face, gp_Vec(*(c * length for c in way))).Shape()


def _at(origin: Numbers, x: Numbers, y: Numbers, along: float, beside: float) -> gp_Pnt:
    return gp_Pnt(*(o + along * a + beside * b for o, a, b in zip(origin, x, y, strict=True)))


def _off(origin: Numbers, way: Numbers, by: float) -> list[float]:
    return [o + by * c for o, c in zip(origin, way, strict=True)]


def _cross(a: Numbers, b: Numbers) -> list[float]:
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
