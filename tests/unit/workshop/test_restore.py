"""A backup put back: checked first, wholly or not at all, and what stood there kept aside."""

from __future__ import annotations

import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from bentwork.errors import WorkshopError
from bentwork.workshop import restore as restoring
from bentwork.workshop.migrations import STEPS, VERSION, upgrade
from bentwork.workshop.restore import restore
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_bender_table, a_logged_bend, a_test_bend, everything, fill, some_bars
from tests.unit.workshop.ordinary_user import as_ordinary_user, folder_for_everybody


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of a workshop that has changed since the backup beside it was made."""
    with open_workshop(tmp_path / "workshop") as workshop:
        fill(workshop)
        workshop.backup(tmp_path / "backup.sqlite3")
        workshop.benders.put(a_bender_table("big ram"))
        workshop.stock.remove("rod")
        workshop.test_bends.add(a_test_bend(left_deg=89.0))
        workshop.log.add(a_logged_bend(entry_id="after"))
    return tmp_path / "workshop"


def contents(database: Path) -> list[object]:
    """What a database holds, read from a copy of it."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "workshop.sqlite3").write_bytes(database.read_bytes())
        with open_workshop(Path(folder)) as workshop:
            return everything(workshop)


def test_everything_is_as_it_was_and_what_stood_there_is_aside(folder: Path) -> None:
    backup = folder.parent / "backup.sqlite3"
    before, saved = contents(folder / "workshop.sqlite3"), backup.read_bytes()
    assert before != contents(backup)
    aside = restore(folder, backup)
    assert aside == folder / "before-restore-1.sqlite3"
    assert contents(aside) == before
    assert contents(folder / "workshop.sqlite3") == contents(backup)
    assert backup.read_bytes() == saved
    assert {path.name for path in folder.iterdir()} == {"workshop.sqlite3", aside.name}


def test_it_can_be_taken_back(folder: Path) -> None:
    before = contents(folder / "workshop.sqlite3")
    first = restore(folder, folder.parent / "backup.sqlite3")
    assert first is not None
    second = restore(folder, first)
    assert second == folder / "before-restore-2.sqlite3"
    with open_workshop(folder) as workshop:
        assert everything(workshop) == before


def test_numbers_and_guards_are_as_before(folder: Path) -> None:
    restore(folder, folder.parent / "backup.sqlite3")
    with open_workshop(folder) as workshop:
        assert workshop.test_bends.add(a_test_bend()).id == 3  # two were in the backup
        with pytest.raises(WorkshopError, match="what was measured stays"):
            workshop._database.run("DELETE FROM log")


def test_those_who_have_it_open_go_on(folder: Path) -> None:
    with open_workshop(folder) as other:
        assert len(other.log.all()) == 3
        restore(folder, folder.parent / "backup.sqlite3")
        assert [one.entry_id for one in other.log.all()] == ["bend-1", "leg-1"]
        other.log.add(a_logged_bend(entry_id="and on"))
    with open_workshop(folder) as workshop:
        assert [one.entry_id for one in workshop.log.all()] == ["bend-1", "leg-1", "and on"]


def test_where_there_was_none_nothing_is_kept_aside(folder: Path) -> None:
    new = folder.parent / "new machine" / "workshop"
    assert restore(new, folder.parent / "backup.sqlite3") is None
    assert [path.name for path in new.iterdir()] == ["workshop.sqlite3"]
    assert contents(new / "workshop.sqlite3") == contents(folder.parent / "backup.sqlite3")


@pytest.mark.parametrize("harm", ["no database", "torn", "pages", "empty page"])
def test_a_damaged_database_is_kept_aside_as_it_is(folder: Path, harm: str) -> None:
    path = folder / "workshop.sqlite3"
    whole = path.read_bytes()
    path.write_bytes(
        {
            "no database": b"nails",
            "torn": whole[: len(whole) // 2],
            "pages": whole[:4096] + b"\xa5" * (len(whole) - 4096),
            "empty page": whole[:8192] + bytes(4096) + whole[12288:],
        }[harm]
    )
    damaged = path.read_bytes()
    (folder / "workshop.sqlite3-wal").write_bytes(b"what another database had in hand")
    aside = restore(folder, folder.parent / "backup.sqlite3")
    assert aside == folder / "damaged-1.sqlite3"
    assert aside.read_bytes() == damaged
    assert contents(path) == contents(folder.parent / "backup.sqlite3")


def test_what_a_damaged_database_had_in_hand_does_not_get_into_the_new_one(folder: Path) -> None:
    path, wal = folder / "workshop.sqlite3", folder / "workshop.sqlite3-wal"
    with open_workshop(folder) as workshop:
        workshop.stock.put(some_bars("in hand"))
        unfinished = wal.read_bytes()
    path.write_bytes(b"nails")
    wal.write_bytes(unfinished)
    aside = restore(folder, folder.parent / "backup.sqlite3")
    assert aside is not None
    assert aside.with_name(aside.name + "-wal").read_bytes() == unfinished
    assert contents(path) == contents(folder.parent / "backup.sqlite3")
    assert not wal.exists()


def test_a_backup_of_an_older_bentwork_is_brought_up(folder: Path, tmp_path: Path) -> None:
    old = tmp_path / "old.sqlite3"
    with closing(sqlite3.connect(old, isolation_level=None)) as connection:
        upgrade(connection, old, STEPS[:1])
        connection.execute("INSERT INTO benders VALUES ('hook bender', 'in', '{\"radius\": 1.5}')")
    before = old.read_bytes()
    restore(folder, old)
    assert old.read_bytes() == before
    with open_workshop(folder) as workshop:
        assert [bender.name for bender in workshop.benders.all()] == ["hook bender"]
        assert [workshop.log.all(), workshop.stock.all()] == [(), ()]


def test_a_workshop_on_a_disc_that_cannot_be_written_to_is_a_backup_too(folder: Path) -> None:
    """The file of a closed workshop, copied by hand: SQLite would lay two files beside it to read it."""
    with folder_for_everybody() as disc, folder_for_everybody() as new:
        (disc / "workshop.sqlite3").write_bytes((folder / "workshop.sqlite3").read_bytes())
        (disc / "workshop.sqlite3").chmod(0o444)
        disc.chmod(0o555)
        new.chmod(0o777)
        with as_ordinary_user():
            restore(new / "workshop", disc / "workshop.sqlite3")
        assert contents(new / "workshop" / "workshop.sqlite3") == contents(folder / "workshop.sqlite3")
        assert [path.name for path in disc.iterdir()] == ["workshop.sqlite3"]


def test_a_workshop_that_is_in_use_is_a_backup_too(folder: Path) -> None:
    """What it has not yet put into its main file counts as well."""
    new = folder.parent / "new"
    with open_workshop(folder) as workshop:
        workshop.log.add(a_logged_bend(entry_id="in hand"))
        restore(new, folder / "workshop.sqlite3")
    with open_workshop(new) as copy:
        assert copy.log.all()[-1].entry_id == "in hand"


def spoil(backup: Path, how: str) -> None:
    if how == "newer":
        with closing(sqlite3.connect(backup)) as connection:
            connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    elif how == "other program":
        with closing(sqlite3.connect(backup)) as connection:
            connection.execute("PRAGMA application_id = 1")
    elif how == "other tables":
        with closing(sqlite3.connect(backup)) as connection:
            connection.execute("CREATE TABLE jigs (name TEXT)")
    elif how == "orphan":
        with closing(sqlite3.connect(backup)) as connection:
            connection.execute("INSERT INTO strikes VALUES (7, 99, 'misread', '2025-03-12')")
            connection.commit()
    elif how == "index":
        with closing(sqlite3.connect(backup)) as connection:
            connection.execute("PRAGMA writable_schema = ON")
            connection.execute("UPDATE sqlite_schema SET sql = replace(sql, 'bender)', 'batch)') WHERE type = 'index'")
            connection.commit()
    else:
        backup.write_bytes({"empty": b"", "no database": b"nails" * 99, "torn": backup.read_bytes()[:9000]}[how])


@pytest.mark.parametrize(
    ("how", "told"),
    [
        ("newer", "written by a newer Bentwork"),
        ("other program", "another program"),
        ("other tables", "do not have the same tables"),
        ("orphan", "refers to nothing"),
        ("index", "damaged"),
        ("empty", "an empty database, no backup"),
        ("no database", "is damaged or is no backup of a workshop"),
        ("torn", "is damaged or is no backup of a workshop"),
    ],
)
def test_a_backup_that_is_none_changes_nothing(folder: Path, how: str, told: str) -> None:
    backup = folder.parent / "backup.sqlite3"
    spoil(backup, how)
    before = (folder / "workshop.sqlite3").read_bytes(), backup.read_bytes()
    with pytest.raises(WorkshopError, match=told) as refused:
        restore(folder, backup)
    assert str(backup) in str(refused.value) or how == "other tables"
    assert ((folder / "workshop.sqlite3").read_bytes(), backup.read_bytes()) == before
    assert [path.name for path in folder.iterdir()] == ["workshop.sqlite3"]


def test_the_workshop_itself_and_nothing_are_no_backups(folder: Path) -> None:
    for name, told in (("workshop.sqlite3", "is the workshop's database itself"), ("away.sqlite3", "is no file")):
        with pytest.raises(WorkshopError, match=told):
            restore(folder, folder / name)
    with pytest.raises(WorkshopError, match="is no file"):
        restore(folder, folder)


def test_a_newer_workshop_is_not_restored_over(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "workshop.sqlite3")) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    before = (folder / "workshop.sqlite3").read_bytes()
    with pytest.raises(WorkshopError, match="newer Bentwork"):
        restore(folder, folder.parent / "backup.sqlite3")
    assert (folder / "workshop.sqlite3").read_bytes() == before


def test_one_that_stops_half_way_has_changed_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = contents(folder / "workshop.sqlite3")
    swap = restoring._swap_rows

    def stop(present: sqlite3.Connection) -> None:
        swap(present)
        raise KeyboardInterrupt

    monkeypatch.setattr(restoring, "_swap_rows", stop)
    with pytest.raises(KeyboardInterrupt):
        restore(folder, folder.parent / "backup.sqlite3")
    with open_workshop(folder) as workshop:
        assert everything(workshop) == before
        with pytest.raises(WorkshopError, match="what was measured stays"):
            workshop._database.run("DELETE FROM log")
