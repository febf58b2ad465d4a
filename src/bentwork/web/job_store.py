"""Job files as the page sees them: read, changed and written, never over a change that somebody else made."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bentwork.errors import BentworkError, Fault, InputError
from bentwork.files.atomic import write_new
from bentwork.files.job_edit import add_table, set_value
from bentwork.files.job_file import bytes_of
from bentwork.files.job_text import text_of
from bentwork.web.place import Place

__all__ = ["ChangedError", "JobStore", "JobText", "sum_of"]


@dataclass(frozen=True, slots=True)
class JobText:
    """A job file at one moment.

    Args:
        name: of the file without its ending.
        path: of the file.
        data: its bytes.
    """

    name: str
    path: Path
    data: bytes

    @property
    def sum(self) -> str:
        """What tells this state of the file from every other."""
        return sum_of(self.data)

    @property
    def text(self) -> str:
        """Its text.

        Raises:
            InputError: it is not UTF-8.
        """
        return text_of(self.data, self.path.name)


class ChangedError(BentworkError):
    """The file is no longer what the page saw: somebody else wrote it meanwhile."""


def sum_of(data: bytes) -> str:
    """Return the sum by which states of a file are told apart."""
    return hashlib.sha256(data).hexdigest()[:20]


class JobStore:
    """The job files of a folder. One writer at a time; others' editors are noticed by the sum."""

    def __init__(self, place: Place) -> None:
        self._place = place
        self._writing = threading.Lock()

    def read(self, name: str) -> JobText:
        """Return a job file as it is now.

        Raises:
            InputError: it cannot be read.
        """
        path = self._place.job(name)
        return JobText(name, path, bytes_of(path))

    def changed(self, name: str, seen: str, changes: Iterable[tuple[tuple[str | int, ...], Any]]) -> JobText:
        """Return the file with values changed or added, not written yet; every other character stays.

        Args:
            name: of the job.
            seen: sum of the state that the changes were made to.
            changes: place and value; None as a value of a whole ``[table.NAME]`` is not possible.

        Raises:
            ChangedError: the file is not in that state any more.
            InputError: a place cannot take its value.
        """
        now = self._still(name, seen)
        text = now.text
        for path, value in changes:
            whole = isinstance(value, dict) and len(path) == 2 and all(isinstance(key, str) for key in path)
            text = add_table(text, (str(path[0]), str(path[1])), value) if whole else set_value(text, path, value)
        return JobText(name, now.path, text.encode())

    def write(self, new: JobText, seen: str | None) -> JobText:
        """Write a file; ``seen`` is the sum of the state it replaces, None for a file that must not be there yet.

        Raises:
            ChangedError: the file is not in that state any more.
            FileError: it cannot be written; what stood there still does.
        """
        with self._writing:
            if seen is None:
                write_new(new.path, new.data, replace=False)
            else:
                self._still(new.name, seen)
                write_new(new.path, new.data, replace=True)
        return new

    def free_name(self, wanted: str) -> str:
        """Return a name that no job has yet: the wanted one, or with a number behind it."""
        taken = {name.casefold() for name in self._place.names()}
        names = [wanted, *(f"{wanted}-{number}" for number in range(2, 1000))]
        for name in names:
            if name.casefold() not in taken:
                return name
        raise InputError("jobs", [Fault("name", repr(wanted), "a name that is not taken a thousand times")])

    def _still(self, name: str, seen: str) -> JobText:
        now = self.read(name)
        if now.sum != seen:
            raise ChangedError(f"{name}.toml was changed by another program meanwhile; what you see is older.")
        return now
