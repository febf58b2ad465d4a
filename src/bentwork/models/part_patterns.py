"""Flat patterns of small parts at 1:1: a tab with its hole, and the wrap of a cope. x right, y up, mm."""

from __future__ import annotations

import math

from bentwork.models.lines import Arc, Chain, Inked, Line, Words
from bentwork.parts.cope import Cope
from bentwork.parts.tab import Tab

__all__ = ["cope_pattern", "tab_pattern"]

_BELOW = 30.0  # of the wrap, below the bottom of the hollow


def tab_pattern(tab: Tab, drill: float, says: str) -> tuple[Inked, ...]:
    """Return a tab, the middle of its hole at the origin, its end on the bar to the left.

    Layers: OUTLINE, what is cut; ENDS, the hole; MIDDLE, its middle, and the drill where it is smaller; WORDS.

    Args:
        tab: the tab.
        drill: diameter of the drill, mm.
        says: what is written beside it.
    """
    drawn = [Inked("OUTLINE", Chain(tab.corners, closed=tab.arc is None))]
    if tab.arc is not None:
        middle, radius = tab.arc
        drawn.append(Inked("OUTLINE", Arc((middle, 0.0), radius, -90.0, 90.0)))
    drawn.append(Inked("ENDS", Arc((0.0, 0.0), tab.hole / 2.0)))
    if abs(drill - tab.hole) > 0.01:
        drawn.append(Inked("MIDDLE", Arc((0.0, 0.0), drill / 2.0)))
    reach = tab.hole / 2.0 + 2.0
    drawn += [Inked("MIDDLE", Line((-reach, 0.0), (reach, 0.0))), Inked("MIDDLE", Line((0.0, -reach), (0.0, reach)))]
    drawn.append(Inked("WORDS", Words((-tab.reach, tab.width / 2.0 + 3.0), says)))
    return tuple(drawn)


def cope_pattern(cope: Cope, says: str) -> tuple[Inked, ...]:
    """Return the wrap of a cope, the printed side out, the end upwards, turn 0 at x = 0, the longest point at y = 0.

    Layers: OUTLINE, the outer edge, sides and base; TRIM, the inner edge of the wall; CENTRELINE, a line every 90
    degrees; WORDS.

    Args:
        cope: the shape.
        says: what is written on it.
    """
    around = math.pi * cope.outside
    base = -(cope.depth + _BELOW)

    def wrapped(turn: float, length: float) -> tuple[float, float]:
        return (turn / 360.0 * around, cope.longest - length)

    outer = tuple(wrapped(turn, length) for turn, length in cope.curve(cope.outer))
    drawn = [Inked("OUTLINE", Chain(((0.0, base), *outer, (around, base)), closed=True))]
    if not cope.solid:
        drawn.append(Inked("TRIM", Chain(tuple(wrapped(turn, length) for turn, length in cope.curve(cope.inner)))))
    for quarter in (90.0, 180.0, 270.0):
        foot = quarter / 360.0 * around
        drawn.append(Inked("CENTRELINE", Line((foot, base), wrapped(quarter, cope.outer(quarter)))))
    drawn.append(Inked("WORDS", Words((2.0, base + 3.0), says)))
    return tuple(drawn)
