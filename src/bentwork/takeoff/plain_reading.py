"""The solids of a STEP file that can be read without the CAD kernel, looked at in processes of their own."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from bentwork.takeoff.document import solid_document
from bentwork.takeoff.face_table import faces_of
from bentwork.takeoff.shape import Shape
from bentwork.takeoff.standing import looked_at
from bentwork.takeoff.step_parts import shares_of, solids_in, taken_apart
from bentwork.takeoff.step_solids import plain_solids
from bentwork.takeoff.step_statements import statements_of
from bentwork.takeoff.volume import volumes_of
from bentwork.takeoff.written import Written

__all__ = ["read_plain"]

Fork = Callable[[Callable[[], int]], int]
Tell = Callable[[dict[str, Any]], None]


def read_plain(path: Path, files: Sequence[int], tells: Sequence[Tell], fork: Fork) -> int:
    """Look at the plain solids of a file, and write what is left of it for the kernel; return 0.

    Args:
        path: of the file.
        files: for the parts that are left.
        tells: what to tell answers to: the first ``parts``, how many files are written, 0 when the file is to be read
            as a whole; all of them ``solid``, where it was drawn, ``index`` its number among the file's.
        fork: runs something in a process of its own; one for every further place to tell to.
    """
    statements = statements_of(path.read_bytes())
    if statements is None:
        tells[0]({"parts": 0})
        return 0
    solids = solids_in(statements)
    shares = shares_of(solids.sizes, len(tells))
    here = np.zeros(len(shares), dtype=bool)

    def plain_of(share: int) -> tuple[list[int], list[tuple[Written, float] | None]]:
        own = (shares == share).nonzero()[0]
        return own.tolist(), _with_volumes(list(plain_solids(statements, solids.shells.of(own))))

    def help_out(share: int, into: int) -> int:
        numbers, found = plain_of(share)
        with os.fdopen(into, "wb") as out:
            out.write(bytes(one is not None for one in found))
        _look(numbers, found, tells[share])
        return 0

    helpers = []
    for share in range(1, len(tells)):
        out, into = os.pipe()
        helpers.append((fork(partial(help_out, share, into)), out))
        os.close(into)
    numbers, found = plain_of(0)
    here[numbers] = [one is not None for one in found]
    for share, (_, out) in enumerate(helpers, 1):
        with os.fdopen(out, "rb") as told:
            here[shares == share] = np.frombuffer(told.read(), np.uint8)
    parts = taken_apart(statements, solids, here, len(files))
    for file, pieces in zip(files, parts, strict=False):
        with open(file, "wb", closefd=False) as whole:
            whole.writelines(pieces)
    tells[0]({"parts": len(parts)})
    if parts:
        _look(numbers, found, tells[0])
        for process, _ in helpers:
            os.waitpid(process, 0)
    return 0


def _with_volumes(solids: Sequence[Written | None]) -> list[tuple[Written, float] | None]:
    """Return solids with their volumes, mm3; None for those that have none without an integral."""
    volumes = iter(volumes_of([(one.faces, one.edges) for one in solids if one is not None]))
    both = ((one, None if one is None else next(volumes)) for one in solids)
    return [None if one is None or volume is None else (one, volume) for one, volume in both]


def _look(numbers: Sequence[int], found: Sequence[tuple[Written, float] | None], tell: Tell) -> None:
    for number, one in zip(numbers, found, strict=True):
        if one is not None:
            try:
                drawn = looked_at(partial(_shape, *one))
            except MemoryError:
                tell({"error": "memory"})
                return
            tell({"solid": {**solid_document(drawn), "index": number}})


def _shape(solid: Written, volume: float) -> Shape:
    return Shape(faces_of(solid.faces), lambda: solid.edges, lambda: volume)
