"""From the bodies of a model to what they are, one answer each; what was drawn once is looked at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from bentwork.takeoff.bar import Solid
from bentwork.takeoff.document import solid_document
from bentwork.takeoff.kernel import Body
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.lines import bars_of_wire
from bentwork.takeoff.standing import looked_at, other, standing

__all__ = ["read_bodies"]

LOST = (
    "the file has this solid, but the CAD kernel makes nothing of it: something of it is missing, or no part of the "
    "model has it. Export it again."
)


def read_bodies(bodies: Sequence[Body], first: int, say: Callable[[dict[str, Any]], None]) -> None:
    """Answer ``at`` before and ``solid`` after each body from number ``first`` on."""
    known: dict[int, Solid] = {}
    for index, body in enumerate(bodies, 1):
        if index < first:
            continue
        say({"at": index})
        if body.drawn not in known:
            known[body.drawn] = _drawn(body)
        say({"solid": solid_document(standing(known[body.drawn], body.name, body.move, index))})


def _drawn(body: Body) -> Solid:
    if body.kind == "sheet":
        return other("surfaces only: they close no solid. Save solids from the CAD program.")
    if body.kind == "lost":
        return other(LOST)
    if body.kind == "wire":
        return looked_at(lambda: shape_of(body.shape), bars_of_wire)
    return looked_at(lambda: shape_of(body.shape, body.known))
