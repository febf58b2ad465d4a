"""The straight bar with its marks, to scale across the sheet: where to measure from, and what lies where."""

from __future__ import annotations

from bentwork.sheets.dimension_lines import across
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.icons import numbered
from bentwork.sheets.subject import Subject

__all__ = ["bar_picture"]

_HEIGHT = 33.0
_TOP, _BAR = 11.0, 5.0


def bar_picture(subject: Subject, width: float) -> Drawing:
    """Return the bar drawn to fit a width in mm; the scale is the bar's own and is not to be measured."""
    left, right = 8.0, width - 8.0
    scale = (right - left) / subject.cut_length
    top, bottom = _TOP, _TOP + _BAR

    def x(station: float) -> float:
        return left + station * scale

    items: list[Item] = []
    for mark in subject.marks:
        a, b = x(mark.start), x(mark.end)
        items.append(Stroke(((a, top), (b, top), (b, bottom), (a, bottom)), 0.0, "none", "grey", closed=True))
    if subject.trim * scale > 0.3:
        for start, end in ((0.0, subject.trim), (subject.cut_length - subject.trim, subject.cut_length)):
            items += _hatch(x(start), x(end), top, bottom)
            edge = x(end) if start == 0.0 else x(start)
            items.append(Stroke(((edge, top), (edge, bottom)), THIN, dash="dash"))
    notch = 1.6
    mid = (top + bottom) / 2
    outline = ((left, top), (right, top), (right, bottom), (left, bottom), (left, mid + notch / 2))
    items.append(Stroke((*outline, (left + notch, mid), (left, mid - notch / 2)), BOLD, closed=True))
    items += [
        Label((left - 1.5, mid), "A", 14.0, ("right", "middle"), bold=True),
        Label((right + 1.5, mid), "B", 14.0, ("left", "middle"), bold=True),
    ]
    items += _marks(subject, x, top, bottom)
    items += across(left, right, bottom, _HEIGHT - 3.0, f"cut {subject.ruler.tape(subject.cut_length)}", 10.0)
    return Drawing(width, _HEIGHT, tuple(items))


def _marks(subject: Subject, x: object, top: float, bottom: float) -> list[Item]:
    assert callable(x)
    items: list[Item] = []
    ends = [-1e9, -1e9]
    before = -1e9
    for mark in subject.marks:
        at = float(x(subject.lined_up(mark)))
        words = subject.ruler.tape(subject.lined_up(mark))
        reach = len(words) * 1.05 + 1.0
        level = 0 if at - reach > ends[0] else 1
        ends[level] = at + reach
        base = bottom + 4.5 + level * 4.4
        items += [
            Stroke(((at, top - 1.5), (at, base - 2.0)), BOLD if level == 0 else THIN),
            Label((at, base), words, 9.0, bold=True, halo=True),
        ]
        middle = max(float(x(mark.centre)), before + 6.2)
        before = middle
        items += numbered((middle, top - 5.0), str(mark.bend))
    return items


def _hatch(left: float, right: float, top: float, bottom: float) -> list[Item]:
    step, height = 1.2, bottom - top
    items: list[Item] = []
    at = left - height
    while at < right:
        a, b = max(at, left), min(at + height, right)
        if b > a:
            items.append(Stroke(((a, bottom - (a - at)), (b, bottom - (b - at))), FINE))
        at += step
    return items
