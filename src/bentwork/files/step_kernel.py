"""What the CAD kernel does for us: exact solids of bent bars, cut as they are made, and STEP files of them.

Every straight is a prism and every bend a turn of the section, so that all faces are planes, cylinders, cones or tori;
holes are cylinders, ends are cut by planes and cylinders, and only a tube that is pressed flat has other faces.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.ShapeFix import ShapeFix_Solid
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Face, TopoDS_Shape, TopoDS_Wire
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from bentwork.files.step_kernel_cuts import tab_shape, tool, without
from bentwork.files.step_kernel_pressed import pressed_faces

__all__ = ["KernelError", "cut", "solid", "tab", "write_step"]

_TOLERANCE = 1e-6  # mm, for sewing faces that were made to meet
_SAME_VOLUME = 1e-6
_MISSED = 1e-10  # of the volume
_LONGEST_NAME = 64


class KernelError(Exception):
    """The kernel could not make a solid or a file; the text says what went wrong."""


def solid(part: Mapping[str, Any]) -> TopoDS_Shape:
    """Return one bent bar as a solid.

    Args:
        part: ``outlines`` (width, height and corner radius of the outside and of a tube's inside), ``stretches``
            (origin, tangent, wide, high, length and for bends centre, axis and angle in rad), ``ring``, ``volume``,
            ``pressed`` (ends pressed flat, with tip and out; the stretches end where they begin).

    Raises:
        KernelError: no sound solid of this volume comes out.
    """
    stretches = part["stretches"]
    pressed = {one["end"] for one in part["pressed"]}
    sewing = BRepBuilderAPI_Sewing(_TOLERANCE)
    for number, stretch in enumerate(stretches):
        face = _profile(stretch, part["outlines"])
        swept = _swept(stretch, face)
        drop = []
        if number or part["ring"] or 0 in pressed:
            drop.append(swept.FirstShape())
        if number < len(stretches) - 1 or part["ring"] or 1 in pressed:
            drop.append(swept.LastShape())
        explorer = TopExp_Explorer(swept.Shape(), TopAbs_ShapeEnum.TopAbs_FACE)
        while explorer.More():
            if not any(explorer.Current().IsSame(cap) for cap in drop):
                sewing.Add(explorer.Current())
            explorer.Next()
    for one in part["pressed"]:
        for face in pressed_faces(one, one["tip"], one["out"], *(width for width, _, _ in part["outlines"])):
            sewing.Add(face)
    sewing.Perform()
    made = BRepBuilderAPI_MakeSolid()
    shells = TopExp_Explorer(sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_SHELL)
    while shells.More():
        made.Add(TopoDS.Shell(shells.Current()))
        shells.Next()
    if not made.IsDone():
        raise KernelError("its faces do not close")
    fixing = ShapeFix_Solid(made.Solid())
    fixing.Perform()
    found = _sound(fixing.Solid())
    volume = _volume(found)
    if abs(volume - part["volume"]) > _SAME_VOLUME * part["volume"]:
        raise KernelError(f"the solid comes to {volume:.6g} mm3 and should come to {part['volume']:.6g}")
    return found


def cut(shape: TopoDS_Shape, taken: Mapping[str, Any], far: float) -> TopoDS_Shape:
    """Return a solid without a hole, or with an end cut; itself where the cut misses it.

    Args:
        shape: the solid.
        taken: the cut, see ``models.cuts``.
        far: beyond this nothing is to be cut, mm.

    Raises:
        KernelError: no single sound solid is left.
    """
    before = _volume(shape)
    left = _sound(without(shape, tool(taken, far)))
    volume = _volume(left)
    if abs(volume - before) <= _MISSED * before:
        return shape
    if not 0.0 < volume < before:
        raise KernelError("cut, it would have more metal than before")
    return left


def tab(part: Mapping[str, Any]) -> TopoDS_Shape:
    """Return a tab as a solid, see ``tab_shape``.

    Raises:
        KernelError: no sound solid comes out.
    """
    return _sound(tab_shape(part))


def write_step(
    path: Path, title: str, stamp: str, standing: Sequence[tuple[TopoDS_Shape, str, Sequence[Sequence[Any]]]]
) -> None:
    """Write a STEP file in millimetres, one product for each solid.

    Args:
        path: of the file.
        title: of the model; it names the assembly where there is one.
        stamp: date and time, as ISO 8601 writes them.
        standing: each solid, its name, and of every copy the name and the shift in x, y and z. A single solid with a
            single copy at its own place is written by itself, everything else as an assembly.

    Raises:
        KernelError: the kernel cannot write it.
    """
    document = TDocStd_Document(TCollection_ExtendedString("bentwork"))
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    alone = len(standing) == 1 and [list(copy[1]) for copy in standing[0][2]] == [[0.0, 0.0, 0.0]]
    if alone:
        _call(tool.AddShape(standing[0][0], False), standing[0][1])
    else:
        empty = TopoDS_Compound()
        BRep_Builder().MakeCompound(empty)
        frame = tool.AddShape(empty, True)
        _call(frame, title)
        for shape, name, copies in standing:
            product = tool.AddShape(shape, False)
            _call(product, name)
            for called, shift in copies:
                moved = gp_Trsf()
                moved.SetTranslation(gp_Vec(*shift))
                _call(tool.AddComponent(frame, product, TopLoc_Location(moved)), called)
        tool.UpdateAssemblies()
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document):
        raise KernelError("the model cannot be turned into STEP")
    header = APIHeaderSection_MakeHeader(writer.ChangeWriter().Model())
    header.SetName(TCollection_HAsciiString(_spelt(title)))
    header.SetTimeStamp(TCollection_HAsciiString(stamp))
    header.SetAuthorValue(1, TCollection_HAsciiString(""))
    header.SetOriginatingSystem(TCollection_HAsciiString("bentwork"))
    if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise KernelError("the STEP file cannot be written")


def _call(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(_spelt(name)))


def _spelt(name: str) -> str:
    """Spell a name in the letters of STEP, others by their codes (ISO 10303-21, 6.4.3); the kernel passes those on.

    The kernel breaks what is longer than a line, codes too, and then nobody can read them: such a name is cut.
    """
    spelt = ""
    for letter in name:
        more = letter if " " <= letter <= "~" else _code(letter)
        if len(spelt) + len(more) > _LONGEST_NAME:
            break
        spelt += more
    return spelt


def _code(letter: str) -> str:
    code = ord(letter)
    return f"\\X2\\{code:04X}\\X0\\" if code < 0x10000 else f"\\X4\\{code:08X}\\X0\\"


def _swept(stretch: Mapping[str, Any], face: TopoDS_Face) -> BRepPrimAPI_MakePrism | BRepPrimAPI_MakeRevol:
    if "axis" not in stretch:
        return BRepPrimAPI_MakePrism(face, gp_Vec(*(c * stretch["length"] for c in stretch["tangent"])))
    turned = gp_Ax1(gp_Pnt(*stretch["centre"]), gp_Dir(*stretch["axis"]))
    return BRepPrimAPI_MakeRevol(face, turned, stretch["angle"])


def _profile(stretch: Mapping[str, Any], outlines: Sequence[Sequence[float]]) -> TopoDS_Face:
    wires = [_outline(stretch, *outline) for outline in outlines]
    made = BRepBuilderAPI_MakeFace(wires[0], True)
    for hole in wires[1:]:
        made.Add(TopoDS.Wire(hole.Reversed()))
    return made.Face()


def _outline(stretch: Mapping[str, Any], width: float, height: float, radius: float) -> TopoDS_Wire:
    """A circle, or a rectangle whose corners are rounded or not, about the start of a stretch."""
    origin, wide, high = stretch["origin"], stretch["wide"], stretch["high"]
    wire = BRepBuilderAPI_MakeWire()
    w, h = width / 2.0 - radius, height / 2.0 - radius

    def at(across: float, up: float) -> gp_Pnt:
        return gp_Pnt(*(o + across * x + up * y for o, x, y in zip(origin, wide, high, strict=True)))

    if w == h == 0.0:
        axes = gp_Ax2(gp_Pnt(*origin), gp_Dir(*stretch["tangent"]), gp_Dir(*wide))
        wire.Add(BRepBuilderAPI_MakeEdge(gp_Circ(axes, radius)).Edge())
        return wire.Wire()
    corners = ((w, h), (-w, h), (-w, -h), (w, -h))

    def on(k: int, angle: float) -> gp_Pnt:
        across, up = corners[k % 4]
        turn = math.radians(angle + 90.0 * k)
        return at(across + radius * math.cos(turn), up + radius * math.sin(turn))

    for k in range(4):
        if radius > 0.0:
            arc = GC_MakeArcOfCircle(on(k, 0.0), on(k, 45.0), on(k, 90.0)).Value()
            wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
        if (w, h)[k % 2] > 0.0:  # of a side as round as it is wide nothing straight is left
            wire.Add(BRepBuilderAPI_MakeEdge(on(k, 90.0), on(k + 1, 0.0)).Edge())
    return wire.Wire()


def _sound(shape: TopoDS_Shape) -> TopoDS_Shape:
    found = _only_solid(shape)
    if not BRepCheck_Analyzer(found).IsValid():
        raise KernelError("its faces do not bound a sound solid")
    return found


def _only_solid(shape: TopoDS_Shape) -> TopoDS_Shape:
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    if not explorer.More():
        raise KernelError("its faces do not close")
    found = explorer.Current()
    explorer.Next()
    if explorer.More():
        raise KernelError("it falls into several solids")
    return found


def _volume(shape: TopoDS_Shape) -> float:
    measured = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, measured, 1e-9)
    return float(measured.Mass())
