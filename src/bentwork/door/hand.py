"""The maker's hand on a bender with a kind of bar, from every bend in the log that says what was meant.

Angles from the pull, rotations from the turn, positions from the mark: an old entry that keeps no mark and no turn
tells of the angle alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bentwork.bending.known import Known
from bentwork.bending.stock_key import StockKey
from bentwork.fitup.comes_out import comes_out
from bentwork.fitup.hand import Hand, hand_of
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.fitting import left_by, lined_up
from bentwork.jobs.work import PiecePlan, Result
from bentwork.piece.bend import half_turn
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
    told = list(_told(workshop.log.bent_on(plan.spec.bender, key), but))
    angles = [one.angle_deg - left_by(what, one.pulled_deg) for one, _ in told if one.pulled_deg is not None]
    rotations = [off for one, before in told if (off := _turned_off(one, before)) is not None]
    positions = [off for one, _ in told if (off := _placed_off(one, what)) is not None]
    if not (angles or rotations or positions):
        return None
    return hand_of(what.set_up.bender.scatter, angles, rotations, positions)


def _told(entries: tuple[Logged, ...], but: tuple[str, Bar] | None) -> Iterator[tuple[LoggedBend, LoggedBend | None]]:
    """Each bend as it was first measured, with the one made before it on its bar."""
    seen: dict[tuple[str, Bar], list[LoggedBend]] = {}
    for one in entries:
        if not isinstance(one, LoggedBend):
            continue
        bar = (one.job, Bar(one.piece, one.hand, one.number))
        made = seen.setdefault(bar, [])
        if bar == but or any(other.bend == one.bend for other in made):
            continue
        yield one, made[-1] if made else None
        made.append(one)


def _turned_off(one: LoggedBend, before: LoggedBend | None) -> float | None:
    """How far a bend is turned off what the bar was turned by, degrees, where it was turned from its own neighbour."""
    if one.rotation_deg is None or one.turn_deg is None or before is None or before.bend != one.bend - 1:
        return None
    return half_turn(one.rotation_deg + one.turn_deg)  # the bender turns the other way than the piece


def _placed_off(one: LoggedBend, what: Known) -> float | None:
    """How far a bend begins off where its mark and its angle put it, mm."""
    bender = what.set_up.bender
    if one.position_mm is None or one.mark_mm is None or one.held is None or bender.radius is None:
        return None
    kind = lined_up(bender, one.held)
    comes = comes_out(what, [one.angle_deg], [kind], [bender.radius])
    used = float(comes.radius[0]) * math.radians(one.angle_deg) - float(comes.stretch[0])
    before = {"start": 0.0, "centre": 0.5, "end": 1.0}[kind] * used
    return one.position_mm - (one.mark_mm + float(comes.behind[0]) - before)
