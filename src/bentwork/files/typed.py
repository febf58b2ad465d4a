"""Angles, lengths and masses as they are typed: a number out, or one fault more."""

from __future__ import annotations

from bentwork.amounts import MASSES
from bentwork.errors import Fault
from bentwork.files.job_words import shorten, told
from bentwork.units import Ruler, about_commas, parse_amount, parse_length, with_points

__all__ = ["angle_typed", "length_typed", "mass_typed"]


def angle_typed(name: str, text: str, faults: list[Fault]) -> float | None:
    """Return an angle in degrees; None, and one more fault, where it is none."""
    try:
        return float(text.strip().removesuffix("°").replace(",", "."))
    except ValueError:
        faults.append(Fault(name, told(shorten(text)), "an angle in degrees, such as 92.5"))
        return None


def mass_typed(name: str, text: str, faults: list[Fault]) -> float | None:
    """Return a mass in kg, kilograms without a unit; None, and one more fault, where it is none."""
    try:
        mass = parse_amount(text, MASSES) or float(with_points(text.strip()))
    except ValueError:
        mass = 0.0
    if 0.0 < mass <= 5000.0:
        return mass
    wanted = 'a mass above 0 and up to 5000 kg, such as 12, "12.5 kg" or "25 lb"'
    faults.append(Fault(name, told(shorten(text)), wanted, about_commas(text)))
    return None


def length_typed(name: str, text: str, ruler: Ruler, faults: list[Fault]) -> float | None:
    """Return a length in mm; None, and one more fault, where it is none."""
    try:
        return parse_length(text, ruler.units)
    except (ValueError, OverflowError):
        example = '"3 5/16", 3.3 or "84 mm"' if ruler.units == "in" else '84, 84.5 or "3 5/16 in"'
        faults.append(Fault(name, told(shorten(text)), f"a length, such as {example}", about_commas(text)))
        return None
