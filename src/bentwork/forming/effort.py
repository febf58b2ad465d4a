"""What person and tool can do: lever force, moment against what the tool is sold for, straights for hook and follower.

Forces in N, moments in N m, lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from bentwork.amounts import Load
from bentwork.findings import Finding
from bentwork.forming.forces import LeverForces, hand_force
from bentwork.forming.moment import Bar

__all__ = [
    "ARMS_ALONE",
    "HELD_WELL",
    "STRONGEST",
    "Straights",
    "lever_findings",
    "overload_findings",
    "straight_findings",
]

HELD_WELL = 225.0
"""Pull, standing, with the whole body behind it, that should not be exceeded at work (Ergonomic Design for People at
Work, vol. 2, 1986, table of horizontal pushing and pulling; seen as quoted)."""

ARMS_ALONE = 110.0
"""The same with arms stretched, arms and shoulders only."""

STRONGEST = 386.0
"""Mean of the greatest forces of 29 grown men in the strongest of 120 postures of lifting, pushing and pulling (Maximum
voluntary strengths of male adults, abstract seen): half of them can do no more."""

_LONGEST = 1500.0  # mm; a longer lever cannot be walked round in a workshop; no source
_OVERLOAD = 2.0  # times the rated moment; a tool is commonly built to bear twice its rating; no source


def lever_findings(forces: LeverForces, hand: float, bend: int | None = None) -> tuple[Finding, ...]:
    """Return a watch when the lever is hard to hold, and a stop when hardly anybody can hold it.

    Args:
        forces: at the end of the pull.
        hand: from the pivot to where the hand pulls, mm.
        bend: number of the bend.
    """
    if forces.hand <= HELD_WELL:
        return ()
    beyond, better = forces.hand > STRONGEST, hand_force(forces.torque, HELD_WELL)
    advice = (
        "Pull at {better} from the pivot, on an extension that is pinned and cannot slip off."
        if better <= _LONGEST
        else "It would take a lever of {better} to bring that down to {well}: use a bender with a gear, "
        "a ratchet or a ram, or a thinner or softer bar."
    )
    return (
        Finding(
            "stop" if beyond else "watch",
            "lever-too-heavy",
            f"{'The bar' if bend is None else f'Bend {bend}'} takes more lever force than "
            f"{'half of all men can pull' if beyond else 'should be held'}.",
            "{torque} take {pull} at {hand} from the pivot. With the whole body behind it {well} should not be "
            "exceeded, with the arms alone {arms} (ergonomics handbooks); the greatest force of 29 men in a "
            "test was {strongest} on average.",
            advice + " The vise or the bolts must hold {torque} all the same. Keep your face out of "
            "the lever's way: it comes back when the bar is let go.",
            bend=bend,
            lengths={"hand": hand, "better": better},
            loads={
                "torque": Load("torque", forces.torque),
                "pull": Load("force", forces.hand),
                "well": Load("force", HELD_WELL),
                "arms": Load("force", ARMS_ALONE),
                "strongest": Load("force", STRONGEST),
            },
        ),
    )


def overload_findings(
    bar: Bar,
    rated: Bar,
    radius: float,
    named: str,
    strength: float = 1.0,
    bend: int | None = None,
    sizes: Mapping[str, float] | None = None,
) -> tuple[Finding, ...]:
    """Return what there is to say when a bar takes more moment than the bar that the tool is sold for.

    Args:
        bar: to be bent.
        rated: the bar that the tool is sold for.
        radius: centreline radius of the die, mm; the same for both.
        named: what the tool is sold for, such as ``soft 12 × 1 copper tube``.
        strength: of both bars over their materials' figures.
        bend: number of the bend.
        sizes: lengths that ``named`` mentions in braces, mm.
    """
    needs, may = (float(one.moment(1.0 / radius, strength)) for one in (bar, rated))
    times = needs / may
    if times <= 1.0:
        return ()
    many = f"{times:.0f}" if times >= 3.0 else f"{times:.1f}"
    return (
        Finding(
            "stop" if times > _OVERLOAD else "watch",
            "tool-overloaded",
            f"The tool is sold for {named}; this bar needs {many} times the moment.",
            f"It takes {{needs}} on a die of {{radius}}; {named} takes {{may}}.",
            "Use a stronger bender or a softer or thinner bar; or find what in this one breaks first (pivot, hook, "
            "cast parts), and make that stronger.",
            bend=bend,
            lengths={"radius": radius, **(sizes or {})},
            loads={"needs": Load("torque", needs), "may": Load("torque", may)},
        ),
    )


@dataclass(frozen=True, slots=True)
class Straights:
    """Straight bar beside a bend, mm: what there is, or what the tool needs.

    Args:
        held: from the start of the bend back, to the bend before or to the end of the bar.
        free: from the end of the bend on.

    Raises:
        ValueError: a length is not 0 or more.
    """

    held: float
    free: float

    def __post_init__(self) -> None:
        if not (self.held >= 0.0 and self.free >= 0.0):
            raise ValueError(f"a straight is 0 mm or more, not {min(self.held, self.free):g}")

    @classmethod
    def needed(
        cls, hook_behind: float, hook_length: float, follower_ahead: float, follower_half: float = 0.0
    ) -> Straights:
        """Return what hook and follower need.

        Args:
            hook_behind: from the tangent point back to where the hook begins, mm.
            hook_length: of the hook, mm.
            follower_ahead: from the tangent point ahead to the middle of the follower, mm.
            follower_half: half the length of a shoe, mm; a roller touches at one point.
        """
        return cls(hook_behind + hook_length, follower_ahead + follower_half)


def straight_findings(have: Straights, need: Straights, bend: int | None = None) -> tuple[Finding, ...]:
    """Return a stop for either side of a bend where hook or follower finds no straight bar."""
    sides = (("held", "hook", have.held, need.held), ("free", "follower", have.free, need.free))
    return tuple(
        Finding(
            "stop",
            "straight-too-short",
            f"The straight on the {side} side of {'the bend' if bend is None else f'bend {bend}'} is too short.",
            f"The {part} needs {{need}} of straight bar beside the tangent point; there is {{have}}: {{short}} too "
            "little.",
            "Hold the bar by its other end, make this bend before its neighbour, or move the bends apart.",
            bend=bend,
            lengths={"need": needs, "have": has, "short": needs - has},
        )
        for side, part, has, needs in sides
        if math.isfinite(needs) and has < needs - 1e-9
    )
