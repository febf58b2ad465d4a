"""A cope at 1:1 on paper: wrapped round the end of the bar, its upper edge is the line to cut to."""

from __future__ import annotations

import math
from collections.abc import Callable

from bentwork.parts.cope import Cope
from bentwork.sheets.drawing import BOLD, FINE, HEAVY, THIN, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph, text_width
from bentwork.sheets.page_parts import arrow
from bentwork.sheets.parts_subject import Wrap
from bentwork.units import INCH, Ruler

__all__ = ["FLAP", "cope_templates"]

FLAP = 7.0
"""Paper beyond the end of the wrap, to glue under its beginning, mm."""

_BELOW = 32.0  # from the bottom of the hollow to the base line, so that the wrap sits straight on the bar
_TICK = 4.0
_SIZE = 8.5  # points


def cope_templates(wrap: Wrap, ruler: Ruler, room: float) -> tuple[Drawing, ...]:
    """Return the template of an end; in two or more parts where it is wider than the page.

    Args:
        wrap: the end.
        ruler: how lengths are written.
        room: width that there is on the page, mm.
    """
    around = math.pi * wrap.cope.outside
    parts = max(1, math.ceil((around + FLAP) / room))
    step = 360.0 / parts
    return tuple(_part(wrap, ruler, (k * step, (k + 1) * step), (k + 1, parts)) for k in range(parts))


def _part(wrap: Wrap, ruler: Ruler, turns: tuple[float, float], part: tuple[int, int]) -> Drawing:
    cope = wrap.cope
    around = math.pi * cope.outside
    wide = around * (turns[1] - turns[0]) / 360.0
    base = _base(cope, ruler)

    def at(turn: float, length: float) -> Point:
        return ((turn - turns[0]) / 360.0 * around, length - cope.longest)

    items: list[Item] = _frame(cope, turns, wide, base, at)
    items += _curve(cope, cope.outer, turns, at, HEAVY * 0.7, dash=False)
    if not cope.solid:
        items += _curve(cope, cope.inner, turns, at, THIN, dash=True)
    items += _lines(wrap, turns, base, at)
    items += _words(wrap, ruler, part, wide, base)
    return Drawing(wide + FLAP, base + 5.0, tuple(items))


def _base(cope: Cope, ruler: Ruler) -> float:
    """How far the base lies from the longest point, mm: a length that is easily found on a tape."""
    step = 5.0 if ruler.units == "mm" else INCH / 4.0
    return step * math.ceil((cope.depth + _BELOW) / step)


def _frame(
    cope: Cope, turns: tuple[float, float], wide: float, base: float, at: Callable[[float, float], Point]
) -> list[Item]:
    """Both side edges, the base, and the flap that is glued under."""
    left, right = at(turns[0], cope.outer(turns[0])), at(turns[1], cope.outer(turns[1]))
    flap = ((right[0], base), (right[0] + FLAP, base - 3.0), (right[0] + FLAP, right[1] + 3.0), (right[0], right[1]))
    return [
        Stroke((left, (0.0, base), (wide, base), right), THIN, cap="butt"),
        Stroke(flap, FINE, "grey", dash="dash"),
        Label((right[0] + FLAP / 2.0 + 0.4, (right[1] + base) / 2.0), "under", 8.0, angle=-90.0),
    ]


def _curve(
    cope: Cope,
    of: Callable[[float], float],
    turns: tuple[float, float],
    at: Callable[[float, float], Point],
    weight: float,
    *,
    dash: bool,
) -> list[Item]:
    inside = [turn for turn in cope.turns if turns[0] < turn < turns[1]]
    points = tuple(at(turn, of(turn)) for turn in (turns[0], *inside, turns[1]))
    return [Stroke(points, weight, dash="dash" if dash else "full", cap="butt")]


def _lines(wrap: Wrap, turns: tuple[float, float], base: float, at: Callable[[float, float], Point]) -> list[Item]:
    """A line along the bar every 90 degrees, the line that comes from the other end, and the top."""
    items: list[Item] = []
    for turn in range(0, 361, 90):
        if turns[0] - 1e-9 <= turn <= turns[1] + 1e-9:
            x, y = at(turn, wrap.cope.outer(turn))
            name = "0" if turn in (0, 360) else f"{turn}"
            weight = BOLD if turn in (0, 360) else FINE
            items.append(Stroke(((x, y), (x, y + _TICK)), weight, cap="butt"))
            items.append(Stroke(((x, base - _TICK), (x, base + 1.5)), weight, cap="butt"))
            if turn not in (0, 360):
                items.append(Stroke(((x, y + _TICK), (x, base - _TICK)), FINE, "grey", dash="chain", cap="butt"))
            items.append(Label((x, base + 1.8), f"{name}°", 8.0, ("centre", "top"), True))
    if wrap.top is not None and turns[0] - 1e-9 <= wrap.top < turns[1] - 1e-9:
        x, y = at(wrap.top, wrap.cope.outer(wrap.top))
        aside = 4.5 if x < 4.5 else 0.0  # at the edge, half of the word would be on the flap
        items += arrow((x + (0.8 if aside else 0.0), y + 1.2), -90.0, 3.0, 3.0)
        items.append(Label((x + aside, y + 8.4), "TOP", 10.0, ("centre", "middle"), True, halo=True))
    if wrap.line is not None and turns[0] - 1e-9 <= wrap.line < turns[1] - 1e-9:
        x, _ = at(wrap.line, 0.0)
        items.append(Stroke(((x, base - 12.0), (x, base)), BOLD, cap="butt"))
        back = wrap.line > (turns[0] + turns[1]) / 2.0
        for up, word in ((5.5, "line from"), (2.2, "other end")):
            spot = (x - 1.0, base - up) if back else (x + 1.0, base - up)
            items.append(Label(spot, word, 8.0, ("right" if back else "left", "bottom"), halo=True))
    return items


def _words(wrap: Wrap, ruler: Ruler, part: tuple[int, int], wide: float, base: float) -> list[Item]:
    """Whose it is, and how far its base lies from the longest point: below the bottom of the hollow."""
    depth = wrap.cope.throat - wrap.cope.longest
    room = wide - 5.0
    of = "" if part[1] == 1 else f" part {part[0]} of {part[1]}"
    name, size = fitted(legible(f"{wrap.name} {wrap.end}{of}"), 12.0, room, True)
    y = depth + 13.5
    items: list[Item] = [Label((2.5, y), name, size, ("left", "top"), True, halo=True)]
    y += cap_height(size) + 1.6
    ends = "" if wrap.count == 1 else f"{wrap.count} ends; "
    told = f"{ends}base {ruler.length(base)} from the longest point"
    for line in paragraph(told, _SIZE, room):
        if y + cap_height(_SIZE) > base - 1.0 or text_width(line, _SIZE) > room:
            break
        items.append(Label((2.5, y), line, _SIZE, ("left", "top"), halo=True))
        y += cap_height(_SIZE) * 1.7
    return items
