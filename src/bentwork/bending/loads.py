"""What one bend asks of hand, tool and press: moment in the bar, force at the lever, push, stroke. N, N m, mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.bending.set_up import SetUp
from bentwork.forming.die_bend import DieBend
from bentwork.forming.forces import FRICTION, Lever, LeverForces, lever_forces
from bentwork.forming.pressing import UnsuitedError, VBlock, ram_bend, v_bend
from bentwork.stock.section import Flat

__all__ = ["Loads", "loads"]


@dataclass(frozen=True, slots=True)
class Loads:
    """What a bend asks for at the end of its pull.

    Args:
        moment: in the bar, N m.
        lever: forces on the parts of a lever bender; None where it has no lever, or its length is not known.
        push: of the ram or the punch, N; None where rollers or V-block are not known.
        stroke: of the ram or the punch from where it touches the straight bar, mm; None likewise.
        too: how rollers or V-block stand that cannot make the bend: too ``close`` or too ``far``; None where they can.
    """

    moment: float
    lever: LeverForces | None = None
    push: float | None = None
    stroke: float | None = None
    too: Literal["close", "far"] | None = None

    @property
    def hand(self) -> float | None:
        """Force at the lever's end, N; None without a lever of known length."""
        return None if self.lever is None else self.lever.hand


def loads(set_up: SetUp, bend: DieBend, wanted: float, pulled: float) -> Loads:
    """Return what a bend asks for.

    Args:
        set_up: the bar on the bender.
        bend: the bar on the die.
        wanted: angle that is to be left, degrees.
        pulled: angle that it is pulled to, degrees.
    """
    bender = set_up.bender
    if bender.kind == "ram" and bender.rollers is not None:
        try:
            ram = ram_bend(bend, wanted, bender.rollers.span, bender.rollers.radius)
        except UnsuitedError as error:
            return Loads(bend.moment, too=error.too)
        return Loads(bend.moment, push=ram.push, stroke=ram.stroke)
    if bender.kind == "vee" and bender.block is not None and isinstance(set_up.section, Flat) and bend.ratio > 0.0:
        sizes = bender.block
        block = VBlock(sizes.opening, sizes.punch_radius, sizes.shoulder_radius)
        try:
            vee = v_bend(set_up.section, set_up.material, block, bend.ratio, wanted, bend.strength)
        except UnsuitedError as error:
            return Loads(bend.moment, too=error.too)
        return Loads(bend.moment, push=vee.press, stroke=vee.depth)
    if bender.kind in ("wrap", "draw") and bender.arm is not None:
        kind = bender.follower.kind if bender.follower else "roller"
        return Loads(bend.moment, lever_forces(bend, Lever(bender.arm.length, FRICTION[kind]), pulled))
    return Loads(bend.moment)
