"""How a marking strip is cut into rows, and how the rows lie on the pages. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.planning.marks import Mark
from bentwork.sheets.page_parts import HEAD_HEIGHT, MARGIN
from bentwork.sheets.placing import Box
from bentwork.sheets.subject import Paper
from bentwork.stock.section import Section
from bentwork.units import INCH, Ruler

__all__ = [
    "FLAG_HEIGHT",
    "FOOT_HEIGHT",
    "OVERLAP",
    "SIDE_WIDTH",
    "Row",
    "base_line",
    "lay_rows",
    "round_at",
    "strip_height",
    "wraps",
]

OVERLAP = 10.0
"""What two rows have in common."""

FLAG_HEIGHT = 24.0
"""Height of a strip that lies along the bar."""

WIDEST_WRAP, NARROWEST_WRAP = 80.0, 12.0
"""A bar whose skin measures more round than this has its strip along it; so has one too thin to carry the numbers."""

FOOT_HEIGHT = 14.0
"""Room for the words and the check bar below the rows."""

SIDE_WIDTH = 13.0
"""Room for the check bar that lies down the page."""

_CAPTION, _CLEAR = 3.6, 1.4  # above a row: its words, and the room over them

_LINE_CLEAR = 1.6  # half a heavy line, and what the scissors miss

_LETTERS = "DFGHJKLMNPQRTUVWXYZ"  # A and B are the ends, C, E and S are marks, I and O are read as figures


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a strip: a stretch of the straight bar, where it lies on its page.

    Args:
        number: of the row, from 1.
        rows: how many there are.
        start: where the row begins, from end A.
        stop: where it ends, from end A; the last ``OVERLAP`` of it are on the next row too.
        left: x of ``start`` on the page.
        top: upper edge on the page.
        height: of the strip.
    """

    number: int
    rows: int
    start: float
    stop: float
    left: float
    top: float
    height: float

    def x(self, station: float) -> float:
        """Return where a distance from end A lies on the page."""
        return self.left + station - self.start

    def holds(self, station: float) -> bool:
        """Tell whether a distance from end A is on this row."""
        return self.start - 1e-9 <= station <= self.stop + 1e-9

    def shows(self, start: float, stop: float) -> tuple[float, float] | None:
        """Return the part of a stretch of bar that is on this row; None where it is not."""
        start, stop = max(start, self.start), min(stop, self.stop)
        return (start, stop) if stop - start > 1e-9 else None

    @property
    def box(self) -> Box:
        """The row's outline on the page."""
        return Box(self.left, self.top, self.x(self.stop), self.top + self.height)

    @property
    def letter_before(self) -> str | None:
        """Letter of the joint with the row before; None on the first row."""
        return None if self.number == 1 else joint_letter(self.number - 1)

    @property
    def letter_after(self) -> str | None:
        """Letter of the joint with the next row; None on the last row."""
        return None if self.number == self.rows else joint_letter(self.number)


def joint_letter(number: int) -> str:
    """Return the letter of a joint, from 1: D, F, G ... Z, DD, FF ..."""
    times, index = divmod(number - 1, len(_LETTERS))
    return _LETTERS[index] * (times + 1)


def wraps(section: Section) -> bool:
    """Tell whether the strip of this section is wrapped round it."""
    return section.kind in ("round", "tube") and NARROWEST_WRAP <= section.perimeter <= WIDEST_WRAP


def strip_height(section: Section) -> float:
    """Return the height of the strip: once round the skin, pi d, where it is wrapped."""
    return section.perimeter if wraps(section) else FLAG_HEIGHT


def base_line(height: float, marks: Sequence[Mark], scale: float = 0.0) -> float:
    """Return how far the line at 0 lies below the upper edge of a wrapped strip.

    A quarter of the way round or more: the first such place where every bend's line keeps clear of both edges and of
    the scale; where none does, the first that keeps itself clear of the scale and them of the edges.

    Args:
        height: of the strip.
        marks: of all bends.
        scale: how much of the strip its scale takes.
    """
    places = [height * (0.25 + 0.025 * n) for n in range(17)]

    def clear(base: float, top: float) -> float:
        lines = [base, *(round_at(mark.direction, height, base) for mark in marks)]
        return round(min(min(line - top, height - line) for line in lines), 6)

    for base in places:
        if clear(base, scale) >= _LINE_CLEAR:
            return base
    for base in places:
        if base - scale >= _LINE_CLEAR and clear(base, 0.0) >= _LINE_CLEAR:
            return base
    return max(places, key=lambda base: min(clear(base, 0.0), _LINE_CLEAR))


def round_at(direction: float, height: float, base: float) -> float:
    """Return how far below the upper edge a direction round the bar lies, the strip printed side out, end A left.

    The right-hand rule about A to B then runs down the paper.
    """
    return (base + direction / 360.0 * height) % height


def lay_rows(cut_length: float, height: float, ruler: Ruler, paper: Paper) -> tuple[tuple[Row, ...], ...]:
    """Return the rows of every page.

    Args:
        cut_length: of the bar.
        height: of the strip.
        ruler: rows step on by whole centimetres or inches, all rows by about the same.
        paper: lying on its long edge.
    """
    whole = INCH if ruler.units == "in" else 10.0
    room = paper.width - 2.0 * MARGIN - SIDE_WIDTH
    longest = math.floor((room - OVERLAP) / whole) * whole
    count = max(1, math.ceil((cut_length - OVERLAP) / longest - 1e-9))
    step = min(longest, max(whole, math.ceil((cut_length - OVERLAP) / count / whole - 1e-9) * whole))
    top = MARGIN + HEAD_HEIGHT
    pitch = height + _CAPTION + _CLEAR
    a_page = max(1, math.floor((paper.height - MARGIN - FOOT_HEIGHT - top) / pitch + 1e-9))
    spare = paper.height - MARGIN - FOOT_HEIGHT - top - pitch * min(a_page, count)
    extra = min(6.0, spare / min(a_page, count))
    rows = [
        Row(
            number=index + 1,
            rows=count,
            start=index * step,
            stop=min(index * step + step + OVERLAP, cut_length),
            left=MARGIN,
            top=top + _CAPTION + _CLEAR + extra * 0.5 + (pitch + extra) * (index % a_page),
            height=height,
        )
        for index in range(count)
    ]
    return tuple(tuple(rows[first : first + a_page]) for first in range(0, count, a_page))
