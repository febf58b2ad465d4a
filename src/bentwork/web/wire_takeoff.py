"""Take-off over the wire: how far the reading is, what was found, and what the maker takes of it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.web.wire import FaultOut, Wire
from bentwork.web.wire_picture import PictureOut

__all__ = ["BarOut", "SolidOut", "TakeIntoIn", "TakeJobIn", "TakeOffAt", "TakeOffOut"]

Units = Literal["mm", "in"]


class TakeOffAt(Wire):
    """A file that is being read."""

    id: str


class BarOut(Wire):
    """One bar of a solid, in the maker's units; ``section`` is empty where the file has lines only."""

    section: str
    length: str
    bends: int
    closed: bool
    picture: PictureOut


class SolidOut(Wire):
    """One solid of the file: no bar in it where it is something else."""

    index: int
    name: str
    kind: Literal["piece", "joined", "curve", "other"]
    reason: str | None
    same_as: int | None
    mirror_of: int | None
    bars: list[BarOut]


class TakeOffOut(Wire):
    """How far it is; ``share`` runs from 0 to 1, None as long as nobody knows how much there is to do."""

    id: str
    file: str
    state: Literal["reading", "done", "refused", "stopped"]
    stage: str
    done: int
    total: int
    seconds: float
    share: float | None
    errors: list[FaultOut]
    notes: list[str]
    solids: list[SolidOut]


class TakeJobIn(Wire):
    """Solids to make a new job of, by their numbers; ``placed``: equal ones that are turned are pieces of their own."""

    take: list[int] = Field(max_length=5000)
    name: str = Field(max_length=120)
    material: str = Field("S235", max_length=120)
    units: Units = "mm"
    placed: bool = False


class TakeIntoIn(Wire):
    """Solids to put into a job that is there, in the state that the page saw."""

    take: list[int] = Field(max_length=5000)
    job: str
    sum: str
    material: str = Field("S235", max_length=120)
    placed: bool = False
