"""Which bars a job is made of, one by one: every piece, of each hand, as often as it is made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.errors import Fault, InputError
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.work import PiecePlan, Result

__all__ = ["Bar", "bar_of", "bar_words", "bars", "plan_of"]


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar that becomes one piece.

    Args:
        piece: name of the piece.
        hand: left or right where both are made, else None.
        number: which of the equal pieces of this hand, from 1.
    """

    piece: str
    hand: Literal["left", "right"] | None = None
    number: int = 1


def bars(result: Result) -> tuple[Bar, ...]:
    """Return every bar that is bent, in the order of the job, the hand that is drawn before the other."""
    return tuple(
        Bar(plan.spec.name, hand, number)
        for plan in result.pieces
        if plan.spec.bender is not None and (plan.table is None or plan.table.bends)
        for hand in _hands(plan.spec)
        for number in range(1, plan.spec.count + 1)
    )


def bar_of(job: Job, piece: str, hand: str | None = None, number: int | None = None) -> Bar:
    """Return the bar that is meant; what is not said is the hand that is drawn, and the first.

    Raises:
        InputError: the job has no such bar; every fault is told.
    """
    spec = next((one for one in job.pieces if one.name == piece), None)
    if spec is None:
        names = ", ".join(one.name for one in job.pieces)
        raise InputError(job.name, [Fault("piece", repr(piece), f"the name of a piece in this job: {names}")])
    faults = []
    hands = _hands(spec)
    if hand is not None and hand not in hands:
        wanted = "left or right" if spec.mirror else f"none: {piece} has no left and right"
        faults.append(Fault("hand", repr(hand), wanted))
    if number is not None and not 1 <= number <= spec.count:
        faults.append(Fault("number", str(number), f"1 to {spec.count}: so many are made"))
    if faults:
        raise InputError(job.name, faults)
    meant = next((one for one in hands if one == hand), hands[0])
    return Bar(piece, meant, number or 1)


def bar_words(bar: Bar, count: int = 1) -> str:
    """Return what a bar is called: never a bare name where there are several."""
    words = bar.piece if bar.hand is None else f"{bar.piece} {bar.hand.upper()}"
    if count > 1:
        return f"{words}, {bar.number} of {count}"
    return words if bar.number == 1 else f"{words}, number {bar.number}"


def plan_of(result: Result, bar: Bar) -> PiecePlan:
    """Return the plan of a bar.

    Raises:
        InputError: the job has no such bar.
    """
    meant = bar_of(result.job, bar.piece, bar.hand, bar.number)
    plan = next(one for one in result.pieces if one.spec.name == meant.piece)
    opposite = plan.opposite if meant.hand not in (None, plan.spec.hand) else None
    return opposite or plan


def _hands(spec: PieceSpec) -> tuple[Literal["left", "right"] | None, ...]:
    return (spec.hand, spec.other_hand) if spec.mirror else (None,)
