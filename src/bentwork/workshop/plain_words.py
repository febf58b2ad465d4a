"""SQLite's errors in the maker's words: what is the matter, that nothing is lost, what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bentwork.errors import DamagedError, WorkshopError

__all__ = ["WAIT", "damaged", "plain_words"]

WAIT = 10.0
"""How long a writer waits for another one to finish, seconds."""


@contextmanager
def plain_words(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into ours.

    Raises:
        WorkshopError: SQLite could not do what was asked.
        DamagedError: because of what stands in the file.
    """
    try:
        yield
    except sqlite3.Error as error:
        kind = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the other bytes are details of the kind
        if kind in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            raise DamagedError(damaged(path, str(error))) from error
        matter, do = _WORDS.get(kind, (f"SQLite says: {error}", "tell those who make Bentwork"))
        told = matter.format(said=error)
        kept = "This was not done; what was kept before is still there."
        raise WorkshopError(f"{path}: {told}. {kept} What to do: {do}.") from error


def damaged(path: Path, said: str) -> str:
    """Return what to tell of a damaged file."""
    return (
        f"{path} is damaged, or is no database of a workshop (SQLite says: {said}). It was left as it is. "
        "Put a backup in its place with: bentwork workshop restore FILE"
    )


_ELSEWHERE = "or use another folder with --workshop DIR"
_WORDS = {
    sqlite3.SQLITE_FULL: ("the disk is full", "make room, then do it again"),
    sqlite3.SQLITE_READONLY: (
        "it can be read but not written to",
        f"see to the permissions of the file and its folder, {_ELSEWHERE}",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "it cannot be opened: it is a folder, or it, its folder or its disk cannot be written to",
        f"see to the permissions, {_ELSEWHERE}",
    ),
    sqlite3.SQLITE_BUSY: (
        f"another program has been writing to it for more than {WAIT:g} seconds",
        "end that program, then do it again",
    ),
    sqlite3.SQLITE_IOERR: (
        "the disk does not do what it should (SQLite says: {said})",
        "copy the folder to another disk, and use that with --workshop DIR",
    ),
}
