"""A tab at 1:1 on paper: its outline, its hole, and what to do, to glue on the metal or to scribe round."""

from __future__ import annotations

import math

from bentwork.parts.tab import Tab
from bentwork.sheets.dimension_lines import across, upright
from bentwork.sheets.drawing import BOLD, FINE, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, legible, paragraph
from bentwork.sheets.page_parts import ring
from bentwork.sheets.parts_subject import TabCard
from bentwork.units import Ruler

__all__ = ["tab_card", "tab_outline"]

_WORDS = 9.0  # points
_ARC_STEP = 3.0  # degrees


def tab_outline(tab: Tab) -> tuple[Point, ...]:
    """Return the outline of a tab, x from the bar on, y up, the middle of the hole at the origin, mm."""
    points = list(tab.corners)
    if tab.arc is not None:
        middle, radius = tab.arc
        steps = round(180.0 / _ARC_STEP)
        turns = (math.radians(90.0 - 180.0 * k / steps) for k in range(1, steps))
        points += [(middle + radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]
    return tuple(points)


def tab_card(card: TabCard, ruler: Ruler, room: float) -> Drawing:
    """Return the card of a tab: the drawing on the left, words beside it, or below it where it is long.

    Args:
        card: the tab.
        ruler: how lengths are written.
        room: width that there is on the page, mm.
    """
    tab = card.tab
    outline = tab_outline(tab)
    left = -min(x for x, _ in outline)
    right, half = max(x for x, _ in outline), tab.width / 2.0
    at = (left + 9.0, half + 6.0)  # where the middle of the hole lies on the card

    def put(point: Point) -> Point:
        return (at[0] + point[0], at[1] - point[1])

    items: list[Item] = [Stroke(tuple(put(point) for point in outline), BOLD, closed=True)]
    items.append(ring(at, tab.hole / 2.0, BOLD, white=False))
    if abs(card.drill - tab.hole) > 0.05:
        items.append(ring(at, card.drill / 2.0, FINE, white=False))
    reach = max(tab.hole / 2.0 + 2.0, 4.0)
    items += [
        Stroke(((at[0] - reach, at[1]), (at[0] + reach, at[1])), FINE, dash="chain"),
        Stroke(((at[0], at[1] - reach), (at[0], at[1] + reach)), FINE, dash="chain"),
        Label((3.2, at[1]), "on the bar", 8.0, angle=-90.0),
    ]
    low = at[1] + half
    items += across(at[0] - tab.reach, at[0], low, low + 6.0, ruler.length(tab.reach))
    items += across(at[0], at[0] + tab.end, low, low + 12.0, ruler.length(tab.end))
    items += upright(at[1] - half, at[1] + half, at[0] + right, at[0] + right + 6.0, ruler.length(tab.width))
    wide, high = at[0] + right + 18.0, low + 16.0
    beside = room - wide - 4.0
    if beside >= 55.0:
        words = _lines(card, min(beside, 110.0))
        return Drawing(wide + 4.0 + words.width, max(high, words.height), (*items, *words.moved(wide + 4.0, 3.0)))
    words = _lines(card, room)
    return Drawing(max(wide, words.width), high + words.height, (*items, *words.moved(0.0, high)))


def _lines(card: TabCard, room: float) -> Drawing:
    items: list[Item] = [Label((0.0, 0.0), legible(card.name), 14.0, ("left", "top"), True)]
    y = cap_height(14.0) + 2.4
    for said in card.lines:
        for line in paragraph(legible(said), _WORDS, room):
            items.append(Label((0.0, y), line, _WORDS, ("left", "top")))
            y += cap_height(_WORDS) * 1.75
        y += 0.8
    return Drawing(room, y + 2.0, tuple(items))
