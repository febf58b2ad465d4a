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
        more_bars: other lengths on sale, mm, each with its price; None when it is not known.
        offcuts: lengths that are in the workshop, mm; one that is there twice stands twice.

    Raises:
        ValueError: a length or a price makes no sense.
    """

    name: str
    section: Section
    material: Material
    bar_length: float | None = None
    price: float | None = None
    more_bars: tuple[tuple[float, float | None], ...] = ()
    offcuts: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        for length in (self.bar_length, *(length for length, _ in self.more_bars), *self.offcuts):
            if length is not None and not (math.isfinite(length) and length > 0.0):
                raise ValueError(f"a bar of {self.name} must be longer than 0 mm, not {length:g}")
        for price in (self.price, *(price for _, price in self.more_bars)):
            if price is not None and not (math.isfinite(price) and price >= 0.0):
                raise ValueError(f"the price of a bar of {self.name} cannot be {price:g}")

    @property
    def on_sale(self) -> tuple[tuple[float, float | None], ...]:
        """Lengths on sale, mm, each with its price."""
        first = () if self.bar_length is None else ((self.bar_length, self.price),)
        return (*first, *self.more_bars)

    @property
    def longest_bar(self) -> float | None:
        """The longest bar on sale or in the workshop, mm; None when no bar on sale is known."""
        lengths = [length for length, _ in self.on_sale]
        return max([*lengths, *self.offcuts]) if lengths else None

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
