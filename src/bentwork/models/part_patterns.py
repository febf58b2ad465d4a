"""Flat patterns of small parts at 1:1: a tab with its hole, and the wrap of a cope. x right, y up, mm."""

from __future__ import annotations

from bentwork.models.lines import Arc, Chain, Inked, Line, Words
from bentwork.parts.cope import Cope
from bentwork.parts.cope_unrolled import across, lines_along, unrolled
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
    """Return the wrap of a cope, the printed side out, the end upwards, the seam at x = 0, the longest point at y = 0.

    Layers: OUTLINE, the outer edge, sides and base; TRIM, the inner edge of the wall; CENTRELINE, line 0 and a line
    every 90 degrees, on a bar with corners line 0 and its corners, to be folded; WORDS.

    Args:
        cope: the shape.
        says: what is written on it.
    """
    base = -(cope.depth + _BELOW)
    outer = tuple((x, cope.longest - length) for x, length in unrolled(cope, cope.outer))
    drawn = [Inked("OUTLINE", Chain(((0.0, base), *outer, (cope.around, base)), closed=True))]
    if not cope.solid:
        inner = tuple((x, cope.longest - length) for x, length in unrolled(cope, cope.inner))
        drawn.append(Inked("TRIM", Chain(inner)))
    for place in lines_along(cope):
        x = across(cope, place)
        if x > 0.0:
            drawn.append(Inked("CENTRELINE", Line((x, base), (x, cope.longest - cope.outer(place)))))
    drawn.append(Inked("WORDS", Words((2.0, base + 3.0), says)))
    return tuple(drawn)
