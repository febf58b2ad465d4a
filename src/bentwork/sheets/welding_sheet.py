"""The welding page: the frame with its welds numbered in their order, and the work in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.carry.structure import Structure
from bentwork.sheets.bar_view import Bar, bar_of
from bentwork.sheets.drawing import THIN, Drawing, Item, Stroke
from bentwork.sheets.frame_view import frame_view
from bentwork.sheets.job_head import JOB_HEAD, job_head
from bentwork.sheets.page_parts import number_ring, ring
from bentwork.sheets.placing import Box, Room, spots_round
from bentwork.sheets.subject import Paper
from bentwork.sheets.told_pages import ToldPart, told_pages
from bentwork.space import Vec

__all__ = ["WeldingSubject", "welding_sheet"]

_MARGIN = 12.0
_PICTURE = 95.0
_SAYS = "the order against distortion; an aid, not a welding procedure"


@dataclass(frozen=True, slots=True, eq=False)
class WeldingSubject:
    """A frame to be welded.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        structure: the frame.
        places: of its welds, in their order, mm.
        parts: the work in words.
    """

    job: str
    version: str
    date: str
    structure: Structure
    places: tuple[Vec, ...]
    parts: tuple[ToldPart, ...]


def welding_sheet(subject: WeldingSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages: the picture on the first, then the work; none where nothing is welded."""
    if not subject.parts:
        return ()
    wide, top = paper.width - 2.0 * _MARGIN, _MARGIN + JOB_HEAD + 1.0
    high = paper.height - _MARGIN - top
    told = told_pages(subject.parts, wide, high, first=high - _PICTURE - 3.0)
    picture = _picture(subject, wide)
    pages = []
    for number, drawn in enumerate(told, 1):
        about = (subject.job, subject.version, subject.date)
        box = (_MARGIN, _MARGIN, paper.width - _MARGIN)
        items: list[Item] = list(job_head(about, "welding", _SAYS, (number, len(told)), box))
        below = top
        if number == 1:
            items += picture.moved(_MARGIN, top)
            below = top + _PICTURE + 3.0
        items += drawn.moved(_MARGIN, below)
        pages.append(Drawing(paper.width, paper.height, tuple(items)))
    return tuple(pages)


def _picture(subject: WeldingSubject, wide: float) -> Drawing:
    structure = subject.structure

    def bars(chord_error: float) -> list[Bar]:
        return [bar_of(bar.line, bar.section, bar.way, chord_error) for bar in structure.bars]

    view = frame_view(bars, wide, _PICTURE, list(subject.places))
    items: list[Item] = list(view.drawing.items)
    room = Room(Box(0.0, 0.0, wide, _PICTURE))
    spots = [view.place(place) for place in subject.places]
    for x, y in spots:
        room.block(Box(x - 1.0, y - 1.0, x + 1.0, y + 1.0))
        items.append(replace(ring((x, y), 0.9, 0.0), fill="black"))
    items += _numbers(spots, room)
    return Drawing(wide, _PICTURE, tuple(items))


def _numbers(spots: Sequence[tuple[float, float]], room: Room) -> list[Item]:
    items: list[Item] = []
    for number, at in enumerate(spots, 1):
        mark, radius = number_ring((0.0, 0.0), number, 11.0, THIN)
        tag = Drawing(2.0 * radius, 2.0 * radius, Drawing(0.0, 0.0, mark).moved(radius, radius))
        put = room.put(tag, spots_round(at, tag, 2.4, -90.0))
        if put:
            middle = _middle(put)
            items.append(Stroke((at, middle), THIN, cap="butt"))
        items += put
    return items


def _middle(put: Sequence[Item]) -> tuple[float, float]:
    """Where a number stands, so that a line may lead to its weld."""
    points = [point for item in put if isinstance(item, Stroke) for point in item.points]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
