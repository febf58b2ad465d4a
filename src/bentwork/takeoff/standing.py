"""Solids as they were drawn, and where they stand in a model."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bentwork.piece.bend import half_turn
from bentwork.takeoff.alike import one_way
from bentwork.takeoff.bar import Bar, Solid
from bentwork.takeoff.placing import Move
from bentwork.takeoff.recognise import Verdict, recognise
from bentwork.takeoff.shape import Shape

__all__ = ["looked_at", "other", "standing"]


def looked_at(read: Callable[[], Shape], recognised: Callable[[Shape], Verdict] = recognise) -> Solid:
    """Return what a solid is, where it was drawn; whatever is wrong with it is its reason."""
    try:
        found = recognised(read())
    except MemoryError:
        raise
    except Exception as error:  # one broken solid does not keep the others from being read
        return other(f"it could not be read ({type(error).__name__}): mend the model")
    return Solid(0, "", found.kind, found.bars, found.reason, found.volume)


def other(reason: str) -> Solid:
    """Return one that is no bar, nor looked at further."""
    return Solid(0, "", "other", (), reason, 0.0)


def standing(drawn: Solid, name: str, move: Move, index: int) -> Solid:
    """Return a solid where it stands.

    Args:
        drawn: where it was drawn.
        name: given in the model.
        move: from where it was drawn.
        index: in the model, from 1.
    """
    if abs(move.scale - 1.0) > 1e-9:
        drawn = other(f"an instance {move.scale:.4g} times as large as it was drawn: draw it in its size")
    bars = tuple(one_way(_placed(bar, move)) for bar in drawn.bars)
    return replace(drawn, index=index, name=name, bars=bars)


def _placed(bar: Bar, move: Move) -> Bar:
    if move.stands_still:
        return bar
    holes, (a, b) = bar.holes, bar.ends
    if move.mirrors:
        holes = tuple(replace(h, round=(-h.round) % 180.0 if h.through else half_turn(-h.round)) for h in holes)
        a, b = a.turned(-1.0), b.turned(-1.0)
    return replace(bar, line=move.line(bar.line), holes=holes, ends=(a, b))
