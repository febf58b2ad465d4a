"""What the routes work with: where things lie, who may ask, jobs and their results."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, cast

from fastapi import Depends, Request

from bentwork.web.access import Access
from bentwork.web.job_store import JobStore
from bentwork.web.place import Place
from bentwork.web.set_papers import PaperRoom
from bentwork.web.sharing import Sharing
from bentwork.web.take_offs import TakeOffs
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
    papers: PaperRoom = field(init=False)
    sharing: Sharing = field(init=False)
    take_offs: TakeOffs = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "jobs", JobStore(self.place))
        object.__setattr__(self, "room", WorkRoom(self.place.workshop))
        object.__setattr__(self, "papers", PaperRoom())
        object.__setattr__(self, "sharing", Sharing(self.access))
        object.__setattr__(self, "take_offs", TakeOffs())


def _desk(request: Request) -> Desk:
    return cast(Desk, request.app.state.desk)


AtDesk = Annotated[Desk, Depends(_desk)]
