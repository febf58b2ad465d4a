"""How a bar gives: compliance of a millimetre of it, shear and the softness of bent tube included."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.elements import Elements
from bentwork.stock.material import Material
from bentwork.stock.section import Round, Section, SquareTube, Tube

__all__ = ["bend_softness", "compliance_of", "line_masses", "section_compliance", "shear_shares"]

Floats = NDArray[np.float64]


def shear_shares(section: Section, poisson: float) -> tuple[float, float]:
    """Return the shares of the area that carry shear along width and height (Cowper 1966, from memory).

    Round bar 6(1+v)/(7+6v), thin tube 2(1+v)/(4+3v), rectangle 10(1+v)/(12+11v); of a square tube the two walls
    along the
    shear.
    """
    v = poisson
    if isinstance(section, Round):
        return (6.0 * (1.0 + v) / (7.0 + 6.0 * v),) * 2
    if isinstance(section, Tube):
        return (2.0 * (1.0 + v) / (4.0 + 3.0 * v),) * 2
    if isinstance(section, SquareTube):
        both = section.width + section.height
        return section.width / both, section.height / both
    return (10.0 * (1.0 + v) / (12.0 + 11.0 * v),) * 2


@lru_cache(maxsize=4096)
def section_compliance(section: Section, material: Material, shear: bool = True) -> tuple[float, ...]:
    """Return 1/EA, 1/GA' along width and height, 1/GJ, 1/EI about width and about height, in N and mm.

    Args:
        section: of the bar.
        material: of the bar.
        shear: whether shear bends it too (Timoshenko) or not (Euler and Bernoulli).
    """
    e, g = material.elastic_modulus.value, material.shear_modulus
    wide, high = shear_shares(section, material.poisson.value)
    area = section.area
    return (
        1.0 / (e * area),
        1.0 / (g * area * wide) if shear else 0.0,
        1.0 / (g * area * high) if shear else 0.0,
        1.0 / (g * section.torsion_constant),
        1.0 / (e * section.bending("easy").second_moment),
        1.0 / (e * section.bending("hard").second_moment),
    )


def bend_softness(section: Section, radius: float) -> float:
    """Return how many times softer a bend is than straight bar: a bent tube flattens as it is bent further.

    Round tube: 1.65/h, never below 1, h = wall x radius / (mean radius)^2: flexibility factor of ASME B31, appendix D
    (from memory). Other sections: 1.
    """
    if not isinstance(section, Tube):
        return 1.0
    mean = (section.diameter - section.wall) / 2.0
    return max(1.0, 1.65 * mean**2 / (section.wall * radius))


def compliance_of(bars: Sequence[Bar], elements: Elements, *, shear: bool = True) -> Floats:
    """Return the compliance of every element, (E, 6)."""
    by_bar = np.array([section_compliance(bar.section, bar.material, shear) for bar in bars])
    found = by_bar[elements.bar]
    if any(isinstance(bar.section, Tube) for bar in bars):
        softer = [
            bend_softness(bars[bar].section, 1.0 / curvature) if curvature > 0.0 else 1.0
            for bar, curvature in zip(elements.bar, elements.curvature, strict=True)
        ]
        found[:, 4:] *= np.array(softer)[:, None]
    return found


def line_masses(bars: Sequence[Bar], elements: Elements) -> Floats:
    """Return the mass of a millimetre of every element, kg, (E,)."""
    found: Floats = np.array([bar.line_mass for bar in bars])[elements.bar]
    return found
