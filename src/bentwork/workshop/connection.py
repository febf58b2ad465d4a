"""The workshop's database, open: every reading, and every writing in one go."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeAlias, TypeVar

from bentwork.errors import DamagedError, InputError, WorkshopError
from bentwork.workshop.plain_words import WAIT, damaged, plain_words

__all__ = ["Database", "Value", "attached_name", "connect", "examine", "refuse_no_database", "undo", "use_write_ahead"]

T = TypeVar("T")
Value: TypeAlias = "str | int | float | None"

_SETTINGS = ("foreign_keys = ON", "recursive_triggers = ON", "trusted_schema = OFF", "synchronous = FULL")
_BEGINS = b"SQLite format 3\0"
_OLDEST = (3, 37, 0)  # the first SQLite that keeps STRICT tables


class Database:
    """One connection to the database of a workshop; it belongs to the thread that opened it.

    Args:
        path: of its file.
        connection: open, and known to be ours.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.connection = connection

    def rows(self, sql: str, values: Sequence[Value] = ()) -> list[sqlite3.Row]:
        """Return all rows of a question."""
        with plain_words(self.path):
            return self.connection.execute(sql, values).fetchall()

    def read(self, make: Callable[[sqlite3.Row], T], sql: str, values: Sequence[Value] = ()) -> tuple[T, ...]:
        """Return what ``make`` makes of every row of a question.

        Raises:
            WorkshopError: it cannot be read, or somebody else has written what makes no sense.
        """
        made = []
        for row in self.rows(sql, values):
            try:
                made.append(make(row))
            except (InputError, TypeError, ValueError) as error:
                entry = str(tuple(row))[:200]
                raise WorkshopError(
                    f"{self.path} holds an entry that makes no sense, and was left as it is: {entry}: {error}"
                ) from error
        return tuple(made)

    def run(self, sql: str, values: Sequence[Value] = ()) -> int:
        """Change rows, within ``writing``, and return how many."""
        with plain_words(self.path):
            return self.connection.execute(sql, values).rowcount

    def insert(self, table: str, record: Mapping[str, Value]) -> int:
        """Add a row, within ``writing``, and return its number."""
        names, marks = ", ".join(record), ", ".join("?" * len(record))
        with plain_words(self.path):
            done = self.connection.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(record.values()))
        return done.lastrowid or 0

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Do everything inside, or nothing of it: it is on the disk when this ends without an error."""
        yield from self._transaction("BEGIN IMMEDIATE")

    @contextmanager
    def reading(self) -> Iterator[None]:
        """See everything inside as it stood at one moment, whatever others write meanwhile."""
        yield from self._transaction("BEGIN DEFERRED")

    def _transaction(self, begin: str) -> Iterator[None]:
        with plain_words(self.path):
            self.connection.execute(begin)
            try:
                yield
                self.connection.execute("COMMIT")
            except BaseException:
                undo(self.connection)
                raise

    def close(self) -> None:
        """Close it; what is written stays."""
        with plain_words(self.path):
            self.connection.close()


def connect(path: Path, *, uri: str = "") -> sqlite3.Connection:
    """Open a file with SQLite; nothing is written and nothing is yet known about what is in it.

    Raises:
        WorkshopError: it cannot be opened.
    """
    if sqlite3.sqlite_version_info < _OLDEST:
        raise WorkshopError(
            f"{path} needs SQLite 3.37 or newer, and this Python has {sqlite3.sqlite_version}. Nothing was changed; "
            "use a newer Python."
        )
    with plain_words(path):
        connection = sqlite3.connect(uri or path, timeout=WAIT, isolation_level=None, uri=bool(uri))
        try:
            connection.row_factory = sqlite3.Row
            for setting in _SETTINGS:
                connection.execute(f"PRAGMA {setting}")
        except BaseException:
            connection.close()
            raise
    return connection


def refuse_no_database(path: Path) -> None:
    """Look at the first bytes before SQLite does, which would move what lies beside the file into it.

    Raises:
        DamagedError: it is not empty and does not begin as SQLite's files do (its file format, 1.3).
    """
    if path.with_name(path.name + "-journal").exists():
        return  # a change was cut short: SQLite puts the file right first
    with suppress(OSError):  # what cannot be read is told when it is opened
        with path.open("rb") as file:
            begins = file.read(len(_BEGINS))
        if begins not in (b"", _BEGINS):
            raise DamagedError(damaged(path, "file is not a database"))


def use_write_ahead(connection: sqlite3.Connection) -> None:
    """Let readers and one writer work at once; where the disk cannot, SQLite keeps its older way, which is as safe."""
    end = time.monotonic() + WAIT
    while connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:  # others have it open: SQLite does not wait for them here
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > end:
                raise
        time.sleep(0.01)


def examine(connection: sqlite3.Connection, path: Path, *, thoroughly: bool = False) -> None:
    """Look through the whole file for damage.

    Args:
        connection: to the file.
        path: of the file, for messages.
        thoroughly: compare indexes and references too.

    Raises:
        DamagedError: something is wrong with it.
    """
    with plain_words(path):
        word = "integrity_check" if thoroughly else "quick_check"
        said = [str(row[0]) for row in connection.execute(f"PRAGMA {word}(3)")]
        if said == ["ok"] and thoroughly:
            said += [f"a row of {row[0]} refers to nothing" for row in connection.execute("PRAGMA foreign_key_check")]
    if said != ["ok"]:
        raise DamagedError(damaged(path, "; ".join(said)))


def undo(connection: sqlite3.Connection) -> None:
    """Take back what was begun, if SQLite has not done so itself."""
    with suppress(sqlite3.Error):
        if connection.in_transaction:
            connection.execute("ROLLBACK")


@contextmanager
def attached_name(connection: sqlite3.Connection, path: Path, name: str) -> Iterator[None]:
    """Have another database at hand under a name, for statements inside."""
    connection.execute(f"ATTACH ? AS {name}", (str(path),))
    try:
        yield
    finally:
        with suppress(sqlite3.Error):
            connection.execute(f"DETACH {name}")
