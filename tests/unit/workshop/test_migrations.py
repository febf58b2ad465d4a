"""The steps that a database goes through."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import cast

import pytest

from bentwork.errors import WorkshopError
from bentwork.workshop.connection import connect, use_write_ahead
from bentwork.workshop.log_entries import LoggedBend
from bentwork.workshop.migrations import APPLICATION_ID, STEPS, VERSION, standing, upgrade
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import fill

PUBLISHED = [
    "c870e7e7d97da389",
    "6a3344908b336f68",
    "faef71c92dad0479",
    "7812e5109f348627",
    "a066699c51a9fa8e",
    "fd2e97c5c931528a",
]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "workshop.sqlite3"


@pytest.fixture
def connection(path: Path) -> Iterator[sqlite3.Connection]:
    with closing(connect(path)) as opened:
        yield opened


def tables(connection: sqlite3.Connection) -> set[str]:
    return {row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}


def test_a_published_step_is_as_it_was() -> None:
    """A step that some maker's database has been through cannot be changed: add a step, and its sum here."""
    assert [hashlib.sha256("\n".join(step).encode()).hexdigest()[:16] for step in STEPS] == PUBLISHED


def test_a_new_database_goes_through_all(path: Path, connection: sqlite3.Connection) -> None:
    assert standing(connection, path) == 0
    upgrade(connection, path)
    assert standing(connection, path) == VERSION == len(STEPS)
    assert tables(connection) >= {"materials", "benders", "stock", "test_bends", "strikes", "log", "log_strikes"}


def test_doing_it_again_changes_nothing(path: Path, connection: sqlite3.Connection) -> None:
    upgrade(connection, path)
    before = path.read_bytes()
    upgrade(connection, path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("done", range(1, VERSION))
def test_an_older_one_goes_on_from_where_it_stands(path: Path, connection: sqlite3.Connection, done: int) -> None:
    upgrade(connection, path, STEPS[:done])
    connection.execute("INSERT INTO benders VALUES ('lever', 'mm', '{\"radius\": 36}')")
    with open_workshop(path.parent) as workshop:
        assert [bender.name for bender in workshop.benders.all()] == ["lever"]
        fill(workshop)
    assert standing(connection, path) == VERSION


def test_a_bend_that_was_logged_before_marks_and_turns_were_kept_is_read(
    path: Path, connection: sqlite3.Connection
) -> None:
    upgrade(connection, path, STEPS[:3])
    connection.execute(
        "INSERT INTO log (entry_id, kind, job, job_version, piece, number, bend, angle_deg, bender, stock_key, made_on,"
        " note) VALUES ('old', 'bend', 'Cart', '', 'loop', 1, 3, 89.5, 'lever', 'round 12 6082-T6', '2025-03-12', '')"
    )
    with open_workshop(path.parent) as workshop:
        (one,) = workshop.log.all()
    assert isinstance(one, LoggedBend)
    assert (one.angle_deg, one.mark_mm, one.turn_deg, one.sure) == (89.5, None, None, False)


def test_a_step_that_fails_has_not_begun(path: Path, connection: sqlite3.Connection) -> None:
    upgrade(connection, path)
    bad = ("CREATE TABLE jigs (name TEXT) STRICT", "INSERT INTO benders VALUES (NULL, NULL, NULL)")
    with pytest.raises(WorkshopError, match=r"NOT NULL.*what was kept before is still there"):
        upgrade(connection, path, (*STEPS, ("CREATE TABLE pegs (name TEXT) STRICT",), bad))
    assert standing(connection, path, VERSION + 2) == VERSION + 1
    assert "pegs" in tables(connection)
    assert "jigs" not in tables(connection)
    assert not connection.in_transaction


def test_a_newer_one_is_left_alone(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        fill(workshop)
        path = workshop.path
    with closing(sqlite3.connect(path)) as newer:
        newer.execute("PRAGMA journal_mode = DELETE")
        newer.execute("CREATE TABLE jigs (name TEXT) STRICT")
        newer.execute(f"PRAGMA user_version = {VERSION + 3}")
    before = path.read_bytes()
    with pytest.raises(WorkshopError) as refused:
        open_workshop(tmp_path)
    told = str(refused.value)
    assert told.startswith(f"{path} was written by a newer Bentwork")
    assert f"of version {VERSION + 3}," in told
    assert f"up to {VERSION}." in told
    assert "Use the newer Bentwork, or another folder with --workshop DIR." in told
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("mark", [0, 1, APPLICATION_ID + 1, -APPLICATION_ID])
def test_a_database_of_another_program_is_left_alone(path: Path, mark: int) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute(f"PRAGMA application_id = {mark}")
        other.execute("CREATE TABLE recipes (name TEXT)")
        other.execute("INSERT INTO recipes VALUES ('soup')")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(WorkshopError, match="a database of another program, and was left alone"):
        open_workshop(path.parent)
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_an_empty_one_that_is_marked_by_another_program_is_left_alone(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA user_version = 7")
    with pytest.raises(WorkshopError, match="another program"):
        open_workshop(path.parent)


def test_it_is_kept_as_safely_as_sqlite_can(path: Path) -> None:
    with open_workshop(path.parent) as workshop:
        ask = workshop._database.connection.execute
        told = {name: ask(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous", "foreign_keys")}
        listed = ask("PRAGMA table_list").fetchall()
    strict = {row["name"]: row["strict"] for row in listed if not row["name"].startswith("sqlite_")}
    assert told == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    assert set(strict.values()) == {1}
    assert len(strict) == 8


class Interrupted:
    """A connection between whose questions somebody else makes the database, if SQLite lets him."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self.connection = connection
        self.path = path

    @property
    def in_transaction(self) -> bool:
        return self.connection.in_transaction

    def execute(self, sql: str) -> sqlite3.Cursor:
        if sql == "PRAGMA user_version":
            with closing(sqlite3.connect(self.path, timeout=0.0, isolation_level=None)) as other:
                for statement in ("PRAGMA user_version = 1", "CREATE TABLE benders (name TEXT)"):
                    with suppress(sqlite3.OperationalError):
                        other.execute(statement)
        return self.connection.execute(sql)


def test_one_that_is_just_being_made_is_no_other_programs(path: Path, connection: sqlite3.Connection) -> None:
    assert standing(cast(sqlite3.Connection, Interrupted(connection, path)), path) == 0


class Refused:
    """A connection to which SQLite says no for a while without waiting, as when four make a database at once."""

    def __init__(self, connection: sqlite3.Connection, code: int, times: int) -> None:
        self.connection = connection
        self.code = code
        self.times = times

    def execute(self, sql: str) -> sqlite3.Cursor:
        if sql == "PRAGMA journal_mode = WAL" and self.times:
            self.times -= 1
            error = sqlite3.OperationalError("database is locked")
            error.sqlite_errorcode = self.code
            raise error
        return self.connection.execute(sql)


def test_opening_waits_where_sqlite_does_not(connection: sqlite3.Connection) -> None:
    use_write_ahead(cast(sqlite3.Connection, Refused(connection, sqlite3.SQLITE_BUSY_RECOVERY, 3)))
    assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"


def test_opening_does_not_wait_for_ever_nor_for_nothing(
    connection: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(sqlite3.OperationalError):
        use_write_ahead(cast(sqlite3.Connection, Refused(connection, sqlite3.SQLITE_FULL, 1)))
    monkeypatch.setattr("bentwork.workshop.connection.WAIT", 0.03)
    with pytest.raises(sqlite3.OperationalError):
        use_write_ahead(cast(sqlite3.Connection, Refused(connection, sqlite3.SQLITE_BUSY, 1_000_000)))
