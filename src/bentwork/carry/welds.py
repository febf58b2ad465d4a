"""Fillet welds: the stress on the throat, and what filler and metal hold.

Both codes compare sqrt(s^2 + 3 (t^2 + t'^2)) on the throat with a strength over 1.25: for aluminium that of the weld
metal (EN 1999-1-1, 8.6.3.3), for steel f_u/beta_w (EN 1993-1-8, 4.5.3.2). A force across a fillet lies at 45 degrees
to its
throat and counts sqrt 2, one along it sqrt 3.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.strength import thickness
from bentwork.stock.material import Material
from bentwork.stock.section import Round, Section, Tube

__all__ = [
    "WELD_FACTOR",
    "Ring",
    "lines_of",
    "pair_of",
    "ring_of",
    "throat_between",
    "throat_stress",
    "usual_throat",
    "weld_metal_strength",
    "weld_stress",
]

Floats = NDArray[np.float64]

WELD_FACTOR = 1.25
"""gamma_Mw of EN 1999-1-1 and gamma_M2 of EN 1993-1-8 (from memory)."""

_FILLERS = {  # EN 1999-1-1, Table 8.8, MPa (from memory)
    "5356": {"5083": 240.0, "6060": 160.0, "6061": 190.0, "6063": 160.0, "6082": 210.0, "7020": 260.0},
    "4043": {"6060": 150.0, "6061": 170.0, "6063": 150.0, "6082": 190.0, "7020": 210.0},
}
_BETA = {"S235": 0.8, "S275": 0.85, "S355": 0.9}  # EN 1993-1-8, Table 4.1 (from memory); other steels 1.0


@dataclass(frozen=True, slots=True)
class Ring:
    """A fillet round a bar's end, or many, a row each: area of the throat (mm2), moduli for bending and twist (mm3)."""

    area: float | Floats
    bend: float | Floats
    twist: float | Floats


def ring_of(section: Section, throat: float) -> Ring:
    """Return the weld all round a section, taken as a line along its outline.

    Args:
        section: of the bar that ends on the other.
        throat: mm.
    """
    if isinstance(section, Round | Tube):
        d = section.diameter
        return Ring(math.pi * d * throat, math.pi * d**2 / 4.0 * throat, math.pi * d**2 / 2.0 * throat)
    b, h = sorted((section.width, section.height))
    weakest = h * b + b**2 / 3.0  # bent in the smaller size
    return Ring(2.0 * (b + h) * throat, weakest * throat, 2.0 * b * h * throat)


def pair_of(one: Section, other: Section, throat: float) -> Ring:
    """Return the two fillets where bars cross: beside the thinner one, as long as the other is wide.

    Two lines of length L a distance d apart: area 2 L a, moduli L^2 a/3 and L d a, twist (L^3/6 + L d^2/2) a over the
    distance of a corner.

    Args:
        one: section of the thinner bar.
        other: of the one it crosses.
        throat: mm.
    """
    return lines_of(other.depth("hard"), one.depth("hard"), throat)


def lines_of(length: float, apart: float, throat: float) -> Ring:
    """Return two fillets side by side, mm; bending is told in the weaker direction."""
    corner = math.hypot(apart, length) / 2.0
    return Ring(
        2.0 * length * throat,
        min(length**2 / 3.0, length * apart) * throat,
        (length**3 / 6.0 + length * apart**2 / 2.0) / corner * throat,
    )


def usual_throat(one: Bar, other: Bar) -> float:
    """Return the throat between two bars that is taken when nobody says, mm; see ``throat_between``."""
    return throat_between(thickness(one.section), thickness(other.section))


def throat_between(one: float, other: float) -> float:
    """Return the throat that is taken when nobody says: 0.7 of the thinner metal, 4 mm at most (common practice)."""
    return min(0.7 * min(one, other), 4.0)


def weld_metal_strength(material: Material, filler: str = "5356") -> float:
    """Return what the throat may be asked for, MPa, before the partial factor.

    Aluminium by alloy and filler, where the table has it, else the strength beside the weld; steel f_u/beta_w.

    Args:
        material: of the weaker bar.
        filler: ``5356`` or ``4043``.
    """
    beside = (material.welded_strength or material.tensile_strength).value
    if material.group == "aluminium":
        alloy = re.match(r"\d{4}", material.name)
        return _FILLERS.get(filler, {}).get(alloy.group() if alloy else "", beside)
    return beside / _BETA.get(material.name.split("-")[0], 1.0)


def throat_stress(ring: Ring, axial: Floats, shear: Floats, twist: Floats, bend: Floats) -> tuple[Floats, Floats]:
    """Return what acts on the throat, MPa: across the weld, from axial force and bending; along it, shear and twist.

    Args:
        ring: the weld.
        axial: force along the bar, N.
        shear: force across it, N.
        twist: moment about it, N mm.
        bend: moment across it, N mm.
    """
    across: Floats = np.abs(axial) / ring.area + np.abs(bend) / ring.bend
    along: Floats = np.abs(shear) / ring.area + np.abs(twist) / ring.twist
    return across, along


def weld_stress(across: Floats, along: Floats) -> Floats:
    """Return sqrt(2 n^2 + 3 p^2), MPa, of ``throat_stress``: what the codes compare."""
    found: Floats = np.sqrt(2.0 * across**2 + 3.0 * along**2)
    return found
