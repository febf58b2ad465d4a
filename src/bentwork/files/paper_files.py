"""All papers of a job as PDF files, written together or not at all."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from bentwork.errors import FileError
from bentwork.files.atomic import make_folder, write_new
from bentwork.files.booklet import with_front
from bentwork.files.paper_kinds import BOUND, NAMES, USUAL, Kind
from bentwork.files.typesetting import ToSet, as_data, bound, pages, set_pdf
from bentwork.jobs.bender_papers import bender_subjects
from bentwork.jobs.bracket_papers import bracket_subjects
from bentwork.jobs.buying_papers import buying_subject
from bentwork.jobs.finish_papers import finish_subject
from bentwork.jobs.measure_papers import measure_subject
from bentwork.jobs.papers import sheets_of, subjects
from bentwork.jobs.parts_papers import parts_subject
from bentwork.jobs.proof_papers import proof_subject
from bentwork.jobs.welding_papers import welding_subject
from bentwork.jobs.work import Result
from bentwork.sheets.angle_gauge import angle_gauges
from bentwork.sheets.bender_sheet import bender_sheet
from bentwork.sheets.bracket_sheet import bracket_sheet
from bentwork.sheets.buying_sheet import buying_sheet
from bentwork.sheets.finish_sheet import finish_sheet
from bentwork.sheets.full_size import full_size
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.measure_sheet import measure_sheet
from bentwork.sheets.parts_pages import parts_pages
from bentwork.sheets.proof_sheet import proof_sheet
from bentwork.sheets.subject import Paper
from bentwork.sheets.welding_sheet import welding_sheet

__all__ = [
    "is_ours",
    "name_of",
    "parts_of",
    "sealed_pdf",
    "set_papers",
    "unmade",
    "write_papers",
]

_SEAL = b"%bentwork "


def set_papers(
    result: Result, date: str, paper: Paper, kinds: Iterable[Kind] = USUAL
) -> Iterator[tuple[str, bytes | None]]:
    """Yield the name of each file before it is set (with None) and again with its bytes; empty papers are left out."""
    for kind in kinds:
        yield NAMES[kind], None
        parts = parts_of(result, date, paper, kind)
        if parts:
            yield NAMES[kind], sealed_pdf(parts)


def parts_of(result: Result, date: str, paper: Paper, kind: Kind) -> tuple[tuple[str, ToSet], ...]:
    """Return the parts of a paper, a name and what is to be set each; none where nothing would be on it.

    The booklet has several, any other paper one.
    """
    if kind == "booklet":
        each = ((name, _drawn(result, date, paper, one)) for one, name in BOUND.items())
        found = tuple((name, drawn) for name, drawn in each if drawn is not None)
        return with_front(result, date, paper, found) if found else ()
    drawn = _drawn(result, date, paper, kind)
    return ((NAMES[kind], drawn),) if drawn else ()


def _drawn(result: Result, date: str, paper: Paper, kind: Kind) -> ToSet | None:
    """Return a paper of a job, not set yet; None where nothing would be on it."""
    title = f"{result.job.name}: {NAMES[kind].removesuffix('.pdf').replace('-', ' ')}"
    if kind == "sheets":
        front, sheets = sheets_of(result, date, paper)
        if front is None and not sheets:
            return None
        cover = as_data(front) if front else None
        return ToSet("shop_sheet.typ", {"title": title, "cover": cover, "sheets": as_data(sheets)})
    if kind == "benders":
        drawings = [page for subject in bender_subjects(result, date) for page in bender_sheet(subject, paper)]
    elif kind == "proof-load":
        to_prove = proof_subject(result, date)
        drawings = list(proof_sheet(to_prove, paper)) if to_prove else []
    elif kind == "measuring":
        drawings = list(measure_sheet(measure_subject(result, date), paper))
    elif kind == "small-parts":
        drawings = list(parts_pages(parts_subject(result, date), paper))
    elif kind == "brackets":
        drawings = [page for one in bracket_subjects(result, date) for page in bracket_sheet(one, paper)]
    elif kind == "welding":
        drawings = list(welding_sheet(welding_subject(result, date), paper))
    elif kind == "finish":
        drawings = list(finish_sheet(finish_subject(result, date), paper))
    elif kind == "buying":
        to_buy = buying_subject(result, date)
        drawings = list(buying_sheet(to_buy, paper)) if to_buy else []
    else:
        draw = {"strips": marking_strip, "gauges": angle_gauges, "full-size": full_size}[kind]
        about = [subject for subject in subjects(result, date) if subject.marks]
        drawings = [page for subject in about for page in draw(subject, paper)]
    return pages(title, drawings) if drawings else None


def name_of(kind: Kind) -> str:
    """Return the name of the file that a kind of paper is written to."""
    return NAMES[kind]


def sealed_pdf(parts: Sequence[tuple[str, ToSet]]) -> bytes:
    """Set the parts of a paper, with a last comment line by which a file that nobody changed can be known again.

    Raises:
        PaperError: it cannot be set.
    """
    set_parts = [(name, set_pdf(part)) for name, part in parts]
    if len(parts) == 1:
        return _sealed(set_parts[0][1])
    return _sealed(bound(str(parts[0][1].data["title"]), set_parts))


def write_papers(
    folder: Path, papers: Iterable[tuple[str, bytes]], may_replace: Callable[[Path], bool]
) -> tuple[Path, ...]:
    """Write papers into a folder, all or none where that can be known beforehand; returns the paths.

    A file that we set ourselves and nobody changed is replaced; for any other ``may_replace`` is asked.

    Raises:
        FileError: a file of the maker's own stands there, or the folder cannot be written to.
    """
    wanted = [(folder / name, data) for name, data in papers]
    kept = [path for path, _ in wanted if path.exists() and not is_ours(path) and not may_replace(path)]
    if kept:
        names = ", ".join(path.name for path in kept)
        raise FileError(f"{names} in {folder} is not a paper of ours, or was changed since; it was left alone")
    make_folder(folder)
    for path, data in wanted:
        write_new(path, data, replace=True)
    return tuple(path for path, _ in wanted)


def unmade(folder: Path, names: Iterable[str], kinds: Iterable[Kind] = USUAL) -> tuple[Path, ...]:
    """Return papers of ours of these kinds that were not set this time: they tell of an older version of the job."""
    made = set(names)
    return tuple(folder / NAMES[k] for k in kinds if NAMES[k] not in made and is_ours(folder / NAMES[k]))


def _sealed(pdf: bytes) -> bytes:
    """Add a last comment line with the sum of all before it, so that a file nobody changed can be known again."""
    return pdf.rstrip(b"\n") + b"\n" + _SEAL + _sum(pdf.rstrip(b"\n")) + b"\n"


def is_ours(path: Path) -> bool:
    """Tell whether a file was set by us and has not been changed since."""
    try:
        body, mark, tail = path.read_bytes().rpartition(b"\n" + _SEAL)
    except OSError:
        return False
    return bool(mark) and tail.strip() == _sum(body)


def _sum(body: bytes) -> bytes:
    return hashlib.sha256(body).hexdigest().encode()
