"""How far a round bar goes that ends on another one, or on any cylinder."""

from __future__ import annotations

import math

from bentwork.space import Vec, cross, dot, norm, sub
from bentwork.takeoff.runs import MEETS
from bentwork.takeoff.shape import Face

__all__ = ["cope_reach"]

PARALLEL = 1e-9
"""A bar that leans less from the axis of a cylinder goes along it and never ends on it, as a sine."""
STEPS = 16
"""Lines looked at on a half of the bar's round; between them is looked next to the best."""
NEAR = 1e-7
"""So near to the best it is looked, rad."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


def cope_reach(face: Face, origin: Vec, outward: Vec, radius: float) -> float:
    """Return how far a round bar reaches that ends on a cylinder; nan where that does not meet all of it."""
    # Seen along its axis the cylinder is a circle. Lines round the bar lie aside of its middle, and how far they go is
    # seen shorter than it is.
    lean, wide = dot(outward, face.axis), cross(outward, face.axis)
    sine, rel = norm(wide), sub(origin, face.origin)
    if sine < PARALLEL:
        return math.nan
    aside, ahead = dot(rel, wide) / sine, (dot(rel, outward) - lean * dot(rel, face.axis)) / sine
    # Of a bar that is flush with the side of the cylinder the thousandth of a mm that it passes that by, or stays short
    # of it, would be a tenth along the bar.
    side = abs(aside) + radius
    if side > face.radius + MEETS:
        return math.nan
    square = (side if side > face.radius - MEETS else face.radius) ** 2

    def met(turn: float) -> float:
        """Return where a line along the bar comes to the cylinder, at an angle about the bar."""
        off = aside + radius * math.cos(turn)
        return -(ahead + lean * radius * math.sin(turn) + math.sqrt(max(0.0, square - off * off))) / sine

    step = math.pi / STEPS
    best, farthest = max((met(k * step), k * step) for k in range(2 * STEPS))
    # By the golden section: each time one place of the two before is looked at again.
    low, high = farthest - step, farthest + step
    one, two = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_one, at_two = met(one), met(two)
    while high - low > NEAR:
        if at_one < at_two:
            low, one, at_one = one, two, at_two
            two = low + GOLDEN * (high - low)
            at_two = met(two)
        else:
            high, two, at_two = two, one, at_one
            one = high - GOLDEN * (high - low)
            at_one = met(one)
    return max(best, at_one, at_two)
