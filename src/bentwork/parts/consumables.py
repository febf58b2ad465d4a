"""What is used up besides bar: filler by the length of the welds, paint and abrasive by the surface."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

__all__ = [
    "USUAL_COATS",
    "Coat",
    "Process",
    "Weld",
    "abrasive_discs",
    "degreaser",
    "filler_to_buy",
    "powder_mass",
    "zinc_mass",
]

Process = Literal["TIG", "MIG"]

_OVER = 1.2
"""Weld metal over the flat fillet that is reckoned: crowns and a little too much; common practice, no source."""

_USED: dict[Process, float] = {"TIG": 0.8, "MIG": 0.95}
"""Share of the filler bought that ends in welds: stubs of rods are thrown away; common practice, no source."""

_DISC = 0.25
"""Surface that one flap or fibre disc of 115 mm cleans or dulls on thin bar, m2; common practice, no source."""

_DEGREASER = 0.1
"""Degreaser for a square metre wiped twice, litres; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Weld:
    """A fillet weld.

    Args:
        where: in words.
        length: mm.
        throat: mm.
        density: of the metal, kg/m3.
        filler: what it is filled with, as it is asked for over the counter.
    """

    where: str
    length: float
    throat: float
    density: float
    filler: str = ""

    @property
    def mass(self) -> float:
        """Mass of the weld metal, kg: a fillet of two equal legs has the area throat squared."""
        return self.throat**2 * self.length * _OVER * self.density * 1e-9


def filler_to_buy(welds: Iterable[Weld], process: Process) -> float:
    """Return the mass of filler for these welds, kg, what is thrown away included."""
    return math.fsum(weld.mass for weld in welds) / _USED[process]


@dataclass(frozen=True, slots=True)
class Coat:
    """A paint, and how much of it goes on.

    Args:
        name: primer, paint, …
        coverage: of one coat, m2 a litre, as the tin says it for a flat wall.
        coats: how many.
        loss: share of it that does not end on the bars: brush, overspray past thin bars.
        price: of a litre; None when it is not known.
        said: by the maker; otherwise it is what is usual.
    """

    name: str
    coverage: float
    coats: int = 1
    loss: float = 0.3
    price: float | None = None
    said: bool = True

    def __post_init__(self) -> None:
        if not (math.isfinite(self.coverage) and self.coverage > 0.0):
            raise ValueError(f"a litre covers more than 0 m2, not {self.coverage:g}")
        if not 0.0 <= self.loss < 1.0:
            raise ValueError(f"a loss is a share from 0 to below 1, not {self.loss:g}")
        if self.coats < 1:
            raise ValueError(f"at least one coat is put on, not {self.coats}")

    def litres(self, surface: float) -> float:
        """Return how much is wanted for a surface in m2, losses included."""
        return surface * self.coats / self.coverage / (1.0 - self.loss)

    def dry_mass(self, surface: float) -> float:
        """Return what stays on a surface in m2, kg: about 0.85 kg of a litre; common practice, no source."""
        return surface * self.coats / self.coverage * 0.85


USUAL_COATS = (
    Coat("primer", 8.0, 1, 0.3, None, False),
    Coat("paint", 10.0, 2, 0.3, None, False),
)
"""One coat of primer, two of paint; 8 and 10 m2 a litre is a datasheet's kind of figure; common practice, no source."""


_POWDER = 0.1
"""Powder from the oven on a square metre, kg: 70 micrometres of 1.5 kg a litre; common practice, no source."""

_ZINC = ((1.499, 0.325), (3.0, 0.395), (6.0, 0.505), (math.inf, 0.610))
"""Zinc on a square metre of steel up to this thick, kg: least mean mass of ISO 1461:2009 (read in a galvanizer's public
table; 1.5 mm belongs to the second). Steel with much silicon takes more."""


def powder_mass(surface: float) -> float:
    """Return the mass of powder on a surface in m2, kg."""
    return _POWDER * surface


def zinc_mass(surface: float, thickness: float) -> float:
    """Return the mass of zinc that a bath leaves on a surface in m2 of steel so thick, mm, in kg."""
    return next(mass for most, mass in _ZINC if thickness <= most) * surface


def abrasive_discs(surface: float) -> int:
    """Return how many discs a surface in m2 takes."""
    return math.ceil(surface / _DISC - 1e-9)


def degreaser(surface: float) -> float:
    """Return how many litres of degreaser a surface in m2 takes."""
    return surface * _DEGREASER
