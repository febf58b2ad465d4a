"""What goes over the wire of welding, finish and brackets. Lengths in mm; texts are in the maker's units."""

from __future__ import annotations

from pydantic import Field

from bentwork.web.wire import FindingOut, Vec, Wire

__all__ = ["FlatHoleOut", "FlatOut", "ToldOut", "WeldAndFinishOut", "WeldOut"]


class ToldOut(Wire):
    """A part of the work in words."""

    title: str
    intro: str
    lines: list[str]
    cautions: list[str]
    numbered: bool


class WeldOut(Wire):
    """A weld in the order."""

    number: int
    where: str
    at_mm: Vec
    tacks: str
    first: str
    second: str


class FlatHoleOut(Wire):
    """A hole in a flat."""

    number: int
    outline: list[list[float]] = Field(description="points from end A and from the middle of the width, y up")
    after: bool = Field(description="drilled when the bends are made")
    says: list[str]


class FlatOut(Wire):
    """A bracket in the flat, end A at the left, seen on the face inside the first bend."""

    name: str
    facts: str
    length_mm: float
    width_mm: float
    trim_mm: float
    bends_mm: list[Vec] = Field(description="start, middle and end of each")
    holes: list[FlatHoleOut]
    steps: list[str]


class WeldAndFinishOut(Wire):
    """Welding, finish and brackets of a job."""

    sum: str
    welds: list[WeldOut]
    order_why: str
    welding: list[ToldOut]
    finish: list[ToldOut]
    system: str
    colour: str
    flats: list[FlatOut]
    drill_caution: str
    findings: list[FindingOut]
