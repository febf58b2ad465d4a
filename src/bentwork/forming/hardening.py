"""How a metal resists stretching past its yield: one hardening law, fitted to the three numbers of a data sheet.

The law is Swift's, in total strain, below it Hooke's: stress = E eps up to where the two meet, K (eps0 + eps)^n after
(Swift 1952; any textbook of metal forming). Why this one: it has three constants for the three numbers that are known
(proof stress, tensile strength, elongation); it never falls, as a bend needs; it holds perfect plasticity (n = 0),
linear hardening (n = 1) and the plain power law (eps0 = 0) as special cases, whose bending moments have closed forms to
check against; and it gives stress straight from strain. Voce's law levels off at the tensile strength and would suit
strongly bent aluminium better; `docs/theory-forming.md` says how little that changes.

The fit uses Considere's condition: a tensile test reaches its tensile strength where true stress and slope are equal,
which for this law is at eps_u = n - eps0. Of the elongation after fracture only a part is uniform; the rest is the
neck. Standard minima are not one real bar: where uniform strain from the elongation is too short to climb from the
proof stress to the tensile strength, strength wins, and the strain is the shortest that does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bentwork.stock.material import Material

__all__ = ["UNIFORM_SHARE", "Law", "law_of"]

UNIFORM_SHARE = 0.65
"""Part of the elongation after fracture that is stretched before a neck begins: structural steel, stainless and aged
aluminium lie between 0.5 and 0.8 (from memory; no single source)."""

_PROOF_STRAIN = 0.002
_MOST_OFFSET = 10.0  # eps0 of a metal whose proof stress is its strength; a greater one changes nothing but the digits
_LONGEST = 3.0  # true strain that no tensile test reaches


@dataclass(frozen=True, slots=True)
class Law:
    """Stress against strain, the same in tension and compression: Hooke's law, then Swift's.

    Args:
        modulus: elastic modulus E, MPa.
        strength: K of Swift's law, MPa.
        exponent: n of Swift's law, 0 or more.
        offset: eps0 of Swift's law, 0 or more.

    Attributes:
        yield_strain: where the two laws meet.

    Raises:
        ValueError: a constant is out of its range, or the metal would harden more steeply than it stretches.
    """

    modulus: float
    strength: float
    exponent: float = 0.0
    offset: float = 0.0
    yield_strain: float = field(init=False)

    def __post_init__(self) -> None:
        for name in ("modulus", "strength"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"the {name} of a metal is a stress above 0 MPa, not {value:g}")
        for name in ("exponent", "offset"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0.0):
                raise ValueError(f"the {name} of a hardening law is 0 or more, not {value:g}")
        object.__setattr__(self, "yield_strain", _meeting(self.modulus, self.strength, self.exponent, self.offset))

    @classmethod
    def perfectly_plastic(cls, modulus: float, proof_stress: float) -> Law:
        """Return the law of a metal that does not harden at all; both in MPa."""
        return cls(modulus, proof_stress)

    @classmethod
    def linear(cls, modulus: float, proof_stress: float, tangent: float) -> Law:
        """Return the law of a metal that hardens along a straight line of slope ``tangent``, MPa, below the modulus."""
        if not 0.0 < tangent < modulus:
            raise ValueError(f"the slope of hardening lies between 0 and the modulus, not {tangent:g} MPa")
        return cls(modulus, tangent, 1.0, proof_stress / tangent - proof_stress / modulus)

    @property
    def yield_stress(self) -> float:
        """Stress at which the two laws meet, MPa."""
        return self.modulus * self.yield_strain

    @property
    def uniform_strain(self) -> float:
        """True strain at which a tensile test begins to neck, by Considere's condition."""
        return self.exponent - self.offset

    def stress(self, strain: NDArray[np.float64] | float) -> NDArray[np.float64]:
        """Return the stress at strains of 0 or more, MPa, in the same shape."""
        strain = np.asarray(strain, dtype=np.float64)
        plastic = self.strength * (self.offset + np.maximum(strain, self.yield_strain)) ** self.exponent
        return np.where(strain < self.yield_strain, self.modulus * strain, plastic)

    def yields_at(self, factor: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the strain of first yield of bars that are ``factor`` times as strong, in the same shape."""
        if self.offset == 0.0:
            plain: NDArray[np.float64] = (factor * (self.strength / self.modulus)) ** (1.0 / (1.0 - self.exponent))
            return plain
        factors, which = np.unique(factor, return_inverse=True)
        strains = [_meeting(self.modulus, self.strength * one, self.exponent, self.offset) for one in factors.tolist()]
        return np.array(strains)[which].reshape(factor.shape)

    def scaled(self, factor: float) -> Law:
        """Return the law of a bar of the same metal that is ``factor`` times as strong at every strain."""
        return replace(self, strength=self.strength * factor)


def law_of(material: Material) -> Law:
    """Return the law fitted to proof stress, tensile strength and elongation of a material.

    Proof stress and tensile strength are met, the elongation as far as it agrees with them: see the head of the module.

    Args:
        material: its figures are taken as they stand, minimum or typical.

    Raises:
        ValueError: no tensile test could climb that far from the proof stress.
    """
    modulus, proof = material.elastic_modulus.value, material.proof_stress.value
    stretch = 1.0 + _PROOF_STRAIN + proof / modulus
    start, true_proof = math.log(stretch), proof * stretch
    climb = math.log(material.tensile_strength.value / true_proof)
    uniform = math.log1p(UNIFORM_SHARE * material.elongation.value / 100.0)
    if _rise(0.0, uniform, start) <= climb + uniform:
        offset, uniform = 0.0, _shortest(climb, start)
    elif _rise(_MOST_OFFSET, uniform, start) >= climb + uniform:
        offset = _MOST_OFFSET
    else:
        offset = _offset(climb + uniform, uniform, start)
    exponent = offset + uniform
    return Law(modulus, true_proof / (offset + start) ** exponent, exponent, offset)


def _rise(offset: float, uniform: float, start: float) -> float:
    """Logarithm of true stress at the uniform strain over true stress at the proof strain; falls as offset grows."""
    return (offset + uniform) * math.log((offset + uniform) / (offset + start))


def _offset(rise: float, uniform: float, start: float) -> float:
    """Find the eps0 at which stress rises by this much; halving, since the rise falls steadily."""
    low, high = 0.0, _MOST_OFFSET
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _rise(middle, uniform, start) > rise else (low, middle)
    return 0.5 * (low + high)


def _shortest(climb: float, start: float) -> float:
    """Find the uniform strain with which a plain power law climbs from proof stress to tensile strength."""
    low, high = start, _LONGEST
    if high * (math.log(high / start) - 1.0) < climb:
        raise ValueError("the tensile strength is too far above the proof stress for any metal")
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if middle * (math.log(middle / start) - 1.0) < climb else (low, middle)
    return 0.5 * (low + high)


@lru_cache(maxsize=4096)
def _meeting(modulus: float, strength: float, exponent: float, offset: float) -> float:
    """Find where Hooke's and Swift's laws meet; Newton from above, where the gap is concave or nearly straight."""
    if exponent >= 1.0 and offset == 0.0:
        raise ValueError("a metal must have an elastic range; this hardening law starts at no stress at all")
    if offset == 0.0:
        return float((strength / modulus) ** (1.0 / (1.0 - exponent)))
    strain: float = strength * (offset + strength / modulus) ** exponent / modulus
    for _ in range(60):
        plastic = strength * (offset + strain) ** exponent
        slope = modulus - exponent * plastic / (offset + strain)
        if slope <= 0.0:
            raise ValueError("a metal cannot harden more steeply than it stretches elastically")
        step = (modulus * strain - plastic) / slope
        strain -= step
        if abs(step) <= 1e-15 * strain:
            break
    return strain
