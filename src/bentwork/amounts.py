"""Masses, forces, warmth, surfaces and liquids as makers read them: metric beside mm, pounds and gallons beside inches.

Inside, everything is kg, N, N m, degrees Celsius, m2 and litres. The sizes of the units are those of NIST SP 811,
appendix B.8, and NIST Handbook 44, appendix C (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

__all__ = ["FOOT_POUND", "FORCES", "GALLON", "MASSES", "OUNCE", "POUND", "POUND_FORCE", "Load", "Scales", "Units"]

Units = Literal["mm", "in"]

POUND = 0.45359237
"""Kilograms in a pound: exact since the international yard and pound agreement of 1959."""

OUNCE = POUND / 16.0
"""Kilograms in an ounce."""

POUND_FORCE = POUND * 9.80665
"""Newtons in a pound of force, 4.448222."""

FOOT_POUND = POUND_FORCE * 0.3048
"""Newton metres in a pound-force foot, 1.355818."""

GALLON = 231.0 * 0.254**3
"""Litres in a gallon of the United States, 231 cubic inches: 3.785412."""

_FOOT = 0.3048  # m

MASSES: Mapping[str, float] = {"kg": 1.0, "g": 0.001, "lb": POUND, "lbs": POUND, "oz": OUNCE}
"""Units that a mass may be written in, kg."""

FORCES: Mapping[str, float] = {"N": 1.0, "kN": 1000.0, "lbf": POUND_FORCE, "lb": POUND_FORCE}
"""Units that a force may be written in, N."""

_EITHER = re.compile(r"<([^<>|]+)\|([^<>|]+)>")


@dataclass(frozen=True, slots=True)
class Load:
    """A mass, a force or a torque that a text mentions.

    Args:
        of: what it is.
        size: kg, N or N m.
    """

    of: Literal["mass", "force", "torque"]
    size: float


@dataclass(frozen=True, slots=True)
class Scales:
    """How masses and the like are shown to the maker.

    Args:
        units: of lengths; beside ``in`` all else is in pounds, square feet and ounces.
    """

    units: Units = "mm"

    @property
    def mass_unit(self) -> Literal["kg", "lb"]:
        """The unit of masses."""
        return "kg" if self.units == "mm" else "lb"

    @property
    def force_unit(self) -> Literal["N", "lbf"]:
        """The unit of forces."""
        return "N" if self.units == "mm" else "lbf"

    def in_mass_unit(self, kg: float) -> float:
        """Return the bare number of a mass, in its unit."""
        return kg if self.units == "mm" else kg / POUND

    def in_force_unit(self, newtons: float) -> float:
        """Return the bare number of a force, in its unit."""
        return newtons if self.units == "mm" else newtons / POUND_FORCE

    def mass(self, kg: float) -> str:
        """Write a mass with its unit, for a sentence: ``1.25 kg``, or ``2.76 lb`` where lengths are inches."""
        return f"{self.in_mass_unit(kg):.2f} {self.mass_unit}"

    def small_mass(self, kg: float) -> str:
        """Write the mass of filler or paint: ``22 g``, ``0.8 oz``; from a kilogram or a pound on as any mass."""
        if self.in_mass_unit(kg) >= 1.0:
            return self.mass(kg)
        return f"{kg * 1000.0:.0f} g" if self.units == "mm" else f"{kg / OUNCE:.2g} oz"

    def load(self, kg: float, figures: int = 3) -> str:
        """Write the mass of a load to so many figures, a larger one in full: ``12.3 kg``, ``1250 kg``."""
        value = self.in_mass_unit(kg)
        told = f"{value:.0f}" if abs(value) >= 10**figures else f"{value:.{figures}g}"
        return f"{told} {self.mass_unit}"

    def force(self, newtons: float) -> str:
        """Write a force: ``123 N``, ``28 lbf``, ``5.6 lbf``."""
        value = self.in_force_unit(newtons)
        return f"{value:.0f} N" if self.units == "mm" else f"{value:.{0 if abs(value) >= 10.0 else 1}f} lbf"

    def press(self, newtons: float) -> str:
        """Write the force of a press: ``12.3 kN``, or to the nearest ten pounds."""
        if self.units == "mm":
            return f"{newtons / 1000.0:.1f} kN"
        return f"{max(round(newtons / POUND_FORCE, -1), 10.0):.0f} lbf"

    def torque(self, newton_metres: float) -> str:
        """Write a torque: ``85 N m``, ``63 lbf ft``."""
        return f"{newton_metres:.0f} N m" if self.units == "mm" else f"{newton_metres / FOOT_POUND:.0f} lbf ft"

    def warmth(self, celsius: float) -> str:
        """Write a temperature not to go above: ``150 °C``, or in whole tens below it ``300 °F``."""
        return f"{celsius:.0f} °C" if self.units == "mm" else f"{(celsius * 1.8 + 32.0) // 10.0 * 10.0:.0f} °F"

    def surface(self, square_metres: float) -> str:
        """Write a surface: ``0.307 m²`` or small ``245 cm²``; ``3.3 sq ft`` or small ``38 sq in``."""
        if self.units == "mm":
            return f"{square_metres:.3f} m²" if square_metres >= 0.1 else f"{square_metres * 1e4:.0f} cm²"
        feet = square_metres / _FOOT**2
        return f"{feet:.2f} sq ft" if feet >= 1.0 else f"{feet * 144.0:.0f} sq in"

    def liquid(self, litres: float) -> str:
        """Write how much paint: ``0.14 l`` or small ``88 ml``; ``1.5 pints`` or small ``3.0 fl oz``."""
        if self.units == "mm":
            return f"{litres:.2f} l" if litres >= 0.1 else f"{litres * 1000.0:.0f} ml"
        ounces = litres / GALLON * 128.0
        return f"{ounces / 16.0:.1f} pints" if ounces >= 16.0 else f"{ounces:.1f} fl oz"

    def coverage(self, square_metres_a_litre: float) -> str:
        """Write how far paint goes: ``8 m² a litre``, ``326 sq ft a gallon``."""
        if self.units == "mm":
            return f"{square_metres_a_litre:g} m² a litre"
        return f"{square_metres_a_litre * GALLON / _FOOT**2:.0f} sq ft a gallon"

    def told(self, load: Load) -> str:
        """Write a mass, a force or a torque."""
        if load.of == "mass":
            return self.load(load.size)
        return self.force(load.size) if load.of == "force" else self.torque(load.size)

    def usual(self, text: str) -> str:
        """Return a text with the sizes usual in the maker's shop: of ``<20 mm|3/4 in>`` the one or the other.

        They are sizes of the trade on either side, not conversions: a wire of 0.8 mm is one of 0.030 in.
        """
        return _EITHER.sub(lambda at: at[1] if self.units == "mm" else at[2], text)
