"""Lengths as makers write them: millimetres, or inches with decimals or fractions. Inside, everything is mm."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from bentwork.amounts import Scales, Units

__all__ = ["INCH", "Ruler", "Units", "about_commas", "angle", "either", "parse_amount", "parse_length", "with_points"]

INCH = 25.4
"""Millimetres in an inch: exact since the international yard and pound agreement of 1959."""

_UNIT_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "″": INCH,
    "ft": 12 * INCH,
    "foot": 12 * INCH,
    "feet": 12 * INCH,
    "'": 12 * INCH,
    "′": 12 * INCH,
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)"
_TERM = re.compile(
    rf"(?:(?P<whole>\d+)(?:\s+|-)(?P<top>\d+)/(?P<bottom>\d+)|(?P<over>\d+)/(?P<under>\d+)|(?P<number>{_NUMBER}(?:e[+-]?\d+)?))"
    r"\s*(?P<unit>mm|cm|m|inches|inch|in|feet|foot|ft|\"|″|'|′)?",
    re.IGNORECASE,
)
_COMMA = re.compile(r"(?<![\d.,])(\d*),(\d+)(?![\d.,])")
_AMOUNT = re.compile(rf"({_NUMBER})\s*([A-Za-z]+)")
_SHAPE = 'a length such as 12.5, "12.5 mm", "3 5/16" or "3 5/16 in"'


def with_points(text: str) -> str:
    """Return a text with decimal points for decimal commas: ``1,5 mm`` is ``1.5 mm``.

    Left as it is what may be meant either way, or neither: a comma before exactly three digits, and more than one.
    """
    return _COMMA.sub(lambda at: f"{at[1]}.{at[2]}" if len(at[2]) != 3 or not at[1].strip("0") else at[0], text)


def about_commas(text: object) -> str:
    """Return what to do about a number with a comma that may be meant either way; nothing for any other text."""
    at = _COMMA.search(with_points(text)) if isinstance(text, str) else None
    return f"Write {at[1]}.{at[2]}, or {at[1]}{at[2]} if that is meant: a comma may stand for either." if at else ""


def parse_length(value: object, units: Units) -> float:
    """Read a length and return it in mm.

    Args:
        value: a number, or text with or without a unit: ``12``, ``"1/2"``, ``"3 5/16"``, ``"12 mm"``, ``"1 ft 3 in"``;
            a decimal comma counts where it cannot be meant for thousands.
        units: what a bare number means.

    Raises:
        ValueError: it is not a length; the text says what is wanted.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(_SHAPE)
    if isinstance(value, int | float):
        if not math.isfinite(value):
            raise ValueError("a finite length")
        return float(value) * _UNIT_MM[units]
    text = with_points(value.strip())
    for mark, plain in _VULGAR.items():
        text = re.sub(rf"(?<=\d){mark}", f" {plain}", text).replace(mark, plain)
    sign = 1.0
    if text[:1] in "+-−" and text[:1]:
        sign = -1.0 if text[0] in "-−" else 1.0
        text = text[1:].lstrip()
    total, at, seen_units, bare = 0.0, 0, [], False
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None:
            raise ValueError(_SHAPE)
        unit = (term["unit"] or "").lower()
        bare = bare or not unit
        seen_units.append(unit)
        total += _term_value(term) * _UNIT_MM[unit or units]
        at = term.end()
        while at < len(text) and text[at] == " ":
            at += 1
    if not seen_units or (len(seen_units) > 1 and bare):
        raise ValueError(_SHAPE)
    if not math.isfinite(total):
        raise ValueError("a finite length")
    return sign * total


def _term_value(term: re.Match[str]) -> float:
    if term["number"]:
        return float(term["number"])
    whole, top, bottom = (
        (term["whole"], term["top"], term["bottom"]) if term["top"] else ("0", term["over"], term["under"])
    )
    if int(bottom) == 0:
        raise ValueError("a fraction whose lower number is not 0")
    return int(whole) + int(top) / int(bottom)


def either(mm: float) -> str:
    """Return a length that need not be exact, for the text of a finding: ``<3 mm|1/8 in>``, see ``Ruler.about``."""
    return f"<{Ruler('mm').about(mm)}|{Ruler('in').about(mm)}>"


def parse_amount(text: str, sizes: Mapping[str, float]) -> float | None:
    """Return an amount that is written with its unit, ``25 lb``, by the sizes of the units; None where it is none."""
    found = _AMOUNT.fullmatch(with_points(text.strip()))
    return None if found is None or found[2] not in sizes else float(found[1]) * sizes[found[2]]


def angle(value: float, places: int = 1) -> str:
    """Write an angle in degrees, without a trailing zero: ``90°``, ``93.1°``."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return ("0" if text in ("-0", "0") else text.replace("-", "−")) + "°"


@dataclass(frozen=True, slots=True)
class Ruler(Scales):
    """How lengths are shown to the maker, and with them masses, forces and all else.

    Args:
        units: ``mm`` or ``in``.
        fraction: the tape's finest division of an inch: 16, 32 or 64.
    """

    fraction: int = 16

    def __post_init__(self) -> None:
        if self.fraction not in (16, 32, 64):
            raise ValueError("a tape divides the inch by 16, 32 or 64")

    def length(self, mm: float) -> str:
        """Write a length with its unit, for a sentence: ``312.5 mm``, ``12 5/16 in``, ``0.03 in``.

        Inches go to the nearest 1/64; below a quarter of an inch what is no 1/64 is decimal.
        """
        if self.units == "mm":
            return f"{_plain(mm, 1 if abs(mm) >= 0.95 else 2)} mm"
        parts = mm / INCH * 64
        if abs(parts) < 16 and (abs(parts - round(parts)) > 0.01 or not round(parts)):
            return f"{_plain(mm / INCH, 3)} in"
        return f"{_fraction(round(mm / INCH * 64), 64)} in"

    def about(self, mm: float) -> str:
        """Write a length that need not be exact, such as a drill or a tack: ``10 mm``, or to the nearest 1/16 in."""
        if self.units == "mm":
            return self.length(mm)
        return f"{_fraction(max(round(mm / INCH * 16), 1), 16)} in"

    def point(self, place: tuple[float, float, float]) -> str:
        """Write coordinates as they stand in a job file: ``[400, 0, 12.5]``."""
        unit, places = (1.0, 2) if self.units == "mm" else (INCH, 3)
        return "[" + ", ".join(_plain(value / unit, places).replace("−", "-") for value in place) + "]"

    def tape(self, mm: float) -> str:
        """Write a length as it is found on a tape, without the unit.

        Millimetres go to the nearest half; inches to the tape's division, with ``+`` (a hair over) or ``−``
        (a hair under) when the true length is more than a quarter of a division away.
        """
        if self.units == "mm":
            return _plain(round(mm * 2) / 2, 1)
        inches = mm / INCH
        nearest = round(inches * self.fraction)
        rest = inches * self.fraction - nearest
        hair = "+" if rest > 0.25 else "−" if rest < -0.25 else ""
        return _fraction(nearest, self.fraction) + hair

    def number(self, mm: float) -> float:
        """Return the bare number to write into a job file of these units, without noise from the conversion."""
        value = mm if self.units == "mm" else mm / INCH
        value = round(value, 6)
        return int(value) if value == int(value) else value


def _fraction(count: int, division: int) -> str:
    """Write count/division as a mixed number in lowest terms: ``12 5/16``."""
    whole, part = divmod(abs(count), division)
    sign = "−" if count < 0 else ""
    if not part:
        return f"{sign}{whole}"
    small = Fraction(part, division)
    words = f"{small.numerator}/{small.denominator}"
    return f"{sign}{whole} {words}" if whole else f"{sign}{words}"


def _plain(value: float, places: int) -> str:
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text.replace("-", "−")
