"""A row of crossbars on their rail, drawn: the tape along the rail, the bars, what goes between them, the stops."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import legible, text_width
from bentwork.sheets.page_parts import hatch, outline
from bentwork.sheets.placing import Box

__all__ = ["RowDrawn", "row_picture"]

_WORDS = 8.0  # points
_NAMES, _BARS, _RAIL, _TAPE = 4.5, 10.0, 3.5, 3.4  # heights of the strips, from the top, mm
_BLOCK = 4.0
_STOP = 2.4
_LINES_OF_TAPE = 3


@dataclass(frozen=True, slots=True)
class RowDrawn:
    """Bars on a straight.

    Args:
        length: of the straight, mm.
        bars: name of each, and from where to where it reaches along the straight, mm.
        tape: where the middle of each stands, as it is read off the tape.
        rooms: what is between neighbouring bars, in words; empty where they leave no room.
    """

    length: float
    bars: tuple[tuple[str, float, float], ...]
    tape: tuple[str, ...]
    rooms: tuple[str, ...]


def row_picture(row: RowDrawn, width: float) -> Drawing:
    """Return the row: bars stand up from the rail, blocks and stops on it, the tape below it; not to scale across.

    Args:
        row: what is drawn.
        width: of the drawing, mm.
    """
    scale = (width - 2.0 * _STOP) / row.length
    rail = _NAMES + _BARS
    items: list[Item] = [outline(Box(_STOP, rail, width - _STOP, rail + _RAIL), THIN)]

    def at(along: float) -> float:
        return _STOP + along * scale

    named = -1.0
    for name, low, high in row.bars:
        left, right = at(low), max(at(high), at(low) + 0.8)
        items.append(outline(Box(left, _NAMES, right, rail), BOLD))
        half, middle = text_width(legible(name), _WORDS) / 2.0, (left + right) / 2.0
        if middle - half > named and middle + half <= width:
            items.append(Label((middle, _NAMES - 1.0), legible(name), _WORDS, ("centre", "bottom")))
            named = middle + half + 1.0
    for words, (_, _, low), (_, high, _) in zip(row.rooms, row.bars, row.bars[1:], strict=False):
        if words:
            items += _room(Box(at(low), rail - _BLOCK, at(high), rail), legible(words))
    items += [_stop(at(row.bars[0][1]), rail, -1.0), _stop(at(row.bars[-1][2]), rail, 1.0)]
    tape, lines = _tape(row, scale, rail + _RAIL, width)
    return Drawing(width, rail + _RAIL + 3.5 + lines * _TAPE, (*items, *tape))


def _room(box: Box, words: str) -> list[Item]:
    """The blocks between two bars."""
    items: list[Item] = [outline(box, FINE), *hatch(box, 1.5)]
    if text_width(words, _WORDS) + 1.0 < box.right - box.left:
        items.append(Label(((box.left + box.right) / 2.0, box.top - 0.8), words, _WORDS, ("centre", "bottom")))
    return items


def _stop(x: float, rail: float, way: float) -> Stroke:
    """A stop clamped to the rail: a filled triangle with its back to the bar."""
    top = rail - _BLOCK
    return Stroke(((x, top), (x + way * _STOP, rail), (x, rail)), FINE, fill="black", closed=True)


def _tape(row: RowDrawn, scale: float, top: float, width: float) -> tuple[list[Item], int]:
    """Ticks at the middles of the bars, the tape's number in the first of three lines with room; how many it takes."""
    items: list[Item] = []
    taken = [-1.0] * _LINES_OF_TAPE
    for (_, low, high), words in zip(row.bars, row.tape, strict=True):
        x, half = _STOP + (low + high) / 2.0 * scale, text_width(words, _WORDS, True) / 2.0
        middle = min(max(x, half), width - half)
        line = next((k for k, end in enumerate(taken) if middle - half > end), None)
        down = top + 1.6 + (line or 0) * _TAPE
        items.append(Stroke(((x, top - _RAIL), (x, down)), FINE, cap="butt"))
        if line is not None:
            items.append(Label((middle, down + 3.0), words, _WORDS, ("centre", "bottom"), True, halo=True))
            taken[line] = middle + half + 1.0
    return items, max(1, sum(end > 0.0 for end in taken))
