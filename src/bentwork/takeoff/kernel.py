"""What stands where in a STEP file; only the modules called ``kernel`` and ``kernel_...`` know the CAD kernel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

import numpy as np
import OCP.collections as stores
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Trsf
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from bentwork.takeoff.kernel_mend import build_alone, mended
from bentwork.takeoff.kernel_whole import written
from bentwork.takeoff.placing import Move
from bentwork.takeoff.step_parts import ring_of
from bentwork.takeoff.written import Written

__all__ = ["Body", "ModelError", "bodies", "file_units", "open_model"]


_SOLID, _SHELL, _FACE, _EDGE = (
    TopAbs_ShapeEnum.TopAbs_SOLID,
    TopAbs_ShapeEnum.TopAbs_SHELL,
    TopAbs_ShapeEnum.TopAbs_FACE,
    TopAbs_ShapeEnum.TopAbs_EDGE,
)
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher


class ModelError(Exception):
    """The kernel could not make anything of the file; the text says why."""


@dataclass(frozen=True, slots=True)
class Body:
    """One solid, sheet or wire where it stands in the model.

    Args:
        kind: ``solid``, ``sheet`` (faces that close nothing), ``wire``, ``lost`` (nothing is left of a solid) or
            ``elsewhere`` (another part of the file has it).
        name: given in the model; empty when there is none.
        shape: of the kernel, where it was drawn.
        move: from where it was drawn to where it stands.
        drawn: the same number for every instance of one drawn body.
        known: faces and edges of a solid that nothing had to be mended of.
        place: in the order of the model, of what the file has; mended, that may be several bodies.
        solid: of the kind ``elsewhere``: which of the file's solids it is; -1 when that is not known.
    """

    kind: str
    name: str
    shape: TopoDS_Shape
    move: Move
    drawn: int = 0
    known: Written | None = None
    place: int = 0
    solid: int = -1


class _Part(NamedTuple):
    """Kind and shape of a body, and what is known of it, as in ``Body``."""

    kind: str
    shape: TopoDS_Shape
    known: Written | None = None
    solid: int = -1


def open_model(path: Path) -> tuple[STEPCAFControl_Reader, int]:
    """Parse a STEP file; returns the reader and the number of its roots.

    Raises:
        ModelError: it cannot be parsed, or there is nothing in it.
    """
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(False)
    reader.SetLayerMode(False)
    reader.SetGDTMode(False)
    reader.SetPropsMode(False)
    reader.SetMatMode(False)
    reader.SetViewMode(False)
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise ModelError("entities that break the rules of STEP")
    build_alone(reader)
    roots = int(reader.NbRootsForTransfer())
    if roots == 0:
        raise ModelError("no product and no shape")
    return reader, roots


def file_units(reader: STEPCAFControl_Reader) -> tuple[str, ...]:
    """Return the names of the file's units of length, as it spells them; empty when it names none."""
    lengths, angles, solid = (stores.Sequence_TCollection_AsciiString() for _ in range(3))
    reader.ChangeReader().FileUnits(lengths, angles, solid)
    return tuple(str(lengths.Value(k).ToCString()) for k in range(1, lengths.Length() + 1))


def bodies(reader: STEPCAFControl_Reader, part: int | None = None) -> list[Body]:
    """Return everything in the model in its order, every instance by itself; solids first.

    Args:
        reader: that has parsed the file.
        part: which part of a file that was taken apart it is; the first answers for all that is no solid.

    Raises:
        ModelError: the shapes of the file cannot be built.
    """
    document = TDocStd_Document(TCollection_ExtendedString("model"))
    if not reader.Transfer(document):
        raise ModelError("shapes that cannot be built")
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = stores.Sequence_TDF_Label()
    tool.GetFreeShapes(labels)
    found: list[Body] = []
    parts = _Parts(part)
    for k in range(1, labels.Length() + 1):
        _walk(labels.Value(k), gp_Trsf(), "", found, parts, 0)
    # The document owns the shapes: it must outlive them.
    found.sort(key=lambda body: body.kind != "solid")
    _KEPT.append(document)
    drawn = _Map()
    return [replace(body, drawn=int(drawn.Add(body.shape))) for body in found]


_KEPT: list[TDocStd_Document] = []

MOST_BODIES = 50_000
"""Instances inside instances multiply: a small file may hold more of them than any memory."""
MOST_DEEP = 64
"""Assemblies inside one another."""


class _Parts:
    """What shapes fall into, each looked at once however often it stands in the model."""

    def __init__(self, part: int | None) -> None:
        self._part, self._seen, self._parts = part, _Map(), list[list[list[_Part]]]()

    def of(self, shape: TopoDS_Shape) -> list[list[_Part]]:
        """Return solids, sheets and wires of a shape, and what each becomes when it has to be mended."""
        number = self._seen.Add(shape)
        if number > len(self._parts):
            self._parts.append(list(_right_or_mended(shape, self._part)))
        return self._parts[number - 1]


def _walk(label: TDF_Label, placed: gp_Trsf, name: str, found: list[Body], parts: _Parts, depth: int) -> None:
    """Gather the bodies below a label of the model's tree."""
    if depth > MOST_DEEP:
        raise ModelError("assemblies inside one another without end")
    if len(found) > MOST_BODIES:
        raise ModelError(f"assemblies inside one another with more than {MOST_BODIES} solids")
    own = _name(label) or name
    if XCAFDoc_ShapeTool.IsAssembly_s(label):
        inside = stores.Sequence_TDF_Label()
        XCAFDoc_ShapeTool.GetComponents_s(label, inside, False)
        for k in range(1, inside.Length() + 1):
            part = inside.Value(k)
            referred = TDF_Label()
            if not XCAFDoc_ShapeTool.GetReferredShape_s(part, referred):
                continue
            moved = placed.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(part).Transformation())
            called = _name(part)
            inner = _name(referred)
            # "=>[0:1:1:2]" and the like are the kernel's own names for parts that have none.
            _walk(referred, moved, inner or called or own, found, parts, depth + 1)
        return
    shape = XCAFDoc_ShapeTool.GetShape_s(label)
    if not shape.IsNull():
        for place, those in enumerate(parts.of(shape), found[-1].place + 1 if found else 0):
            found.extend(_body(one, own, placed, place) for one in those)


def _name(label: TDF_Label) -> str:
    """Return the name of a part; what the kernel called one that has none is no name."""
    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    text = str(attribute.Get().ToExtString())
    return "" if text.startswith(("=>", "Open CASCADE")) else "".join(c for c in text if c.isprintable())[:120].strip()


def _right_or_mended(shape: TopoDS_Shape, part: int | None) -> Iterator[list[_Part]]:
    solids = TopExp_Explorer(shape, _SOLID)
    while solids.More():
        solid = solids.Current()
        if part is not None and (stands := _stands_for(solid)) is not None:
            yield [_Part("elsewhere", solid, solid=stands)]
        else:
            known = written(solid)
            right = known is not None and known.right
            yield [_Part("solid", solid, known)] if right else list(_split(mended(solid)))
        solids.Next()
    for wanted, avoid in ((_SHELL, _SOLID), (_FACE, _SHELL)):
        sheets = TopExp_Explorer(shape, wanted, avoid)
        while sheets.More():
            sheet = sheets.Current()
            yield [_Part("elsewhere", sheet)] if part else list(_split(mended(sheet)))
            sheets.Next()
    if TopExp_Explorer(shape, _EDGE, _FACE).More():
        yield [_Part("elsewhere", shape) if part else _Part("wire", mended(shape))]


def _stands_for(solid: TopoDS_Shape) -> int | None:
    """Return which solid of the file a ring stands for, -1 for none that is there; None for a solid itself."""
    faces = TopExp_Explorer(solid, _FACE)
    if not faces.More():
        return -1
    surface = BRepAdaptor_Surface(TopoDS.Face(faces.Current()), False)
    if TopExp_Explorer(solid, _EDGE).More() or surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Torus:
        return None
    ring = surface.Torus()
    found = ring_of(float(ring.MajorRadius() / ring.MinorRadius()))
    return found if found >= 0 else None


def _split(shape: TopoDS_Shape) -> Iterator[_Part]:
    for kind, explorer in (
        ("solid", TopExp_Explorer(shape, _SOLID)),
        ("sheet", TopExp_Explorer(shape, _SHELL, _SOLID)),
        ("sheet", TopExp_Explorer(shape, _FACE, _SHELL)),
    ):
        while explorer.More():
            yield _Part(kind, explorer.Current())
            explorer.Next()


def _body(part: _Part, name: str, placed: gp_Trsf, place: int) -> Body:
    own = part.shape.Location().Transformation()
    shape = part.shape.Located(TopLoc_Location(), False)
    return Body(part.kind, name, shape, _move(placed.Multiplied(own)), 0, part.known, place, part.solid)


def _move(trsf: gp_Trsf) -> Move:
    rows = [[float(trsf.Value(i, j)) for j in range(1, 5)] for i in range(1, 4)]
    matrix = np.array(rows)
    return Move(matrix[:, :3], matrix[:, 3])
