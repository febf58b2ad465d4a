"""From a result to what the papers of its benders are about."""

from __future__ import annotations

from bentwork.jobs.work import Result
from bentwork.sheets.bender_sheet import BenderSubject

__all__ = ["bender_subjects"]


def bender_subjects(result: Result, date: str) -> tuple[BenderSubject, ...]:
    """Return one subject for every bender of the job, with the bar of the first piece that is bent on it."""
    job, found = result.job, []
    for name, bender in job.benders.items():
        spec = next((piece for piece in job.pieces if piece.bender == name), None)
        found.append(
            BenderSubject(
                job=job.name,
                version=job.version,
                date=date,
                ruler=job.ruler,
                bender=bender,
                section=job.stocks[spec.stock].section if spec else None,
                way=spec.way if spec else "easy",
            )
        )
    return tuple(found)
