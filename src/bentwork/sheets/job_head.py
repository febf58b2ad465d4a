"""The head of a page that is about the whole job: its name, what the paper is, version, date, page."""

from __future__ import annotations

from bentwork.sheets.drawing import BOLD, Item, Label, Stroke
from bentwork.sheets.lettering import fitted, legible, text_width

__all__ = ["JOB_HEAD", "job_head"]

JOB_HEAD = 13.0
"""Its height, mm."""


def job_head(
    about: tuple[str, str, str], sheet: str, says: str, page: tuple[int, int], box: tuple[float, float, float]
) -> tuple[Item, ...]:
    """Return the head of a page.

    Args:
        about: name, version and date of the job.
        sheet: what the paper is.
        says: below the name: what to know before anything else.
        page: number of the page, and how many there are.
        box: left, top and right of the head, mm; it is ``JOB_HEAD`` high.
    """
    left, top, right = box
    counted = sheet if page[1] == 1 else f"{sheet} · page {page[0]} of {page[1]}"
    name, version, date = (legible(text) for text in about)
    facts = " · ".join(fact for fact in (f"version {version}" if version else "", date) if fact)
    title, size = fitted(name, 18.0, right - left - text_width(counted, 12.0, True) - 5.0, True, 11.0)
    below, small = fitted(says, 10.0, right - left - text_width(facts, 10.0, True) - 5.0)
    return (
        Label((left, top), title, size, ("left", "top"), True),
        Label((right, top), counted, 12.0, ("right", "top"), True),
        Label((left, top + 7.2), below, small, ("left", "top")),
        Label((right, top + 7.2), facts, 10.0, ("right", "top"), True),
        Stroke(((left, top + 11.2), (right, top + 11.2)), BOLD),
    )
