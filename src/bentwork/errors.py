"""Errors that end a command, and nothing else; what is true of a job is a finding.

The tree::

    BentworkError            every error of ours; its text is fit to be shown to the maker
    ├── InputError           a file or an argument is wrong; carries every fault found
    ├── FileError            a file of the maker's could not be written
    ├── PaperError           a paper could not be set or written
    └── WorkshopError        the workshop's database cannot be opened, read or written; what was kept is still there
        └── DamagedError     its file is damaged or is no database; a backup can be restored
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bentwork.findings import Finding

__all__ = ["BentworkError", "DamagedError", "Fault", "FileError", "InputError", "PaperError", "WorkshopError"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong in a file or on the command line.

    Args:
        where: key or place in the maker's words, such as ``piece.loop.radius``.
        found: what stands there.
        wanted: what would be right.
        do: what to do about it; may be empty when ``wanted`` says it all.
        line: line in the file, counted from 1; None when there is no file.
    """

    where: str
    found: str
    wanted: str
    do: str = ""
    line: int | None = None

    def __str__(self) -> str:
        place = f"line {self.line}, {self.where}" if self.line else self.where
        text = f"{place}: found {self.found}; wanted {self.wanted}."
        return f"{text} {self.do}" if self.do else text


class BentworkError(Exception):
    """The root of every error that this package raises on purpose."""


class InputError(BentworkError):
    """A file or the command line is wrong; ``faults`` holds everything found, never only the first.

    Where corners do not fit or a piece does not close, ``findings`` holds the same in the words of the trade.
    """

    def __init__(self, source: str, faults: Iterable[Fault], findings: Iterable[Finding] = ()) -> None:
        self.source = source
        self.faults = tuple(faults)
        self.findings = tuple(findings)
        lines = [f"{source}: {len(self.faults)} {'fault' if len(self.faults) == 1 else 'faults'}"]
        super().__init__("\n".join([*lines, *(f"  {fault}" for fault in self.faults)]))


class FileError(BentworkError):
    """A file of the maker's could not be written; what stood there before still stands there."""


class PaperError(BentworkError):
    """A paper could not be set or written."""


class WorkshopError(BentworkError):
    """The workshop's database cannot be opened, read or written; what was kept before is still there."""


class DamagedError(WorkshopError):
    """The file of the workshop's database is damaged or is no database; it was left as it is."""
