"""Do the bar and the groove of the die go together? From the depth of the groove, taken to be cut round.

A groove is cut for one bar, half as deep as that bar is thick. So its depth tells which bar: a round groove of depth h
is 2 h wide at its mouth. A thicker bar does not go in; it lies on the two rims. How steep the wall of a groove is tells
what throws the bar out: in a groove that fits a bar of radius r and is h deep, the wall stands at arccos(1 - h/r) at
its rim, and a push aside of the tangent of that times the press lifts the bar over it (statics, no friction).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bentwork.bending.set_up import SetUp
from bentwork.findings import Finding
from bentwork.stock.section import Round, Tube
from bentwork.tooling.bender import Die

__all__ = ["groove_findings"]

_FITS = 0.8
"""Grooves are cut a little less than half as deep as the bar, so that those of die and follower never touch: down to so
much of it counts as cut for this bar. Common practice, no source."""

_DENTS = 0.7
"""A tube on a groove shallower than so much of its half is pressed on two rims: they dent it. Common practice, no
source."""

_LOOSE = 1.25
"""A tube in a groove deeper than so much of its half stands free in it and goes oval. Common practice, no source."""

_HOLDS_EDGES = 0.25
"""Of the depth of a bar with flat sides: what a groove must be deep to hold it by them. Common practice, no source."""


def groove_findings(set_up: SetUp) -> Iterator[Finding]:
    """Say where the groove of the die and the bar do not go together; nothing of a die without a groove."""
    die = set_up.bender.die
    if die is None or set_up.bender.kind == "vee" or die.groove_depth <= 0.0:
        return
    depth, breadth = set_up.section.depth(set_up.way), set_up.section.breadth(set_up.way)
    name = set_up.bender.name
    if breadth > die.thickness:
        yield Finding(
            "stop",
            "groove-does-not-fit",
            f"The bar is wider than the die of {name} is thick.",
            "It is {breadth} wide, the die {thick} thick with its groove: it cannot go in and lies on the rims, on a "
            "larger radius.",
            "Use a die for this bar, and measure the radius of a test bend.",
            lengths={"breadth": breadth, "thick": die.thickness},
        )
    elif die.groove_depth >= depth:
        yield Finding(
            "watch",
            "groove-does-not-fit",
            f"The groove of {name} is as deep as the bar is thick, or deeper.",
            "It is {groove} deep and the bar {depth} thick: the follower runs on the rim of the die, not on the bar.",
            "Measure the groove again, or use a die for this bar.",
            lengths={"groove": die.groove_depth, "depth": depth},
        )
    elif isinstance(set_up.section, Round | Tube):
        yield from _round(set_up, die, depth)
    elif die.groove_depth < _HOLDS_EDGES * depth:
        yield Finding(
            "watch",
            "groove-does-not-fit",
            f"The groove of {name} is shallow for this bar.",
            "It is {groove} deep and the bar {depth} in the plane of the bend: less than a quarter of it (common "
            "practice, no source) lets the bar tip out sideways.",
            "Watch that it stays in the plane, or use a die for this bar.",
            lengths={"groove": die.groove_depth, "depth": depth},
        )


def _round(set_up: SetUp, die: Die, size: float) -> Iterator[Finding]:
    """A round bar or tube: it may be too thick for the groove, or too thin."""
    name, half, groove = set_up.bender.name, size / 2.0, die.groove_depth
    share, tube = groove / half, isinstance(set_up.section, Tube)
    mouth = 2.0 * groove
    if share < _FITS:
        # On the rims of a mouth narrower than the bar, its middle stands further out than in the bottom of the groove.
        stands = set_up.bender.radius - half + groove + math.sqrt(half**2 - min(groove, half) ** 2)
        wall = math.degrees(math.acos(1.0 - share))
        dents = " The rims press two lines into a tube, which kinks there." if tube else ""
        yield Finding(
            "stop" if tube and share < _DENTS else "watch",
            "groove-does-not-fit",
            f"The bar is thicker than the groove of {name} is made for.",
            "The groove is {groove} deep: cut round and half as deep as its bar, it is {mouth} wide and made for a bar "
            "that thick (common practice, no source). This one is {size}: it does not go in but lies on the rims, its "
            f"middle {{stands}} from the axis instead of {{radius}}.{dents} If the groove was cut for this bar after "
            f"all, its wall stands at {wall:.0f}° at the rim: a push aside of {_times(wall)} the press throws the bar "
            "out.",
            "Lay the bar in the groove and look. If it touches the bottom, hold it in the plane as you pull; if not, "
            "use a die for this bar.",
            lengths={
                "groove": groove,
                "mouth": mouth,
                "size": size,
                "stands": stands,
                "radius": set_up.bender.radius,
            },
        )
    elif tube and share > _LOOSE:
        yield Finding(
            "watch",
            "groove-does-not-fit",
            f"The tube is thinner than the groove of {name} is made for.",
            "The groove is {groove} deep: cut round and half as deep as its bar, it is {mouth} wide, and this tube is "
            "{size}. Nothing holds its sides, so that it goes oval as if there were no groove (common practice, no "
            "source).",
            "Use a die for this tube.",
            lengths={"groove": groove, "mouth": mouth, "size": size},
        )


def _times(wall: float) -> str:
    return f"{math.tan(math.radians(wall)):.1f} times"
