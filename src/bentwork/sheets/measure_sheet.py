"""The measuring page: the frame with the measured points, what was read, what to read next, stays, room to be left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bentwork.carry.bar import Bar as FrameBar
from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Stroke
from bentwork.sheets.job_head import JOB_HEAD, job_head
from bentwork.sheets.lettering import legible
from bentwork.sheets.page_parts import ring
from bentwork.sheets.placing import Box, Room, spots_round, words
from bentwork.sheets.projection import CORNER
from bentwork.sheets.subject import Paper
from bentwork.sheets.told_pages import ToldPart, told_pages
from bentwork.space import Vec

__all__ = ["MeasurePicture", "MeasureSubject", "measure_picture", "measure_sheet"]

_MARGIN = 12.0
_PICTURE = 92.0
_NAME = 8.5  # points
_SAYS = "what the frame must fit, as it was measured"


@dataclass(frozen=True, slots=True, eq=False)
class MeasurePicture:
    """What is seen of it.

    Args:
        bars: of the frame where they stand.
        points: name and place of every measured point, mm.
        taken: pairs of places between which something was read, mm.
        outs: keep-outs as rows of places, mm.
    """

    bars: tuple[FrameBar, ...]
    points: tuple[tuple[str, Vec], ...]
    taken: tuple[tuple[Vec, Vec], ...]
    outs: tuple[tuple[Vec, ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class MeasureSubject:
    """What a frame must fit.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        picture: what is seen of it.
        parts: all of it in words.
    """

    job: str
    version: str
    date: str
    picture: MeasurePicture
    parts: tuple[ToldPart, ...]


def measure_sheet(subject: MeasureSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages: the picture on the first, then the words; none where nothing was measured or asked."""
    if not subject.parts:
        return ()
    wide, top = paper.width - 2.0 * _MARGIN, _MARGIN + JOB_HEAD + 1.0
    high = paper.height - _MARGIN - top
    told = told_pages(subject.parts, wide, high, first=high - _PICTURE - 3.0)
    about = (subject.job, subject.version, subject.date)
    box = (_MARGIN, _MARGIN, paper.width - _MARGIN)
    pages = []
    for number, drawn in enumerate(told, 1):
        items: list[Item] = list(job_head(about, "measuring", _SAYS, (number, len(told)), box))
        below = top
        if number == 1:
            items += measure_picture(subject.picture, wide, _PICTURE).moved(_MARGIN, top)
            below = top + _PICTURE + 3.0
        items += drawn.moved(_MARGIN, below)
        pages.append(Drawing(paper.width, paper.height, tuple(items)))
    return tuple(pages)


def measure_picture(seen: MeasurePicture, width: float, height: float) -> Drawing:
    """Return frame, points with their names, readings as dashed lines and keep-outs, seen from the corner.

    Args:
        seen: what is drawn.
        width: of the field, mm.
        height: of the field, mm.
    """
    rough = [bar_of(bar.line, bar.section, bar.way, 1.0) for bar in seen.bars]
    places = [place for _, place in seen.points] + [place for row in seen.outs for place in row]
    clouds = [*(bar.points for bar in rough), np.array(places, dtype=np.float64).reshape(-1, 3)]
    cloud = CORNER.flat(np.concatenate(clouds))
    if not len(cloud):
        return Drawing(width, height, ())
    thick = max((bar.width for bar in rough), default=0.0)
    span = [max(float(np.ptp(cloud[:, axis])) + thick, 1.0) for axis in (0, 1)]
    scale = min((width - 24.0) / span[0], (height - 12.0) / span[1], 1.0)
    middle = [float(cloud[:, axis].max() + cloud[:, axis].min()) / 2.0 * scale for axis in (0, 1)]
    shift = (width / 2.0 - middle[0], height / 2.0 - middle[1])

    def place(at: Vec) -> tuple[float, float]:
        x, y, _ = CORNER.flat(np.array([at]))[0] * scale
        return float(x) + shift[0], float(y) + shift[1]

    items: list[Item] = [Stroke(tuple(place(at) for at in row), FINE, ink="grey") for row in seen.outs]
    fine = [bar_of(bar.line, bar.section, bar.way, 0.1 / scale) for bar in seen.bars]
    items += Drawing(width, height, tuple(draw_bars(fine, CORNER, scale))).moved(*shift)
    items += [Stroke((place(a), place(b)), FINE, dash="dash") for a, b in seen.taken]
    return Drawing(width, height, (*items, *_names(seen.points, [place(at) for _, at in seen.points], width, height)))


def _names(
    points: Sequence[tuple[str, Vec]], spots: Sequence[tuple[float, float]], width: float, height: float
) -> list[Item]:
    room, items = Room(Box(0.0, 0.0, width, height)), list[Item]()
    for x, y in spots:
        room.block(Box(x - 1.2, y - 1.2, x + 1.2, y + 1.2))
        items.append(replace(ring((x, y), 1.0, THIN), fill="black"))
    for (name, _), at in zip(points, spots, strict=True):
        tag = words((legible(name),), _NAME, bold=True)
        items += room.put(tag, spots_round(at, tag, 2.0, -45.0))
    return items
