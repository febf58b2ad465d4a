"""Solids out of the text of a file for the take-off's benchmarks, as the take-off reads plain ones."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

from _takeoff_bodies import write
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.face_table import faces_of
from bentwork.takeoff.shape import Shape
from bentwork.takeoff.step_parts import solids_in
from bentwork.takeoff.step_solids import plain_solids
from bentwork.takeoff.step_statements import statements_of
from bentwork.takeoff.volume import volume_of
from bentwork.takeoff.written import Written

__all__ = ["by_text"]


def by_text(shapes: Sequence[TopoDS_Shape]) -> Iterator[Callable[[], Shape] | None]:
    """Yield what gives each solid, its faces and edges put in tables before; None for one that the kernel must read."""
    for shape in shapes:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "solid.step"
            write(path, [shape])
            statements = statements_of(path.read_bytes())
        assert statements is not None
        found = list(plain_solids(statements, solids_in(statements).shells))
        solid = found[0] if len(found) == 1 else None
        plain = solid is not None and volume_of(solid.faces, solid.edges) is not None
        yield partial(_shape, solid) if solid is not None and plain else None


def _shape(solid: Written) -> Shape:
    volume = volume_of(solid.faces, solid.edges)
    assert volume is not None
    return Shape(faces_of(solid.faces), lambda: solid.edges, lambda: volume)
