"""The spare lengths that fit-up advises, with what the workshop's log tells of the maker's hand."""

from __future__ import annotations

from pathlib import Path

from bentwork.door.bench import chance
from bentwork.door.hand import hand_on
from bentwork.jobs.spares import spares_advised
from bentwork.jobs.work import Result
from bentwork.workshop.place import has_workshop
from bentwork.workshop.store import open_workshop

__all__ = ["advised"]


def advised(result: Result, workshop: Path) -> dict[str, int]:
    """Return the spare lengths worth cutting, by the name of their piece.

    Args:
        result: of the job.
        workshop: folder of the workshop; one that is not there tells nothing.
    """
    if not has_workshop(workshop):
        return spares_advised(result, chance)
    with open_workshop(workshop) as memory:
        return spares_advised(result, chance, lambda plan: hand_on(memory, plan))
