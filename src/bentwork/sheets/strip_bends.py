"""The bends on a marking strip: start, end and centre lines, tape numbers, and where round the bar they go."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.planning.marks import Mark
from bentwork.sheets.drawing import HEAVY, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.sheets.page_parts import hatch, number_ring
from bentwork.sheets.placing import Box, Room, words
from bentwork.sheets.strip_rows import Row, round_at
from bentwork.sheets.subject import Subject
from bentwork.units import angle

__all__ = ["MARK", "bend_hatch", "bend_tags", "beside", "mark_lines", "round_lines", "turn_words"]

MARK = 0.7
"""Weight of the line that is lined up on the tool, mm."""

_REACH = 11.0  # of a bend's line round the bar, to either side of its mark
_NUMBER = 16.0
_ITSELF = 0.05  # mm; a line nearer than this to another is that one


def _lines(subject: Subject, mark: Mark) -> tuple[tuple[str, float], ...]:
    """Name and station of the lines drawn for one bend; the first is the one that goes on the tool."""
    on_tool = subject.lined_up(mark)
    lines = [(f"S{mark.bend}", mark.start), (f"E{mark.bend}", mark.end)]
    if subject.bender is not None and subject.bender.lines_up == "centre":
        lines.append((f"C{mark.bend}", mark.centre))
    if all(abs(station - on_tool) > _ITSELF for _, station in lines):
        lines.append((f"M{mark.bend}", on_tool))  # the tool is set to a place where the bend neither starts nor ends
    return tuple(sorted(lines, key=lambda line: abs(line[1] - on_tool)))


def bend_hatch(row: Row, marks: Sequence[Mark], below: float) -> tuple[Item, ...]:
    """Return the light hatch between start and end of every bend."""
    items: list[Item] = []
    for mark in marks:
        shown = row.shows(mark.start, mark.end)
        if shown is not None:
            items += hatch(Box(row.x(shown[0]), below, row.x(shown[1]), row.box.bottom), 4.0)
    return tuple(items)


def mark_lines(row: Row, subject: Subject, room: Room) -> tuple[Item, ...]:
    """Return the lines of all bends across the strip; the one that goes on the tool is heavy."""
    items: list[Item] = []
    for mark in subject.marks:
        for number, (_, station) in enumerate(_lines(subject, mark)):
            if not row.holds(station):
                continue
            x, weight = row.x(station), MARK if number == 0 else THIN
            items.append(Stroke(((x, row.top), (x, row.box.bottom)), weight, cap="butt"))
            room.block(Box(x - weight, row.top, x + weight, row.box.bottom))
    return tuple(items)


def round_lines(row: Row, subject: Subject, base: float, room: Room) -> tuple[Item, ...]:
    """Return the heavy short lines on the inside of each bend, and the base line; wrapped strips only.

    Args:
        row: of the strip.
        subject: what the strip is for.
        base: how far the line at 0 lies below the upper edge, mm.
        room: their places are kept free in it.
    """
    y = row.top + base
    items: list[Item] = [Stroke(((row.box.left, y), (row.box.right, y)), THIN, dash="chain", cap="butt")]
    for mark in subject.marks:
        middle = subject.lined_up(mark)
        shown = row.shows(middle - _REACH, middle + _REACH)
        if shown is None:
            continue
        at = round_at(mark.direction, row.height, base)
        for y in (row.top + at, row.top + at - row.height, row.top + at + row.height):  # both edges share a line
            y0, y1 = max(y - HEAVY / 2.0, row.top), min(y + HEAVY / 2.0, row.box.bottom)
            if y1 - y0 < 0.05:
                continue
            middle_y = (y0 + y1) / 2.0
            items.append(Stroke(((row.x(shown[0]), middle_y), (row.x(shown[1]), middle_y)), y1 - y0, cap="butt"))
            room.block(Box(row.x(shown[0]), y0 - 0.4, row.x(shown[1]), y1 + 0.4))
    return tuple(items)


def bend_tags(row: Row, subject: Subject, base: float | None, room: Room, below: float) -> tuple[Item, ...]:
    """Return the words of all bends: number and tape number of the mark, names of the lines, and the rotation.

    Args:
        row: of the strip.
        subject: what the strip is for.
        base: of a wrapped strip, mm; None for one that lies along the bar.
        room: what is free.
        below: y of the lower edge of the scale, mm.
    """
    items: list[Item] = []
    bottom = row.box.bottom
    here = [mark for mark in subject.marks if row.holds(subject.lined_up(mark))]
    for mark in here:
        tag = _number_tag(mark.bend, subject.ruler.tape(subject.lined_up(mark)))
        items += room.put(tag, beside(row.x(subject.lined_up(mark)), tag, below + 0.5, bottom - 0.5))
    for mark in subject.marks:
        for name, station in _lines(subject, mark):
            if row.holds(station):
                tag = words((name,), 9.0, True)
                spots = beside(row.x(station), tag, below + 0.5, bottom - 0.8)
                first = name[0] == "E"  # inside the bend, where its hatch tells whose it is
                spots = sorted(spots, key=lambda spot: (spot[0] < row.x(station)) != first)
                items += room.put(tag, spots, if_free=True)
    for mark in here:
        x = row.x(subject.lined_up(mark))
        if base is not None:
            y = row.top + round_at(mark.direction, row.height, base)
            says = (f"inside of bend {mark.bend}", f"inside {mark.bend}", f"in {mark.bend}")
            tags = [words((said,), 9.0) for said in says]
            items += room.put_one([(tag, _along(x, y, tag, below + 0.3, bottom - 0.5)) for tag in tags])
        elif mark.bend > 1:
            tag = words(turn_words(mark.direction), 9.0)
            items += room.put(tag, beside(x, tag, below + 0.5, bottom - 0.5))
    items += _going_on(row, subject, room, below)
    return tuple(items)


def turn_words(direction: float) -> tuple[str, ...]:
    """Say where round the bar a bend goes, degrees from the first bend, right-hand rule about A to B."""
    if abs(direction) < 0.05:
        return ("to the same side", "as bend 1")
    if abs(direction) > 179.95:
        return ("to the other side", "from bend 1")
    way = "clockwise" if direction > 0.0 else "anticlockwise"
    return (f"{angle(abs(direction))} {way} from", "bend 1, seen from end A")


def _number_tag(bend: int, tape: str) -> Drawing:
    items, radius = number_ring((0.0, 0.0), bend)
    width = 2.0 * radius + 1.2 + text_width(tape, _NUMBER, True)
    number = Label((2.0 * radius + 1.2, radius), tape, _NUMBER, ("left", "middle"), True, halo=True)
    return Drawing(width, 2.0 * radius, (number, *Drawing(0.0, 0.0, items).moved(radius, radius)))


def beside(x: float, tag: Drawing, top: float, bottom: float) -> list[tuple[float, float]]:
    """Spots to the right and to the left of a line, from the top down, then a little farther away."""
    levels = [top]
    while levels[-1] + 1.5 + tag.height <= bottom:
        levels.append(levels[-1] + 1.5)
    return [(left, level) for away in (1.3, 4.0, 8.0) for left in (x + away, x - away - tag.width) for level in levels]


def _along(x: float, y: float, tag: Drawing, top: float, bottom: float) -> list[tuple[float, float]]:
    """Spots under and over a short line along the bar, to the right and to the left of the mark; then farther off."""
    levels = [y + 1.1, y - 1.1 - tag.height]
    near = [
        *((left, level) for left in (x + 1.3, x - 1.3 - tag.width) for level in levels),
        *((left, y - tag.height / 2.0) for left in (x + _REACH + 0.8, x - _REACH - 0.8 - tag.width)),
        *((left, level) for left in (x + 5.0, x - 5.0 - tag.width) for level in levels),
    ]
    far = [spot for spot in beside(x, tag, top, bottom) if abs(spot[0] - x) < 6.0 + tag.width]
    return [*near, *sorted(far, key=lambda spot: abs(spot[1] - y))]


def _going_on(row: Row, subject: Subject, room: Room, below: float) -> tuple[Item, ...]:
    """Name the bend that a row without any line of its own lies in."""
    for mark in subject.marks:
        if (
            mark.start < row.start
            and mark.end > row.stop
            and not any(row.holds(station) for _, station in _lines(subject, mark))
        ):
            tag = words((f"inside bend {mark.bend}: bend it all along",), 10.0)
            x = (row.box.left + row.box.right - tag.width) / 2.0
            middle = (below + row.box.bottom) / 2.0
            return room.put(tag, [(x, y) for y in (middle, below + 1.0, row.box.bottom - 1.0 - cap_height(10.0))])
    return ()
