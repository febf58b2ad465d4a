"""What the routes work with: where things lie, who may ask, jobs and their results."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, cast

from fastapi import Depends, Request

from bentwork.web.access import Access
from bentwork.web.job_store import JobStore
from bentwork.web.place import Place
from bentwork.web.workroom import WorkRoom

__all__ = ["AtDesk", "Desk"]


@dataclass(frozen=True)
class Desk:
    """Everything that the server holds.

    Args:
        place: the maker's folders.
        access: who may ask what.
    """

    place: Place
    access: Access
    jobs: JobStore = field(init=False)
    room: WorkRoom = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "jobs", JobStore(self.place))
        object.__setattr__(self, "room", WorkRoom(self.place.workshop))


def _desk(request: Request) -> Desk:
    return cast(Desk, request.app.state.desk)


AtDesk = Annotated[Desk, Depends(_desk)]
