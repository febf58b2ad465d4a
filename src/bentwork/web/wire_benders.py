"""The benders of a job over the wire: every size with its words, and a drawing that shows which is which."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from bentwork.web.wire import Wire

__all__ = ["BenderGuide", "GuidesOut", "PartGuide", "SizeGuide", "StartBenderIn"]


class SizeGuide(Wire):
    """One size: where it stands in the bender's table, its letter in the drawing, what it is and how to measure it."""

    path: list[str | int]
    letter: str | None
    says: str
    measure: str


class PartGuide(Wire):
    """One part.

    Args:
        given: whether the bender has it; if not, ``start`` are sizes to start from.
        other: a follower of the other kind, to start from.
    """

    name: str
    given: bool
    sizes: list[SizeGuide]
    start: dict[str, Any]
    other: dict[str, Any] | None


class BenderGuide(Wire):
    """One bender; ``own`` where the job file describes it, and not the workshop."""

    name: str
    own: bool
    radius: SizeGuide
    parts: list[PartGuide]


class GuidesOut(Wire):
    """All benders of a job, and what may stand round them, to start from, in the job's units."""

    sum: str
    benders: list[BenderGuide]
    around: dict[str, Any] = Field(description="vise, bench, floor and a body, as they stand in a mounting")


class StartBenderIn(Wire):
    """A bender to be added, from a kind that the maker recognises."""

    sum: str
    archetype: str = Field(max_length=60)
    name: str = Field(max_length=120)
    radius: str | None = Field(None, max_length=60)
    size: str | None = Field(None, max_length=60)
