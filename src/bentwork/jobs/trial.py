"""The next test bend: at which angle, in how long a piece of scrap, with its mark where, pulled how far."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.bending.known import Known
from bentwork.jobs.pairs import Pair
from bentwork.planning.limits import needed
from bentwork.planning.sureness import advice_for

__all__ = ["Trial", "trial_for"]

_LEG = 60.0  # straight bar that a square and a tape can be laid to beside the corner, mm
_ROUND = 10.0
_USUAL_ANGLE = 90.0


@dataclass(frozen=True, slots=True)
class Trial:
    """A test bend to make. Angles in degrees, lengths in mm.

    Args:
        angle: that should be left.
        pull: angle to pull to.
        bar: length of the scrap.
        mark: what is lined up on the tool, from the end that is held.
    """

    angle: float
    pull: float
    bar: float
    mark: float


def trial_for(pair: Pair, what: Known) -> Trial | None:
    """Return the test bend that tells most; None where nothing of a bend is left, or no more are worth making."""
    if what.source == "nothing" or what.pull(_USUAL_ANGLE) is None:
        return None
    advice = advice_for(what, pair.bends)
    if advice is not None and not advice.more:
        return None
    angle = advice.angle if advice is not None and advice.angle is not None else _USUAL_ANGLE
    pull = what.pull(angle)
    assert pull is not None
    radius = pair.set_up.bender.radius
    corner = radius * math.tan(math.radians(min(angle, 120.0)) / 2.0)
    _, ends = needed(pair.set_up.bender)
    held = _up(max(ends.held, _LEG + corner))
    free = _up(max(ends.free, _LEG + corner))
    arc = radius * math.radians(pull.bend_to)
    mark = held + arc / 2.0 if pair.set_up.bender.lines_up == "centre" else held
    return Trial(angle, pull.bend_to, _up(held + arc + free), _up(mark))


def _up(length: float) -> float:
    return _ROUND * math.ceil(length / _ROUND)
