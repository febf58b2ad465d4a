"""Work told in words: headings, numbered steps, plain lines, cautions where they belong; set into columns of a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import cap_height, legible, paragraph
from bentwork.units import Ruler

__all__ = ["ToldPart", "snug", "told_pages"]

_Page = TypeVar("_Page")

_TITLE, _WORDS = 12.0, 10.0  # points
_STEP = cap_height(_WORDS) * 1.8
_INDENT = 6.5
_BOX = ((0.3, 0.9), (3.7, 0.9), (3.7, 4.3), (0.3, 4.3))  # to tick, beside the first line
_SPARSE = 0.3  # a last page that is filled no farther is worth closing up the lines for
_CLOSER = (0.94, 0.88, 0.82)  # of the usual pitch; 0.82 of it is the height of the letters and a tenth


@dataclass(frozen=True, slots=True)
class ToldPart:
    """A part of the work.

    Args:
        title: its heading.
        lines: what is to be done or known, a sentence or two each.
        cautions: what can hurt someone just there.
        numbered: the lines are steps, in this order.
        ticks: a box to tick stands before each line.
        intro: what is to be known before the lines; empty for nothing.
    """

    title: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    numbered: bool = False
    ticks: bool = False
    intro: str = ""

    def in_shop(self, ruler: Ruler) -> ToldPart:
        """Return the part with the sizes usual in the maker's shop: mm and °C, or inches and °F."""
        usual = ruler.usual
        lines, cautions = (tuple(map(usual, words)) for words in (self.lines, self.cautions))
        return replace(self, lines=lines, cautions=cautions, intro=usual(self.intro))


def snug(laid: Callable[[float], tuple[list[_Page], float]]) -> list[_Page]:
    """Return the pages that words are set on, lines a little closer where that spares a last page with hardly any.

    Args:
        laid: from the pitch of the lines, 1 as usual, to the pages and how far the last of them is filled, 0 to 1.
    """
    pages, filled = laid(1.0)
    if len(pages) > 1 and filled < _SPARSE:
        closer = (laid(pitch)[0] for pitch in _CLOSER)
        return next((fewer for fewer in closer if len(fewer) < len(pages)), pages)
    return pages


def told_pages(parts: Sequence[ToldPart], wide: float, high: float, first: float | None = None) -> list[Drawing]:
    """Return the parts set into boxes of this width and height, mm, a drawing for each page.

    A heading never stands without its first line; a line is not broken over two pages.

    Args:
        parts: in their order.
        wide: of a page's room.
        high: of a page's room.
        first: height of the room on the first page, mm; None for that of the others.
    """
    return snug(lambda pitch: _set(parts, (wide, high), first, pitch))


def _set(
    parts: Sequence[ToldPart], size: tuple[float, float], first: float | None, pitch: float
) -> tuple[list[Drawing], float]:
    wide, high = size
    pages: list[list[Item]] = [[]]
    y, room = 0.0, high if first is None else first
    for part in parts:
        blocks = _blocks(part, wide, pitch)
        for number, block in enumerate(blocks):
            beside = blocks[1].height if number == 0 and len(blocks) > 1 else 0.0
            if y + block.height + beside > room and (pages[-1] or first is not None):
                pages.append([])
                y, room = 0.0, high
                first = None
            pages[-1] += block.moved(0.0, y)
            y += block.height
        y += 2.0 * pitch
    return [Drawing(wide, high, tuple(items)) for items in pages], y / room


def _blocks(part: ToldPart, wide: float, pitch: float) -> list[Drawing]:
    """Heading, lines and cautions of a part, a drawing each."""
    heading = (
        Label((0.0, 5.5), legible(part.title), _TITLE, ("left", "bottom"), True),
        Stroke(((0.0, 6.6), (wide, 6.6)), FINE, cap="butt"),
    )
    blocks = [Drawing(wide, 8.6, heading)]
    if part.intro:
        blocks.append(_line(part.intro, "", wide, pitch))
    for number, line in enumerate(part.lines, 1):
        sign = f"{number}" if part.numbered else ""
        blocks.append(_line(line, sign, wide, pitch, tick=part.ticks and not part.numbered))
    blocks += [_line(caution, "!", wide, pitch, bold=True) for caution in part.cautions]
    return blocks


def _line(text: str, sign: str, wide: float, pitch: float, *, bold: bool = False, tick: bool = False) -> Drawing:
    indent = _INDENT if sign or tick else 0.0
    step = _STEP * pitch
    lines = paragraph(legible(text), _WORDS * (1.15 if bold else 1.0), wide - indent)
    items: list[Item] = []
    if sign:
        items.append(Label((0.0, step), sign, _WORDS, ("left", "bottom"), True))
    if tick:
        down = step - _STEP
        items.append(Stroke(tuple((x, y + down) for x, y in _BOX), THIN, closed=True))
    for number, line in enumerate(lines):
        items.append(Label((indent, step * (number + 1)), line, _WORDS, ("left", "bottom"), bold))
    return Drawing(wide, step * len(lines) + 1.3 * pitch, tuple(items))
