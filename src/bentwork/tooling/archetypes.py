"""Kinds of bender that a maker recognises, with sizes to start from and to correct with a tape measure.

The sizes follow the bar and the radius in the proportions in which such tools are commonly made (common practice, no
source). Not one of them is the maker's own tool. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Kind, Needs, Plate
from bentwork.tooling.fittings import Block, Rollers

__all__ = ["ARCHETYPES", "Archetype", "Start"]


@dataclass(frozen=True, slots=True)
class Start:
    """What sizes are guessed from.

    Args:
        bar: size of the bar in the plane of the bend: diameter of round bar and tube, thickness of flat, mm.
        radius: centreline radius, mm.
        name: what the job will call the bender.
        hand: which way it turns the free side.
        step: sizes are rounded up to a multiple of this, mm: 1, or a sixteenth of an inch.

    Raises:
        ValueError: a size is not a finite number above 0, or the radius lies inside the bar.
    """

    bar: float
    radius: float
    name: str = "lever"
    hand: Literal["left", "right"] = "left"
    step: float = 1.0

    def __post_init__(self) -> None:
        for what, size in (("bar", self.bar), ("radius", self.radius), ("step", self.step)):
            if not (math.isfinite(size) and size > 0.0):
                raise ValueError(f"the {what} is a size above 0 mm, not {size:g}")
        if not self.radius > self.bar / 2.0:
            raise ValueError(f"the radius is to the middle of the bar: more than half of it, {self.bar / 2.0:g} mm")

    def up(self, size: float) -> float:
        """Return a size rounded up to the step."""
        return self.step * math.ceil(size / self.step - 1e-9)

    def across(self, at_the_bar: float, beyond: float) -> tuple[float, float]:
        """Return the y of a plate's edges, given how far it reaches on the bar's side of the axis and on the other."""
        return (-at_the_bar, beyond) if self.hand == "left" else (-beyond, at_the_bar)


@dataclass(frozen=True, slots=True)
class Archetype:
    """A kind of bender.

    Args:
        name: in words of the trade.
        says: what it is, in a sentence.
        kind: how it bends.
        bar: what the size of its bar is called: ``diameter`` or ``thickness``.
        build: makes one.
    """

    name: str
    says: str
    kind: Kind
    bar: Literal["diameter", "thickness"]
    build: Callable[[Start], Bender]


def _lever_shoe(start: Start) -> Bender:
    d, up = start.bar, start.up
    shoe = up(3.5 * d)
    tall = up(1.8 * d)
    return Bender(
        start.name,
        "wrap",
        start.radius,
        start.hand,
        die=Die(tall, d / 2.0),
        hook=Hook(up(0.5 * d), up(1.5 * d), up(0.8 * d), up(1.6 * d)),
        follower=Follower("shoe", tall, up(shoe / 2.0), length=shoe, width=up(1.2 * d)),
        arm=Arm(
            "above", up(tall / 2.0 + 0.2 * d), up(max(6.0, 0.6 * d)), up(max(20.0, 1.8 * d)), up(max(250.0, 30 * d))
        ),
    )


def _plate_roller(start: Start) -> Bender:
    d, up = start.bar, start.up
    tall, hook = up(2.0 * d), Hook(up(d), up(2.5 * d), up(1.3 * d), up(2.3 * d))
    gap = up(max(tall, hook.height) / 2.0)
    roller = up(1.5 * d)
    rim = start.radius + 1.5 * d
    return Bender(
        start.name,
        "wrap",
        start.radius,
        start.hand,
        die=Die(tall, d / 2.0),
        hook=hook,
        follower=Follower("roller", tall, up(1.8 * d), radius=roller),
        arm=Arm("above", up(tall / 2.0 + 2.0), up(max(8.0, 0.8 * d)), up(max(30.0, 3.2 * d)), up(max(400.0, 50.0 * d))),
        plate=Plate(
            (-up(max(rim, hook.starts_behind + hook.length + 1.5 * d)), up(rim)),
            start.across(up(start.radius + d / 2.0 + hook.width + d), up(rim)),
            gap,
            up(max(8.0, 0.8 * d)),
        ),
    )


def _turning_die(start: Start) -> Bender:
    d, up = start.bar, start.up
    tall, shoe = up(2.0 * d), up(5.0 * d)
    rim = start.radius + 1.5 * d
    return Bender(
        start.name,
        "draw",
        start.radius,
        start.hand,
        die=Die(tall, d / 2.0),
        hook=Hook(0.0, up(2.5 * d), up(1.5 * d), up(2.0 * d)),
        follower=Follower("shoe", tall, up(shoe / 2.0), length=shoe, width=up(1.5 * d)),
        arm=Arm("below", up(tall / 2.0 + 2.0), up(max(10.0, d)), up(max(40.0, 3.2 * d)), up(max(600.0, 60.0 * d))),
        plate=Plate(
            (-up(rim), up(max(rim, shoe + 1.5 * d))),
            start.across(up(start.radius + 4.0 * d), up(rim)),
            up(tall / 2.0 + 2.0) + up(max(10.0, d)) + up(2.0),
            up(max(8.0, 0.8 * d)),
        ),
    )


def _ram(start: Start) -> Bender:
    d, up = start.bar, start.up
    roller, tall = up(1.5 * d), up(2.0 * d)
    # Far enough apart for a square bend and its springback with a short leg left: see forming/pressing.py.
    half = up(0.75 * (start.radius + roller + d / 2.0) + 1.2 * d)
    return Bender(
        start.name,
        "ram",
        start.radius,
        start.hand,
        die=Die(tall, d / 2.0),
        follower=Follower("roller", tall, half, radius=roller),
        rollers=Rollers(2.0 * half, roller),
    )


def _v_block(start: Start) -> Bender:
    t, up, radius = start.bar, start.up, start.radius
    inside = radius - t / 2.0
    # Eight thicknesses, or wider for a large punch; narrower where the V alone would make a larger radius than asked.
    wide = max(8.0 * t, 2.4 * (radius + t))
    shoulder = min(start.step * math.ceil(t / 2.0 / start.step), inside)
    opening = up(wide) if 0.16 * up(wide) <= inside else start.step * math.floor(inside / 0.16 / start.step + 1e-9)
    opening = opening or inside / 0.16
    return Bender(
        start.name,
        "vee",
        radius,
        start.hand,
        die=Die(up(max(50.0, 15.0 * t))),
        block=Block(opening, inside, shoulder),
        needs=Needs(straight_held=up(opening / 2.0), straight_free=up(opening / 2.0)),
    )


def _peg_board(start: Start) -> Bender:
    d, up = start.bar, start.up
    peg = up(max(10.0, d))
    tall = up(max(20.0, 2.0 * d))
    rim = start.radius + 2.0 * d
    hook = Hook(up(1.5 * d), peg, peg, tall)
    return Bender(
        start.name,
        "wrap",
        start.radius,
        start.hand,
        die=Die(tall),
        hook=hook,
        plate=Plate(
            (-up(max(rim, hook.starts_behind + peg + 3.0 * d)), up(rim)),
            start.across(up(start.radius + d / 2.0 + peg + 2.0 * d), up(rim)),
            up(tall / 2.0),
            up(18.0),
        ),
    )


ARCHETYPES: Mapping[str, Archetype] = {
    one.name: one
    for one in (
        Archetype(
            "lever-shoe",
            "Two handles in your hands: a grooved die with a hook, and a lever whose shoe wipes the bar round it.",
            "wrap",
            "diameter",
            _lever_shoe,
        ),
        Archetype(
            "plate-roller",
            "A grooved die on a plate in the vise or on the bench, and a lever with a roller that goes round it.",
            "wrap",
            "diameter",
            _plate_roller,
        ),
        Archetype(
            "turning-die",
            "The bar is clamped to a die that turns and pulls it past a follower that stands still.",
            "draw",
            "diameter",
            _turning_die,
        ),
        Archetype("ram", "A hydraulic ram pushes a former between two rollers.", "ram", "diameter", _ram),
        Archetype(
            "v-block",
            "A punch presses flat bar into a V-block: in a press or in the vise.",
            "vee",
            "thickness",
            _v_block,
        ),
        Archetype(
            "peg-board",
            "The bar is pulled by hand round a fixed peg or bush on a board, with a second peg to hold it.",
            "wrap",
            "diameter",
            _peg_board,
        ),
    )
}
"""The kinds of bender that there are, by name."""
