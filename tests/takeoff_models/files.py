"""STEP files of models: single solids by name, assemblies with instances, other units, rounded coordinates."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable
from pathlib import Path

from OCP.gp import gp_Trsf, gp_Vec
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

Instance = tuple[str, str, gp_Trsf]


def write_step(path: Path, named: Iterable[tuple[str, TopoDS_Shape]], unit: str = "MM") -> Path:
    """Write shapes one beside the other, each a product with its name."""

    def fill(tool: XCAFDoc_ShapeTool) -> None:
        for name, shape in named:
            _call(tool.AddShape(shape, False), name)

    return _write(path, fill, unit)


def write_assembly(path: Path, drawn: Iterable[tuple[str, TopoDS_Shape]], instances: Iterable[Instance]) -> Path:
    """Write an assembly inside another: instances are (name, what was drawn, where it stands)."""

    def fill(tool: XCAFDoc_ShapeTool) -> None:
        parts = {}
        for name, shape in drawn:
            parts[name] = tool.AddShape(shape, False)
            _call(parts[name], name)
        inner, outer = tool.NewShape(), tool.NewShape()
        _call(inner, "inner")
        _call(outer, "outer")
        for name, of, where in instances:
            _call(tool.AddComponent(inner, parts[of], TopLoc_Location(where)), name)
        shift = gp_Trsf()
        shift.SetTranslationPart(gp_Vec(5.0, 6.0, 7.0))
        _call(tool.AddComponent(outer, inner, TopLoc_Location(shift)), "inner again")
        tool.UpdateAssemblies()

    return _write(path, fill, "MM")


def write_nest(path: Path, drawn: TopoDS_Shape, levels: int, wide: int) -> Path:
    """Write assemblies inside one another, each of so many of the next: a small file of ``wide ** levels`` solids."""

    def fill(tool: XCAFDoc_ShapeTool) -> None:
        part = tool.AddShape(drawn, False)
        for level in range(levels):
            outer = tool.NewShape()
            _call(outer, f"level {level}")
            for k in range(wide):
                shift = gp_Trsf()
                shift.SetTranslationPart(gp_Vec(30.0 * k, 100.0 * level, 0.0))
                tool.AddComponent(outer, part, TopLoc_Location(shift))
            part = outer
        tool.UpdateAssemblies()

    return _write(path, fill, "MM")


def _call(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))


def _write(path: Path, fill: Callable[[XCAFDoc_ShapeTool], None], unit: str) -> Path:
    document = TDocStd_Document(TCollection_ExtendedString("models"))
    fill(XCAFDoc_DocumentTool.ShapeTool_s(document.Main()))
    # The kernel tells what it does on standard output, and remembers the unit for the whole process.
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        writer = STEPCAFControl_Writer()
        Interface_Static.SetCVal_s("write.step.unit", unit)
        assert writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
        assert writer.Write(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
    finally:
        Interface_Static.SetCVal_s("write.step.unit", "MM")
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
    return path


def rounded(path: Path, places: int = 3) -> Path:
    """Round the coordinates of every point of a STEP file."""

    def short(found: re.Match[str]) -> str:
        return found.group(1) + ",".join(f"{float(c):.{places}f}" for c in found.group(2).split(",")) + "))"

    text = path.read_text(encoding="latin-1")
    text = re.sub(r"(CARTESIAN_POINT\('[^']*',\()([^)]*)\)\)", short, text)
    path.write_text(text, encoding="latin-1")
    return path


def without_units(path: Path) -> Path:
    """Take the units out of a STEP file: every context becomes one without any."""
    text = path.read_text(encoding="latin-1")
    text = re.sub(r"GLOBAL_UNIT_ASSIGNED_CONTEXT\s*\(\([^)]*\)\)", "", text)
    path.write_text(text, encoding="latin-1")
    return path
