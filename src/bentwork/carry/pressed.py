"""Strength and buckling together: a bar that is pressed bends sideways, and gives before either alone would say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bentwork.carry.analysis import Analysed
from bentwork.carry.buckling import AMPLE, Buckling, buckling
from bentwork.carry.fine import fine_frame
from bentwork.carry.limits import Limit, Limits, Rules
from bentwork.carry.structure import Structure
from bentwork.carry.tipping import tipping
from bentwork.space import Vec

__all__ = ["middle_of", "payload_pressed", "whole_limits", "with_buckling"]

_NOT_PERFECT = 1.1
"""Bars are not straight. Chosen by us so that no column is told stronger than by curve c of EN 1993-1-1, 6.3.1, by more
than 0.5 % (slenderness 0.4 to 3; tests/truth/test_carry_buckling.py)."""


def payload_pressed(factor: float, payload: float, safety: float) -> float:
    """Return times the payload at which a case gives, buckling and strength together; infinite where that is no matter.

    1/p = 1/p_strength + 1.1 safety/factor: Rankine's formula for columns, Merchant's for frames (1954; both from
    memory). Of no matter where the buckling factor at ``p_strength``, safety counted in, is ``AMPLE``. All loads are
    taken to grow together, so that a frame whose own weight presses it is told a little too low. Strength is that of
    the bars that move when it buckles, and of their joints.

    Args:
        factor: times all its loads at which the frame buckles in that case.
        payload: times the payload that metal, welds and bolts bear in it.
        safety: on all loads.
    """
    if payload == 0.0 or factor >= AMPLE * safety * payload:
        return math.inf
    return 1.0 / (1.0 / payload + _NOT_PERFECT * safety / factor)


def with_buckling(limits: Limits, solved: Analysed, buckles: Sequence[Buckling], rules: Rules) -> Limits:
    """Return the limits with flat bar that tips among them, and buckling in the case in which it comes first.

    Args:
        limits: of metal, welds and bolts.
        solved: the frame.
        buckles: of every case, in the order of the cases; none where they are not known.
        rules: safety.
    """
    found = (*limits.found, *tipping(solved, rules), *_buckled(limits, solved.structure, buckles, rules))
    return replace(limits, found=tuple(sorted(found, key=lambda one: (one.payload, -one.use))))


def _buckled(limits: Limits, structure: Structure, buckles: Sequence[Buckling], rules: Rules) -> tuple[Limit, ...]:
    if not buckles:
        return ()
    pressed = [
        (payload_pressed(one.factor, float(borne[list(one.bars)].min(initial=math.inf)), rules.safety), one)
        for one, borne in zip(buckles, limits.by_bar.T, strict=True)
    ]
    payload, worst = min(pressed, key=lambda one: one[0])
    if math.isinf(payload):
        return ()
    words, place = f"buckling, {structure.bars[worst.bar].name} moves most", middle_of(structure, worst.bar)
    return (Limit("buckling", words, place, worst.case, 1.0 / payload, payload, worst.case, bar=worst.bar),)


def whole_limits(solved: Analysed, limits: Limits, rules: Rules) -> Limits:
    """Return the limits of a frame with buckling, looked for here, among them."""
    fine = fine_frame(solved.structure)
    return with_buckling(limits, solved, buckling(fine, solved.cases) if fine is not None else (), rules)


def middle_of(structure: Structure, number: int) -> Vec:
    """Return the middle of a bar, mm."""
    bar = structure.bars[number]
    return bar.line.pose(bar.length / 2.0).origin
