"""The parts of a bender as outlines, seen from above and from the side, in the bender's own frame.

All is in left-hand form: the bar lies at y = -radius, its held side at x < 0; a right-hand bender is drawn as the
mirror image. Sizes are those of the clearance search: what is drawn is what is planned with. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bentwork.sheets.drawing import BOLD, FINE, THIN, Dash, Ink, Point
from bentwork.tooling.bender import Arm, Bender

__all__ = [
    "ArmLine",
    "BarAt",
    "Part",
    "arm_from_the_side",
    "arm_heights",
    "arm_line",
    "bar_reach",
    "from_above",
    "from_the_side",
    "rim",
]

_ROUND = 72  # corners of a circle


@dataclass(frozen=True, slots=True)
class BarAt:
    """The bar that lies in the bender: its size in the plane of the bend and across it, and whether anyone said so."""

    depth: float
    breadth: float
    known: bool = True


@dataclass(frozen=True, slots=True)
class Part:
    """An outline of one part.

    Args:
        name: what a maker calls it; empty for a line that is no part.
        points: (x, y) from above, (x, z) from the side, mm.
        weight: of the line, mm on paper.
        fill: of the inside.
        dash: how the line is broken.
        closed: whether it is an outline.
        solid: whether dimension lines keep off it.
    """

    name: str
    points: tuple[Point, ...]
    weight: float = BOLD
    fill: Ink = "none"
    dash: Dash = "full"
    closed: bool = True
    solid: bool = True


@dataclass(frozen=True, slots=True)
class ArmLine:
    """Where the arm runs, from above: the way it points and its side, unit vectors; how far it has to be drawn."""

    way: Point
    aside: Point
    past: float

    def at(self, along: float, across: float = 0.0) -> Point:
        """Return the point so far along the arm and across it."""
        return (
            along * self.way[0] + across * self.aside[0],
            along * self.way[1] + across * self.aside[1],
        )


def rim(bender: Bender, depth: float) -> float:
    """Return the outside radius of the die: to the bottom of its groove, and the groove's depth."""
    return bender.radius - depth / 2.0 + (bender.die.groove_depth if bender.die else 0.0)


def arm_line(bender: Bender, depth: float) -> ArmLine:
    """Return where the arm runs: from the pivot over the follower; square to the bar where it is fixed to a die."""
    skin, follower = bender.radius + depth / 2.0, bender.follower
    ahead, out, past = 0.0, 1.0, skin
    if follower:
        past = skin + 2.0 * (follower.radius or 0.0) + (follower.width or 0.0)
    if follower and bender.kind == "wrap":
        ahead = follower.ahead
        out = skin + (follower.radius or (follower.width or 0.0) / 2.0)
    reach = math.hypot(ahead, out)
    return ArmLine((ahead / reach, -out / reach), (out / reach, ahead / reach), past * reach / out if ahead else past)


def bar_reach(bender: Bender) -> tuple[float, float]:
    """Return from where to where the bar has to be drawn, so that all that holds and presses it lies on it."""
    left, right = [-0.5 * bender.radius], [0.5 * bender.radius]
    if bender.hook and bender.kind in ("wrap", "draw"):
        left.append(-bender.hook.starts_behind - bender.hook.length)
    if bender.follower:
        far = bender.follower.ahead + (bender.follower.radius or (bender.follower.length or 0.0) / 2.0)
        right.append(far)
        left += [-far] if bender.kind in ("ram", "vee") else []
    for half in _supports(bender):
        left.append(-half)
        right.append(half)
    needs = bender.needs
    left += [-needs.straight_held, -needs.end_held]
    right += [needs.straight_free, needs.end_free]
    return min(left), max(right)


def from_above(bender: Bender, bar: BarAt, stub: float) -> tuple[Part, ...]:
    """Return the parts as the person at the lever sees them, the lowest first; the arm is drawn elsewhere.

    Args:
        bender: the bender.
        bar: that lies in it.
        stub: how far the bar goes on beyond what holds and presses it, mm.
    """
    inner, skin = bender.radius - bar.depth / 2.0, bender.radius + bar.depth / 2.0
    left, right = bar_reach(bender)
    found: list[Part] = []
    if bender.plate:
        low, high = _plate_y(bender)
        found.append(Part("plate", _rectangle(bender.plate.x, (low, high)), THIN, "white", solid=False))
    found += _former(bender, bar) if bender.kind in ("ram", "vee") else _die(bender, bar.depth)
    found += _bar((left - stub, right + stub), (-skin, -inner), -bender.radius, bar.known)
    if bender.hook and bender.kind in ("wrap", "draw"):
        start = -bender.hook.starts_behind
        found.append(Part("hook", _rectangle((start - bender.hook.length, start), (-skin - bender.hook.width, -skin))))
    found += _followers(bender, skin)
    return tuple(found)


def from_the_side(bender: Bender, bar: BarAt, stub: float) -> tuple[Part, ...]:
    """Return the parts as they are seen along the plate, heights upwards, the farthest first; without the arm."""
    left, right = bar_reach(bender)
    found: list[Part] = []
    if bender.plate:
        plate = bender.plate
        found.append(Part("plate", _rectangle(plate.x, (-plate.gap_below_bar - plate.thickness, -plate.gap_below_bar))))
    if bender.die:
        half = bender.block.punch_radius if bender.kind == "vee" and bender.block else rim(bender, bar.depth)
        found.append(_upright(_die_name(bender), (-half, half), bender.die.thickness, "none"))
    found += _bar((left - stub, right + stub), (-bar.breadth / 2.0, bar.breadth / 2.0), 0.0, bar.known)
    if bender.hook and bender.kind in ("wrap", "draw"):
        start = -bender.hook.starts_behind
        found.append(_upright("hook", (start - bender.hook.length, start), bender.hook.height))
    if bender.follower:
        follower = bender.follower
        half = follower.radius or (follower.length or 0.0) / 2.0
        for at in (-follower.ahead, follower.ahead) if bender.kind in ("ram", "vee") else (follower.ahead,):
            found.append(_upright(follower.kind, (at - half, at + half), follower.height))
    return tuple(found)


def _die_name(bender: Bender) -> str:
    """Return what the die is called where it is pushed: a punch in a press, a former on a ram."""
    return {"ram": "former", "vee": "punch"}.get(bender.kind, "die")


def arm_from_the_side(bender: Bender, depth: float, drawn: float) -> Part | None:
    """Return the arm from the side, as wide as the drawn part of it is; None where there is none."""
    if not bender.arm or bender.kind in ("ram", "vee"):
        return None
    line, half = arm_line(bender, depth), bender.arm.width / 2.0
    xs = [line.at(along, across)[0] for along in (0.0, drawn) for across in (-half, half)]
    low, high = arm_heights(bender.arm)
    return Part("arm", _rectangle((min(xs), max(xs)), (low, high)))


def arm_heights(arm: Arm) -> tuple[float, float]:
    """Return the lower and the upper face of the arm, mm from the middle of the bar."""
    near, far = arm.gap, arm.gap + arm.thickness
    return (near, far) if arm.side == "above" else (-far, -near)


def _plate_y(bender: Bender) -> tuple[float, float]:
    """Return the plate's edges in left-hand form: a plate is given as it stands, whichever the hand."""
    assert bender.plate is not None
    low, high = bender.plate.y
    return (low, high) if bender.hand == "left" else (-high, -low)


def _die(bender: Bender, depth: float) -> Iterator[Part]:
    edge = rim(bender, depth)
    if bender.die:
        yield Part("die", _circle((0.0, 0.0), edge), fill="white")
        if bender.die.groove_depth > 0.0:
            yield Part("", _circle((0.0, 0.0), edge - bender.die.groove_depth), FINE, dash="dash", solid=False)
    yield Part("", _circle((0.0, 0.0), bender.radius), FINE, dash="chain", solid=False)
    yield from _cross((0.0, 0.0), 0.08 * bender.radius)


def _former(bender: Bender, bar: BarAt) -> Iterator[Part]:
    """A former or a punch, its nose on the bar and the ram behind it; how long it is is not measured."""
    inner = bender.radius - bar.depth / 2.0
    nose = bender.block.punch_radius if bender.block else rim(bender, bar.depth)
    middle = -inner + bender.block.punch_radius if bender.block else 0.0
    if bender.kind == "vee" or not bender.die:
        # A punch narrows to its nose: its flanks touch the nose 40 degrees from straight down.
        flank, top = math.radians(40.0), middle + max(3.0 * nose, 3.0 * bar.depth)
        arc = _arc((0.0, middle), nose, -90.0 - 50.0, -90.0 + 50.0) if nose > 0.0 else ((0.0, -inner),)
        x, y = arc[-1]
        out = x + (top - y) * math.tan(flank)
        yield Part("punch", ((-out, top), *arc, (out, top)), fill="white")
    else:
        yield Part("former", _arc((0.0, 0.0), nose, -180.0, 0.0), fill="white")
        if bender.die.groove_depth > 0.0:
            bottom = nose - bender.die.groove_depth
            yield Part("", _arc((0.0, 0.0), bottom, -180.0, 0.0), FINE, dash="dash", closed=False, solid=False)
        half = 0.25 * bender.radius
        yield Part("ram", _rectangle((-half, half), (0.0, 0.6 * bender.radius)), THIN, "white", "dash")
    yield Part("", _arc((0.0, 0.0), bender.radius, -150.0, -30.0), FINE, dash="chain", closed=False, solid=False)
    yield from _cross((0.0, 0.0), 0.08 * bender.radius)


def _followers(bender: Bender, skin: float) -> Iterator[Part]:
    """What presses the bar, or carries it while a former pushes; rollers that are given twice stand once."""
    pushes = bender.kind in ("ram", "vee")
    follower, places = bender.follower, set()
    if follower and follower.kind == "roller":
        places = {
            (at, follower.radius or 0.0) for at in ((-follower.ahead, follower.ahead) if pushes else (follower.ahead,))
        }
    if follower and follower.kind == "shoe":
        half, width = (follower.length or 0.0) / 2.0, follower.width or 0.0
        for at in (-follower.ahead, follower.ahead) if pushes else (follower.ahead,):
            yield Part("shoe", _rectangle((at - half, at + half), (-skin - width, -skin)), fill="white")
    if bender.rollers:
        places |= {(at, bender.rollers.radius) for at in (-bender.rollers.span / 2.0, bender.rollers.span / 2.0)}
    for at, radius in sorted(places):
        centre = (at, -skin - radius)
        yield Part("roller", _circle(centre, radius), fill="white")
        yield from _cross(centre, 0.2 * radius)
    if bender.block:
        yield _v_block(bender, skin)


def _v_block(bender: Bender, skin: float) -> Part:
    """The block; its V of 88 degrees and how tall it is are not measured, and nothing is planned with them."""
    assert bender.block is not None
    half, shoulder = bender.block.opening / 2.0, bender.block.shoulder_radius
    slope = math.radians(46.0)
    # The shoulder is round where the flank of the V meets the top; the opening is taken between the tops.
    right = [
        (half + shoulder * math.cos(math.radians(a)), -skin - shoulder + shoulder * math.sin(math.radians(a)))
        for a in ([90.0, 105.0, 120.0, 136.0] if shoulder > 0.0 else [90.0])
    ]
    x, y = right[-1]
    bottom = (0.0, y - x * math.tan(slope))
    outer, foot = half + shoulder + 0.45 * half, bottom[1] - 0.4 * half
    left = [(-px, py) for px, py in right]
    return Part(
        "V-block",
        ((-outer, foot), (-outer, -skin), *left, bottom, *reversed(right), (outer, -skin), (outer, foot)),
        fill="white",
    )


def _bar(x: tuple[float, float], y: tuple[float, float], middle: float, known: bool) -> Iterator[Part]:
    yield Part("bar", _rectangle(x, y), 0.0, "grey", solid=False)
    dash: Dash = "full" if known else "dash"
    for level in y:
        yield Part("", ((x[0], level), (x[1], level)), THIN, dash=dash, closed=False, solid=False)
    yield Part("", ((x[0], middle), (x[1], middle)), FINE, dash="chain", closed=False, solid=False)


def _supports(bender: Bender) -> list[float]:
    found = [bender.rollers.span / 2.0 + bender.rollers.radius] if bender.rollers else []
    return found + ([0.75 * bender.block.opening + bender.block.shoulder_radius] if bender.block else [])


def _upright(name: str, x: tuple[float, float], height: float, fill: Ink = "white") -> Part:
    return Part(name, _rectangle(x, (-height / 2.0, height / 2.0)), fill=fill)


def _rectangle(x: Sequence[float], y: Sequence[float]) -> tuple[Point, ...]:
    return ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))


def _circle(centre: Point, radius: float) -> tuple[Point, ...]:
    return _arc(centre, radius, 0.0, 360.0)[:-1]


def _arc(centre: Point, radius: float, start: float, end: float) -> tuple[Point, ...]:
    angles = [math.radians(start + (end - start) * k / _ROUND) for k in range(_ROUND + 1)]
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)


def _cross(at: Point, reach: float) -> tuple[Part, Part]:
    x, y = at
    return (
        Part("", ((x - reach, y), (x + reach, y)), FINE, closed=False, solid=False),
        Part("", ((x, y - reach), (x, y + reach)), FINE, closed=False, solid=False),
    )
