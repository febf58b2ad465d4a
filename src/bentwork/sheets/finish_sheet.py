"""The finish page: surfaces, steps by metal, vents, what to mask, which metals to keep apart."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.sheets.drawing import Drawing
from bentwork.sheets.job_head import JOB_HEAD, job_head
from bentwork.sheets.subject import Paper
from bentwork.sheets.told_pages import ToldPart, told_pages

__all__ = ["FinishSubject", "finish_sheet"]

_MARGIN = 12.0


@dataclass(frozen=True, slots=True)
class FinishSubject:
    """A frame to be finished.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        says: what is put on, in a few words.
        parts: the work in words.
    """

    job: str
    version: str
    date: str
    says: str
    parts: tuple[ToldPart, ...]


def finish_sheet(subject: FinishSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of the finish."""
    wide, top = paper.width - 2.0 * _MARGIN, _MARGIN + JOB_HEAD + 1.0
    told = told_pages(subject.parts, wide, paper.height - _MARGIN - top)
    about = (subject.job, subject.version, subject.date)
    box = (_MARGIN, _MARGIN, paper.width - _MARGIN)
    pages = []
    for number, drawn in enumerate(told, 1):
        head = job_head(about, "finish", subject.says, (number, len(told)), box)
        pages.append(Drawing(paper.width, paper.height, (*head, *drawn.moved(_MARGIN, top))))
    return tuple(pages)
