"""From a result to what its finish page is about."""

from __future__ import annotations

from bentwork.jobs.finish import finish
from bentwork.jobs.finish_told import finish_parts, system_words
from bentwork.jobs.work import Result
from bentwork.sheets.finish_sheet import FinishSubject

__all__ = ["finish_subject"]


def finish_subject(result: Result, date: str) -> FinishSubject:
    """Return the frame to be finished."""
    plan, job = finish(result), result.job
    return FinishSubject(job.name, job.version, date, system_words(plan), finish_parts(plan, job.ruler))
