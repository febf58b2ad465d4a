"""How to keep a bend in its plane: where the scribed line faces, what stands where, how high the bar lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import End
from bentwork.planning.pose import in_bender
from bentwork.space import Vec, dot, rotate
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["Packing", "facing", "line_faces", "neighbour_points", "packings"]

_NEAR = math.cos(math.radians(8.0))
_WAYS: tuple[tuple[str, Vec], ...] = (
    ("up", (0.0, 0.0, 1.0)),
    ("down", (0.0, 0.0, -1.0)),
    ("towards you", (0.0, -1.0, 0.0)),
    ("away from you", (0.0, 1.0, 0.0)),
    ("to the right", (1.0, 0.0, 0.0)),
    ("to the left", (-1.0, 0.0, 0.0)),
)
"""As seen by the person at the lever, in front of the bench and looking along y."""


@dataclass(frozen=True, slots=True)
class Packing:
    """How high the underside of the bar lies above something that it passes over.

    Args:
        over: name of it: ``vise`` or ``bench``.
        height: mm; what is packed under the far end, to keep the bar level.
    """

    over: str
    height: float


def packings(mounting: Mounting | None, depth_across: float) -> tuple[Packing, ...]:
    """Return how high the bar lies above vise and bench.

    Args:
        mounting: what stands round the bender.
        depth_across: of the bar along the die's axis, mm.
    """
    tops = () if mounting is None else (("vise", mounting.vise), ("bench", mounting.bench))
    found = [(name, -thing.top - depth_across / 2.0) for name, thing in tops if thing is not None]
    return tuple(Packing(name, height) for name, height in found if height > 0.0)


def line_faces(direction: float, held: End, bender: Bender) -> Vec:
    """Return which way the scribed line faces while a bend is made, in the bender's frame.

    Args:
        direction: where round the bar the bend turns to, seen from end A, clockwise from the line, degrees.
        held: the end that is held.
        bender: that makes it.
    """
    bends_to = (0.0, -1.0 if bender.hand == "right" else 1.0, 0.0)
    from_a = (1.0, 0.0, 0.0) if held == "A" else (-1.0, 0.0, 0.0)
    return rotate(bends_to, from_a, -direction)


def neighbour_points(
    table: BendTable, bend: int, held: End, made: Sequence[int], bender: Bender
) -> tuple[int, Vec] | None:
    """Return the nearest bend made on the held side, and which way its far leg points before the pull; None without."""
    beyond = [other for other in made if (other < bend) == (held == "A")]
    if not beyond:
        return None
    nearest = max(beyond) if held == "A" else min(beyond)
    place = in_bender(table, bend, held, made, 0.0, bender)
    before = [run for run in place.line.runs if run.bend and run.station + run.length <= place.station + 1e-6]
    arc = before[-1]
    back = arc.start.tangent  # along the bar towards the bender; the leg points the other way
    return nearest, (-back[0], -back[1], -back[2])


def facing(way: Vec) -> str:
    """Say which way something faces or points, as the person at the lever sees it: ``up``, ``45° up towards you``."""
    for words, axis in _WAYS:
        if dot(way, axis) >= _NEAR:
            return words
    level = math.hypot(way[0], way[1])
    rise = math.degrees(math.atan2(way[2], level))
    side = max(_WAYS[2:], key=lambda one: dot(way, one[1]))[0]
    if abs(rise) < 8.0:
        return f"level, mostly {side}"
    return f"{abs(rise):.0f}° {'up' if rise > 0.0 else 'down'}, {side}"
