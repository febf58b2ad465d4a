"""A page for each bender: its drawing, and a table of every size with room to write what the tape says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.sheets.bender_picture import BenderPicture, bar_at, bender_picture, letters_of
from bentwork.sheets.cautions import AT_THE_BENDER, AT_THE_TAPE
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph, text_width
from bentwork.sheets.stock_words import section_words
from bentwork.sheets.subject import Paper
from bentwork.stock.section import Section, Way
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import Size, sizes_of
from bentwork.units import Ruler

__all__ = ["BenderSubject", "bender_sheet"]

_MARGIN = 12.0
_HEAD = 18.5
_GUTTER = 6.0
_WORDS, _KEY, _VALUE, _LETTER = 8.0, 9.0, 12.0, 13.0  # points
_PAD = 1.2  # mm above a row's first line
_LINE = 3.1  # mm from line to line of the words
_LETTER_WIDE, _VALUE_WIDE, _BLANK_WIDE = 8.0, 17.0, 18.0
_LEAST_PICTURE = 60.0  # mm; with less room the table goes to a second page
_NOTES = {
    "wrap": "The die stands still; the arm carries the follower round it.",
    "draw": "The die turns and pulls the bar; the follower stands still.",
    "ram": "The former is pushed between the rollers; what is dashed is not measured.",
    "vee": "The punch is pushed into the block; height and slope of both are not measured.",
}


_BY_HAND = "The die stands still; the bar is pulled round it."


@dataclass(frozen=True, slots=True)
class BenderSubject:
    """One bender of a job, with what is printed of it.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        ruler: how lengths are shown.
        bender: the bender.
        section: of a bar that is bent on it; None where no piece uses it.
        way: which way that bar is bent.
    """

    job: str
    version: str
    date: str
    ruler: Ruler
    bender: Bender
    section: Section | None = None
    way: Way = "easy"


def bender_sheet(subject: BenderSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the page of a bender; two where its table leaves no room for the drawing."""
    wide = paper.width - 2.0 * _MARGIN
    bender = subject.bender
    cautions = _cautions(wide)
    rows = [
        _row(size, letters_of(bender)[size.path], subject.ruler, (wide - _GUTTER) / 2.0) for size in sizes_of(bender)
    ]
    table = _table(rows, subject.ruler, wide)
    top, bottom = _MARGIN + _HEAD, paper.height - _MARGIN
    room = bottom - cautions.height - 4.0 - table.height - top
    apart = room < _LEAST_PICTURE
    if apart:
        room = bottom - top - 8.0
    bar = bar_at(bender, subject.section, subject.way)
    picture = bender_picture(bender, bar, (wide, room - 7.0))
    pages = 2 if apart else 1
    first = [*_head(subject, paper, (1, pages), _told(subject, picture))]
    first += picture.drawing.moved(_MARGIN + max(0.0, (wide - picture.drawing.width) / 2.0), top + 2.0)
    second = first
    place = min(top + room, top + picture.drawing.height + 9.0)
    if apart:
        second, place = [*_head(subject, paper, (2, pages), "")], top + 2.0
    second += table.moved(_MARGIN, place)
    second += cautions.moved(_MARGIN, bottom - cautions.height)
    sheets = [first, second] if apart else [first]
    return tuple(Drawing(paper.width, paper.height, tuple(items)) for items in sheets)


def _told(subject: BenderSubject, picture: BenderPicture) -> str:
    """Return what is drawn, in one line under the title."""
    down = 1.0 / picture.scale
    scale = f"1:{down:g}" if down >= 1.0 else f"{picture.scale:g}:1"
    bar = (
        f"bar as drawn: {section_words(subject.section, subject.ruler)}"
        if subject.section
        else "bar: a guess, no piece is bent on it"
    )
    hand = "" if subject.bender.kind in ("ram", "vee") else f"{subject.bender.hand}-hand · "
    longer = ", the arm cut short" if any(one.broken for one in picture.dimensions.values()) else ""
    by_hand = subject.bender.kind == "wrap" and not (subject.bender.arm or subject.bender.follower)
    return f"{hand}{bar} · drawn {scale}{longer}. {_BY_HAND if by_hand else _NOTES[subject.bender.kind]}"


def _head(subject: BenderSubject, paper: Paper, page: tuple[int, int], told: str) -> list[Item]:
    left, right, top = _MARGIN, paper.width - _MARGIN, _MARGIN
    counted = "bender" if page[1] == 1 else f"bender · page {page[0]} of {page[1]}"
    facts = " · ".join(
        legible(fact) for fact in (f"version {subject.version}" if subject.version else "", subject.date) if fact
    )
    taken = max(text_width(counted, 12.0, True), text_width(facts, 10.0, True)) + 5.0
    title, size = fitted(legible(subject.bender.name), 22.0, right - left - taken, True, 12.0)
    job, job_size = fitted(legible(subject.job), 10.0, right - left - taken)
    items: list[Item] = [
        Label((left, top), title, size, ("left", "top"), True),
        Label((left, top + 7.5), job, job_size, ("left", "top")),
        Label((right, top), counted, 12.0, ("right", "top"), True),
        Label((right, top + 7.5), facts, 10.0, ("right", "top"), True),
        Stroke(((left, top + 11.5), (right, top + 11.5)), BOLD),
    ]
    if told:
        items += [
            Label((left, top + 13.2 + 3.6 * number), line, 8.5, ("left", "top"))
            for number, line in enumerate(paragraph(told, 8.5, right - left))
        ]
    return items


@dataclass(frozen=True, slots=True)
class _Row:
    letter: str
    key: str
    value: str
    lines: tuple[str, ...]

    @property
    def height(self) -> float:
        return max(_PAD + cap_height(_VALUE) + 1.0 + _LINE * len(self.lines) + 0.4, 8.5)


def _row(size: Size, letter: str, ruler: Ruler, wide: float) -> _Row:
    room = wide - _LETTER_WIDE - _BLANK_WIDE - 2.5
    words = f"{size.says[0].upper()}{size.says[1:]}. {size.measure}"
    return _Row(letter, size.key, ruler.tape(size.value), paragraph(words, _WORDS, room))


def _table(rows: Sequence[_Row], ruler: Ruler, wide: float) -> Drawing:
    """Return the table in two columns, as even as they can be."""
    column = (wide - _GUTTER) / 2.0
    cut = min(range(len(rows) + 1), key=lambda n: (max(_high(rows[:n]), _high(rows[n:])), -n))
    items: list[Item] = []
    for left, part in ((0.0, rows[:cut]), (column + _GUTTER, rows[cut:])):
        if part:
            items += _column(part, ruler, left, column)
    return Drawing(wide, 6.0 + max(_high(rows[:cut]), _high(rows[cut:])), tuple(items))


def _high(rows: Sequence[_Row]) -> float:
    return sum(row.height for row in rows)


def _column(rows: Sequence[_Row], ruler: Ruler, left: float, wide: float) -> list[Item]:
    right = left + wide
    blank = right - _BLANK_WIDE
    items: list[Item] = [
        Label((left, 3.5), "key in the job file, and how to measure", _WORDS, ("left", "bottom"), True),
        Label((blank - 1.5, 3.5), ruler.units, _WORDS, ("right", "bottom"), True),
        Label((blank + 1.0, 3.5), "measured", _WORDS, ("left", "bottom"), True),
        Stroke(((left, 5.0), (right, 5.0)), BOLD),
    ]
    y = 5.0
    for row in rows:
        base = y + _PAD + cap_height(_VALUE)
        value, size = fitted(row.value, _VALUE, _VALUE_WIDE - 1.5, True)
        items += [
            Label((left, base), row.letter, _LETTER, ("left", "bottom"), True),
            Label((left + _LETTER_WIDE, base), row.key, _KEY, ("left", "bottom"), True),
            Label((blank - 1.5, base), value, size, ("right", "bottom"), True),
            Stroke(_frame(blank, y + 0.8, right, y + row.height - 0.8), THIN, closed=True),
            Stroke(((left, y + row.height), (right, y + row.height)), FINE),
        ]
        items += [
            Label((left + _LETTER_WIDE, base + 1.0 + _LINE * (n + 1) - 0.9), line, _WORDS, ("left", "bottom"))
            for n, line in enumerate(row.lines)
        ]
        y += row.height
    return items


def _frame(left: float, top: float, right: float, bottom: float) -> tuple[tuple[float, float], ...]:
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def _cautions(wide: float) -> Drawing:
    lines = [
        (number == 0, line)
        for caution in (*AT_THE_TAPE, AT_THE_BENDER[0], AT_THE_BENDER[1])
        for number, line in enumerate(paragraph(caution, 8.5, wide - 4.0))
    ]
    items: list[Item] = []
    for number, (starts, line) in enumerate(lines):
        base = 3.2 + 3.7 * number
        items.append(Label((4.0, base), line, 8.5, ("left", "bottom")))
        if starts:
            items.append(Label((0.0, base), "•", 8.5, ("left", "bottom")))
    return Drawing(wide, 3.7 * len(lines), tuple(items))
