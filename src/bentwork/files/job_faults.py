"""Everything that is wrong with a job file, gathered so that the maker hears all of it at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.job_lines import Lines, Path
from bentwork.files.job_words import NOTHING, place, told
from bentwork.findings import Finding

__all__ = ["MOST_FAULTS", "Faults", "WrongFormError"]

MOST_FAULTS = 200
"""So many are told one by one; nobody reads more, and 5 MB of nonsense must not take a minute to tell."""


class WrongFormError(ValueError):
    """A value has not the form that its key wants.

    Args:
        wanted: what would be right.
        do: what to do about it.
        found: what stands there, where the value itself says too little.
    """

    def __init__(self, wanted: str, do: str = "", found: str | None = None) -> None:
        super().__init__(wanted)
        self.wanted, self.do, self.found = wanted, do, found


@dataclass(frozen=True, slots=True)
class _Wrong:
    path: Path
    found: str
    wanted: str
    do: str


class Faults:
    """What has been found wrong so far.

    Args:
        text: of the file.
        data: what ``tomllib`` read from it.
    """

    def __init__(self, text: str, data: Mapping[str, Any]) -> None:
        self._lines = Lines(text)
        self._last_line = text.count("\n", 0, max(0, len(text) - 1)) + 1
        self._data = data
        self._wrong: list[_Wrong] = []
        self._more = 0
        self._findings: list[Finding] = []

    @property
    def full(self) -> bool:
        """Whether there are so many that no more are told one by one."""
        return self._more > 0 or len(self._wrong) >= MOST_FAULTS

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self._wrong) + self._more

    def add(self, path: Path, wanted: str, do: str = "", found: str | None = None) -> None:
        """Add a fault of a key or an element; what is found is looked up when it is not said."""
        if self.full:
            self._more += 1
            return
        path, value = self._there(path)
        self._wrong.append(_Wrong(path, found if found is not None else value, wanted, do))

    def keep(self, finding: Finding) -> None:
        """Keep the finding that a fault was made from."""
        self._findings.append(finding)

    def raise_if_any(self, source: str) -> None:
        """Raise what was gathered, in the order of the file.

        Raises:
            InputError: there is at least one fault.
        """
        if not self._wrong:
            return
        faults = [
            Fault(place(wrong.path) or "the file", wrong.found, wrong.wanted, wrong.do, self._lines.line(wrong.path))
            for wrong in self._wrong
        ]
        faults.sort(key=lambda fault: fault.line or 0)
        if self._more:
            rest = Fault("the file", f"{self._more} more faults", "none", "Mend those above first.", self._last_line)
            faults.append(rest)
        raise InputError(source, faults, self._findings)

    def _there(self, path: Path) -> tuple[Path, str]:
        """Return the path as far as it exists, with one missing key at most, and what stands there."""
        value: Any = self._data
        for number, key in enumerate(path):
            if isinstance(value, Mapping) and key in value:
                value = value[str(key)]
            elif isinstance(value, list) and isinstance(key, int) and key < len(value):
                value = value[key]
            elif isinstance(value, Mapping):
                return path[: number + 1], NOTHING
            else:
                return path[:number], told(value)
        return path, told(value)
