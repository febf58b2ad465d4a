"""The end of a piece that is made by itself, whatever stands round it, as it is asked for."""

from __future__ import annotations

from dataclasses import dataclass, field

from bentwork.parts.stay import EndAsked

__all__ = ["OwnEnd", "OwnEnds"]


@dataclass(frozen=True, slots=True)
class OwnEnd:
    """An end that is made by itself: cut at a slant, pressed flat, drilled.

    Args:
        cut: off a square cut, degrees; 0 for a square end.
        round: where round the bar the longest point of a slanting cut lies, or the face of a flat looks, degrees from
            the line along the inside of the first bend, right-handed from A to B; the axis of a bolt goes before it.
        made: how it is pressed and drilled; butted for an end that is only cut.
    """

    cut: float = 0.0
    round: float = 0.0
    made: EndAsked = field(default_factory=EndAsked)


OwnEnds = tuple[OwnEnd | None, OwnEnd | None]
"""End A and end B; None for one that is square, or is cut to sit on what it meets."""
