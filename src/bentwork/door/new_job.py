"""A new job from a starting shape, with the kind of bender that the maker recognises."""

from __future__ import annotations

from bentwork.errors import Fault, InputError
from bentwork.files.bender_text import BenderWish, start_bender
from bentwork.files.job_remove import remove
from bentwork.files.job_text import data_of
from bentwork.files.start_job import Wish, start_job
from bentwork.tooling.archetypes import ARCHETYPES

__all__ = ["new_job"]

_SOURCE = "new job"
_LEVER = ("bender", "lever")


def new_job(wish: Wish, archetype: str | None = None) -> str:
    """Return the text of a job file.

    Args:
        wish: as for ``start_job``.
        archetype: kind of bender, with all its sizes guessed from bar and die; None to leave them to be measured.

    Raises:
        InputError: with every fault of the wish.
    """
    if archetype is not None and archetype not in ARCHETYPES:
        raise InputError(_SOURCE, [Fault("bender", repr(archetype), f"one of {', '.join(ARCHETYPES)}")])
    text = start_job(wish)
    if archetype is None:
        return text
    data = data_of(text, _SOURCE)
    radius, size = data["bender"]["lever"]["radius"], data["stock"]["bar"]["diameter"]
    bare = remove(text, _LEVER)
    bender = BenderWish(archetype, "lever", str(radius), str(size), job=bare.encode(), source=_SOURCE)
    return start_bender(bender)
