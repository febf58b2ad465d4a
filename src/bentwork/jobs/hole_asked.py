"""A hole in a piece of flat bar, round bar or tube as it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.fastening.threads import Thread
from bentwork.space import Vec

__all__ = ["HoleAsked"]


@dataclass(frozen=True, slots=True)
class HoleAsked:
    """A hole, a slot or a thread; given by a place in space, or along the bar and across it.

    Args:
        diameter: of the finished hole, the width of a slot or the size of a thread, mm.
        at: a point that its axis goes through, mm; None where ``along`` says it.
        along: from end A of the drawn shape along its middle line, mm; from the beginning of a side where one is named.
        side: number of the side that ``along`` counts from, from its corner point; None for end A.
        across: from the middle of the width, mm; above 0 to the left of who looks from end A along the bar, the face
            that is inside the first bend turned up.
        slot: length of a slot from end to end, mm; 0 for a round hole.
        runs: which way a slot runs.
        thread: that is cut into it or goes through it; None for a plain hole.
        tapped: the thread is cut into it.
        grade: class of the bolt.
        round: of round bar and tube where round it the hole is drilled in from, degrees from the line along the inside
            of the first bend, right-handed from A to B.
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
