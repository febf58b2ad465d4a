"""Holes in words."""

from __future__ import annotations

from bentwork.takeoff.bar import Hole
from bentwork.units import Ruler

__all__ = ["hole_words"]


def hole_words(hole: Hole, ruler: Ruler) -> str:
    """Return where a hole or a slot is along the bar, and how large: ``50 mm ø5.5, countersunk to ø11``."""
    wide = ruler.number(round(hole.diameter, 2))
    size = f"{wide:g} × {ruler.number(round(hole.slot + hole.diameter, 2)):g}" if hole.slot else f"ø{wide:g}"
    sunk = f", countersunk to ø{ruler.number(round(hole.sunk, 2)):g}" if hole.sunk else ""
    slant = f", aslant by {hole.slant:.4g}°" if hole.slant else ""
    return f"{ruler.length(hole.at)} {size}{sunk}{slant}"
