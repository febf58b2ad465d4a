"""What a paper is about: one piece of one hand, with everything that is printed of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.bending.known import Known
from bentwork.findings import Finding
from bentwork.piece.centreline import Centreline
from bentwork.planning.marks import Mark
from bentwork.planning.steps import Step
from bentwork.stock.bar import Stock
from bentwork.stock.section import Way
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting
from bentwork.units import Ruler

__all__ = ["A4", "LETTER", "DrilledHole", "Paper", "Subject"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright, mm."""

    name: str
    width: float
    height: float

    @property
    def sideways(self) -> Paper:
        """The same sheet lying on its long edge."""
        return Paper(self.name, self.height, self.width)


A4 = Paper("A4", 210.0, 297.0)
"""ISO 216."""

LETTER = Paper("US Letter", 215.9, 279.4)
"""ANSI/ASME Y14.1 size A: 8 1/2 by 11 in."""


@dataclass(frozen=True, slots=True)
class DrilledHole:
    """A hole in a bar that is not laid out flat.

    Args:
        number: of it, from 1.
        at: its middle from end A of the straight bar, mm.
        diameter: mm.
        turns: where round the bar the drill goes in and comes out, degrees from the inside of the first bend.
        after: it is drilled after bending.
    """

    number: int
    at: float
    diameter: float
    turns: tuple[float, ...]
    after: bool


@dataclass(frozen=True, slots=True)
class Subject:
    """One piece of one hand, with everything that is printed of it.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        ruler: how lengths are shown.
        piece: name of the piece.
        count: how many are made of this hand.
        hand: left or right where both are made, else None.
        as_drawn: False for the opposite hand.
        stock: its bar.
        bender: its bender; None where it has none.
        line: the piece in space.
        marks: of every bend.
        steps: the work at the bender.
        trim: spare length on each end, mm.
        way: which way a flat or rectangular section is bent.
        findings: what there is to say about it.
        what: is known of its bar on its bender; None without a bender.
        mountings: of its bender.
        more_bar: how much more bar its bends, and the longest points of a straight one, take than is drawn, mm; less is
            below 0.
        holes: how many are drilled in the flat of a bracket, and how many when it is bent.
        drilled: holes in a bar that is not laid out flat.
        ends: that are made by themselves, in a few words each.
    """

    job: str
    version: str
    date: str
    ruler: Ruler
    piece: str
    count: int
    hand: Literal["left", "right"] | None
    as_drawn: bool
    stock: Stock
    bender: Bender | None
    line: Centreline
    marks: tuple[Mark, ...]
    steps: tuple[Step, ...]
    trim: float
    way: Way = "easy"
    findings: tuple[Finding, ...] = ()
    what: Known | None = None
    mountings: tuple[Mounting, ...] = ()
    more_bar: float = 0.0
    holes: tuple[int, int] = (0, 0)
    drilled: tuple[DrilledHole, ...] = ()
    ends: tuple[str, ...] = ()

    def mounting(self, name: str | None) -> Mounting | None:
        """Return the mounting of this name; None where there is none."""
        return next((mounting for mounting in self.mountings if mounting.name == name), None)

    def lined_up(self, mark: Mark) -> float:
        """Return which place of a bend goes on the tool: the plan's, or the bender's habit where there is no plan."""
        for step in self.steps:
            if step.bend == mark.bend:
                return step.mark
        return mark.lined_up(self.bender, "A")

    @property
    def cut_length(self) -> float:
        """Length to cut the bar to, mm."""
        return self.line.table.length + self.more_bar + 2.0 * self.trim

    @property
    def title(self) -> str:
        """Name of the piece, with its hand: never a bare name where a left and a right exist."""
        return self.piece if self.hand is None else f"{self.piece} · {self.hand.upper()}"
