"""The holes of a bracket in its flat pattern: what is cut in the flat, and where to punch for what is drilled later."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.models.lines import Arc, Inked, Line, Words
from bentwork.parts.bracket import FlatHole, Seat

__all__ = ["flat_holes", "hole_outline"]

_CROSS = 2.0
"""How far a centre cross reaches beyond the middle of a hole, mm."""


def flat_holes(seats: Sequence[Seat], words: Sequence[str] = ()) -> tuple[Inked, ...]:
    """Return the holes at 1:1, in the frame of the flat pattern.

    Layers: HOLES, cut in the flat; HOLES-AFTER, drilled when the bends are made; CENTRES, a cross on the middle of each
    hole and of either round of a slot; WORDS.

    Args:
        seats: of the holes.
        words: what is written beside each.
    """
    drawn: list[Inked] = []
    for seat in seats:
        layer = "HOLES-AFTER" if seat.after else "HOLES"
        drawn += [Inked(layer, shape) for shape in hole_outline(seat.hole)]
        for x, y in dict.fromkeys(seat.hole.rounds):
            drawn += [Inked("CENTRES", Line((x - _CROSS, y), (x + _CROSS, y)))]
            drawn += [Inked("CENTRES", Line((x, y - _CROSS), (x, y + _CROSS)))]
    for seat, text in zip(seats, words, strict=False):
        along, across = seat.hole.reach
        drawn.append(Inked("WORDS", Words((seat.hole.x + along + 1.0, seat.hole.y + across + 1.0), text, 2.5)))
    return tuple(drawn)


def hole_outline(hole: FlatHole) -> tuple[Arc | Line, ...]:
    """Return the outline of a hole: a circle, or two half circles and two straights."""
    radius = hole.size / 2.0
    (ax, ay), (bx, by) = hole.rounds
    if hole.half_straight == 0.0:
        return (Arc((hole.x, hole.y), radius),)
    if hole.runs == "along":
        return (
            Arc((ax, ay), radius, 90.0, 270.0),
            Line((ax, ay - radius), (bx, by - radius)),
            Arc((bx, by), radius, -90.0, 90.0),
            Line((bx, by + radius), (ax, ay + radius)),
        )
    return (
        Arc((ax, ay), radius, 180.0, 360.0),
        Line((ax + radius, ay), (bx + radius, by)),
        Arc((bx, by), radius, 0.0, 180.0),
        Line((bx - radius, by), (ax - radius, ay)),
    )
