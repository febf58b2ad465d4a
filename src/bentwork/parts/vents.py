"""Closed tubes: air that is shut in bursts a weld, and a sealed tube bursts in an oven; where to let it out.

Sizes are common practice, no source: 3 mm where a tube is welded, painted or stoved; in a zinc bath the holes are a
quarter of the diagonal, 10 mm at least, one at each end (galvanizers' public guides, seen).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bentwork.parts.finishing import SheetSystem
from bentwork.stock.section import Section, SquareTube, Tube

__all__ = ["Vent", "Why", "heated_by", "hollow", "vent_for"]

Why = Literal["welding", "oven", "zinc bath"]

_SMALL = 3.0
_ZINC_LEAST, _ZINC_SHARE = 10.0, 0.25
_FROM_WELD = 10.0


@dataclass(frozen=True, slots=True)
class Vent:
    """Holes that let the air out of a closed tube.

    Args:
        bar: name of the tube.
        holes: how many.
        diameter: of each, mm.
        from_end: from the end or the weld that closes it to the middle of the hole, mm.
    """

    bar: str
    holes: int
    diameter: float
    from_end: float


def heated_by(system: SheetSystem) -> Why:
    """Return what heats closed tubes most when a frame is welded and finished so: its holes are drilled for that."""
    if system == "galvanised":
        return "zinc bath"
    return "oven" if system == "powder" else "welding"


def hollow(section: Section) -> bool:
    """Tell whether a section shuts air in when its ends are closed."""
    return isinstance(section, Tube | SquareTube)


def vent_for(bar: str, section: Section, why: Why) -> Vent | None:
    """Return the holes that a tube needs whose ends are both closed; None for a solid bar.

    Args:
        bar: its name.
        section: of the tube.
        why: what heats it.
    """
    if isinstance(section, Tube):
        across, bore = section.diameter, section.bore
    elif isinstance(section, SquareTube):
        across = math.hypot(section.width, section.height)
        bore = min(section.width, section.height) - 2.0 * section.wall
    else:
        return None
    if why == "zinc bath":
        return Vent(bar, 2, max(_ZINC_LEAST, _ZINC_SHARE * across), _FROM_WELD)
    return Vent(bar, 1, min(_SMALL, bore / 2.0), _FROM_WELD)
