"""``holes`` of a piece as pydantic sees them."""

from __future__ import annotations

from typing import Annotated, Literal

from bentwork.fastening.threads import Thread
from bentwork.files.job_model import MOST, Table
from bentwork.files.job_model_parts import HoleKind, ThreadKind
from bentwork.files.job_values import Angle, Choice, Distance, Length, Point, Size, WholeKind

__all__ = ["HoleTable"]


class HoleTable(Table):
    """One of ``holes`` of a piece."""

    at: Point | None = None
    along: Distance | None = None
    side: Annotated[int, WholeKind("the number of one of its sides, from 1", 1, MOST + 1)] | None = None
    across: Length = 0.0
    diameter: Annotated[float | Thread | None, HoleKind()] = None
    slot: Size | None = None
    runs: Annotated[Literal["along", "across"], Choice()] = "along"
    thread: Annotated[Thread | None, ThreadKind()] = None
    round: Angle | None = None
    walls: Annotated[Literal["both", "one"], Choice()] | None = None
    grade: Annotated[Literal["8.8", "10.9", "A2-70", "A4-70"], Choice()] = "8.8"
