"""Solids out of the text of a file for the take-off's benchmarks, as the take-off reads plain ones."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from _takeoff_bodies import write
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.face_table import faces_of
from bentwork.takeoff.shape import Shape
from bentwork.takeoff.step_parts import solids_in
from bentwork.takeoff.step_solids import plain_solids
from bentwork.takeoff.step_statements import statements_of
from bentwork.takeoff.volume import volumes_of
from bentwork.takeoff.written import Written

__all__ = ["by_text"]

TRIES = 5


def by_text(shapes: Sequence[TopoDS_Shape]) -> tuple[list[Callable[[], Shape] | None], float]:
    """Return what gives each solid, its faces and edges put in tables before; None for one that the kernel must read.

    Their volumes are reckoned all together, as those of a file are; what that takes for each, ms of processor, stands
    beside.
    """
    solids: list[Written | None] = []
    for shape in shapes:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "solid.step"
            write(path, [shape])
            statements = statements_of(path.read_bytes())
        assert statements is not None
        found = list(plain_solids(statements, solids_in(statements).shells))
        solids.append(found[0] if len(found) == 1 else None)
    own = [(one.faces, one.edges) for one in solids if one is not None]
    times = []
    for _ in range(TRIES):
        start = time.process_time()
        volumes = iter(volumes_of(own))
        times.append(1000.0 * (time.process_time() - start))
    reads: list[Callable[[], Shape] | None] = []
    for one in solids:
        volume = None if one is None else next(volumes)
        reads.append(None if one is None or volume is None else partial(_shape, one, volume))
    return reads, min(times) / max(1, len(own))


def _shape(solid: Written, volume: float) -> Shape:
    return Shape(faces_of(solid.faces), lambda: solid.edges, lambda: volume)
