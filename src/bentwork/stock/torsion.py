"""Torsion constants of sections that are not round. Lengths in mm, constants in mm4."""

from __future__ import annotations

import math

__all__ = ["hollow_torsion", "rectangle_torsion"]

_ZETA_5 = 1.0369277551433699
"""Sum of 1/n^5 over all n. Over the odd n alone it is 31/32 of this."""


def rectangle_torsion(width: float, height: float) -> float:
    """Return the torsion constant of a solid rectangle, mm4.

    Saint-Venant's series, J = a b^3 (1/3 - 64 b/(pi^5 a) sum over odd n of tanh(n pi a/2b)/n^5), a >= b (Timoshenko
    and Goodier, Theory of Elasticity, torsion of rectangular bars; from memory). The sum is split in two: the part with
    tanh = 1 is 31/32 zeta(5), and what is left falls so fast that seven terms reach the last digit.

    Args:
        width: one side, mm.
        height: the other side, mm.
    """
    long, short = max(width, height), min(width, height)
    slow = 31.0 / 32.0 * _ZETA_5
    fading = [(n, math.exp(-n * math.pi * long / short)) for n in range(1, 14, 2)]
    rest = sum(2.0 * fade / (1.0 + fade) / n**5 for n, fade in fading)
    return long * short**3 * (1.0 / 3.0 - 64.0 * short / (math.pi**5 * long) * (slow - rest))


def hollow_torsion(width: float, height: float, wall: float, outside_radius: float, inside_radius: float) -> float:
    """Return the torsion constant of a square or rectangular tube, mm4.

    The closed-cell formula of EN 10210-2 and EN 10219-2, annexes on sectional properties (from memory):
    J = wall^3 h/3 + 4 A^2 wall/h, with h the perimeter and A the area inside the line through the middle of the wall,
    whose corners have the mean of the two radii. An approximation; ``SquareTube`` says how good.

    Args:
        width: outside, mm.
        height: outside, mm.
        wall: thickness, mm.
        outside_radius: of the corners, mm.
        inside_radius: of the corners, mm.
    """
    radius = (outside_radius + inside_radius) / 2.0
    along, across = width - wall, height - wall
    perimeter = 2.0 * (along + across) - 2.0 * radius * (4.0 - math.pi)
    enclosed = along * across - radius**2 * (4.0 - math.pi)
    return wall**3 * perimeter / 3.0 + 4.0 * enclosed**2 * wall / perimeter
