"""Angle gauges: cards at 1:1 to cut out and set into the inside of a bend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bentwork.sheets.angle_picture import angle_picture
from bentwork.sheets.drawing import THIN, Drawing, Item, Label, Stroke
from bentwork.sheets.gauge_shapes import Card, Gauge, card_for, gauges_for, listed
from bentwork.sheets.lettering import cap_height, legible, paragraph, text_width
from bentwork.sheets.page_parts import (
    HEAD_HEIGHT,
    MARGIN,
    check_bars_across,
    check_bars_down,
    head,
    instructions,
    outline,
)
from bentwork.sheets.placing import Box
from bentwork.sheets.subject import Paper, Subject
from bentwork.units import Ruler, angle

__all__ = ["angle_gauges", "laid_out"]

_SIDE = {"mm": 10.0, "in": 15.0}  # room for the check bar down the page
_FOOT = {"mm": 22.0, "in": 27.0}
_GAP = 5.0
_STRAIGHT_EDGE_LEG = 90.0
_INSET = 2.5  # words to the edge of their card

_Line = tuple[str, float, bool]
_Placed = tuple[float, float, Drawing]


def angle_gauges(subject: Subject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of angle gauges of a piece, edge to edge at 1:1; none when it has no bends.

    Args:
        subject: the piece.
        paper: upright.
    """
    pages = laid_out(subject, paper)
    return tuple(
        Drawing(
            paper.width,
            paper.height,
            (
                *(item for x, y, cell in cells for item in cell.moved(x, y)),
                *head(subject, "angle gauges", (number, len(pages)), (MARGIN, MARGIN, paper.width - MARGIN)),
                *_foot(subject, paper),
            ),
        )
        for number, cells in enumerate(pages, 1)
    )


def laid_out(subject: Subject, paper: Paper) -> tuple[tuple[_Placed, ...], ...]:
    """Return for every page its gauges and where their top left corners lie, mm."""
    left, top = MARGIN, MARGIN + HEAD_HEIGHT + 2.0
    right = paper.width - MARGIN - _SIDE[subject.ruler.units]
    bottom = paper.height - MARGIN - _FOOT[subject.ruler.units]
    pages: list[list[_Placed]] = []
    x = y = shelf = 0.0
    for gauge in gauges_for(subject):
        cell = _cell(subject, gauge, right - left)
        if pages and x + cell.width > right:
            x, y, shelf = left, y + shelf + _GAP, 0.0
        if not pages or y + cell.height > bottom:
            pages.append([])
            x, y, shelf = left, top, 0.0
        pages[-1].append((x, y, cell))
        x, shelf = x + cell.width + _GAP, max(shelf, cell.height)
    return tuple(tuple(page) for page in pages)


def _foot(subject: Subject, paper: Paper) -> tuple[Item, ...]:
    bottom = paper.height - MARGIN
    right = paper.width - MARGIN
    bars = check_bars_across(MARGIN, bottom, subject.ruler)
    says = (
        "Glue the page to card and cut the gauges out. Set a gauge into the inside of the bend: both legs touch all "
        "along. While the bar is held, lay it on top, along the inside of both legs."
    )
    high = _FOOT[subject.ruler.units] - 12.0
    return (
        *instructions(says, MARGIN, bottom - high, paper.width - 2.0 * MARGIN),
        *bars,
        *check_bars_down(right, MARGIN + HEAD_HEIGHT + 14.0, subject.ruler),
    )


def _cell(subject: Subject, gauge: Gauge, room: float) -> Drawing:
    """One gauge as a drawing of its own: a card, or words where no card fits on the page."""
    shorter, card = gauge, card_for(gauge)
    while 2.0 * card.half_width > room and shorter.leg > 40.0:
        shorter = replace(shorter, leg=shorter.leg - 5.0)
        card = card_for(shorter)
    if 2.0 * card.half_width <= room:
        return _card_cell(subject, card)
    if gauge.is_block:
        return _words_cell(subject, gauge, room)
    gauge = replace(gauge, inside=0.0, leg=_STRAIGHT_EDGE_LEG)
    return _card_cell(subject, card_for(gauge))


def _lines(subject: Subject, gauge: Gauge, room: float) -> tuple[_Line, ...]:
    """Words of a card, each with size of type and weight, broken to fit this room."""
    ruler = subject.ruler
    title = f"pull to {angle(gauge.angle)}" if gauge.purpose == "pull" else f"must be left: {angle(gauge.angle)}"
    small = [*_how(gauge, ruler)]
    if gauge.purpose == "pull" and subject.what is not None and subject.what.source == "handbook":
        small.append("By the handbook only: stop short of it, let go, check, pull on.")
    version = legible(subject.version)
    small.append(legible(subject.title) + (f" · version {version}" if version else ""))
    size = 20.0
    while size > 14.0 and text_width(title, size, True) > room:
        size -= 0.5
    return (
        *((line, size, True) for line in _broken(title, size, room)),
        *((line, 14.0, True) for line in _broken(listed(gauge.bends), 14.0, room)),
        *((line, 9.0, False) for text in small for line in _broken(text, 9.0, room)),
    )


def _broken(text: str, size: float, room: float) -> tuple[str, ...]:
    return paragraph(text, size, room * (0.93 if size > 9.0 else 1.0))  # heavy type is wider than plain


def _how(gauge: Gauge, ruler: Ruler) -> tuple[str, ...]:
    """What the card does, in words."""
    if gauge.is_block:
        width = f"Room between the legs: {ruler.length(gauge.width_at(0.0))} where the bend ends"
        if abs(gauge.angle - 180.0) < 0.05:
            return (f"{width}, and all along: they are parallel.",)
        return (f"{width}, {ruler.length(gauge.width_at(gauge.leg))} when {ruler.length(gauge.leg)} farther along.",)
    says = f"A protractor set in the corner reads {angle(180.0 - gauge.angle)}."
    if gauge.inside == 0.0 and gauge.leg == _STRAIGHT_EDGE_LEG:
        return (says, "Too large a bend for the page: hold a straight-edge along each leg, set this where they cross.")
    return (says,)


def _text(lines: Sequence[_Line]) -> Drawing:
    """Lines of type under one another."""
    items: list[Item] = []
    y = 0.0
    for number, (text, size, bold) in enumerate(lines):
        if number:
            y += cap_height(size) * 0.75 + (0.8 if size != lines[number - 1][1] else 0.0)
        items.append(Label((0.0, y), text, size, ("left", "top"), bold))
        y += cap_height(size)
    return Drawing(max(text_width(text, size, bold) for text, size, bold in lines), y, tuple(items))


def _blocks(subject: Subject, gauge: Gauge) -> list[Drawing]:
    """Picture and words of a card, side by side or one over the other, in several widths."""
    picture = angle_picture(gauge.angle)
    blocks = []
    for room in (74.0, 62.0, 50.0, 40.0, 30.0):
        text = _text(_lines(subject, gauge, room))
        high = max(picture.height, text.height)
        beside = (
            *picture.moved(0.0, (high - picture.height) / 2.0),
            *text.moved(picture.width + 4.0, (high - text.height) / 2.0),
        )
        blocks.append(Drawing(picture.width + 4.0 + text.width, high, beside))
        wide = max(picture.width, text.width)
        over = (
            *picture.moved((wide - picture.width) / 2.0, 0.0),
            *text.moved((wide - text.width) / 2.0, picture.height + 3.0),
        )
        blocks.append(Drawing(wide, picture.height + 3.0 + text.height, over))
    return blocks


def _card_cell(subject: Subject, card: Card) -> Drawing:
    """Put picture and words on the card where it stays shortest."""
    best: tuple[float, Card, float, Drawing] | None = None
    for block in _blocks(subject, card.gauge):
        top = _highest(card, block)
        if top is None:
            continue
        longer = card.longer(max(card.far[1], top + block.height + _INSET))
        if best is None or longer.bottom < best[0] - 1e-6:
            best = (longer.bottom, longer, top, block)
    if best is None:  # narrower than its words: they go below the card
        return _beside_cell(subject, card)
    _, card, top, block = best
    half = card.half_width
    up = card.near[1]
    edge = Stroke(tuple((x + half, y - up) for x, y in card.points), THIN, closed=True)
    return Drawing(2.0 * half, card.bottom - up, (edge, *block.moved(half - block.width / 2.0, top - up)))


def _highest(card: Card, block: Drawing) -> float | None:
    """Return the smallest y at which a block lies in the card, however long that is; None where it is too wide."""
    need = block.width / 2.0 + _INSET
    tall = card.longer(card.far[1] + 200.0)
    y = card.near[1] + _INSET
    while y < card.far[1] + 4.0:
        if min(tall.room_at(y + block.height * part) for part in (0.0, 0.5, 1.0)) >= need:
            return y
        y += 0.5
    return None


def _beside_cell(subject: Subject, card: Card) -> Drawing:
    """A card too narrow for words: it gets them on a flag to its right."""
    block = _blocks(subject, card.gauge)[4]
    half, up = card.half_width, card.near[1]
    edge = Stroke(tuple((x + half, y - up) for x, y in card.points), THIN, closed=True)
    items = (edge, *block.moved(2.0 * half + 4.0, 0.0))
    return Drawing(2.0 * half + 4.0 + block.width, max(card.bottom - up, block.height), items)


def _words_cell(subject: Subject, gauge: Gauge, room: float) -> Drawing:
    """A bend too wide for any card: the room between its legs, to cut a stick to or to measure with a tape."""
    picture = angle_picture(gauge.angle)
    wide = min(room, 150.0)
    lines = list(_lines(subject, gauge, wide - picture.width - 12.0))
    stick = f"cut a stick {subject.ruler.tape(gauge.width_at(0.0))} {subject.ruler.units} long"
    lines.insert(2, (stick, 14.0, True))
    text = _text(lines)
    high = max(picture.height, text.height) + 8.0
    items = (
        outline(Box(0.0, 0.0, wide, high), THIN),
        *picture.moved(4.0, (high - picture.height) / 2.0),
        *text.moved(picture.width + 8.0, (high - text.height) / 2.0),
    )
    return Drawing(wide, high, items)
