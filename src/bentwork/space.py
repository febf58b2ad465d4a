"""Vectors and poses in space, for a handful of points at a time: plain tuples, no arrays.

A bent bar has a few dozen corners; at that size tuples are several times faster than array calls.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = [
    "Pose",
    "Vec",
    "add",
    "along",
    "cross",
    "distance",
    "dot",
    "norm",
    "perpendicular",
    "rotate",
    "scale",
    "sub",
    "unit",
]

Vec = tuple[float, float, float]


def add(a: Vec, b: Vec) -> Vec:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, k: float) -> Vec:
    """Return k a."""
    return (k * a[0], k * a[1], k * a[2])


def along(a: Vec, direction: Vec, length: float) -> Vec:
    """Return the point reached from a by going this far in the direction."""
    return (a[0] + length * direction[0], a[1] + length * direction[1], a[2] + length * direction[2])


def dot(a: Vec, b: Vec) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Return the vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def norm(a: Vec) -> float:
    """Return the length of a."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


def distance(a: Vec, b: Vec) -> float:
    """Return the distance between two points."""
    return math.dist(a, b)


def unit(a: Vec) -> Vec:
    """Return a scaled to length 1.

    Raises:
        ValueError: a has no length.
    """
    length = norm(a)
    if length == 0.0:
        raise ValueError("a vector without length has no direction")
    return (a[0] / length, a[1] / length, a[2] / length)


def perpendicular(a: Vec) -> Vec:
    """Return some unit vector at right angles to the unit vector a; the same for the same a, always."""
    if abs(a[0]) < 1e-9 and abs(a[1]) < 1e-9:
        return (1.0, 0.0, 0.0)
    return unit((-a[1], a[0], 0.0))


def rotate(a: Vec, axis: Vec, angle: float) -> Vec:
    """Turn a about a unit axis by an angle in degrees, right-hand rule (Rodrigues' formula)."""
    theta = math.radians(angle)
    c, s = math.cos(theta), math.sin(theta)
    w = cross(axis, a)
    k = dot(axis, a) * (1.0 - c)
    return (
        c * a[0] + s * w[0] + k * axis[0],
        c * a[1] + s * w[1] + k * axis[1],
        c * a[2] + s * w[2] + k * axis[2],
    )


@dataclass(frozen=True, slots=True)
class Pose:
    """A place on a bar: the point, the way the bar runs there, and the axis that the bar bends about.

    Args:
        origin: point on the centreline, mm.
        tangent: unit vector from end A to end B.
        axis: unit vector at right angles to the tangent; the bar turns about it by the right-hand rule.
    """

    origin: Vec
    tangent: Vec
    axis: Vec

    @property
    def inward(self) -> Vec:
        """Unit vector towards the centre of the bend."""
        return cross(self.axis, self.tangent)


HOME = Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
"""Where a piece without coordinates stands: from the origin along x, its first bend towards +y."""
