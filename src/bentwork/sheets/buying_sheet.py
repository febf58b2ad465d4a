"""The buying list: what to buy with amounts, masses and prices, and how the bars are cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bentwork.parts.cutting import CuttingPlan
from bentwork.sheets.bar_plan import bar_rows
from bentwork.sheets.drawing import BOLD, FINE, Drawing, Item, Label, Stroke
from bentwork.sheets.lettering import fitted, legible, paragraph, text_width
from bentwork.sheets.subject import Paper
from bentwork.units import Ruler

__all__ = ["BuyingLine", "BuyingSubject", "StockCut", "buying_sheet"]

_MARGIN = 12.0
_HEAD = 15.0
_WORDS = 10.0
_SMALL = 8.5
_LINE = 4.8
_SAWING = (
    "Sawing: the numbers below a bar are the near sides of the cuts, on one tape hooked to the sawn end. Clamp the bar "
    "on both sides of the cut, wear eye and ear protection, and take the burr off before the bar is handled or bent."
)


@dataclass(frozen=True, slots=True)
class BuyingLine:
    """A line of the list, in words: how much, what, where that is from, mass, price; empty where there is none."""

    amount: str
    name: str
    why: str
    mass: str
    price: str


@dataclass(frozen=True, slots=True)
class StockCut:
    """A stock in words, and how its bars are cut; None where no bar is on sale, with the words of what is wanted."""

    words: str
    plan: CuttingPlan | None
    told: str


@dataclass(frozen=True, slots=True)
class BuyingSubject:
    """What the list is about.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        ruler: how lengths are shown.
        lines: to buy.
        sum: the last lines, in words.
        stocks: and their cuts.
        notes: what there is to say besides.
    """

    job: str
    version: str
    date: str
    ruler: Ruler
    lines: tuple[BuyingLine, ...]
    sum: tuple[str, ...]
    stocks: tuple[StockCut, ...]
    notes: tuple[str, ...]


def buying_sheet(subject: BuyingSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of the buying list."""
    wide = paper.width - 2.0 * _MARGIN
    top, bottom = _MARGIN + _HEAD, paper.height - _MARGIN
    pages: list[list[Item]] = [[]]
    y = top
    for part, stays in _parts(subject, wide):
        # What stays with the next part is put on a new page when that would not fit after it.
        if y + part.height + stays > bottom and pages[-1]:
            pages.append([])
            y = top
        pages[-1] += part.moved(_MARGIN, y)
        y += part.height
    return tuple(
        Drawing(paper.width, paper.height, (*_head(subject, paper, (number, len(pages))), *items))
        for number, items in enumerate(pages, 1)
    )


def _head(subject: BuyingSubject, paper: Paper, page: tuple[int, int]) -> list[Item]:
    left, right, top = _MARGIN, paper.width - _MARGIN, _MARGIN
    counted = "buying list" if page[1] == 1 else f"buying list · page {page[0]} of {page[1]}"
    room = right - left - text_width(counted, 12.0, True) - 5.0
    title, size = fitted(legible(subject.job), 20.0, room, True, 11.0)
    facts = " · ".join(
        legible(fact) for fact in (f"version {subject.version}" if subject.version else "", subject.date) if fact
    )
    unit = "lengths in inches" if subject.ruler.units == "in" else "lengths in mm"
    return [
        Label((left, top), title, size, ("left", "top"), True),
        Label((right, top), counted, 12.0, ("right", "top"), True),
        Label((left, top + 7.5), unit, 10.0, ("left", "top")),
        Label((right, top + 7.5), facts, 10.0, ("right", "top"), True),
        Stroke(((left, top + 11.5), (right, top + 11.5)), BOLD),
    ]


def _parts(subject: BuyingSubject, wide: float) -> Iterator[tuple[Drawing, float]]:
    """Yield the parts of the list from top to bottom, each with the room that what belongs to it takes below."""
    yield _line_of(("", "what to buy", "", subject.ruler.mass_unit, "price"), wide, head=True), 12.0
    for line in subject.lines:
        yield _line_of((line.amount, line.name, line.why, line.mass, line.price), wide), 0.0
    for number, words in enumerate(subject.sum):
        yield _words(words, wide, bold=number == 0, right=True), 0.0
    for words in subject.notes:
        yield _words(words, wide, size=_SMALL), 0.0
    yield _words(_SAWING, wide, size=_SMALL), 0.0
    for stock in subject.stocks:
        rows = bar_rows(stock.plan, subject.ruler, wide) if stock.plan is not None else ()
        yield _title(f"Saw {legible(stock.words)}", wide), 12.0 + (rows[0].height if rows else 0.0)
        if stock.told:
            yield _words(stock.told, wide, size=_SMALL), 0.0
        for row in rows:
            yield row, 0.0


def _title(words: str, wide: float) -> Drawing:
    items: list[Item] = [Label((0.0, 9.0), words, 12.0, ("left", "bottom"), True)]
    items.append(Stroke(((0.0, 10.2), (wide, 10.2)), FINE, cap="butt"))
    return Drawing(wide, 12.5, tuple(items))


def _line_of(cells: Sequence[str], wide: float, *, head: bool = False) -> Drawing:
    """Return a line of the table: amount, name with what it is reckoned from below it, mass, price; a box to tick."""
    amount, name, why, mass, price = (legible(cell) for cell in cells)
    first, mass_at, price_at = 34.0, wide - 24.0, wide
    size = _SMALL if head else _WORDS
    room = mass_at - first - 18.0
    names, whys = paragraph(name, size, room) or ("",), paragraph(why, _SMALL, room) if why else ()
    items: list[Item] = [Label((first - 3.0, _LINE), amount, size, ("right", "bottom"), not head)]
    if not head:
        square = ((0.0, 1.2), (3.6, 1.2), (3.6, 4.8), (0.0, 4.8))
        items.append(Stroke(square, FINE, closed=True))
    y = _LINE
    for line in names:
        items.append(Label((first, y), line, size, ("left", "bottom"), not head))
        y += _LINE
    for line in whys:
        items.append(Label((first, y - 0.6), line, _SMALL, ("left", "bottom")))
        y += _LINE - 0.8
    items.append(Label((mass_at, _LINE), mass, size, ("right", "bottom")))
    items.append(Label((price_at, _LINE), price, size, ("right", "bottom")))
    under = y - _LINE + 1.6
    items.append(Stroke(((0.0, under), (wide, under)), BOLD if head else FINE, cap="butt"))
    return Drawing(wide, under + 0.6, tuple(items))


def _words(words: str, wide: float, *, size: float = _WORDS, bold: bool = False, right: bool = False) -> Drawing:
    lines = paragraph(legible(words), size, wide)
    step = _LINE if size >= _WORDS else _LINE - 0.6
    where = (wide if right else 0.0, "right" if right else "left")
    items = tuple(
        Label((float(where[0]), step * (k + 1)), line, size, ("right" if right else "left", "bottom"), bold)
        for k, line in enumerate(lines)
    )
    return Drawing(wide, step * len(lines) + 1.6, items)
