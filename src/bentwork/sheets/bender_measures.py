"""Where each size of a bender is found in its drawing: between which points, or from which middle outwards.

In the bender's own frame, left-hand form: (x, y) seen from above, (x, z) from the side. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from bentwork.sheets.bender_parts import BarAt, arm_from_the_side, arm_heights, rim
from bentwork.sheets.dimension_lanes import Side
from bentwork.sheets.drawing import Point
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import KeyPath

__all__ = ["Outwards", "Straight", "View", "measures_of"]

View = Literal["above", "side"]

_DIE_ANGLES = (225.0, 240.0, 210.0, 315.0, 300.0, 330.0, 255.0, 285.0)  # degrees, clockwise on paper from the right
_GROOVE_ANGLES = (300.0, 310.0, 320.0, 290.0, 330.0, 280.0, 245.0, 235.0, 255.0, 340.0, 200.0)
_FORMER_ANGLES = (60.0, 50.0, 70.0, 40.0, 120.0, 130.0, 110.0)
_FORMER_GROOVE = (160.0, 150.0, 165.0, 20.0, 30.0, 15.0, 140.0)
_BELOW = (45.0, 60.0, 30.0, 75.0, 15.0, 0.0, 90.0, 105.0, 120.0)
_NOSE = (110.0, 70.0, 120.0, 60.0, 95.0, 85.0)
_SHOULDER = (245.0, 235.0, 255.0, 230.0)


@dataclass(frozen=True, slots=True)
class Straight:
    """A size between two points along an edge of the paper; from each an extension line runs to this side."""

    view: View
    path: KeyPath
    ends: tuple[Point, Point]
    side: Side


@dataclass(frozen=True, slots=True)
class Outwards:
    """A size from one radius to another round a middle; angles in degrees, clockwise on paper, the best first."""

    path: KeyPath
    centre: Point
    radii: tuple[float, float]
    angles: tuple[float, ...]
    view: View = "above"


def measures_of(bender: Bender, bar: BarAt, arm_drawn: float) -> Iterator[Straight | Outwards]:
    """Go through the sizes of a bender; those of the arm from above are drawn with it.

    Args:
        bender: the bender.
        bar: that lies in it.
        arm_drawn: how much of the arm is drawn, mm.
    """
    pushes = bender.kind in ("ram", "vee")
    yield Outwards(("radius",), (0.0, 0.0), (0.0, bender.radius), _FORMER_ANGLES if pushes else _DIE_ANGLES)
    yield from _die(bender, bar, pushes=pushes)
    if not pushes:
        yield from _hook(bender, bar)
    yield from _follower(bender, bar)
    yield from _arm(bender, bar, arm_drawn)
    yield from _plate(bender)
    yield from _pushed(bender, bar)
    yield from _needs(bender, bar)


def _die(bender: Bender, bar: BarAt, *, pushes: bool) -> Iterator[Straight | Outwards]:
    if not bender.die:
        return
    edge = rim(bender, bar.depth)
    half, groove = bender.die.thickness / 2.0, bender.die.groove_depth
    wide = bender.block.punch_radius if bender.kind == "vee" and bender.block else edge
    yield Straight("side", ("die", "thickness"), ((wide, -half), (wide, half)), "right")
    if groove > 0.0:
        angles = _FORMER_GROOVE if pushes else _GROOVE_ANGLES
        yield Outwards(("die", "groove_depth"), (0.0, 0.0), (edge - groove, edge), angles)


def _hook(bender: Bender, bar: BarAt) -> Iterator[Straight]:
    if not bender.hook:
        return
    hook, skin = bender.hook, -bender.radius - bar.depth / 2.0
    start, end, out = -hook.starts_behind, -hook.starts_behind - hook.length, skin - hook.width
    yield Straight("above", ("hook", "starts_behind"), ((start, out), (0.0, skin)), "below")
    yield Straight("above", ("hook", "length"), ((end, out), (start, out)), "below")
    yield Straight("above", ("hook", "width"), ((end, skin), (end, out)), "left")
    yield Straight("side", ("hook", "height"), ((end, -hook.height / 2.0), (end, hook.height / 2.0)), "left")


def _follower(bender: Bender, bar: BarAt) -> Iterator[Straight | Outwards]:
    if not bender.follower:
        return
    follower, skin = bender.follower, -bender.radius - bar.depth / 2.0
    if follower.kind == "roller":
        half = follower.radius or 0.0
        middle = (follower.ahead, skin - half)
        yield Outwards(("follower", "radius"), middle, (0.0, half), _BELOW)
    else:
        half, width = (follower.length or 0.0) / 2.0, follower.width or 0.0
        middle = (follower.ahead, skin - width)
        low, high = follower.ahead - half, follower.ahead + half
        yield Straight("above", ("follower", "length"), ((low, skin - width), (high, skin - width)), "below")
        yield Straight("above", ("follower", "width"), ((high, skin), (high, skin - width)), "right")
    yield Straight("above", ("follower", "ahead"), ((0.0, skin), middle), "below")
    end, tall = follower.ahead + half, follower.height / 2.0
    yield Straight("side", ("follower", "height"), ((end, -tall), (end, tall)), "right")


def _arm(bender: Bender, bar: BarAt, drawn: float) -> Iterator[Straight]:
    part = arm_from_the_side(bender, bar.depth, drawn)
    if part is None or not bender.arm:
        return
    end = max(x for x, _ in part.points)
    low, high = arm_heights(bender.arm)
    near = low if bender.arm.side == "above" else high
    yield Straight("side", ("arm", "gap"), ((end, 0.0), (end, near)), "right")
    yield Straight("side", ("arm", "thickness"), ((end, low), (end, high)), "right")


def _plate(bender: Bender) -> Iterator[Straight]:
    if not bender.plate:
        return
    plate, sign = bender.plate, 1.0 if bender.hand == "left" else -1.0
    near, top = 0.1 * bender.radius, max(sign * y for y in plate.y)
    for number, x in enumerate(plate.x):
        yield Straight("above", ("plate", "x", number), ((0.0, near), (x, top)), "above")
    for number, y in enumerate(plate.y):
        yield Straight("above", ("plate", "y", number), ((-near, 0.0), (plate.x[0], sign * y)), "left")
    low, high, end = -plate.gap_below_bar - plate.thickness, -plate.gap_below_bar, plate.x[0]
    yield Straight("side", ("plate", "gap_below_bar"), ((end, high), (end, 0.0)), "left")
    yield Straight("side", ("plate", "thickness"), ((end, low), (end, high)), "left")


def _pushed(bender: Bender, bar: BarAt) -> Iterator[Straight | Outwards]:
    skin = -bender.radius - bar.depth / 2.0
    if bender.rollers:
        half, radius = bender.rollers.span / 2.0, bender.rollers.radius
        ends = ((-half, skin - radius), (half, skin - radius))
        yield Straight("above", ("rollers", "span"), ends, "below")
        left = tuple(180.0 - angle for angle in _BELOW)
        yield Outwards(("rollers", "radius"), (-half, skin - radius), (0.0, radius), left)
    if bender.block:
        block, half = bender.block, bender.block.opening / 2.0
        yield Straight("above", ("block", "opening"), ((-half, skin), (half, skin)), "below")
        middle = (0.0, -bender.radius + bar.depth / 2.0 + block.punch_radius)
        if block.punch_radius > 0.0:
            yield Outwards(("block", "punch_radius"), middle, (0.0, block.punch_radius), _NOSE)
        if block.shoulder_radius > 0.0:
            at, radius = (half, skin - block.shoulder_radius), block.shoulder_radius
            yield Outwards(("block", "shoulder_radius"), at, (0.0, radius), _SHOULDER)


def _needs(bender: Bender, bar: BarAt) -> Iterator[Straight]:
    low = -bar.breadth / 2.0
    for key, sign in (("straight_held", -1.0), ("straight_free", 1.0), ("end_held", -1.0), ("end_free", 1.0)):
        value = getattr(bender.needs, key)
        if value > 0.0:
            yield Straight("side", ("needs", key), ((0.0, low), (sign * value, low)), "below")
