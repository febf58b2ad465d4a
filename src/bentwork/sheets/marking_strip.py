"""The marking strip: the straight bar printed at 1:1 with its marks, to tape along the bar or to wrap round it."""

from __future__ import annotations

from bentwork.sheets.drawing import THIN, Drawing, Item
from bentwork.sheets.lettering import legible
from bentwork.sheets.page_parts import (
    HEAD_HEIGHT,
    MARGIN,
    check_bars_across,
    check_bars_down,
    head,
    instructions,
    outline,
)
from bentwork.sheets.placing import Box, Room, words
from bentwork.sheets.strip_bends import bend_hatch, bend_tags, mark_lines, round_lines
from bentwork.sheets.strip_ends import caption, end_tags, joints, trim_zones
from bentwork.sheets.strip_holes import hole_lines, hole_tags
from bentwork.sheets.strip_rows import Row, base_line, lay_rows, strip_height, wraps
from bentwork.sheets.strip_scale import scale, scale_height
from bentwork.sheets.subject import Paper, Subject

__all__ = ["marking_strip"]

_CHECK_ROOM = 122.0


def marking_strip(subject: Subject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of the strip, lying on their long edge, edge to edge at 1:1.

    Args:
        subject: the piece.
        paper: upright; it is turned here.
    """
    sheet = paper.sideways
    height = strip_height(subject.stock.section)
    base = base_line(height, subject.marks, scale_height(height)) if wraps(subject.stock.section) else None
    pages = lay_rows(subject.cut_length, height, subject.ruler, sheet)
    return tuple(
        Drawing(
            sheet.width,
            sheet.height,
            (
                *(item for row in rows for item in _row(subject, row, base)),
                *head(subject, "marking strip", (number, len(pages)), (MARGIN, MARGIN, sheet.width - MARGIN)),
                *_foot(subject, sheet, sum(map(len, pages))),
            ),
        )
        for number, rows in enumerate(pages, 1)
    )


def _row(subject: Subject, row: Row, base: float | None) -> tuple[Item, ...]:
    """Everything of one row: what may lie under words first, then the words, the outline last."""
    below = row.top + scale_height(row.height)
    box = row.box
    room = Room(Box(box.left + 0.6, row.top, box.right - 0.6, box.bottom))
    room.block(Box(box.left, row.top, box.right, below))
    under = [
        *bend_hatch(row, subject.marks, below),
        *trim_zones(row, subject.cut_length, subject.trim, below),
        *joints(row, room, below),
        *mark_lines(row, subject, room),
        *hole_lines(row, subject, base, room),
        *scale(row, subject.ruler),
        *(round_lines(row, subject, base, room) if base is not None else ()),
    ]
    over = [
        *bend_tags(row, subject, base, room, below),
        *hole_tags(row, subject, base, room, below),
        *end_tags(row, subject.cut_length, subject.trim, room, below),
        *(_base_words(row, base, room) if base is not None else ()),
        *_whose(subject, row, room, below),
    ]
    return (*under, *over, outline(box, THIN), *caption(row, subject.ruler))


def _base_words(row: Row, base: float, room: Room) -> tuple[Item, ...]:
    """Name the base line once a row, where there is room on it."""
    tag = words(("base line 0",), 8.5)
    y = row.top + base - tag.height / 2.0
    return room.put(tag, [(x, y) for x in _across(row, tag)], if_free=True)


def _whose(subject: Subject, row: Row, room: Room, below: float) -> tuple[Item, ...]:
    """Say on every row whose it is: rows lie about on the bench."""
    version = legible(subject.version)
    tag = words((legible(subject.title) + (f" · {version}" if version else ""),), 8.5)
    heights = (row.box.bottom - 1.2 - tag.height, (below + row.box.bottom) / 2.0, below + 0.8)
    return room.put(tag, [(x, y) for y in heights for x in _across(row, tag)], if_free=True)


def _across(row: Row, tag: Drawing) -> list[float]:
    """Places for words along a row, from its left end on."""
    count = int((row.box.right - row.box.left - tag.width - 14.0) / 4.0)
    return [row.box.left + 12.0 + 4.0 * n for n in range(max(1, count))]


def _foot(subject: Subject, sheet: Paper, rows: int) -> tuple[Item, ...]:
    bottom = sheet.height - MARGIN
    right = sheet.width - MARGIN
    cut = (
        "Cut the rows out on their outlines and tape them to one strip: letter on letter, edge on dashed line."
        if rows > 1
        else "Cut the strip out on its outline."
    )
    units = "inches" if subject.ruler.units == "in" else "mm"
    heavy = "Heavy lines across the bar go on the tool"
    if subject.marks and wraps(subject.stock.section):
        heavy += "; the short ones along it lie on the inside of their bend"
    names = "S start, E end of a bend" + (", M what you line up" if any(mark.behind for mark in subject.marks) else "")
    if subject.drilled and wraps(subject.stock.section):
        heavy += ". Circles are holes; drill dashed ones when it is bent"
    elif subject.drilled:
        heavy += ". Chain lines are holes: into which side is on the page of small parts"
    says = f"{cut} {_where(subject)} {heavy}. All numbers are {units} from end A; {names}."
    return (
        *instructions(says, MARGIN, bottom, sheet.width - 2.0 * MARGIN - _CHECK_ROOM - 4.0, 8.5),
        *check_bars_across(right - _CHECK_ROOM + 6.0, bottom, subject.ruler),
        *check_bars_down(right, MARGIN + HEAD_HEIGHT + 12.0, subject.ruler),
    )


def _where(subject: Subject) -> str:
    """Say where on the bar the strip goes."""
    if wraps(subject.stock.section):
        return "Lay its end A on end A of the bar and wrap it round once: the long edges meet."
    if subject.stock.section.kind in ("round", "tube") or subject.way == "hard":
        return "Tape it along the bar, end A on end A."
    return "Tape it on the face that comes inside bend 1, end A on end A."
