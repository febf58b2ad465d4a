"""The cover of a job: the frame as it will stand, what to cut, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.findings import Finding
from bentwork.sheets.bar_view import Bar, bar_of
from bentwork.sheets.cautions import ON_THE_COVER
from bentwork.sheets.drawing import Drawing
from bentwork.sheets.frame_view import frame_view
from bentwork.sheets.lettering import paragraph, text_width
from bentwork.sheets.shop_sheet import height_of, told
from bentwork.sheets.stock_words import stock_words
from bentwork.sheets.subject import Paper, Subject
from bentwork.space import Vec
from bentwork.units import Ruler

__all__ = ["Cover", "Line", "cover", "frame_picture"]

_MOST_TOLD, _LEAST_TOLD = 8, 1
_LEAST_PICTURE, _MOST_PICTURE = 60.0, 92.0  # mm
# What the template takes, mm, measured on its page: head, margins and cautions; a row of the list; a line of the title.
_BESIDE, _ROW, _TITLE = 92.0, 6.8, 9.0


@dataclass(frozen=True, slots=True)
class Line:
    """One piece in the list."""

    piece: str
    bar: str
    make: str
    cut: str
    bends: str
    mass: str


@dataclass(frozen=True, slots=True)
class Cover:
    """Contents of the cover, for the template."""

    width: float
    height: float
    job: str
    version: str
    date: str
    summary: str
    unit: str
    mass_unit: str
    picture: Drawing
    lines: tuple[Line, ...]
    findings: tuple[tuple[str, str, str, str], ...]
    cautions: tuple[str, ...]


def cover(
    subjects: Sequence[Subject],
    standing: Sequence[tuple[Subject, tuple[Vec, ...]]],
    findings: Sequence[Finding],
    ruler: Ruler,
    paper: Paper,
) -> Cover:
    """Return the cover.

    Args:
        subjects: every piece and hand that has a sheet.
        standing: pieces as they stand in the frame, each with the shifts of its copies, mm.
        findings: of the whole job.
        ruler: how lengths are shown.
        paper: the sheet.
    """
    first = subjects[0]
    mass = sum(s.stock.mass(s.line.table.length) * s.count for s in subjects)
    made, shown = sum(s.count for s in subjects), sum(len(shifts) for _, shifts in standing)
    seen = "" if shown >= made else f", {shown} in the picture"
    lines = tuple(
        Line(
            s.title,
            stock_words(s.stock, ruler),
            str(s.count),
            ruler.tape(s.cut_length),
            str(len(s.marks)) if s.marks else "–",
            f"{ruler.in_mass_unit(s.stock.mass(s.line.table.length) * s.count):.2f}",
        )
        for s in subjects
    )
    named = [_named(f) for f in findings]
    beside = paper.width - 24.0 - text_width(first.date, 15.0, bold=True)
    taken = _BESIDE + _ROW * len(lines) + _TITLE * (len(paragraph(first.job, 28.0, beside, bold=True)) - 1)
    for most in range(_MOST_TOLD, _LEAST_TOLD, -1):
        words = told(named, ruler, most)
        room = paper.height - taken - height_of(words, paper.width - 27.0)
        if room >= _LEAST_PICTURE:
            break
    return Cover(
        width=paper.width,
        height=paper.height,
        job=first.job,
        version=first.version,
        date=first.date,
        summary=f"{made} {'piece' if made == 1 else 'pieces'}{seen}, {ruler.mass(mass)}",
        unit=ruler.units,
        mass_unit=ruler.mass_unit,
        picture=frame_picture(standing, paper.width - 24.0, min(max(room, _LEAST_PICTURE), _MOST_PICTURE)),
        lines=lines,
        findings=words,
        cautions=ON_THE_COVER,
    )


def _named(finding: Finding) -> Finding:
    return replace(finding, says=f"{finding.piece}: {finding.says}") if finding.piece else finding


def frame_picture(standing: Sequence[tuple[Subject, tuple[Vec, ...]]], width: float, height: float) -> Drawing:
    """Return all pieces as they stand together, seen from the corner, in a field of this size, mm."""

    def bars(chord_error: float) -> list[Bar]:
        found = []
        for subject, shifts in standing:
            bar = bar_of(subject.line, subject.stock.section, subject.way, chord_error)
            found += [bar.shifted(shift) for shift in shifts]
        return found

    return frame_view(bars, width, height).drawing
