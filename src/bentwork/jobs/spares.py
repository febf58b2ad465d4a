"""How many spare lengths fit-up advises, piece by piece."""

from __future__ import annotations

from collections.abc import Callable

from bentwork.fitup.hand import Hand
from bentwork.jobs.fit_ahead import fit_ahead
from bentwork.jobs.fitting import Chance
from bentwork.jobs.work import PiecePlan, Result

__all__ = ["spares_advised"]


def spares_advised(
    result: Result, chance: Chance, hand_of: Callable[[PiecePlan], Hand | None] = lambda _: None
) -> dict[str, int]:
    """Return the spare lengths worth cutting, by the name of their piece; pieces that are not bent need none.

    Args:
        result: of the job.
        chance: for pieces made up.
        hand_of: the maker's hand at the bender of a piece; None for the bender's accuracy.
    """
    found = {}
    for plan in result.pieces:
        ahead = fit_ahead(plan, chance, hand_of(plan))
        if ahead is not None and ahead.spare is not None and ahead.spare.lengths:
            found[plan.spec.name] = ahead.spare.lengths
    return found
