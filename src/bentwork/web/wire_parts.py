"""What goes over the wire of the small parts of a frame. Lengths in mm; texts are in the maker's units."""

from __future__ import annotations

from pydantic import Field

from bentwork.web.wire import FindingOut, Vec, Wire

__all__ = ["CrossbarsOut", "EndOut", "PartCardOut", "PartsOut", "RowOut", "SideOut", "StackOut", "TabOut"]

Flat = list[list[float]]


class PartCardOut(Wire):
    """Lines at 1:1, x to the right and y up."""

    outline: Flat
    dashed: Flat = Field(description="the inner edge of a tube's wall; empty where there is none")
    folds: list[Flat] = Field(description="lines along the corners of a bar that is not round")
    holes_mm: list[float] = Field(description="diameters of circles about the origin")
    label: str


class EndOut(Wire):
    """One end of bars that are cut alike."""

    end: str
    says: str
    filing: str
    at_mm: Vec
    card: PartCardOut | None


class CrossbarsOut(Wire):
    """Bars that end on others, and are cut alike."""

    name: str
    facts: str
    lines: list[str]
    ends: list[EndOut]


class StackOut(Wire):
    """Blocks for the room between two bars."""

    room: str
    times: int
    blocks: str
    fits: bool


class RowOut(Wire):
    """Bars along a straight."""

    where: str
    bars: str
    lines: list[str]
    stacks: list[StackOut]


class TabOut(Wire):
    """Tabs of one pattern."""

    name: str
    facts: str
    lines: list[str]
    at_mm: list[Vec]
    card: PartCardOut


class SideOut(Wire):
    """A straight that a crossbar may stand on."""

    piece: str
    number: int
    says: str


class PartsOut(Wire):
    """The small parts of a frame."""

    sum: str
    crossbars: list[CrossbarsOut]
    rows: list[RowOut]
    tabs: list[TabOut]
    findings: list[FindingOut]
    sides: list[SideOut]
    usual: list[int] = Field(description="numbers of the two sides that new crossbars would stand between")
    threads: list[str]
    fixings: list[str]
    of_tube: str
    cautions: list[str]
