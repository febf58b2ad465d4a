"""From a result to what its welding page is about."""

from __future__ import annotations

from bentwork.jobs.welding import welding
from bentwork.jobs.welding_told import welding_parts
from bentwork.jobs.work import Result
from bentwork.sheets.welding_sheet import WeldingSubject

__all__ = ["welding_subject"]


def welding_subject(result: Result, date: str) -> WeldingSubject:
    """Return the frame to be welded; without words where nothing is welded."""
    plan, job = welding(result), result.job
    places = tuple(step.line.place for step in plan.steps)
    return WeldingSubject(job.name, job.version, date, plan.structure, places, welding_parts(plan, job.ruler))
