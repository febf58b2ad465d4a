"""The booklet: the papers of a whole job that are read, bound into one in the order of the work."""

from __future__ import annotations

from bentwork.files.typesetting import ToSet, page_count, pages, set_pdf
from bentwork.jobs.frame_picture import frame_picture
from bentwork.jobs.work import Result
from bentwork.sheets.booklet_front import Front, front_page
from bentwork.sheets.subject import Paper

__all__ = ["FRONT", "with_front"]

FRONT = "Front"
_APART = (
    "Printed apart, at actual size: marking strips, angle gauges and full-size layouts.",
    "The log at the bench and what it advises go by what was measured: where it differs from a page here, go by it.",
)


def with_front(
    result: Result, date: str, paper: Paper, parts: tuple[tuple[str, ToSet], ...]
) -> tuple[tuple[str, ToSet], ...]:
    """Return the parts of a booklet behind a front page that tells where each begins."""
    begins, page = [], 2
    for name, part in parts:
        begins.append((name, page))
        page += len(part.data["pages"]) if "pages" in part.data else page_count(set_pdf(part))
    job = result.job
    made = sum(plan.spec.count * (2 if plan.spec.mirror else 1) for plan in result.pieces)
    stops = sum(finding.level == "stop" for finding in result.findings)
    says = f"{made} {'piece' if made == 1 else 'pieces'}"
    if stops:
        says = f"STOP: {stops} {'finding says' if stops == 1 else 'findings say'} that this will not work as it is"
    front = Front(
        job.name, job.version, date, says, lambda wide, high: frame_picture(job, wide, high), tuple(begins), _APART
    )
    return ((FRONT, pages(job.name, [front_page(front, paper)])), *parts)
