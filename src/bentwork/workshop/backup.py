"""A copy of the whole database in one file, made while it is open, looked through, and never over another file."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from bentwork.errors import WorkshopError
from bentwork.workshop.connection import connect, examine
from bentwork.workshop.plain_words import plain_words

__all__ = ["alone", "claim", "copy_to", "settle", "without_leftovers"]


def copy_to(source: sqlite3.Connection, path: Path, to: Path) -> None:
    """Copy an open database to a new file, which is there whole or not at all.

    Args:
        source: the open database.
        path: of its file, for messages.
        to: the new file; its folder must be there.

    Raises:
        WorkshopError: there is such a file already, it cannot be written, or what was written is not whole.
        DamagedError: the database is damaged.
    """
    examine(source, path)
    claim(to)
    try:
        part = to.with_name(f".{to.name}.part")
        with without_leftovers(part):
            with closing(connect(part)) as copy, plain_words(to):
                source.backup(copy)
                alone(copy)
                examine(copy, part, thoroughly=True)
            settle(part, to)
    except BaseException:
        with suppress(OSError):
            to.unlink()
        raise


def alone(copy: sqlite3.Connection) -> None:
    """Make a database one file, without the two that SQLite keeps beside an open one."""
    copy.execute("PRAGMA journal_mode = DELETE")


def claim(path: Path) -> None:
    """Make an empty file of this name, which then nobody else can take.

    Raises:
        WorkshopError: there is one, or it cannot be made.
    """
    try:
        path.open("xb").close()
    except FileExistsError:
        raise WorkshopError(f"{path} is there already, and was left alone. Name another file.") from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise WorkshopError(f"{path} cannot be written: {why}. Nothing was changed.") from error


def settle(part: Path, path: Path) -> None:
    """Put a finished file in its place in one move, and have the disk keep it.

    Raises:
        WorkshopError: the disk will not; what stood there still does.
    """
    try:
        _to_disk(part)
        part.replace(path)
        if os.name == "posix":  # elsewhere a folder cannot be opened
            _to_disk(path.parent)
    except OSError as error:
        raise WorkshopError(f"{path} cannot be written: {error.strerror}. Nothing was changed.") from error


@contextmanager
def without_leftovers(part: Path) -> Iterator[None]:
    """Remove a half-made database and what SQLite has laid beside it, before and after."""
    leftovers = [part.with_name(part.name + end) for end in ("", "-wal", "-shm", "-journal")]
    try:
        for path in leftovers:
            path.unlink(missing_ok=True)
        yield
    finally:
        for path in leftovers:
            with suppress(OSError):
                path.unlink(missing_ok=True)


def _to_disk(path: Path) -> None:
    number = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(number)
    finally:
        os.close(number)
