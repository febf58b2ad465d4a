"""Papers as every face makes them: on which paper, dated how, kept in which folder, and what is replaced there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path

from bentwork.files.paper_files import unmade, write_papers
from bentwork.files.paper_kinds import USUAL, Kind
from bentwork.jobs.job import Job
from bentwork.sheets.subject import A4, LETTER, Paper

__all__ = ["date_words", "keep_papers", "papers_folder", "usual_paper"]

_MONTHS = "January February March April May June July August September October November December".split()


def papers_folder(job: Path) -> Path:
    """Return the folder beside a job file that its papers are written into, unless another is asked for."""
    return job.with_name(f"{job.stem}-papers")


def usual_paper(job: Job) -> Paper:
    """Return A4 for a job in millimetres and Letter for one in inches."""
    return LETTER if job.ruler.units == "in" else A4


def date_words(day: date) -> str:
    """Return a day as papers say it: ``12 March 2026``."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def keep_papers(
    folder: Path, made: Mapping[str, bytes], kinds: Iterable[Kind], may_replace: Callable[[Path], bool]
) -> tuple[Path, ...]:
    """Write papers into a folder; returns their paths. See ``files.paper_files.write_papers`` for what is replaced.

    Where all usual kinds were asked for, papers of ours that were not made this time are taken away: they tell of an
    older version of the job.

    Raises:
        FileError: a file of the maker's own stands there, or the folder cannot be written to.
    """
    asked = tuple(kinds)
    written = write_papers(folder, made.items(), may_replace)
    if set(asked) >= set(USUAL):
        for old in unmade(folder, made, asked):
            old.unlink()
    return written
