"""The front of the booklet: the frame, what it comes to, what the booklet holds and on which page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bentwork.sheets.drawing import FINE, Drawing, Item, Label, Stroke
from bentwork.sheets.job_head import JOB_HEAD, job_head
from bentwork.sheets.lettering import cap_height, fitted, paragraph, text_width
from bentwork.sheets.page_parts import MARGIN
from bentwork.sheets.subject import Paper

__all__ = ["Front", "front_page"]

_SIZE, _SMALL = 14.0, 10.0  # points
_STEP = 9.0
_PICTURE = 0.46  # of the page's height


@dataclass(frozen=True, slots=True)
class Front:
    """What stands on the front.

    Args:
        job: its name.
        version: of the job file.
        date: in words.
        says: below the name, in a line.
        picture: draws the frame in a field of this width and height, mm.
        parts: name of each part, and the page of the booklet it begins on.
        apart: what is printed apart from the booklet, in a sentence or two.
    """

    job: str
    version: str
    date: str
    says: str
    picture: Callable[[float, float], Drawing]
    parts: tuple[tuple[str, int], ...]
    apart: tuple[str, ...]


def front_page(front: Front, paper: Paper) -> Drawing:
    """Return the front page."""
    left, right, bottom = MARGIN + 6.0, paper.width - MARGIN - 6.0, paper.height - MARGIN - 6.0
    items: list[Item] = list(
        job_head((front.job, front.version, front.date), "Booklet", front.says, (1, 1), (left, MARGIN + 6.0, right))
    )
    y = MARGIN + 6.0 + JOB_HEAD + 4.0
    high = _PICTURE * paper.height
    items += front.picture(right - left, high).moved(left, y)
    y += high + 10.0
    for name, page in front.parts:
        said, size = fitted(name, _SIZE, right - left - 20.0)
        items += [
            Label((left, y), said, size, ("left", "bottom"), True),
            Label((right, y), str(page), _SIZE, ("right", "bottom"), True),
            Stroke(
                ((left + text_width(said, size, True) + 3.0, y - 0.6), (right - 10.0, y - 0.6)),
                FINE,
                "grey",
                dash="dot",
            ),
        ]
        y += _STEP
    step = cap_height(_SMALL) * 1.8
    lines = [line for text in front.apart for line in paragraph(text, _SMALL, right - left)]
    top = bottom - step * (len(lines) - 1)
    items += [Label((left, top + step * number), line, _SMALL, ("left", "bottom")) for number, line in enumerate(lines)]
    return Drawing(paper.width, paper.height, tuple(items))
