"""The three views of a piece at 1:1, with outside sizes: for a screen, a plotter or a big sheet."""

from __future__ import annotations

from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.dimension_lines import across, upright
from bentwork.sheets.drawing import Drawing, Item, Label
from bentwork.sheets.projection import ABOVE, FRONT, RIGHT, View
from bentwork.sheets.subject import Subject

__all__ = ["VIEW_GAP", "true_views"]

VIEW_GAP = 40.0
"""Between two views, mm: room for a dimension and the name of the view."""

_EDGE = 12.0
_CHORD = 0.01  # no seam shows at 1:1


def true_views(subject: Subject) -> Drawing:
    """Return a piece from the front, from the right (beside it) and from above (below it), on the paper that it takes.

    Views are in line: what lies in one place from the front lies there from above and from the right.
    """
    bar = bar_of(subject.line, subject.stock.section, subject.way, _CHORD)
    (x0, x1), (y0, y1), (z0, z1) = (bar.extent(axis) for axis in range(3))
    width, depth, height = x1 - x0, y1 - y0, z1 - z0
    left, top = _EDGE, _EDGE + 6.0
    beside, below = left + width + VIEW_GAP, top + height + VIEW_GAP
    length = subject.ruler.length
    items: list[Item] = [Label((left, _EDGE - 3.0), f"{subject.title}, 1:1", 12.0, ("left", "middle"), True)]
    places: tuple[tuple[View, tuple[float, float], tuple[float, float], tuple[float, float]], ...] = (
        (FRONT, (left, top), (width, height), (x0, -z1)),
        (RIGHT, (beside, top), (depth, height), (y0, -z1)),
        (ABOVE, (left, below), (width, depth), (x0, -y1)),
    )
    for view, (x, y), (w, h), (low, high) in places:
        seen = Drawing(0.0, 0.0, tuple(draw_bars((bar,), view, 1.0)))
        items += seen.moved(x - low, y - high)
        items += across(x, x + w, y + h, y + h + 8.0, length(w))
        items += upright(y, y + h, x + w, x + w + 7.0, length(h))
        items.append(Label((x, y + h + 14.0), view.name, 9.0, ("left", "middle")))
    return Drawing(beside + depth + VIEW_GAP, below + depth + VIEW_GAP, tuple(items))
