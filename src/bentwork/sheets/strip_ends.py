"""Ends, trim and joints of a marking strip."""

from __future__ import annotations

from bentwork.sheets.drawing import BOLD, FINE, HEAVY, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.sheets.page_parts import arrow, hatch, ring
from bentwork.sheets.placing import Box, Room, words
from bentwork.sheets.strip_rows import OVERLAP, Row
from bentwork.units import Ruler

__all__ = ["caption", "end_tags", "joints", "trim_zones"]

_LOW = 18.0  # a strip this low has no room for what to do to end A
_TRIM_WORDS = ("trim:", "cut off last")


def caption(row: Row, ruler: Ruler) -> tuple[Item, ...]:
    """Return the words above a row: which stretch of the bar it is, and what it is joined to."""
    y = row.top - 1.0
    middle = (row.box.left + row.box.right) / 2.0
    text = f"row {row.number} of {row.rows} · "
    if row.number == 1 and row.height < _LOW:
        text += "notch end A with a file · "
    if row.number < row.rows:
        text += f"from {ruler.length(row.start)} on"
    else:
        text += f"from {ruler.length(row.start)} to end B at {ruler.length(row.stop)}"
    before, after = row.letter_before, row.letter_after
    items = [Label((middle, y), text, 8.5, ("centre", "bottom"))]
    if row.box.right - row.box.left < text_width(text, 8.5) + 40.0:
        items = [Label((row.left + 22.0 * (before is not None), y), text, 8.5, ("left", "bottom"))]
    if before:
        items.append(Label((row.left, y), f"join {before} to {before}", 8.5, ("left", "bottom"), True))
    if after:
        items.append(Label((row.box.right, y), f"join {after} to {after}", 8.5, ("right", "bottom"), True))
    return tuple(items)


def joints(row: Row, room: Room, below: float) -> tuple[Item, ...]:
    """Return the dashed lines and letters of the joints: each row's edge goes on the other row's dashed line.

    Args:
        row: of the strip.
        room: the letters' places are kept free in it.
        below: y under which the letters may stand, mm.
    """
    items: list[Item] = []
    box = row.box
    for letter, edge, line in (
        (row.letter_before, box.left, box.left + OVERLAP),
        (row.letter_after, box.right, box.right - OVERLAP),
    ):
        if letter is None:
            continue
        items.append(Stroke(((line, box.top), (line, box.bottom)), THIN, dash="dash", cap="butt"))
        radius = min(OVERLAP / 2.0 - 0.6, (box.bottom - below) / 2.0 - 0.3)
        size = 14.0 if len(letter) == 1 else 10.0
        middle = ((edge + line) / 2.0, (below + box.bottom) / 2.0)
        items += [ring(middle, radius, FINE), Label(middle, letter, size, bold=True)]
        room.block(Box(min(edge, line), below, max(edge, line), box.bottom))
    return tuple(items)


def trim_zones(row: Row, cut_length: float, trim: float, below: float) -> tuple[Item, ...]:
    """Return the cross-hatched spare lengths on both ends, with a line where the saw goes."""
    if trim <= 0.0:
        return ()
    items: list[Item] = []
    for start, stop, saw in ((0.0, trim, trim), (cut_length - trim, cut_length, cut_length - trim)):
        shown = row.shows(start, stop)
        if shown is None:
            continue
        zone = Box(row.x(shown[0]), below, row.x(shown[1]), row.box.bottom)
        items += [*hatch(zone, 2.0, True, "grey"), *hatch(zone, 2.0, False, "grey")]
        if row.holds(saw):
            x = row.x(saw)
            items.append(Stroke(((x, row.top), (x, row.box.bottom)), BOLD, dash="dash", cap="butt"))
    return tuple(items)


def end_tags(row: Row, cut_length: float, trim: float, room: Room, below: float) -> tuple[Item, ...]:
    """Return the names of the ends that lie on this row, and the words of the trim."""
    items: list[Item] = []
    box = row.box
    levels = _levels(below, box.bottom)
    first, last = row.number == 1, row.number == row.rows
    if trim > 0.0 and first:
        items += _trim_words(box.left, min(box.left + trim, box.right), room, levels, box.bottom)
    if trim > 0.0 and last:
        items += _trim_words(max(box.right - trim, box.left), box.right, room, levels, box.bottom)
    if first:
        items.append(Stroke(((box.left, box.top), (box.left, box.bottom)), HEAVY, cap="butt"))
        spots = [(box.left + dx, y) for dx in _steps(1.2, 80.0) for y in levels]
        items += room.put_one([(tag, spots) for tag in _end_a(box.bottom - below < 9.0)])
    if last:
        items.append(Stroke(((box.right, box.top), (box.right, box.bottom)), HEAVY, cap="butt"))
        tag = _end_b()
        items += room.put(tag, [(box.right - tag.width - dx, y) for dx in _steps(1.2, 80.0) for y in levels])
    return tuple(items)


def _steps(first: float, last: float) -> list[float]:
    return [first + 2.0 * n for n in range(round((last - first) / 2.0) + 1)]


def _levels(top: float, bottom: float) -> list[float]:
    return [top + 0.6 + 1.5 * n for n in range(max(1, int((bottom - top) / 1.5)))]


def _end_a(low: bool) -> tuple[Drawing, ...]:
    """END A with its arrow and what to do, all in one line on a strip for thin bar; and without what to do."""
    name, cue = "END A", "notch this end with a file"
    high, wide = cap_height(14.0), 9.0 + text_width("END A", 14.0, True)
    named: tuple[Item, ...] = (
        *arrow((0.0, high / 2.0), 180.0, 3.6, 3.6),
        Label((9.0, 0.0), name, 14.0, ("left", "top"), True, halo=True),
    )
    aside = (wide + 2.0, high - cap_height(8.5)) if low else (0.0, high + 1.2)
    full = Drawing(
        wide + 2.0 + text_width(cue, 8.5) if low else max(wide, text_width(cue, 8.5)),
        high if low else high + 1.2 + cap_height(8.5),
        (*named, Label(aside, cue, 8.5, ("left", "top"), halo=True)),
    )
    return (full, Drawing(wide, high, named))


def _end_b() -> Drawing:
    name = "END B"
    high, wide = cap_height(14.0), text_width("END B", 14.0, True)
    return Drawing(
        wide + 9.0,
        high,
        (
            Label((0.0, 0.0), name, 14.0, ("left", "top"), True, halo=True),
            *arrow((wide + 9.0, high / 2.0), 0.0, 3.6, 3.6),
        ),
    )


def _trim_words(left: float, right: float, room: Room, levels: list[float], bottom: float) -> tuple[Item, ...]:
    """Inside the trim where they fit, upright or on their side; else beside it."""
    line = " ".join(_TRIM_WORDS)
    flat = words(_TRIM_WORDS if bottom - levels[0] > 9.0 else (line,), 8.5)
    long, high = text_width(line, 8.5), cap_height(8.5)
    upright = Drawing(high, long, (Label((high / 2.0, long / 2.0), line, 8.5, angle=-90.0, halo=True),))
    inside = (left + right) / 2.0
    if right - left >= flat.width + 1.5:
        return room.put(flat, [(x, y) for x in (inside - flat.width / 2.0, left + 1.0) for y in reversed(levels)])
    if right - left >= high + 1.5 and bottom - levels[0] >= long:
        return room.put(upright, [(inside - high / 2.0, bottom - long - 1.0)])
    beside = [right + 1.5, left - flat.width - 1.5]
    return room.put(flat, [(x, y) for x in beside for y in reversed(levels)])
