"""How long to cut flat bar for a bracket: where the neutral line lies, allowance, setback, deduction.

The length that a bend takes is that of the line which neither stretches nor shrinks. It lies K times the thickness in
from the inside face: less than the middle, because in a tight bend the inside gives way first. Lengths in mm, angles in
degrees, radii to the inside face.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.stock.material import Group, Material

__all__ = ["K_FACTORS", "FlatBend", "Hardness", "hardness_of", "k_factor"]

Hardness = Literal["soft", "medium", "hard"]

K_FACTORS: Mapping[Hardness, float] = {
    "soft": 0.55 / (math.pi / 2.0),  # soft copper and brass
    "medium": 0.64 / (math.pi / 2.0),  # half-hard copper and brass, soft steel, aluminium
    "hard": 0.71 / (math.pi / 2.0),  # bronze, hard copper, cold-rolled and spring steel
}
"""Neutral line, in thicknesses from the inside face: 0.350, 0.407, 0.452. Machinery's Handbook, sheet-metal bending,
gives the allowance of 90 degrees as 0.55 T, 0.64 T or 0.71 T plus 1.57 R (constants and groups from memory, agreeing
with quotations of the 28th edition)."""

_COPPER_METALS: Sequence[Group] = ("copper", "brass")
_HARD_STEEL = 300.0  # MPa of proof stress: drawn and cold-rolled bars lie above, hot-rolled mild steel below
_HARD_COPPER = 290.0  # MPa of tensile strength: EN 1057 calls R290 hard


def hardness_of(material: Material) -> Hardness:
    """Return which row of the handbook's table a material belongs to.

    The borders between its groups are ours: the handbook has words, not numbers.
    """
    proof, tensile = material.proof_stress.value, material.tensile_strength.value
    if material.group in _COPPER_METALS:
        soft = proof < 0.45 * tensile
        hard = tensile >= _HARD_COPPER if material.group == "copper" else proof > 0.75 * tensile
        return "soft" if soft else "hard" if hard else "medium"
    if material.group == "steel":
        return "hard" if proof > _HARD_STEEL else "medium"
    return "hard" if material.group == "titanium" else "medium"


def k_factor(material: Material) -> float:
    """Return where the neutral line of a tight bend lies, in thicknesses from the inside face."""
    return K_FACTORS[hardness_of(material)]


@dataclass(frozen=True, slots=True)
class FlatBend:
    """One bend of flat bar the easy way.

    Args:
        thickness: mm.
        inside_radius: mm.
        angle: degrees, below 180 for setback and deduction.
        k: neutral line in thicknesses from the inside face; 0.5 is the middle, as for round bar and tube.

    Raises:
        ValueError: a number is out of its range.
    """

    thickness: float
    inside_radius: float
    angle: float
    k: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.thickness) and self.thickness > 0.0):
            raise ValueError(f"a thickness is above 0 mm, not {self.thickness:g}")
        if not (math.isfinite(self.inside_radius) and self.inside_radius >= 0.0):
            raise ValueError(f"an inside radius is 0 mm or more, not {self.inside_radius:g}")
        if not 0.0 < self.angle < 360.0:
            raise ValueError(f"a bend angle lies between 0 and 360 degrees, not {self.angle:g}")
        if not 0.0 <= self.k <= 1.0:
            raise ValueError(f"the neutral line lies between both faces, 0 to 1, not {self.k:g}")

    @property
    def allowance(self) -> float:
        """Length of bar in the bend, mm: angle times the radius of the neutral line."""
        return math.radians(self.angle) * (self.inside_radius + self.k * self.thickness)

    @property
    def setback(self) -> float:
        """From the outside corner point to where the bend starts, mm: (R + T) tan(angle/2)."""
        if self.angle >= 180.0:
            return math.inf
        return (self.inside_radius + self.thickness) * math.tan(math.radians(self.angle) / 2.0)

    @property
    def deduction(self) -> float:
        """What to take off the sum of both outside legs, mm: two setbacks less the allowance."""
        return 2.0 * self.setback - self.allowance

    @property
    def centreline_arc(self) -> float:
        """Length of the middle of the thickness in the bend, mm: what a drawing to the middle counts."""
        return math.radians(self.angle) * (self.inside_radius + self.thickness / 2.0)

    @property
    def shortening(self) -> float:
        """By how much less bar the bend takes than its middle is long, mm: to take off a drawing to the middle."""
        return self.centreline_arc - self.allowance
