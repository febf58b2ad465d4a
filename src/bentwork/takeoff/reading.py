"""From the bodies of a model to what they are, one answer each; what was drawn once is looked at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from bentwork.piece.bend import half_turn
from bentwork.takeoff.alike import one_way
from bentwork.takeoff.bar import Bar, Solid
from bentwork.takeoff.document import solid_document
from bentwork.takeoff.kernel import Body
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.lines import bars_of_wire
from bentwork.takeoff.placing import Move
from bentwork.takeoff.recognise import Verdict, recognise

__all__ = ["read_bodies"]

LOST = (
    "the file has this solid, but the CAD kernel makes nothing of it: something of it is missing, or no part of the "
    "model has it. Export it again."
)


def read_bodies(bodies: Sequence[Body], first: int, say: Callable[[dict[str, Any]], None]) -> None:
    """Answer ``at`` before and ``solid`` after each body from number ``first`` on."""
    known: dict[int, Verdict] = {}
    for index, body in enumerate(bodies, 1):
        if index < first:
            continue
        say({"at": index})
        if body.drawn not in known:
            known[body.drawn] = _verdict(body)
        verdict = known[body.drawn]
        if abs(body.move.scale - 1.0) > 1e-9:
            size = f"{body.move.scale:.4g}"
            verdict = Verdict(
                "other", (), f"an instance {size} times as large as it was drawn: draw it in its size", 0.0
            )
        say({"solid": solid_document(_stands(verdict, body, index))})


def _verdict(body: Body) -> Verdict:
    try:
        if body.kind == "sheet":
            return Verdict("other", (), "surfaces only: they close no solid. Save solids from the CAD program.", 0.0)
        if body.kind == "lost":
            return Verdict("other", (), LOST, 0.0)
        if body.kind == "wire":
            return bars_of_wire(shape_of(body.shape))
        return recognise(shape_of(body.shape, body.known))
    except MemoryError:
        raise
    except Exception as error:  # one broken solid does not keep the others from being read
        return Verdict("other", (), f"it could not be read ({type(error).__name__}): mend the model", 0.0)


def _stands(verdict: Verdict, body: Body, index: int) -> Solid:
    bars = tuple(one_way(_placed(bar, body.move)) for bar in verdict.bars)
    return Solid(index, body.name, verdict.kind, bars, verdict.reason, verdict.volume)


def _placed(bar: Bar, move: Move) -> Bar:
    if move.stands_still:
        return bar
    holes, (a, b) = bar.holes, bar.ends
    if move.mirrors:
        holes = tuple(replace(h, round=(-h.round) % 180.0 if h.through else half_turn(-h.round)) for h in holes)
        a, b = a.turned(-1.0), b.turned(-1.0)
    return replace(bar, line=move.line(bar.line), holes=holes, ends=(a, b))
