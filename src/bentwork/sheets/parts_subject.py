"""What the papers of small parts are about."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.parts.cope import Cope
from bentwork.parts.tab import Tab
from bentwork.sheets.row_picture import RowDrawn
from bentwork.units import Ruler

__all__ = ["PartText", "PartsSubject", "TabCard", "Wrap"]


@dataclass(frozen=True, slots=True)
class PartText:
    """One thing of the list: what it is called, its number to find at a glance, and what there is to do.

    Args:
        name: what it is called.
        facts: behind its name, in heavy type.
        lines: what there is to do, a sentence each.
        picture: of a row of crossbars.
    """

    name: str
    facts: str
    lines: tuple[str, ...]
    picture: RowDrawn | None = None


@dataclass(frozen=True, slots=True)
class Wrap:
    """A template that is wrapped round the end of a bar.

    Args:
        name: of the bars.
        end: A or B.
        count: how many ends are cut by it.
        cope: the shape.
        onto: what the end sits on, in words.
        top: turn at which up is, degrees; None where the bar stands upright.
        line: turn at which the line 0 of the other end arrives, degrees; None where that is not wanted.
    """

    name: str
    end: str
    count: int
    cope: Cope
    onto: str
    top: float | None
    line: float | None


@dataclass(frozen=True, slots=True)
class TabCard:
    """A tab at 1:1.

    Args:
        name: of the tabs.
        tab: the shape.
        drill: diameter of the drill, mm.
        lines: what there is to do, a sentence each.
    """

    name: str
    tab: Tab
    drill: float
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartsSubject:
    """The small parts of a job.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        ruler: how lengths are shown.
        texts: the list: crossbars, rows, tabs.
        wraps: templates of coped ends, equal ones once.
        tabs: patterns of tabs.
        cautions: what to look out for.
        of_wraps: how templates of their kinds are used; empty where there are none.
    """

    job: str
    version: str
    date: str
    ruler: Ruler
    texts: tuple[PartText, ...]
    wraps: tuple[Wrap, ...] = ()
    tabs: tuple[TabCard, ...] = ()
    cautions: tuple[str, ...] = ()
    of_wraps: str = ""
