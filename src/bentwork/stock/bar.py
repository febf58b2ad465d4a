"""Stock: bar as bought, a section in a material, cut from bars of one length at one price."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way, mass_per_metre

__all__ = ["Stock"]


@dataclass(frozen=True, slots=True)
class Stock:
    """Bar as bought.

    Args:
        name: what the job calls it.
        section: its cross-section.
        material: what it is made of.
        bar_length: length of one bar, mm; None when it is not known.
        price: of one bar, in the maker's own money; None when it is not known.

    Raises:
        ValueError: a length or a price makes no sense.
    """

    name: str
    section: Section
    material: Material
    bar_length: float | None = None
    price: float | None = None

    def __post_init__(self) -> None:
        if self.bar_length is not None and not (math.isfinite(self.bar_length) and self.bar_length > 0.0):
            raise ValueError(f"a bar of {self.name} must be longer than 0 mm, not {self.bar_length:g}")
        if self.price is not None and not (math.isfinite(self.price) and self.price >= 0.0):
            raise ValueError(f"the price of a bar of {self.name} cannot be {self.price:g}")

    @property
    def mass_per_metre(self) -> float:
        """Mass of a metre, kg."""
        return mass_per_metre(self.section, self.material.density.value)

    def mass(self, length: float) -> float:
        """Return the mass of a length given in mm, kg."""
        return self.mass_per_metre * length / 1000.0

    @property
    def price_per_metre(self) -> float | None:
        """Price of a metre, offcuts not counted; None when length or price of the bar is not known."""
        if self.bar_length is None or self.price is None:
            return None
        return self.price * 1000.0 / self.bar_length

    def bending_stiffness(self, way: Way = "easy") -> float:
        """Return E I, N mm2: bending moment over curvature, as long as nothing yields."""
        return self.material.elastic_modulus.value * self.section.bending(way).second_moment

    @property
    def torsional_stiffness(self) -> float:
        """G J, N mm2: twisting moment over twist per length in radians, as long as nothing yields."""
        return self.material.shear_modulus * self.section.torsion_constant
