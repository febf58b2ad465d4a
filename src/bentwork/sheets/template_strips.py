"""A template that is longer than the page, cut across into strips that are glued together by their marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, text_width

__all__ = ["GLUE", "strips"]

GLUE = 7.0
"""Paper below the joint of a strip, to glue under the next one, mm."""

_SIZE = 8.0  # points
_MARK = 3.0  # mm; half the width of a mark's triangle, and its height
_ASIDE = 6.0  # mm; for the words beside a strip


def strips(drawn: Drawing, high: float, name: str) -> tuple[Drawing, ...]:
    """Return a template as it is where it fits, else in strips from the top down, each as narrow as what is on it.

    Args:
        drawn: the template.
        high: height that there is on the page, mm; above twice ``GLUE``.
        name: what the strips are called.
    """
    if drawn.height <= high:
        return (drawn,)
    count = math.ceil(drawn.height / (high - GLUE))
    step = drawn.height / count
    return tuple(_strip(drawn, (k * step, (k + 1) * step), (k, count), name) for k in range(count))


def _strip(drawn: Drawing, window: tuple[float, float], number: tuple[int, int], name: str) -> Drawing:
    low, high = window
    first, last = number[0] == 0, number[0] == number[1] - 1
    items: list[Item] = []
    for item in drawn.items:
        if isinstance(item, Label):
            if low <= item.at[1] < high:
                items.append(item)
        elif item.closed or item.fill != "none":
            if any(low <= y < high for _, y in item.points):
                items.append(item)
        else:
            items += [replace(item, points=run) for run in _between(item.points, low, high)]
    xs = [x for item in items if isinstance(item, Stroke) for x, _ in item.points]
    left, right = (min(xs), max(xs)) if xs else (0.0, drawn.width)
    if not first:
        items += _joint(*_across(drawn, low), low, number[0] - 1, down=True)
    if not last:
        one, other = _across(drawn, high)
        items += _joint(one, other, high, number[0], down=False)
        tab = ((one, high), (one + 1.5, high + GLUE), (other - 1.5, high + GLUE), (other, high))
        items.append(Stroke(tab, FINE, "grey", dash="dash"))
    told = f"{name}: strip {number[0] + 1} of {number[1]}"
    tall = high - low + (0.0 if last else GLUE)
    if text_width(told, _SIZE) < tall:
        spot = (right + _ASIDE - cap_height(_SIZE) / 2.0 - 1.0, (low + high) / 2.0)
        items.append(Label(spot, told, _SIZE, ("centre", "middle"), angle=-90.0))
    shift = Drawing(0.0, 0.0, tuple(items)).moved(-left, -low)
    return Drawing(right - left + _ASIDE, tall, shift)


def _across(drawn: Drawing, y: float) -> tuple[float, float]:
    """From where to where there is paper at a height: between the outermost full lines that cross it."""
    xs = []
    for item in drawn.items:
        if isinstance(item, Stroke) and item.dash == "full" and item.ink == "black":
            for one, other in pairwise(item.points):
                if (one[1] < y) != (other[1] < y):
                    xs.append(one[0] + (other[0] - one[0]) * (y - one[1]) / (other[1] - one[1]))
    return (min(xs), max(xs)) if xs else (0.0, drawn.width)


def _joint(left: float, right: float, y: float, joint: int, *, down: bool) -> list[Item]:
    """The line at which two strips meet, and two triangles on either side of it that make diamonds."""
    letter, sign = chr(ord("a") + joint % 26), 1.0 if down else -1.0
    items: list[Item] = [Stroke(((left, y), (right, y)), THIN, dash="chain", cap="butt")]
    half = min(_MARK, (right - left) / 6.0)
    for x in (left + (right - left) * 0.25, left + (right - left) * 0.75):
        items.append(Stroke(((x - half, y), (x, y + sign * _MARK), (x + half, y)), THIN))
        if half >= _MARK - 1e-9:
            spot = (x + half + 0.6, y + sign * 1.2)
            items.append(Label(spot, letter, _SIZE, ("left", "top" if down else "bottom"), halo=True))
    return items


def _between(points: Sequence[Point], low: float, high: float) -> list[tuple[Point, ...]]:
    """The runs of an open line between two heights, cut where it crosses them."""
    runs: list[list[Point]] = []
    open_run = False
    for one, other in pairwise(points):
        inside = _inside(one, other, low, high)
        if inside is None:
            open_run = False
            continue
        if open_run:
            runs[-1].append(inside[1])
        else:
            runs.append(list(inside))
        open_run = inside[1] == other
    return [tuple(run) for run in runs]


def _inside(one: Point, other: Point, low: float, high: float) -> tuple[Point, Point] | None:
    rise = other[1] - one[1]
    if abs(rise) < 1e-12:
        return (one, other) if low <= one[1] < high else None
    ways = sorted(((low - one[1]) / rise, (high - one[1]) / rise))
    begin, end = max(0.0, ways[0]), min(1.0, ways[1])
    if begin >= end:
        return None

    def at(share: float) -> Point:
        return other if share == 1.0 else (one[0] + share * (other[0] - one[0]), one[1] + share * rise)

    return at(begin), at(end)
