"""The pattern of a bracket at 1:1, to glue on the bar: outline, bend lines, holes; then what is done, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.parts.bracket import FlatHole, Seat
from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Point, Stroke
from bentwork.sheets.lettering import legible
from bentwork.sheets.page_parts import (
    HEAD_HEIGHT,
    MARGIN,
    check_bars_across,
    check_bars_down,
    cross,
    head,
    instructions,
    outline,
)
from bentwork.sheets.placing import Box, Room, spots_round, words
from bentwork.sheets.strip_bends import bend_hatch, bend_tags, mark_lines
from bentwork.sheets.strip_ends import caption, end_tags, joints, trim_zones
from bentwork.sheets.strip_rows import FOOT_HEIGHT, SIDE_WIDTH, Row, lay_rows
from bentwork.sheets.subject import Paper, Subject
from bentwork.sheets.told_pages import ToldPart, told_pages

__all__ = ["BracketSubject", "bracket_sheet"]

_CHECK_ROOM = 122.0


@dataclass(frozen=True, slots=True)
class BracketSubject:
    """A bracket, and what is written of it.

    Args:
        subject: the piece.
        width: of the bar, mm.
        seats: of its holes.
        parts: what is written below: the work in words.
    """

    subject: Subject
    width: float
    seats: tuple[Seat, ...]
    parts: tuple[ToldPart, ...]


def bracket_sheet(bracket: BracketSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of a bracket, lying on their long edge: the pattern at 1:1, then the work in words.

    The words stand below the last of the pattern where there is room for all of them.

    Args:
        bracket: the bracket.
        paper: upright; it is turned here.
    """
    subject, sheet = bracket.subject, paper.sideways
    rows = lay_rows(subject.cut_length, bracket.width, subject.ruler, sheet)
    box = (MARGIN, MARGIN, sheet.width - MARGIN)
    high, below = sheet.height - 2.0 * MARGIN - HEAD_HEIGHT - 4.0, rows[-1][-1].box.bottom + 5.0
    room = sheet.height - MARGIN - FOOT_HEIGHT - below
    told = told_pages(bracket.parts, sheet.width - 2.0 * MARGIN - SIDE_WIDTH, high, first=room)
    beside = len(told) == 1
    if not beside:
        told = told_pages(bracket.parts, sheet.width - 2.0 * MARGIN, high)
    count = len(rows) + (0 if beside else len(told))
    pages = []
    for number, page in enumerate(rows, 1):
        items = [item for row in page for item in _row(bracket, row)]
        items += [*head(subject, "bracket, 1:1", (number, count), box), *_foot(subject, sheet, sum(map(len, rows)))]
        if beside and number == count:
            items += told[0].moved(MARGIN, below)
        pages.append(Drawing(sheet.width, sheet.height, tuple(items)))
    for number, drawn in enumerate(() if beside else told, len(rows) + 1):
        items = [*head(subject, "bracket", (number, count), box), *drawn.moved(MARGIN, MARGIN + HEAD_HEIGHT + 4.0)]
        pages.append(Drawing(sheet.width, sheet.height, tuple(items)))
    return tuple(pages)


def _row(bracket: BracketSubject, row: Row) -> tuple[Item, ...]:
    subject, top = bracket.subject, row.top
    box = row.box
    room = Room(Box(box.left + 0.6, top, box.right - 0.6, box.bottom))
    holes = _holes(bracket, row, room)
    under = [
        *bend_hatch(row, subject.marks, top),
        *trim_zones(row, subject.cut_length, subject.trim, top),
        *joints(row, room, top),
        *mark_lines(row, subject, room),
    ]
    over = [
        *end_tags(row, subject.cut_length, subject.trim, room, top),
        *bend_tags(row, subject, None, room, top),
        *_names(bracket, row, room),
        *_whose(subject, row, room),
    ]
    return (*under, *holes, *over, outline(box, THIN), *caption(row, subject.ruler))


def _on(seat: Seat, row: Row) -> bool:
    along = seat.hole.reach[0]
    return row.shows(seat.hole.x - along, seat.hole.x + along) is not None


def _place(hole: FlatHole, row: Row, x: float, y: float) -> Point:
    return (row.x(x), (row.box.top + row.box.bottom) / 2.0 - y)


def _holes(bracket: BracketSubject, row: Row, room: Room) -> list[Item]:
    """The outlines, dashed where the hole is drilled after bending, with a cross on each middle to punch."""
    items: list[Item] = []
    for seat in bracket.seats:
        if not _on(seat, row):
            continue
        hole = seat.hole
        # What runs over the end of a row is on the next one: it is drawn up to the edge.
        left, right = row.box.left, row.box.right
        ring = [(min(max(x, left), right), y) for x, y in (_place(hole, row, *spot) for spot in hole.ring())]
        items.append(Stroke(tuple(ring), THIN, fill="white", dash="dash" if seat.after else "full", closed=True))
        for x, y in (_place(hole, row, *spot) for spot in dict.fromkeys(hole.rounds)):
            if left < x < right:
                reach = hole.size / 2.0 + 2.0
                items += cross((x, y), min(reach, x - left, right - x), FINE)
        (xs, ys) = zip(*ring, strict=True)
        room.block(Box(min(xs), min(ys), max(xs), max(ys)))
    return items


def _names(bracket: BracketSubject, row: Row, room: Room) -> list[Item]:
    items: list[Item] = []
    for seat in bracket.seats:
        hole = seat.hole
        if not row.holds(hole.x):
            continue
        told = f"{'slot' if hole.half_straight else 'hole'} {hole.number}" + (" AFTER bending" if seat.after else "")
        tag = words((told,), 9.0, True)
        items += room.put(tag, spots_round(_place(hole, row, hole.x, hole.y), tag, max(hole.reach) + 0.8))
    return items


def _whose(subject: Subject, row: Row, room: Room) -> Sequence[Item]:
    tag = words((f"{legible(subject.title)} · {legible(subject.version)}",), 8.0)
    spots = [(row.box.left + 12.0 + 4.0 * n, row.box.bottom - 1.2 - tag.height) for n in range(60)]
    return room.put(tag, spots, if_free=True)


def _foot(subject: Subject, sheet: Paper, rows: int) -> tuple[Item, ...]:
    bottom, right = sheet.height - MARGIN, sheet.width - MARGIN
    cut = "Cut the rows out and tape them to one: letter on letter. " if rows > 1 else "Cut it out. "
    says = (
        f"{cut}Glue it on the face that comes inside bend 1, end A on end A, or prick through it. S and E: where a "
        "bend starts and ends; C: its middle, the bend line. Solid rings are drilled in the flat, dashed ones later."
    )
    return (
        *instructions(says, MARGIN, bottom, sheet.width - 2.0 * MARGIN - _CHECK_ROOM - 4.0, 8.5),
        *check_bars_across(right - _CHECK_ROOM + 6.0, bottom, subject.ruler),
        *check_bars_down(right, MARGIN + HEAD_HEIGHT + 12.0, subject.ruler),
    )
