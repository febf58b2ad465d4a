"""Solids that stand in a STEP file and of which the CAD kernel makes nothing, without a word."""

from __future__ import annotations

import mmap
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.StepShape import StepShape_ManifoldSolidBrep
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.kernel import Body
from bentwork.takeoff.placing import Move

__all__ = ["lost_solids", "solids_named"]

_SOLID = (b"MANIFOLD_SOLID_BREP", b"BREP_WITH_VOIDS", b"FACETED_BREP")


def lost_solids(reader: STEPCAFControl_Reader, path: Path, found: Sequence[Body]) -> list[Body]:
    """Return a body without a shape, of the kind ``lost``, for every solid of the file that came to nothing.

    What the kernel made faces of that close nothing is told as these.

    Args:
        reader: that has read the file.
        path: of the file.
        found: what the kernel made of it.
    """
    made = len({body.drawn for body in found if body.kind in ("solid", "sheet")})
    if solids_named(path) <= made:
        return []
    # Words may stand in names too, and twice for one solid: the kernel's own list of entities is slower, and sure.
    model = reader.ChangeReader().WS().Model()
    solids = sum(isinstance(model.Value(k), StepShape_ManifoldSolidBrep) for k in range(1, model.NbEntities() + 1))
    stays = Move(np.eye(3), np.zeros(3))
    return [Body("lost", "", TopoDS_Shape(), stays, -1) for _ in range(solids - made)]


def solids_named(path: Path) -> int:
    """Return how often a file has a word for a solid."""
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as text:
        return sum(_count(text, word) for word in _SOLID)


def _count(text: mmap.mmap, word: bytes) -> int:
    count, at = 0, text.find(word)
    while at >= 0:
        count, at = count + 1, text.find(word, at + len(word))
    return count
