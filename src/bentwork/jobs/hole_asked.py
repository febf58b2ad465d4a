"""A hole in a piece as it is asked for: laid out in the flat of a bracket, or drilled where it is drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bentwork.fastening.threads import Thread
from bentwork.space import Vec
from bentwork.stock.section import Flat, Section, Way

__all__ = ["HoleAsked", "drilled_along", "drilled_into_bar", "side_drilled"]


def drilled_into_bar(section: Section, way: Way) -> bool:
    """Whether holes of such a bar are told along and round it; those of flat bar bent the easy way lie in its flat."""
    return not isinstance(section, Flat) or way == "hard"


def drilled_along(way: Way, turn: float) -> Literal["width", "height"]:
    """Return which way of the section a hole is drilled in from there round the bar, degrees."""
    return "height" if _beside(turn) == (way == "hard") else "width"


def side_drilled(section: Section, way: Way, turn: float) -> tuple[float, float]:
    """Return how thick a bar is where it is drilled in from there round it, and how wide that side is, mm."""
    deep, broad = section.depth(way), section.breadth(way)
    return (broad, deep) if _beside(turn) else (deep, broad)


def _beside(turn: float) -> bool:
    """Whether it is a side square to the plane of the first bend."""
    return abs(math.sin(math.radians(turn))) > math.sqrt(0.5)


@dataclass(frozen=True, slots=True)
class HoleAsked:
    """A hole, a slot or a thread; given by a place in space, or along the bar and across it.

    Args:
        diameter: of the finished hole, the width of a slot or the size of a thread, mm.
        at: a point that its axis goes through, mm; None where ``along`` says it.
        along: from end A of the drawn shape along its middle line, mm; from the beginning of a side where one is named.
        side: number of the side that ``along`` counts from, from its corner point; None for end A.
        across: from the middle of the side that it is drilled into, mm; above 0 to the left of who looks from end A
            along the bar, that side turned up. The flat of a bracket lies with the side inside the first bend up.
        slot: length of a slot from end to end, mm; 0 for a round hole.
        runs: which way a slot runs.
        thread: that is cut into it or goes through it; None for a plain hole.
        tapped: the thread is cut into it.
        grade: class of the bolt.
        round: where round the bar the hole is drilled in from, degrees from the line along the inside of the first
            bend, right-handed from A to B; square to a side of what has sides. Brackets have it at 0.
        through: it comes out on the other side; always but in tube.
    """

    diameter: float
    at: Vec | None = None
    along: float | None = None
    side: int | None = None
    across: float = 0.0
    slot: float = 0.0
    runs: Literal["along", "across"] = "along"
    thread: Thread | None = None
    tapped: bool = False
    grade: str = "8.8"
    round: float = 0.0
    through: bool = True
