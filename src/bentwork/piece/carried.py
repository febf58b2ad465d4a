"""A section carried along a bent bar: it keeps its place on the bar, whichever way the bends turn.

The bar is bent, not twisted: a bend carries the section round with it, and between two bends it does not turn. So the
rotation of the second bend tells how its plane lies to the section, not how the section lies on the bar.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Vec, along, dot, rotate, scale
from bentwork.stock.shape import Way

__all__ = ["Stretch", "carried", "carried_from", "seam_turn", "stretch_at"]

_NO_LENGTH = 1e-9


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight or a bend, with the directions of the section at its start.

    Args:
        run: of the centreline; longer than nothing.
        wide: unit vector along the section's width.
        high: unit vector along its height; wide, high and the direction of the bar are right-handed.
    """

    run: Run
    wide: Vec
    high: Vec

    @property
    def centre(self) -> Vec:
        """Point on the axis of a bend; the start of a straight."""
        start = self.run.start
        return along(start.origin, start.inward, self.run.radius) if self.run.bend else start.origin

    def at(self, distance: float) -> Stretch:
        """Return the rest of the stretch from this distance on, mm; of no length at its end."""
        run = self.run
        pose = run.pose(distance)
        rest = Run(pose, run.station + distance, run.length - distance, run.radius, run.bend)
        if run.bend == 0:
            return Stretch(rest, self.wide, self.high)
        turn = math.degrees(distance / run.radius)
        axis = run.start.axis
        return Stretch(rest, rotate(self.wide, axis, turn), rotate(self.high, axis, turn))


def carried(line: Centreline, way: Way = "easy") -> tuple[Stretch, ...]:
    """Return every straight and bend that has a length, the section carried along.

    Args:
        line: the piece in space.
        way: the first bend is made across the section's height (easy) or its width (hard).
    """
    start = line.start
    wide, high = (scale(start.axis, -1.0), start.inward) if way == "easy" else (start.inward, start.axis)
    return carried_from(line, wide, high)


def carried_from(line: Centreline, wide: Vec, high: Vec) -> tuple[Stretch, ...]:
    """Return every straight and bend that has a length, the section carried along from these directions at the start.

    Args:
        line: the piece in space.
        wide: unit vector along the section's width at the start.
        high: unit vector along its height there.
    """
    found = []
    for run in line.runs:
        if run.length <= _NO_LENGTH:
            continue
        stretch = Stretch(run, wide, high)
        found.append(stretch)
        end = stretch.at(run.length)
        wide, high = end.wide, end.high
    return tuple(found)


def stretch_at(stretches: Sequence[Stretch], station: float) -> Stretch:
    """Return the straight or bend that a station is in, mm from end A; the nearest for one beyond the ends."""
    return next((one for one in stretches if station <= one.run.station + one.run.length), stretches[-1])


def seam_turn(stretches: tuple[Stretch, ...]) -> float:
    """Return how far the section has turned about a closed bar when it comes back to end A, degrees in (-180, 180]."""
    first, last = stretches[0], stretches[-1].at(stretches[-1].run.length)
    return math.degrees(math.atan2(dot(last.wide, first.high), dot(last.wide, first.wide)))
