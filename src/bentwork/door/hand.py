"""The maker's hand on a bender with a kind of bar, from every bend in the log that says how far it was pulled."""

from __future__ import annotations

from collections.abc import Iterator

from bentwork.bending.known import Known
from bentwork.bending.stock_key import StockKey
from bentwork.fitup.hand import Hand, hand_of
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.fitting import left_by
from bentwork.jobs.work import PiecePlan, Result
from bentwork.workshop.log_entries import Logged, LoggedBend
from bentwork.workshop.store import Workshop

__all__ = ["hand_for", "hand_on"]


def hand_for(workshop: Workshop, result: Result, bar: Bar) -> Hand | None:
    """Return the maker's hand for a bar, from other bars; None where they tell nothing.

    What was measured on the bar itself is left out: there it counts as what it is.

    Raises:
        InputError: the job has no such bar.
    """
    return hand_on(workshop, plan_of(result, bar), but=(result.job.name, bar))


def hand_on(workshop: Workshop, plan: PiecePlan, but: tuple[str, Bar] | None = None) -> Hand | None:
    """Return the maker's hand on the bender of a piece with its kind of bar; None where the log tells nothing.

    Args:
        workshop: whose log it is.
        plan: of the piece.
        but: a bar of a job that is left out.
    """
    what, key = plan.what, str(StockKey(plan.stock.section, plan.stock.material.name))
    if what is None or plan.spec.bender is None:
        return None
    errors = list(_angles(workshop.log.bent_on(plan.spec.bender, key), what, but))
    return hand_of(what.set_up.bender.scatter, errors) if errors else None


def _angles(entries: tuple[Logged, ...], what: Known, but: tuple[str, Bar] | None) -> Iterator[float]:
    """How far each bend came out over what its pull should have left; of several readings of a bend the first."""
    seen = set()
    for one in entries:
        if not isinstance(one, LoggedBend) or one.pulled_deg is None:
            continue
        bar = (one.job, Bar(one.piece, one.hand, one.number))
        if bar == but or (*bar, one.bend) in seen:
            continue
        seen.add((*bar, one.bend))
        yield one.angle_deg - left_by(what, one.pulled_deg)
