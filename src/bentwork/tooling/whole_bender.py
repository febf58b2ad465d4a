"""A bender with every part that its kind commonly has: those that are measured, the others with sizes to start from.

The guessed sizes are those of ``archetypes`` (common practice, no source). Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bentwork.tooling.archetypes import ARCHETYPES, Start
from bentwork.tooling.bender import Bender, Follower, Kind, Needs

__all__ = ["PARTS", "other_follower", "whole_bender"]

PARTS = ("die", "hook", "follower", "arm", "plate", "rollers", "block", "needs")
"""Names of the parts, as in the job file and in its order."""

_LIKE: Mapping[Kind, str] = {"wrap": "plate-roller", "draw": "turning-die", "ram": "ram", "vee": "v-block"}
_OTHER = {"roller": "lever-shoe", "shoe": "plate-roller"}


def whole_bender(bender: Bender, bar: float, step: float = 1.0) -> Bender:
    """Return a bender with the parts that nobody has measured guessed.

    Args:
        bender: with the parts that are known.
        bar: size of the bar in the plane of the bend, mm.
        step: guessed sizes are rounded up to a multiple of this, mm.

    Raises:
        ValueError: no such bender can be guessed: the radius lies inside the bar.
    """
    guess = ARCHETYPES[_LIKE[bender.kind]].build(Start(bar, bender.radius, bender.name, bender.hand, step))
    missing = {part: getattr(guess, part) for part in PARTS if part != "needs" and getattr(bender, part) is None}
    start = Start(bar, bender.radius, step=step)
    needs = bender.needs if bender.needs != Needs() else Needs(*[start.up(3.0 * bar)] * 2, *[start.up(5.0 * bar)] * 2)
    return replace(bender, needs=needs, **missing)


def other_follower(bender: Bender, bar: float, step: float = 1.0) -> Follower | None:
    """Return the follower of the other kind, a shoe for a roller, to start from; None where there is no choice.

    Raises:
        ValueError: as for ``whole_bender``.
    """
    if bender.follower is None or bender.kind in ("ram", "vee"):
        return None
    return ARCHETYPES[_OTHER[bender.follower.kind]].build(Start(bar, bender.radius, step=step)).follower
