"""Mending of what the CAD kernel reads: seams, directions, tolerances, curves among the parameters of faces.

The kernel mends every shape that it reads, which takes several times as long as building it. Here it builds alone, and
mends only what is not right as the file has it.
"""

from __future__ import annotations

from contextlib import suppress

import OCP.collections as stores
from OCP.ShapeFix import ShapeFix_Shape
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_AsciiString
from OCP.TopoDS import TopoDS_Shape

__all__ = ["build_alone", "mended"]

_WHOLE = ("FixSolidMode", "FixFreeShellMode", "FixFreeFaceMode", "FixFreeWireMode")
_AFTER = ("FixSameParameterMode", "FixVertexToleranceMode", "FixVertexPositionMode")

PRECISION, LEAST, MOST = 1e-6, 1e-7, 1.0
"""What the kernel mends to by itself when it reads STEP, and the tolerances that it gives, mm."""


def build_alone(reader: STEPCAFControl_Reader) -> None:
    """Let a reader mend nothing; it must have parsed its file, or it forgets."""
    wanted = stores.DataMap_TCollection_AsciiString_TCollection_AsciiString()
    for step in _WHOLE + _AFTER:
        wanted.Bind(TCollection_AsciiString(f"FixShape.{step}"), TCollection_AsciiString("0"))
    reader.SetShapeFixParameters(wanted)


def mended(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return a shape as the kernel mends it when it reads STEP; as it was where that fails."""
    mender = ShapeFix_Shape()
    mender.SetPrecision(PRECISION)
    mender.SetMinTolerance(LEAST)
    mender.SetMaxTolerance(MOST)
    mender.FixSolidTool().CreateOpenSolidMode = False
    mender.FixWireTool().FixSameParameterMode = 0
    with suppress(Exception):  # whatever the kernel throws: what it is not mended for is told later
        mender.Init(shape)
        mender.Perform()
        return mender.Shape()
    return shape
