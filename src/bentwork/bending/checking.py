"""What may be kept: gathers everything that is wrong with an entry, in the maker's words, before it is told."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from datetime import date

from bentwork.errors import Fault, InputError

__all__ = ["LONGEST", "Checks"]

LONGEST = 100_000.0
"""The longest length that is believed, mm: nobody bends a bar of 100 m by hand."""

_LONGEST_NAME = 200
_LONGEST_NOTE = 4000
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


class Checks:
    """Gathers faults; each check answers whether the value can be used for more checks.

    Args:
        source: what the entry is, such as ``test bend``.
    """

    def __init__(self, source: str) -> None:
        self.source = source
        self.faults: list[Fault] = []

    def fault(self, where: str, found: str, wanted: str, do: str = "") -> None:
        """Note one fault."""
        self.faults.append(Fault(where, found, wanted, do))

    def between(self, where: str, value: float, low: float, high: float, unit: str, wanted: str) -> bool:
        """Check that a number lies between two others, both left out; NaN lies nowhere."""
        right = low < value < high
        if not right:
            self.fault(where, shown(value, unit), wanted)
        return right

    def length(self, where: str, value: float | None) -> bool:
        """Check a length above 0; None is a length that was not taken, which is right but of no further use."""
        if value is None:
            return False
        return self.between(where, value, 0.0, LONGEST, " mm", "a length above 0 mm and below 100 m")

    def angle(self, where: str, value: float) -> bool:
        """Check a bend angle."""
        return self.between(where, value, 0.0, 360.0, "°", "an angle above 0° and below 360°")

    def name(self, where: str, value: str) -> str:
        """Check a name, and return it without blanks around it."""
        tidy = self.text(where, value, _LONGEST_NAME)
        if not tidy:
            self.fault(where, "nothing", "a name")
        if any(not letter.isprintable() for letter in tidy):
            self.fault(where, repr(value), "a name in one line, of letters that can be seen")
        return tidy

    def text(self, where: str, value: str, longest: int = _LONGEST_NOTE) -> str:
        """Check a text that may be empty, and return it without blanks around it."""
        tidy = value.strip()
        if len(tidy) > longest:
            self.fault(where, f"{len(tidy)} letters", f"no more than {longest}")
        if "\0" in tidy or any("\ud800" <= letter <= "\udfff" for letter in tidy):
            self.fault(where, repr(value[:40]), "letters that can be written to a file")
        return tidy

    def choice(self, where: str, value: str, choices: Iterable[str]) -> None:
        """Check that a value is one of a few."""
        known = list(choices)
        if value not in known:
            self.fault(where, repr(value), "one of: " + ", ".join(known))

    def date(self, where: str, value: str) -> None:
        """Check a date, such as 2025-03-12."""
        try:
            right = bool(_DATE.fullmatch(value)) and date.fromisoformat(value) is not None
        except ValueError:
            right = False
        if not right:
            self.fault(where, repr(value), "a day of the calendar as year-month-day, such as 2025-03-12")

    def tell(self) -> None:
        """Raise everything that was found.

        Raises:
            InputError: something was found.
        """
        if self.faults:
            raise InputError(self.source, self.faults)


def shown(value: float, unit: str) -> str:
    """Write a number for a fault."""
    return "no number" if math.isnan(value) else f"{value:g}{unit}"
