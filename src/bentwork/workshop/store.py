"""The workshop, open: the door to everything that it keeps."""

from __future__ import annotations

import sqlite3
from contextlib import AbstractContextManager
from pathlib import Path
from types import TracebackType

from bentwork.errors import WorkshopError
from bentwork.workshop.backup import copy_to
from bentwork.workshop.belongings import Benders, Materials, StockRack
from bentwork.workshop.connection import Database, connect, examine, refuse_no_database, use_write_ahead
from bentwork.workshop.log import Log
from bentwork.workshop.migrations import standing, upgrade
from bentwork.workshop.place import database_in
from bentwork.workshop.plain_words import plain_words
from bentwork.workshop.test_bends import TestBends

__all__ = ["Workshop", "open_workshop"]


class Workshop:
    """The maker's memory, open; close it, or use it in a ``with`` statement, in the thread that opened it.

    Whatever a method has written is on the disk when the method returns.

    Args:
        database: of the workshop, open and of this program's version.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self.path = database.path
        self.materials = Materials(database)
        self.benders = Benders(database)
        self.stock = StockRack(database)
        self.test_bends = TestBends(database)
        self.log = Log(database)

    def __enter__(self) -> Workshop:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close it; doing so twice does no harm."""
        self._database.close()

    def at_one_moment(self) -> AbstractContextManager[None]:
        """See everything read inside as it stood at one moment, whatever others write meanwhile."""
        return self._database.reading()

    def backup(self, to: Path) -> None:
        """Copy everything into one new file, whole, while others go on reading and writing.

        Raises:
            WorkshopError: there is such a file already, or it cannot be written; nothing half done is left.
        """
        copy_to(self._database.connection, self.path, to)


def open_workshop(folder: Path) -> Workshop:
    """Open the workshop in a folder; folder and database are made when they are not there.

    Raises:
        WorkshopError: it cannot be opened, is another program's or a newer Bentwork's; it was left as it is.
        DamagedError: its file is damaged; it was left as it is.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise WorkshopError(f"{folder} is a file, no folder. Name a folder with --workshop DIR.") from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise WorkshopError(
            f"the workshop's folder {folder} cannot be made: {why}. Name another one with --workshop DIR."
        ) from error
    path = database_in(folder)
    refuse_no_database(path)
    connection = connect(path)
    try:
        _make_ready(connection, path)
    except BaseException:
        connection.close()
        raise
    return Workshop(Database(path, connection))


def _make_ready(connection: sqlite3.Connection, path: Path) -> None:
    standing(connection, path)
    examine(connection, path)  # nothing is written into a damaged file
    upgrade(connection, path)
    with plain_words(path):
        use_write_ahead(connection)
