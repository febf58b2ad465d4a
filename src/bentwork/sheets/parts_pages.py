"""The papers of small parts: the list of crossbars, spacings and tabs, then templates and patterns at 1:1."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.sheets.cope_template import cope_templates
from bentwork.sheets.drawing import FINE, Drawing, Item, Label, Stroke
from bentwork.sheets.job_head import JOB_HEAD, job_head
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph
from bentwork.sheets.page_parts import MARGIN, check_bars_across, check_bars_down, instructions
from bentwork.sheets.parts_subject import PartsSubject, PartText
from bentwork.sheets.row_picture import row_picture
from bentwork.sheets.subject import Paper
from bentwork.sheets.tab_card import tab_card
from bentwork.sheets.told_pages import snug

__all__ = ["parts_pages"]

_EDGE = 12.0  # of the list, which is read and filed
_NAME, _WORDS = 13.0, 10.0  # points
_SIDE = {"mm": 10.0, "in": 15.0}  # room for the check bar down the page
_FOOT = {"mm": 33.0, "in": 38.0}
_GAP = 6.0
_LONG = 160.0  # mm; templates of such copes may come in strips

_Placed = tuple[float, float, Drawing]


def parts_pages(subject: PartsSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of small parts: the list first, then what is printed at 1:1; none where there is nothing.

    Args:
        subject: the small parts.
        paper: upright.
    """
    if not subject.texts:
        return ()
    lists, cells = _lists(subject, paper), _laid_out(subject, paper)
    count = len(lists) + len(cells)
    about = (subject.job, subject.version, subject.date)
    pages = []
    for number, items in enumerate(lists, 1):
        head = job_head(
            about, "small parts", "what to cut, drill and set", (number, count), (_EDGE, _EDGE, paper.width - _EDGE)
        )
        pages.append(Drawing(paper.width, paper.height, (*head, *items)))
    for number, placed in enumerate(cells, len(lists) + 1):
        head = job_head(
            about, "small parts", "1:1, to cut out", (number, count), (MARGIN, MARGIN, paper.width - MARGIN)
        )
        drawn = (item for x, y, cell in placed for item in cell.moved(x, y))
        pages.append(Drawing(paper.width, paper.height, (*drawn, *head, *_foot(subject, paper))))
    return tuple(pages)


def _lists(subject: PartsSubject, paper: Paper) -> list[list[Item]]:
    """Things to make under one another, none broken over two pages; cautions at the end."""
    texts = list(subject.texts)
    if subject.cautions:
        texts.append(PartText("Caution", "", subject.cautions))
    wide, top, bottom = paper.width - 2.0 * _EDGE, _EDGE + JOB_HEAD + 4.0, paper.height - _EDGE

    def laid(pitch: float) -> tuple[list[list[Item]], float]:
        pages: list[list[Item]] = [[]]
        y = top
        for text in texts:
            block = _block(text, wide, pitch)
            if y + block.height > bottom and pages[-1]:
                pages.append([])
                y = top
            pages[-1] += block.moved(_EDGE, y)
            y += block.height + 3.5 * pitch
        return pages, (y - top) / (bottom - top)

    return snug(laid)


def _block(text: PartText, wide: float, pitch: float) -> Drawing:
    name, size = fitted(legible(text.name), _NAME, wide * 0.45, True)
    facts, small = fitted(legible(text.facts), _NAME, wide * 0.53, True, 9.0)
    y = cap_height(_NAME)
    items: list[Item] = [
        Label((0.0, y), name, size, ("left", "bottom"), True),
        Label((wide, y), facts, small, ("right", "bottom"), True),
        Stroke(((0.0, y + 1.6), (wide, y + 1.6)), FINE),
    ]
    y += 3.4 + cap_height(_WORDS)
    for said in text.lines:
        for number, line in enumerate(paragraph(legible(said), _WORDS, wide - 6.0)):
            items.append(Label((2.0 if number == 0 else 6.0, y), line, _WORDS, ("left", "bottom")))
            y += cap_height(_WORDS) * 1.8 * pitch
    if text.picture is not None:
        drawn = row_picture(text.picture, wide)
        items += drawn.moved(0.0, y)
        y += drawn.height
    return Drawing(wide, y, tuple(items))


def _laid_out(subject: PartsSubject, paper: Paper) -> list[list[_Placed]]:
    """Templates and cards in rows on as many pages as they take."""
    left, top = MARGIN, MARGIN + JOB_HEAD + 3.0
    right = paper.width - MARGIN - _SIDE[subject.ruler.units]
    bottom = paper.height - MARGIN - _FOOT[subject.ruler.units]
    cells = [cell for wrap in subject.wraps for cell in cope_templates(wrap, subject.ruler, right - left, bottom - top)]
    cells += [tab_card(card, subject.ruler, right - left) for card in subject.tabs]
    pages: list[list[_Placed]] = []
    x = y = shelf = 0.0
    for cell in cells:
        if pages and x + cell.width > right:
            x, y, shelf = left, y + shelf + _GAP, 0.0
        if not pages or y + cell.height > bottom:
            pages.append([])
            x, y, shelf = left, top, 0.0
        pages[-1].append((x, y, cell))
        x, shelf = x + cell.width + _GAP, max(shelf, cell.height)
    return pages


def _foot(subject: PartsSubject, paper: Paper) -> Sequence[Item]:
    bottom, right = paper.height - MARGIN, paper.width - MARGIN
    says = (
        "Cut a template out on its upper line and its edges, wrap it round the bar with its base square, mark the "
        f"upper line. Draw a line along the bar for the line 0 before both ends are marked. {subject.of_wraps}"
    )
    if any(wrap.cope.depth > _LONG for wrap in subject.wraps):
        says += " Strips of one template are glued at their line a, b ..., so that the triangles make diamonds."
    high = _FOOT[subject.ruler.units] - 18.0
    return (
        *instructions(says.strip(), MARGIN, bottom - high, paper.width - 2.0 * MARGIN, 8.5),
        *check_bars_across(MARGIN, bottom, subject.ruler),
        *check_bars_down(right, MARGIN + JOB_HEAD + 14.0, subject.ruler),
    )
