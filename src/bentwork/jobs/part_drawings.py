"""Drawings of small parts for cutters and CAD: the patterns of tabs and the wraps of copes."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.jobs.parts_papers import wraps_of
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import Result
from bentwork.models.lines import Inked
from bentwork.models.part_patterns import cope_pattern, tab_pattern

__all__ = ["PartDrawing", "part_drawings"]


@dataclass(frozen=True, slots=True)
class PartDrawing:
    """Lines at 1:1, mm, and what they are called."""

    name: str
    title: str
    lines: tuple[Inked, ...]


def part_drawings(result: Result) -> tuple[PartDrawing, ...]:
    """Return the drawings of all small parts of a job: copes, then tabs."""
    found = small_parts(result)
    made = []
    for wrap in wraps_of(found):
        name = f"{wrap.name} {wrap.end}"
        made.append(PartDrawing(f"cope {name}", f"{name}, wrap", cope_pattern(wrap.cope, name)))
    for pattern in found.tabs:
        says = f"{pattern.name}: make {len(pattern.tabs)}, {pattern.tab.thickness:.4g} mm, {pattern.material.name}"
        lines = tab_pattern(pattern.tab, pattern.drill, says)
        made.append(PartDrawing(f"tab {pattern.name}", f"tab {pattern.name}", lines))
    return tuple(made)
