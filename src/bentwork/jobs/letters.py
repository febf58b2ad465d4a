"""Names that the papers cannot print: their typeface has Latin letters only."""

from __future__ import annotations

from collections.abc import Iterator

from bentwork.findings import Finding
from bentwork.jobs.job import Job
from bentwork.sheets.lettering import missing

__all__ = ["letter_findings"]


def letter_findings(job: Job) -> Iterator[Finding]:
    """Say which names the papers print with question marks, and for which letters."""
    names = (job.name, *(spec.name for spec in job.pieces), *job.stocks, *job.benders, *job.mountings)
    told = [name for name in dict.fromkeys(names) if missing(name)]
    if told:
        letters = " ".join(missing("".join(told)))
        yield Finding(
            "note",
            "letters-not-printed",
            f"Papers print question marks in the names {', '.join(told)}.",
            f"Their typeface does not have {letters}.",
            "Name them in Latin letters where they must be told apart on paper.",
        )
