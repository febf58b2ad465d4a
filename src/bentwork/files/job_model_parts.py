"""``[crossbar.NAME]`` and ``[tab.NAME]`` as pydantic sees them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo

from bentwork.fastening.threads import THREADS, Thread, thread_named
from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_model import MOST, Direction, Table, one_or_more
from bentwork.files.job_values import Choice, Count, Distance, Length, Listed, Plain, Point, Size, Text, YesNo
from bentwork.units import Units, parse_length

__all__ = ["CrossbarTable", "TabTable"]


@dataclass(frozen=True)
class SideKind(Plain):
    """A straight of a piece: its name and the number of the side."""

    wanted: str = 'the name of a piece and the number of one of its sides, ["loop", 1]'

    def read(self, value: Any, info: ValidationInfo) -> tuple[str, int]:
        if not isinstance(value, list) or len(value) != 2 or not isinstance(value[0], str):
            raise WrongFormError(self.wanted)
        number = value[1]
        if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= MOST + 1:
            raise WrongFormError(self.wanted, "Side 1 begins at point 1.")
        return value[0], number


@dataclass(frozen=True)
class ThreadKind(Plain):
    """A thread by its name."""

    wanted: str = 'a thread: "M6" (metric coarse), "1/4-20" or "10-32" (unified coarse or fine)'

    def read(self, value: Any, info: ValidationInfo) -> Thread:
        found = thread_named(value) if isinstance(value, str) else None
        if found is None:
            sizes = ", ".join(one for one in THREADS if one.startswith("M"))
            raise WrongFormError(self.wanted, f"There are {sizes} and #4 to 5/8 inch.")
        return found


@dataclass(frozen=True)
class HoleKind(Plain):
    """A plain hole: its diameter, or the bolt that goes through it."""

    wanted: str = 'the diameter of the hole, or the bolt that goes through it, such as "M6"'

    def read(self, value: Any, info: ValidationInfo) -> float | Thread:
        if isinstance(value, str):
            thread = thread_named(value)
            if thread is not None:
                return thread
        units: Units = info.context["units"] if info.context else "mm"
        try:
            size = parse_length(value, units)
        except (ValueError, OverflowError):
            raise WrongFormError(self.wanted) from None
        if not 0.5 <= size <= 200.0:
            raise WrongFormError(f"{self.wanted}, from 0.5 to 200 mm")
        return size


_Side = Annotated[tuple[str, int], SideKind()]


class CrossbarTable(Table):
    """``[crossbar.NAME]``: bars between two straights."""

    stock: Text | None = None
    between: Annotated[tuple[_Side, _Side] | None, Listed('two sides of pieces, [["loop", 1], ["loop", 5]]', 2, 2)] = (
        None
    )
    count: Count | None = None
    spacing: Size | None = None
    first: Distance | None = Field(None, alias="from")
    last: Distance | None = Field(None, alias="to")
    ends: Annotated[Literal["butted", "coped"], Choice()] = "butted"
    shift: Length = 0.0
    off: Point = (0.0, 0.0, 0.0)


class TabTable(Table):
    """``[tab.NAME]``: flat pieces with a hole, standing on a bar."""

    piece: Text | None = None
    at: Annotated[
        list[Point] | None,
        Listed(f"the middle of the hole, [x, y, z], or up to {MOST} of them", 1, MOST),
        BeforeValidator(lambda value: [value] if _is_point(value) else value),
    ] = None
    fixing: Annotated[
        list[Text] | None, Listed("the name of a fixing, or a list of them", 1, MOST), BeforeValidator(one_or_more)
    ] = None
    off: Point = (0.0, 0.0, 0.0)
    axis: Direction | None = None
    runs: Direction | None = None
    stock: Text | None = None
    thickness: Size | None = None
    width: Size | None = None
    material: Text | None = None
    hole: Annotated[float | Thread | None, HoleKind()] = None
    thread: Annotated[Thread | None, ThreadKind()] = None
    grade: Annotated[Literal["8.8", "10.9", "A2-70", "A4-70"], Choice()] = "8.8"
    end: Size | None = None
    rounded: YesNo = True
    welded: YesNo = True


def _is_point(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 3 and not any(isinstance(one, list) for one in value)
