"""The kinds of values that a job file is made of: lengths, angles, choices, names, lists of so many.

Each kind says in the maker's words what it wants, and pydantic asks it to read one value. Lengths are read in the units
of the job, which travel in the validation context as ``units``.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from bentwork.amounts import FORCES, MASSES
from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_words import did_you_mean, listed, told
from bentwork.units import Units, about_commas, parse_amount, parse_length, with_points

__all__ = [
    "AmountKind",
    "Angle",
    "Choice",
    "Count",
    "DecimalKind",
    "Distance",
    "Force",
    "Length",
    "Listed",
    "Mass",
    "Plain",
    "Point",
    "Range",
    "Size",
    "Text",
    "WholeKind",
    "YesNo",
]

_REACH = 100_000.0
"""No length or coordinate of a job is beyond this, mm: a hundred metres; larger ones are slips, and overflow later."""

_LEAST_SIZE = 0.01
"""No bar, radius or part of a tool is smaller, mm; smaller ones are slips, and divide by nothing later."""

_WITH_UNIT = {"mass": '"25 lb"', "force": '"30 lbf"'}
_EXAMPLE = {"mm": 'such as 12.5 or "12.5 mm"', "in": 'such as 0.5, "3 5/16" or "12 mm"'}


@dataclass(frozen=True)
class Plain:
    """A kind of value that is read from one TOML value; the base of all that follow.

    Args:
        wanted: what this kind wants, to follow the word "wanted".
    """

    wanted: str

    def read(self, value: Any, info: ValidationInfo) -> Any:
        """Return the value as it is used.

        Raises:
            WrongFormError: it is not of this kind.
        """
        raise NotImplementedError

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)


@dataclass(frozen=True)
class LengthKind(Plain):
    """A length, returned in mm. ``least`` and ``most`` are in mm, both allowed."""

    least: float = -_REACH
    most: float = _REACH

    def read(self, value: Any, info: ValidationInfo) -> float:
        units: Units = info.context["units"] if info.context else "mm"
        if isinstance(value, str) and len(value) > 40:
            raise WrongFormError(f"{self.wanted}, {_EXAMPLE[units]}")
        try:
            length = parse_length(value, units)
        except (ValueError, OverflowError):
            raise WrongFormError(f"{self.wanted}, {_EXAMPLE[units]}", about_commas(value)) from None
        if length < self.least:
            raise WrongFormError(self.wanted, "It cannot be so small." if length > 0.0 else "")
        if length > self.most:
            raise WrongFormError(f"{self.wanted} of at most 100 m")
        return length


@dataclass(frozen=True)
class DecimalKind(Plain):
    """A plain number from ``least`` to ``most``; ``open_low`` keeps ``least`` itself out."""

    least: float = -1e9
    most: float = 1e9
    open_low: bool = False

    def read(self, value: Any, info: ValidationInfo) -> float:
        """Return the number."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise WrongFormError(self.wanted, _without_quotes(value))
        if not self.least <= value <= self.most or (self.open_low and value == self.least):  # false for nan too
            raise WrongFormError(self.wanted)
        return float(value)


@dataclass(frozen=True)
class AmountKind(DecimalKind):
    """A mass or a force: a plain number of kg or N, or text that carries a unit: ``"25 lb"``."""

    of: Literal["mass", "force"] = "mass"

    @property
    def _sizes(self) -> Mapping[str, float]:
        return MASSES if self.of == "mass" else FORCES

    def read(self, value: Any, info: ValidationInfo) -> float:
        """Return the amount in the unit of a plain number."""
        amount = parse_amount(value, self._sizes) if isinstance(value, str) and len(value) < 40 else None
        if amount is not None:
            return super().read(amount, info)
        if isinstance(value, str) and _without_quotes(value) == "":
            raise WrongFormError(
                self.wanted, f"It may carry a unit: {', '.join(self._sizes)}, as in {_WITH_UNIT[self.of]}."
            )
        return super().read(value, info)


@dataclass(frozen=True)
class WholeKind(Plain):
    """A whole number from ``least`` to ``most``."""

    least: int
    most: int

    def read(self, value: Any, info: ValidationInfo) -> int:
        """Return the number."""
        if isinstance(value, bool) or not isinstance(value, int):
            raise WrongFormError(self.wanted, _without_quotes(value))
        if not self.least <= value <= self.most:
            raise WrongFormError(self.wanted)
        return value


@dataclass(frozen=True)
class YesNoKind(Plain):
    """True or false."""

    wanted: str = "true or false"

    def read(self, value: Any, info: ValidationInfo) -> bool:
        if isinstance(value, bool):
            return value
        quoted = isinstance(value, str) and value.strip().casefold() in ("true", "false")
        raise WrongFormError(self.wanted, "Write it without quotes." if quoted else "")


@dataclass(frozen=True)
class TextKind(Plain):
    """Text on one line, not empty."""

    wanted: str = "text, up to 120 characters on one line"
    longest: int = 120

    def read(self, value: Any, info: ValidationInfo) -> str:
        if not isinstance(value, str):
            raise WrongFormError(self.wanted, "Put it in quotes." if isinstance(value, int | float) else "")
        if not value.strip():
            raise WrongFormError(self.wanted, "Write something, or take the line out.")
        if len(value) > self.longest:
            raise WrongFormError(self.wanted, f"It has {len(value)} characters.")
        if any(unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in value):
            raise WrongFormError(self.wanted, "Take out the control characters.")
        return value


@dataclass(frozen=True)
class Choice:
    """One of the words of a ``Literal``."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(_Words(get_args(source)).read)


@dataclass(frozen=True)
class _Words:
    words: tuple[str | int, ...]

    def read(self, value: Any) -> str | int:
        if any(type(value) is type(word) and value == word for word in self.words):
            return value  # type: ignore[no-any-return]
        quoted = [told(word) for word in self.words]
        meant = did_you_mean(f'"{value}"', quoted) if isinstance(value, str) else ""
        raise WrongFormError(listed(quoted), meant)


@dataclass(frozen=True)
class Listed:
    """A list of ``least`` to ``most`` values, each of which is then read by its own kind."""

    wanted: str
    least: int
    most: int

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def read(self, value: Any) -> Any:
        """Return the list when it has the right length.

        Raises:
            WrongFormError: it is no list, or too short or too long.
        """
        if not isinstance(value, list):
            raise WrongFormError(self.wanted, _apart(value))
        if not self.least <= len(value) <= self.most:
            raise WrongFormError(self.wanted, found=f"{len(value)} of them: {told(value)}" if value else "[]")
        return value


def _apart(value: Any) -> str:
    """Return what to do about two numbers in one text, apart by a comma that may as well be a decimal one."""
    found = re.fullmatch(r"\s*(\d+),(\d+)\s*", value) if isinstance(value, str) else None
    if found is None:
        return ""
    one, other = found.groups()
    return (
        f"A comma may stand for either: write {one}.{other} for one number; two have a space between, {one}, {other}."
    )


def _upwards(value: Any) -> Any:
    """Check that a range runs from the lesser to the greater."""
    if not value[0] < value[1]:
        raise WrongFormError("two lengths, the lesser one first")
    return value


@dataclass(frozen=True)
class _Upwards:
    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_after_validator_function(_upwards, handler(source))


def _without_quotes(value: Any) -> str:
    """Return the advice to take the quotes off, where they hide a number."""
    if not isinstance(value, str) or len(value) >= 40:
        return ""
    plain = with_points(value)
    try:
        hidden = math.isfinite(float(plain))
    except ValueError:
        return about_commas(value)
    if not hidden:
        return ""
    return "Write it without quotes." if plain == value else f"Write {plain}, without quotes."


Length = Annotated[float, LengthKind("a length")]
Distance = Annotated[float, LengthKind("a length of 0 or more", 0.0)]
Size = Annotated[float, LengthKind("a length above 0", _LEAST_SIZE)]
Angle = Annotated[float, DecimalKind("an angle in degrees from -360 to 360, such as 90", -360.0, 360.0)]
Mass = Annotated[float, AmountKind("a mass above 0 and up to 5000 kg", 0.0, 5000.0, open_low=True)]
Force = Annotated[float, AmountKind("a force from 0 to 100,000 N", 0.0, 100_000.0, of="force")]
Count = Annotated[int, WholeKind("a whole number from 1 to 1000", 1, 1000)]
YesNo = Annotated[bool, YesNoKind()]
Text = Annotated[str, TextKind()]
Point = Annotated[
    tuple[Length, Length, Length],
    Listed("a point: three lengths in brackets, [x, y, z], such as [400, 0, 120]", 3, 3),
]
Range = Annotated[tuple[Length, Length], Listed("two lengths in brackets, [from, to]", 2, 2), _Upwards()]
