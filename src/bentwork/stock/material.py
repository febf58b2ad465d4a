"""A material: its numbers, and for each of them where it comes from and how sure it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

__all__ = ["Bound", "Figure", "Group", "Material", "MeasuredTo", "Multiple", "RadiusRange", "Sure", "joinable"]

Group = Literal["aluminium", "steel", "stainless", "copper", "brass", "titanium", "other"]

Sure = Literal["standard seen", "datasheet seen", "from memory", "common practice", "maker's own"]
"""How sure a number is. ``standard seen``: read in a public extract of the standard; ``datasheet seen``: read in a
supplier's sheet or a handbook table; ``from memory``: known from the source but not looked up, check it before a life
hangs on it; ``common practice``: what the trade does, no source; ``maker's own``: the maker of the job wrote it."""

Bound = Literal["minimum", "typical", "maximum"]
"""What a number promises: every bar has at least this, most have about this, or none has more."""

Multiple = Literal["thickness", "diameter"]
MeasuredTo = Literal["inside", "centreline"]

MOST_HARDENING = 12.0
"""Tensile strength over proof stress, at most: soft copper, which hardens most, comes to 6 or 7 (from memory)."""
MOST_ELASTIC = 0.02
"""Proof stress over elastic modulus, at most: the hardest springs of titanium come to 0.016 (from memory)."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its origin.

    Args:
        value: in the unit of the place where it stands.
        source: standard, table, datasheet or person.
        sure: how sure it is.
        bound: what it promises.

    Raises:
        ValueError: the value is not a finite number above 0, or no source is named.
    """

    value: float
    source: str
    sure: Sure
    bound: Bound = "typical"

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and self.value > 0.0):
            raise ValueError(f"a property of a material is a number above 0, not {self.value:g}")
        if not self.source.strip():
            raise ValueError(f"the number {self.value:g} needs a source")


@dataclass(frozen=True, slots=True)
class RadiusRange:
    """The smallest radii that sources give for a cold bend; a range, because they disagree and thickness matters.

    Args:
        low: the boldest of them, in multiples of ``of``.
        high: the most careful of them, in multiples of ``of``.
        of: the size that is multiplied: thickness of flat and sheet, or diameter of round bar and tube.
        measured_to: where the radius is measured.
        source: where it comes from, and the sizes it was given for.
        sure: how sure it is.

    Raises:
        ValueError: the range is not one, or no source is named.
    """

    low: float
    high: float
    of: Multiple
    measured_to: MeasuredTo
    source: str
    sure: Sure

    def __post_init__(self) -> None:
        if not (math.isfinite(self.high) and 0.0 <= self.low <= self.high and self.high > 0.0):
            raise ValueError(f"a range of radii runs upwards from 0 or more, not {self.low:g} to {self.high:g}")
        if not self.source.strip():
            raise ValueError("a smallest radius needs a source")


@dataclass(frozen=True, slots=True)
class Material:
    """What a bar is made of, in the state it is bought in.

    Args:
        name: as a maker would type it.
        group: the metal.
        description: what it is and what it is sold as, in plain words.
        elastic_modulus: MPa.
        proof_stress: Rp0.2, or the yield stress where there is one, MPa.
        tensile_strength: Rm, MPa.
        elongation: after fracture, per cent.
        density: kg/m3.
        poisson: Poisson's ratio.
        proof_stress_maximum: what the proof stress may rise to, MPa, where a source limits it.
        welded_proof_stress: next to a weld, MPa; None: no load-carrying frame is welded from it.
        welded_strength: tensile strength next to a weld, MPa; given together with the one before.
        weld_note: what a welder must know.
        bend_note: what a bender must know.
        temper: how it was treated.
        form: product form and sizes that the numbers hold for.
        minimum_radii: smallest radii for cold bends.
        aliases: other names it goes by.

    Raises:
        ValueError: it has no name, yields above its strength, or has half of the welded values.
    """

    name: str
    group: Group
    description: str
    elastic_modulus: Figure
    proof_stress: Figure
    tensile_strength: Figure
    elongation: Figure
    density: Figure
    poisson: Figure
    proof_stress_maximum: Figure | None = None
    welded_proof_stress: Figure | None = None
    welded_strength: Figure | None = None
    weld_note: str = ""
    bend_note: str = ""
    temper: str = ""
    form: str = ""
    minimum_radii: tuple[RadiusRange, ...] = ()
    aliases: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("a material needs a name")
        if self.proof_stress.value > self.tensile_strength.value:
            raise ValueError(f"{self.name}: the proof stress cannot be above the tensile strength")
        if self.tensile_strength.value > MOST_HARDENING * self.proof_stress.value:
            raise ValueError(
                f"{self.name}: no metal's tensile strength is {MOST_HARDENING:g} times its proof stress;"
                f" {self.tensile_strength.value:g} is, of {self.proof_stress.value:g} MPa"
            )
        if MOST_ELASTIC * self.elastic_modulus.value < self.proof_stress.value:
            raise ValueError(
                f"{self.name}: no metal springs back from {100.0 * MOST_ELASTIC:g} % of strain; a proof stress of"
                f" {self.proof_stress.value:g} on a modulus of {self.elastic_modulus.value:g} MPa would"
            )
        if not self.poisson.value < 0.5:
            raise ValueError(f"{self.name}: Poisson's ratio of a metal is below 0.5, not {self.poisson.value:g}")
        if (self.welded_proof_stress is None) != (self.welded_strength is None):
            raise ValueError(f"{self.name}: welded proof stress and welded strength go together")

    @property
    def weldable(self) -> bool:
        """Whether a load-carrying frame may be welded from it, by the values known here."""
        return self.welded_strength is not None

    @property
    def shear_modulus(self) -> float:
        """Shear modulus, MPa: E/(2 (1 + Poisson's ratio)), the relation of isotropic elasticity."""
        return self.elastic_modulus.value / (2.0 * (1.0 + self.poisson.value))

    @property
    def figures(self) -> tuple[tuple[str, Figure], ...]:
        """Every number that is known, by the name it has here."""
        names = (
            "elastic_modulus",
            "proof_stress",
            "proof_stress_maximum",
            "tensile_strength",
            "elongation",
            "density",
            "poisson",
            "welded_proof_stress",
            "welded_strength",
        )
        known = ((name, getattr(self, name)) for name in names)
        return tuple((name, figure) for name, figure in known if isinstance(figure, Figure))


def joinable(one: Material, other: Material) -> bool:
    """Tell whether two metals are welded to one another at all: like to like, and stainless to steel."""
    steels = ("steel", "stainless")
    return one.group == other.group or (one.group in steels and other.group in steels)
