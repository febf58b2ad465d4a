"""How bars are cut, drawn: every bar to one scale, with its pieces, where to saw, and what is left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from bentwork.parts.cutting import BarCut, CuttingPlan
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import legible, paragraph, text_width
from bentwork.sheets.page_parts import hatch, outline
from bentwork.sheets.placing import Box
from bentwork.units import Ruler

__all__ = ["bar_heading", "bar_rows", "cut_words", "saw_at"]

_WORDS = 9.5  # points
_IN_BAR = 8.0
_TAPE = 8.0
_HIGH = 9.0  # of a bar, mm
_LINE = 4.6
_APART = 4.0
_TAPE_LINE, _LINES_OF_TAPE = 3.2, 3


def bar_heading(bar: BarCut, ruler: Ruler) -> str:
    """Return what bar it is and how many are cut so: ``2 bars of 3000 mm``."""
    if bar.offcut:
        return f"{bar.times} offcut{'s' if bar.times > 1 else ''} of {ruler.length(bar.length)}"
    return f"{bar.times} bar{'s' if bar.times > 1 else ''} of {ruler.length(bar.length)}"


def cut_words(bar: BarCut, ruler: Ruler) -> str:
    """Return what is cut from one bar, and what is left: ``1 × loop 1923 mm, 2 × crossbar 288 mm; 640 mm left``."""
    units = ruler.units
    counts = Counter((name, ruler.tape(length)) for name, length in bar.cuts)
    cuts = ", ".join(f"{count} × {legible(name)} {length} {units}" for (name, length), count in counts.items())
    return f"{cuts}; {ruler.tape(bar.rest)} {units} left"


def saw_at(bar: BarCut, stop: float, ruler: Ruler) -> str:
    """Return where a piece ends, on a tape hooked to the sawn end."""
    return ruler.tape(stop - bar.saw.ends / 2.0)


def bar_rows(plan: CuttingPlan, ruler: Ruler, width: float) -> tuple[Drawing, ...]:
    """Return one drawing for every bar that is cut in its own way, all to one scale.

    Under each bar stand the places to saw at, on a tape hooked to the sawn end: the near side of every cut.

    Args:
        plan: of the cuts.
        ruler: how lengths are shown.
        width: of the drawings, mm.
    """
    longest = max((bar.length for bar in plan.bars), default=1.0)
    return tuple(_row(bar, ruler, width, width / longest) for bar in plan.bars)


def _row(bar: BarCut, ruler: Ruler, width: float, scale: float) -> Drawing:
    head = f"{bar_heading(bar, ruler)}: {cut_words(bar, ruler)}"
    lines = paragraph(head, _WORDS, width)
    items: list[Item] = [
        Label((0.0, _LINE * (k + 0.8)), line, _WORDS, ("left", "bottom")) for k, line in enumerate(lines)
    ]
    top = _LINE * len(lines) + 1.0
    places = []
    for name, start, stop in bar.spans:
        box = Box(start * scale, top, stop * scale, top + _HIGH)
        items += _piece(box, legible(name), ruler.tape(stop - start))
        places.append((stop * scale, saw_at(bar, stop, ruler)))
    at = bar.spans[-1][2] + bar.saw.kerf
    end = bar.length * scale
    left = Box(min(at, bar.length) * scale, top, end, top + _HIGH)
    items += hatch(left, 2.0)
    rest = ruler.tape(bar.rest)
    if text_width(rest, _IN_BAR) + 1.0 < left.right - left.left:
        middle = ((left.left + left.right) / 2.0, (left.top + left.bottom) / 2.0)
        items.append(Label(middle, rest, _IN_BAR, halo=True))
    items.append(outline(Box(0.0, top, end, top + _HIGH), BOLD))
    tape, lines_of_tape = _tape(places, top + _HIGH, width)
    high = top + _HIGH + 4.8 + _TAPE_LINE * (lines_of_tape - 1) + _APART
    return Drawing(width, high, (*items, *tape))


def _piece(box: Box, name: str, length: str) -> list[Item]:
    middle, room = (box.left + box.right) / 2.0, box.right - box.left - 1.0
    items: list[Item] = [Stroke(((box.right, box.top), (box.right, box.bottom)), THIN, cap="butt")]
    if text_width(length, _IN_BAR, True) > room:
        return items
    if text_width(name, _IN_BAR) > room:
        return [*items, Label((middle, (box.top + box.bottom) / 2.0), length, _IN_BAR, bold=True)]
    third = (box.bottom - box.top) / 4.0
    items.append(Label((middle, box.top + third * 1.1), name, _IN_BAR))
    items.append(Label((middle, box.bottom - third * 1.1), length, _IN_BAR, bold=True))
    return items


def _tape(places: Sequence[tuple[float, str]], top: float, width: float) -> tuple[list[Item], int]:
    """Ticks where to saw, with the number on the tape in the first of three lines where it has room; how many it takes.

    A number that has no room in any is left out: its piece stands in the words above.
    """
    items: list[Item] = []
    taken = [-1.0] * _LINES_OF_TAPE
    for x, words in places:
        half = text_width(words, _TAPE) / 2.0
        at = min(max(x, half), width - half)
        line = next((k for k, end in enumerate(taken) if at - half > end), None)
        down = top + 1.6 + (line or 0) * _TAPE_LINE
        items.append(Stroke(((x, top), (x, down)), FINE, cap="butt"))
        if line is not None:
            items.append(Label((at, down + 3.0), words, _TAPE, ("centre", "bottom"), halo=True))
            taken[line] = at + half + 1.0
    return items, max(1, sum(end > 0.0 for end in taken))
