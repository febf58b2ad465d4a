"""How the two sides of the bar move past the stations of a bender. Compiled; lengths in mm, angles in radians.

Each side of the bar has a frame of its own: origin where the bend ends on that side, x outward along the bar, y towards
the inside of the bend, z the axis of the bend. The held side looks the other way: its station is seen turned by half a
turn about y, so that one set of formulas serves both sides.

Stations: 0 is the die's (in a bender whose die stands still, also the room's), 1 is the arm's (in a bender whose die
turns or whose former pushes, the room's). A case is one side seen from one station. In all of them z stays as it is:
everything turns and slides in the plane of the die.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["SETTINGS", "Settings", "left_over", "opening_apart", "pace", "placed", "step_until", "stroke"]

Settings = NDArray[np.float64]

STILL, ROLLS, SLIDES, TURNS, PUSHED, OPENS, OPENS_SLIDING, OPENS_PUSHED, SWINGS, OPENS_SWINGING = range(10)
"""Cases: the held side on its die; the free side rolling on the die; the free side sliding past the arm; the held side
turning past the arm; a leg seen from the room while the former pushes; four ways of opening when let go (the angle is
then that of the bend, from the pulled one down to the wanted one); a leg seen from the former."""

RADIUS, ARC, PULL, WANTED, SUPPORT, REACH = range(6)
SETTINGS = 6
"""Radius of the die; length of bar in the bend; angle pulled to; angle wanted; from the middle of a former to its
rollers along the bar (0: none); from its centre square to that, bar and roller included."""


@compiled
def stroke(half: float, settings: Settings) -> float:
    """Return how far a former has pushed when each leg has turned by ``half``.

    The leg's centreline stays at a roller's and half a bar's distance from the roller's middle.
    """
    if settings[SUPPORT] <= 0.0:
        return 0.0
    reach = settings[REACH]
    return (settings[SUPPORT] * math.sin(half) - reach) / math.cos(half) + reach


@compiled
def placed(case: int, t: float, settings: Settings) -> tuple[float, float, float, float, float, float]:
    """Return the pose of a side at t: cosine, sine, origin x and y, and the point it turns about, x and y."""
    radius, arc = settings[RADIUS], settings[ARC]
    if case == STILL:
        return 1.0, 0.0, 0.0, -radius, 0.0, 0.0
    if case == SLIDES:
        return 1.0, 0.0, arc - radius * t, -radius, 0.0, 0.0
    angle = t
    if case in (PUSHED, SWINGS, OPENS_PUSHED, OPENS_SWINGING):
        angle = 0.5 * t
        arc = 0.5 * arc
    c, s = math.cos(angle), math.sin(angle)
    if case == TURNS:
        return c, s, radius * s, -radius * c, 0.0, 0.0
    if case in (ROLLS, PUSHED, SWINGS):
        x, y, left = radius * s, -radius * c, arc - radius * angle
        if case == PUSHED:
            y -= stroke(angle, settings)
        return c, s, x + left * c, y + left * s, x, y
    most = settings[PULL]
    if case in (OPENS_PUSHED, OPENS_SWINGING):
        most = 0.5 * most
    wrapped = radius * most  # the bar that lay on the die; it opens evenly and keeps its length
    opened = wrapped / angle
    x, y, left = opened * s, opened * (1.0 - c) - radius, arc - wrapped
    if case == OPENS_SLIDING:
        return 1.0, 0.0, x * c + y * s + left, y * c - x * s, 0.0, 0.0
    if case == OPENS_PUSHED:
        y -= stroke(most, settings)
    return c, s, x + left * c, y + left * s, x, y


@compiled
def pace(case: int, settings: Settings) -> tuple[float, float, float]:
    """Return how a side moves per radian of t: turning, drift of what it turns about as felt by it, growth of its arm.

    A point moves no faster than turning times its distance from the point turned about, plus drift; that distance
    grows no faster than growth. When the bar opens, the end of the bend moves by at most half its length per radian.
    """
    radius, pull = settings[RADIUS], settings[PULL]
    if case == STILL:
        return 0.0, 0.0, 0.0
    if case == ROLLS:
        return 1.0, 0.0, radius
    if case == SLIDES:
        return 0.0, radius, 0.0
    if case == TURNS:
        return 1.0, 0.0, 0.0
    if case == SWINGS:
        return 0.5, 0.0, 0.5 * radius
    if case == PUSHED:
        cosine = math.cos(0.5 * pull)
        push = 0.5 * max(settings[SUPPORT], settings[REACH]) / (cosine * cosine) if settings[SUPPORT] > 0.0 else 0.0
        return 0.5, push, 0.5 * radius + push
    if case == OPENS:
        return 1.0, 0.5 * radius * pull, 0.5 * radius * pull
    if case == OPENS_SLIDING:
        return 0.0, 1.5 * radius * pull + radius, 0.0
    return 0.5, 0.25 * radius * pull, 0.25 * radius * pull


@compiled
def left_over(case: int, t: float, settings: Settings) -> float:
    """Return how much bar of the bend is still straight at t, between the die and where the side's frame begins.

    It shrinks by the die's radius per radian that this side turns.
    """
    radius, arc = settings[RADIUS], settings[ARC]
    if case in (STILL, TURNS):
        return 0.0
    if case in (ROLLS, SLIDES):
        return max(0.0, arc - radius * t)
    if case in (PUSHED, SWINGS):
        return max(0.0, 0.5 * (arc - radius * t))
    if case in (OPENS, OPENS_SLIDING):
        return max(0.0, arc - radius * settings[PULL])
    return max(0.0, 0.5 * (arc - radius * settings[PULL]))


@compiled
def opening_apart(pushed: bool, settings: Settings) -> float:
    """Return how far the free side may lie, springing back, from where it was at the same angle on the way up.

    Both turn alike, so they differ by a shift d. At the pulled angle d = 0; below it, with e the angle sprung back, l
    the bar wrapped and R the radius, |d'| <= l/2 + e (l/2 + R) + |d|. A leg bent by a former does the same with half
    the angle; seen from the room, the former stays where it is meanwhile and would have been pushed less deep.
    """
    back, wrapped, push = settings[PULL] - settings[WANTED], settings[RADIUS] * settings[PULL], 0.0
    if pushed:
        push = pace(PUSHED, settings)[1] * back
        back, wrapped = 0.5 * back, 0.5 * wrapped
    return (math.exp(back) - 1.0) * (0.5 * wrapped + back * (0.5 * wrapped + settings[RADIUS])) + push


@compiled
def step_until(case: int, arm: float, gap: float, other: int, other_arm: float, settings: Settings) -> float:
    """Return by how much t may change, either way, before two sides (or a side and a body) can close a gap.

    ``other`` is the case of a second side that moves as well, ``STILL`` for a body.
    """
    turning, drift, growth = pace(case, settings)
    turning2, drift2, growth2 = pace(other, settings)
    speed = turning * arm + drift + turning2 * other_arm + drift2
    more = 0.5 * (turning * growth + turning2 * growth2)
    if gap <= 0.0:
        return 0.0
    if speed <= 0.0 and more <= 0.0:
        return math.inf
    # the smaller root of more d^2 + speed d = gap, in the form that loses no digits
    return 2.0 * gap / (speed + math.sqrt(speed * speed + 4.0 * more * gap))
