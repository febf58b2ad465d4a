"""Putting a backup in the place of the workshop's database; what stood there is kept aside."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import count
from pathlib import Path

from bentwork.errors import DamagedError, WorkshopError
from bentwork.workshop.backup import alone, claim, copy_to, settle, without_leftovers
from bentwork.workshop.connection import attached_name, connect, examine, undo
from bentwork.workshop.migrations import standing, upgrade
from bentwork.workshop.place import database_in
from bentwork.workshop.plain_words import plain_words
from bentwork.workshop.store import open_workshop

__all__ = ["restore"]


def restore(folder: Path, backup: Path) -> Path | None:
    """Put a backup in the place of a workshop's database, wholly or not at all.

    Others may go on using the workshop meanwhile: what they write is in the database before, which is kept aside, or
    in the one after. Only a damaged database is moved away as a file; nobody else should have it open then.

    Args:
        folder: of the workshop; it is made when it is not there.
        backup: a file that ``Workshop.backup`` made; it is not changed.

    Returns:
        Where the database before is kept, None when there was nothing in it.

    Raises:
        WorkshopError: the backup is none, is damaged or is a newer Bentwork's; or the database in the folder is another
            program's or a newer Bentwork's. Nothing was changed.
    """
    path = database_in(folder)
    if path.exists() and backup.exists() and path.samefile(backup):
        raise WorkshopError(f"{backup} is the workshop's database itself; name a backup of it.")
    with _checked_copy(folder, backup) as copy:
        try:
            workshop = open_workshop(folder)
        except DamagedError:
            return _in_place_of_damaged(path, copy)
        workshop.close()
        return _in_place_of(path, copy)


@contextmanager
def _checked_copy(folder: Path, backup: Path) -> Iterator[Path]:
    """A copy of the backup in the workshop's folder, whole and of this program's version."""
    if not backup.is_file():
        raise WorkshopError(f"{backup} is no file; name a backup of a workshop.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WorkshopError(f"the workshop's folder {folder} cannot be made: {error.strerror}.") from error
    part = folder / f".restoring-{os.getpid()}.sqlite3"
    with without_leftovers(part):
        try:
            # A backup alone in its place is read without laying anything beside it, so that it may lie on a CD.
            beside = any(backup.with_name(backup.name + end).exists() for end in ("-wal", "-journal"))
            asked = f"{backup.absolute().as_uri()}?mode=ro{'' if beside else '&immutable=1'}"
            with closing(connect(backup, uri=asked)) as source, closing(connect(part)) as copy:
                if standing(source, backup) == 0:
                    raise WorkshopError(f"{backup} is an empty database, no backup of a workshop. Nothing was changed.")
                with plain_words(backup):
                    source.backup(copy)
                    alone(copy)
                examine(copy, backup, thoroughly=True)
                upgrade(copy, backup)
        except DamagedError as error:
            raise WorkshopError(
                f"{backup} is damaged or is no backup of a workshop, so nothing was changed. Use another one. ({error})"
            ) from error
        yield part


def _in_place_of(path: Path, copy: Path) -> Path | None:
    """Fill a sound database with the rows of the copy, in one transaction."""
    with closing(connect(path)) as present, plain_words(path), attached_name(present, copy, "kept"):
        present.execute("PRAGMA foreign_keys = OFF")  # the copy has been looked through; on the way there are orphans
        present.execute("BEGIN IMMEDIATE")  # from here on nobody else writes
        try:
            if _shape(present, "main") != _shape(present, "kept"):
                raise WorkshopError(f"{path} and the backup do not have the same tables. Nothing was changed.")
            aside = _kept_aside(present, path)
            _swap_rows(present)
            present.execute("COMMIT")
        except BaseException:
            undo(present)
            raise
    return aside


def _kept_aside(present: sqlite3.Connection, path: Path) -> Path | None:
    if not any(present.execute(f"SELECT 1 FROM main.{table} LIMIT 1").fetchone() for table in _tables(present)):
        return None
    aside = _free(path.parent, "before-restore")
    with closing(connect(path)) as reader:
        copy_to(reader, path, aside)
    return aside


def _swap_rows(present: sqlite3.Connection) -> None:
    guards = present.execute("SELECT name, sql FROM main.sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:  # what was measured stays, so the guards are asked to step aside
        present.execute(f"DROP TRIGGER main.{name}")
    for table in (*_tables(present), "sqlite_sequence"):  # the last one holds the numbers that were given out
        present.execute(f"DELETE FROM main.{table}")
        present.execute(f"INSERT INTO main.{table} SELECT * FROM kept.{table}")
    for _, sql in guards:
        present.execute(sql)


def _in_place_of_damaged(path: Path, copy: Path) -> Path:
    """Copy the damaged files aside, then put the copy in the place of the database."""
    aside = _free(path.parent, "damaged")
    claim(aside)
    beside = [(path.with_name(path.name + end), aside.with_name(aside.name + end)) for end in ("-wal", "-journal")]
    try:
        for old, new in [(path, aside), *beside]:
            if old.exists():
                shutil.copyfile(old, new)
        for old, _ in beside:  # it belongs to the old database and would spoil the new one
            old.unlink(missing_ok=True)
        path.with_name(path.name + "-shm").unlink(missing_ok=True)
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise WorkshopError(f"{aside} cannot be written: {error.strerror}. The database was left as it is.") from error
    settle(copy, path)
    return aside


def _tables(connection: sqlite3.Connection) -> list[str]:
    asked = "SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
    return [str(row[0]) for row in connection.execute(asked)]


def _shape(connection: sqlite3.Connection, schema: str) -> list[tuple[str, ...]]:
    asked = f"SELECT type, name, tbl_name, coalesce(sql, '') FROM {schema}.sqlite_schema ORDER BY type, name"
    return [tuple(row) for row in connection.execute(asked)]


def _free(folder: Path, stem: str) -> Path:
    """Return a name that nothing in the folder has: before-restore-1.sqlite3, before-restore-2.sqlite3, ..."""
    return next(path for n in count(1) if not (path := folder / f"{stem}-{n}.sqlite3").exists())
