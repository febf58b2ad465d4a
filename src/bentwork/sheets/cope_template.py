"""A cope at 1:1 on paper: wrapped round the end of the bar, its upper edge is the line to cut to."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise

from bentwork.parts.cope import Cope
from bentwork.parts.cope_unrolled import across, lines_along, unrolled
from bentwork.sheets.drawing import BOLD, FINE, HEAVY, THIN, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph, text_width
from bentwork.sheets.page_parts import arrow
from bentwork.sheets.parts_subject import Wrap
from bentwork.sheets.template_strips import strips
from bentwork.units import INCH, Ruler

__all__ = ["FLAP", "cope_templates"]

FLAP = 7.0
"""Paper beyond the end of the wrap, to glue under its beginning, mm."""

_BELOW = 32.0  # from the bottom of the hollow to the base line, so that the wrap sits straight on the bar
_TICK = 4.0
_SIZE = 8.5  # points
_APART = 8.0  # mm; names of lines that are nearer to one another are left out

_Window = tuple[float, float]
"""From where to where on the template, mm from its left edge."""


def cope_templates(wrap: Wrap, ruler: Ruler, room: float, high: float) -> tuple[Drawing, ...]:
    """Return the template of an end; in parts where it is wider than the page, in strips where it is longer.

    Args:
        wrap: the end.
        ruler: how lengths are written.
        room: width that there is on the page, mm.
        high: height that there is, mm.
    """
    around = wrap.cope.around
    parts = max(1, math.ceil((around + FLAP) / room))
    step = around / parts
    found: list[Drawing] = []
    for k in range(parts):
        window = (k * step, around if k == parts - 1 else (k + 1) * step)
        drawn = _part(wrap, ruler, window, (k + 1, parts))
        of = "" if parts == 1 else f" part {k + 1}"
        found += strips(drawn, high, legible(f"{wrap.name} {wrap.end}{of}"))
    return tuple(found)


def _part(wrap: Wrap, ruler: Ruler, window: _Window, part: tuple[int, int]) -> Drawing:
    cope = wrap.cope
    wide = window[1] - window[0]
    base = _base(cope, ruler)
    outer = _within(_drawn(cope, cope.outer), window)
    items: list[Item] = _frame(outer, wide, base)
    items += _edge(cope, outer, window)
    if not cope.solid:
        items.append(Stroke(tuple(_within(_drawn(cope, cope.inner), window)), THIN, dash="dash", cap="butt"))
    items += _lines(wrap, window, base)
    items += _marks(wrap, window, base)
    items += _words(wrap, ruler, part, wide, base)
    return Drawing(wide + FLAP, base + 5.0, tuple(items))


def _base(cope: Cope, ruler: Ruler) -> float:
    """How far the base lies from the longest point, mm: a length that is easily found on a tape."""
    step = 5.0 if ruler.units == "mm" else INCH / 4.0
    return step * math.ceil((cope.depth + _BELOW) / step)


def _drawn(cope: Cope, of: Callable[[float], float]) -> list[Point]:
    return [(x, length - cope.longest) for x, length in unrolled(cope, of)]


def _within(points: Sequence[Point], window: _Window) -> list[Point]:
    """What of a curve lies in a window, its ends found between the points; x from the window's left edge."""
    xs = [x for x, _ in points]
    found = [_at(points, xs, window[0])]
    found += [(x, y) for x, y in points if window[0] < x < window[1]]
    found.append(_at(points, xs, window[1]))
    return [(x - window[0], y) for x, y in found]


def _at(points: Sequence[Point], xs: Sequence[float], x: float) -> Point:
    after = min(max(1, bisect_left(xs, x)), len(xs) - 1)
    (left, one), (right, other) = points[after - 1], points[after]
    return x, one + (other - one) * (x - left) / (right - left) if right > left else other


def _frame(outer: Sequence[Point], wide: float, base: float) -> list[Item]:
    """Both side edges, the base, and the flap that is glued under."""
    left, right = outer[0], outer[-1]
    flap = ((right[0], base), (right[0] + FLAP, base - 3.0), (right[0] + FLAP, right[1] + 3.0), right)
    return [
        Stroke((left, (0.0, base), (wide, base), right), THIN, cap="butt"),
        Stroke(flap, FINE, "grey", dash="dash"),
        Label((right[0] + FLAP / 2.0 + 0.4, (right[1] + base) / 2.0), "under", 8.0, angle=-90.0),
    ]


def _edge(cope: Cope, outer: Sequence[Point], window: _Window) -> list[Item]:
    """The line to cut to: heavy where the bar sits on the other, dotted where it passes beside it."""
    beside = [(across(cope, low), across(cope, low) + high - low) for low, high in cope.passing]
    beside += [(low - cope.around, high - cope.around) for low, high in beside]  # over the seam
    runs: list[tuple[bool, list[Point]]] = []
    for one, other in pairwise(outer):
        middle = window[0] + 0.5 * (one[0] + other[0])
        passes = any(low < middle < high for low, high in beside) and other[0] - one[0] > 1e-5
        if runs and runs[-1][0] == passes:
            runs[-1][1].append(other)
        else:
            runs.append((passes, [one, other]))
    dotted, heavy = (
        partial(Stroke, weight=THIN, dash="dot", cap="butt"),
        partial(Stroke, weight=HEAVY * 0.7, cap="butt"),
    )
    return [(dotted if passes else heavy)(tuple(points)) for passes, points in runs]


def _lines(wrap: Wrap, window: _Window, base: float) -> list[Item]:
    """Lines along the bar: line 0, and every 90 degrees of a round bar or the corners of another, to be folded."""
    cope, items = wrap.cope, list[Item]()
    named: list[float] = []
    for place in lines_along(cope):
        name = f"{place / cope.around * 360.0:.0f}°" if cope.bar.is_round else ("0" if place == 0.0 else "fold")
        top = cope.outer(place) - cope.longest
        for x in (across(cope, place), cope.around) if across(cope, place) == 0.0 else (across(cope, place),):
            if not window[0] - 1e-9 <= x <= window[1] + 1e-9:
                continue
            at, edge = x - window[0], min(x, cope.around - x) < 1e-9
            weight = BOLD if place == 0.0 else FINE
            items.append(Stroke(((at, top), (at, top + _TICK)), weight, cap="butt"))
            items.append(Stroke(((at, base - _TICK), (at, base + 1.5)), weight, cap="butt"))
            if not edge:
                ends = ((at, top + _TICK), (at, base - _TICK))
                fold = Stroke(ends, FINE, dash="dash", cap="butt")
                items.append(fold if name == "fold" else Stroke(ends, FINE, "grey", dash="chain", cap="butt"))
            if all(abs(at - other) > _APART for other in named):
                items.append(Label((at, base + 1.8), name, 8.0, ("centre", "top"), True))
                named.append(at)
    return items


def _marks(wrap: Wrap, window: _Window, base: float) -> list[Item]:
    """The top of the frame, and the line that comes from the other end."""
    cope, items = wrap.cope, list[Item]()
    if wrap.top is not None:
        x = across(cope, cope.place_at(wrap.top))
        if window[0] - 1e-9 <= x < window[1] - 1e-9:
            at, y = x - window[0], cope.outer(cope.place_at(wrap.top)) - cope.longest
            aside = 4.5 if at < 4.5 else 0.0  # at the edge, half of the word would be on the flap
            items += arrow((at + (0.8 if aside else 0.0), y + 1.2), -90.0, 3.0, 3.0)
            items.append(Label((at + aside, y + 8.4), "TOP", 10.0, ("centre", "middle"), True, halo=True))
    if wrap.line is not None:
        x = across(cope, cope.place_at(wrap.line))
        if window[0] - 1e-9 <= x < window[1] - 1e-9:
            at = x - window[0]
            items.append(Stroke(((at, base - 12.0), (at, base)), BOLD, cap="butt"))
            back = at > (window[1] - window[0]) / 2.0
            for up, word in ((5.5, "line from"), (2.2, "other end")):
                spot = (at - 1.0, base - up) if back else (at + 1.0, base - up)
                items.append(Label(spot, word, 8.0, ("right" if back else "left", "bottom"), halo=True))
    return items


def _words(wrap: Wrap, ruler: Ruler, part: tuple[int, int], wide: float, base: float) -> list[Item]:
    """Whose it is, and how far its base lies from the longest point: below the bottom of the hollow."""
    room = wide - 5.0
    of = "" if part[1] == 1 else f" part {part[0]} of {part[1]}"
    name, size = fitted(legible(f"{wrap.name} {wrap.end}{of}"), 12.0, room, True)
    y = wrap.cope.depth + 13.5
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
