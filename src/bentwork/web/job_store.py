"""Job files as the page sees them: read, changed and written, never over a change that somebody else made."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from bentwork.errors import BentworkError, Fault, InputError
from bentwork.files.atomic import write_new
from bentwork.files.export_names import file_names
from bentwork.files.job_edit import add_table, set_value
from bentwork.files.job_file import bytes_of
from bentwork.files.job_insert import insert_element, move_element
from bentwork.files.job_lines import scan
from bentwork.files.job_meanwhile import Meanwhile, meanwhile, merged
from bentwork.files.job_remove import remove
from bentwork.files.job_rewrite import holds
from bentwork.files.job_text import data_of, text_of
from bentwork.files.job_words import place
from bentwork.web.place import Place
from bentwork.web.put_away import away, back

__all__ = ["ChangedError", "Edit", "JobStore", "JobText", "MeanwhileError", "sum_of"]

_MARK = b"\xef\xbb\xbf"  # of byte order, which some editors write


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

    def with_text(self, text: str) -> bytes:
        """Return the bytes of the file with another text."""
        return (_MARK if self.data.startswith(_MARK) else b"") + text.encode()


@dataclass(frozen=True, slots=True)
class Edit:
    """One change to a job file's text.

    Args:
        path: keys and indices from the top of the file.
        value: that shall stand there; a whole table of its own where the path is that of one.
        how: ``insert`` puts the value into a list before what stands there, ``move`` gives that the value as its
            index, ``remove`` takes it out.
        seen: sum of the state that the change was thought of in.
    """

    path: tuple[str | int, ...]
    value: Any = None
    how: Literal["insert", "move", "remove"] | None = None
    seen: str = ""

    def made(self, text: str) -> str:
        """Return the text with this change; a table that is not there yet is made with its first key.

        Raises:
            InputError: the place cannot take it.
        """
        if self.how == "remove":
            return remove(text, self.path)
        if self.how == "move":
            if isinstance(self.value, bool) or not isinstance(self.value, int):
                raise InputError("the job", [Fault(place(self.path), repr(self.value), "an index")])
            return move_element(text, self.path, self.value)
        try:
            if self.how == "insert":
                return insert_element(text, self.path, self.value)
            whole = isinstance(self.value, dict) and len(self.path) <= 2
            if whole and self.path not in scan(text) and all(isinstance(key, str) for key in self.path):
                return add_table(text, tuple(map(str, self.path)), self.value)
            around, last = self.path[:-1], self.path[-1] if self.path else 0
            named = isinstance(last, str) and all(isinstance(key, str) for key in around)
            if named and around and not holds(data_of(text, "the job"), around):
                return replace(self, path=around, value={str(last): self.value}).made(text)
            return set_value(text, self.path, self.value)
        except TypeError:
            told = "nothing" if self.value is None else "something else"
            wanted = "text, a number, true, false, a list or a table"
            raise InputError("the job", [Fault(place(self.path), told, wanted)]) from None


class ChangedError(BentworkError):
    """The file is no longer what the page saw: somebody else wrote it meanwhile."""


class MeanwhileError(ChangedError):
    """A value that shall be changed was changed by somebody else meanwhile.

    Args:
        at: the file as it is.
        places: that both changed.
    """

    def __init__(self, at: JobText, places: Iterable[Meanwhile]) -> None:
        self.at = at
        self.places = tuple(places)
        super().__init__(f"{at.name}.toml was changed by another program at the same place meanwhile.")


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
        try:
            return JobText(name, path, bytes_of(path))
        except InputError as error:  # the page knows the file by its name, not by where this machine keeps it
            raise InputError(path.name, [replace(fault, where=path.name) for fault in error.faults]) from None

    def changed(self, at: JobText, changes: Iterable[Edit], states: Mapping[str, str]) -> JobText:
        """Return a file with things changed, added or taken out, not written yet; every other character stays.

        Args:
            at: the file as it is.
            changes: one after the other, each to the text that the one before has left.
            states: texts that changes were thought of in, by their sums; that of the file as it is may be missing.

        Raises:
            MeanwhileError: what stands at a place is not what the change was thought of for.
            ChangedError: the state of a change is none of these.
            InputError: a place cannot take its value.
        """
        changes = list(changes)
        now = None
        places = []
        for one in changes:
            if one.seen == at.sum:
                continue
            if one.seen not in states:
                raise _older(at.name)
            now = now if now is not None else data_of(at.text, at.path.name)
            was = data_of(states[one.seen], at.path.name)
            places.append(meanwhile(was, now, one.path, one.how, one.value))
        if any(places):
            raise MeanwhileError(at, filter(None, places))
        text = at.text
        for change in changes:
            text = change.made(text)
        return JobText(at.name, at.path, at.with_text(text))

    def retold(self, at: JobText, text: str, seen: str, was: str | None, *, mine_counts: bool = False) -> JobText:
        """Return a file with another text, not written yet; what somebody else wrote elsewhere in it stays.

        Args:
            at: the file as it is.
            text: that it shall have.
            seen: sum of the state that this text was made from; that of the file as it is, where mine counts.
            was: the text of that state; None where nothing but that state may be written over.
            mine_counts: where somebody else changed the same place, this text counts.

        Raises:
            MeanwhileError: somebody else changed the same place.
            ChangedError: the file is not in that state, and ``was`` is None.
        """
        if at.sum != seen and (was is None or mine_counts):
            raise _older(at.name)
        if was is None or (at.sum == seen and not mine_counts):
            return JobText(at.name, at.path, at.with_text(text))
        new, places = merged(was, text, at.text, mine_counts=mine_counts)
        if places:
            raise MeanwhileError(at, places)
        return JobText(at.name, at.path, at.with_text(new))

    def made(self, wanted: str, text: str) -> JobText:
        """Write a new job file, and return it; its name is the wanted one as a file can be called, or near to it.

        Args:
            wanted: name in the maker's words.
            text: of the file.

        Raises:
            FileError: it cannot be written.
        """
        (name,) = file_names([wanted], self._place.names())
        return self.write(JobText(name, self._place.job(name), text.encode()), None)

    def put_away(self, name: str, seen: str) -> str:
        """Put a job away in the state that was seen, and return what it is called there.

        Raises:
            ChangedError: the file is not in that state any more.
            FileError: it cannot be moved.
        """
        with self._writing:
            self.still(name, seen)
            return away(self._place, name)

    def brought_back(self, kept: str) -> str:
        """Bring back a job that was put away, and return its name.

        Raises:
            InputError: nothing of this name was put away.
            FileError: it cannot be moved.
        """
        with self._writing:
            return back(self._place, kept)

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
                self.still(new.name, seen)
                write_new(new.path, new.data, replace=True)
        return new

    def still(self, name: str, seen: str) -> JobText:
        """Return a job file, if it is as it was seen.

        Raises:
            ChangedError: the file is not in that state any more.
            InputError: it cannot be read.
        """
        now = self.read(name)
        if now.sum != seen:
            raise _older(name)
        return now


def _older(name: str) -> ChangedError:
    return ChangedError(f"{name}.toml was changed by another program meanwhile; what you see is older.")
