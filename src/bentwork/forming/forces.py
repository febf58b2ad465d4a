"""What a hand, a follower, a hook, a pivot and a vise have to bear while a bar is bent round a die.

The follower presses across the bar, one leg's length ahead of where the bar leaves the die: moment over length. On the
lever that takes the torque of bending, and friction at the follower times the die's radius, since the bar runs through
under the follower as it is laid down. By the balance of work the torque of bending is R W, the work to lay down a mm
of bar times the radius, 10 to 25 % less than the moment in the bar; the moment itself is an upper bound, is what tables
and textbooks use (force = moment over lever), and is what is told first. Forces in N, torques in N m, lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.forming.die_bend import DieBend

__all__ = ["FRICTION", "Follower", "Lever", "LeverForces", "hand_force", "lever_forces"]

Follower = Literal["roller", "shoe"]

FRICTION: Mapping[Follower, float] = {
    "roller": 0.05,  # greased pin of 0.16 in a roller three times as thick as the pin; no source
    "shoe": 0.16,  # greased: brass and bronze on steel 0.16 to 0.19 in tables of friction (seen), steel alike (memory)
}
"""Friction along the bar over force across it. A dry shoe drags two to four times as much."""


@dataclass(frozen=True, slots=True)
class Lever:
    """The parts of a lever bender that carry its forces.

    Args:
        hand: from the pivot to where the hand pulls, mm.
        friction: friction along the bar at the follower, over the force across it; see ``FRICTION``.

    Raises:
        ValueError: the hand is not away from the pivot, or friction is below 0.
    """

    hand: float
    friction: float = FRICTION["roller"]

    def __post_init__(self) -> None:
        if not (math.isfinite(self.hand) and self.hand > 0.0):
            raise ValueError(f"the hand pulls at a distance above 0 mm from the pivot, not {self.hand:g}")
        if not (math.isfinite(self.friction) and self.friction >= 0.0):
            raise ValueError(f"friction is 0 or more, not {self.friction:g}")


@dataclass(frozen=True, slots=True)
class LeverForces:
    """What a lever bender carries at the end of a pull. Everything is an upper bound but ``hand_least``.

    Args:
        torque: about the pivot, N m: what the vise or the bolts must hold against turning.
        hand: at the lever, N: also the shear on vise or bolts.
        hand_least: at the lever by the balance of work, and without friction, N.
        follower: across the bar, N; infinite where no arm is given.
        hook: across the bar on the held side, N; infinite where the bar is clamped to the die itself.
        slip: friction that tries to draw the bar out of the hook, N.
        pivot: on the pin of the arm, N.
        die: on the pin or screws of the die, N.
    """

    torque: float
    hand: float
    hand_least: float
    follower: float
    hook: float
    slip: float
    pivot: float
    die: float


def lever_forces(bend: DieBend, lever: Lever, pulled: float) -> LeverForces:
    """Return the forces at the end of a pull, for ``wrap`` and ``draw`` benders alike.

    On a draw bender the die turns and the follower stands, which changes nothing between bar and tool.

    Args:
        bend: the bar on the die, with its arms.
        lever: where the hand pulls.
        pulled: the angle that it is pulled to, degrees.
    """
    follower = _across(bend.moment, bend.free.length)
    hook = _across(bend.moment, bend.held.length)
    slip = lever.friction * follower if math.isfinite(follower) else 0.0
    torque = bend.moment + slip * bend.radius / 1000.0
    hand = hand_force(torque, lever.hand)
    if math.isfinite(follower + hook):
        turn = math.radians(pulled)
        die = math.sqrt(follower**2 + hook**2 + 2.0 * follower * hook * math.cos(turn))
    else:
        die = math.inf
    return LeverForces(
        torque=torque,
        hand=hand,
        hand_least=bend.radius * bend.work / lever.hand,
        follower=follower,
        hook=hook,
        slip=slip,
        pivot=math.hypot(follower + hand, slip),
        die=die,
    )


def hand_force(torque: float, distance: float) -> float:
    """Return the force at a distance from the pivot, N, for a torque in N m and a distance in mm."""
    return 1000.0 * torque / distance


def _across(moment: float, length: float) -> float:
    return 1000.0 * moment / length if length > 0.0 else math.inf
