"""Files and disks that will not do: plain words, and nothing lost."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bentwork.errors import BentworkError, DamagedError, WorkshopError
from bentwork.workshop import connection
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_bender_table, a_logged_bend, a_test_bend, everything, fill
from tests.unit.workshop.ordinary_user import as_ordinary_user, folder_for_everybody


@pytest.fixture
def shared() -> Iterator[Path]:
    with folder_for_everybody() as folder:
        yield folder


def filled(folder: Path) -> tuple[Path, list[object]]:
    with open_workshop(folder) as workshop:
        fill(workshop)
        return workshop.path, everything(workshop)


def hurt(path: Path) -> bytes:
    """Spoil the page after the first; returns what then stands in the file."""
    with path.open("r+b") as file:
        file.seek(4096 + 8)
        file.write(b"\xa5" * 2000)
    return path.read_bytes()


def contents(folder: Path) -> list[object]:
    with open_workshop(folder) as workshop:
        return everything(workshop)


@pytest.mark.parametrize("size", [1, 60, 5000])
def test_a_file_that_is_no_database_is_left_as_it_is(tmp_path: Path, size: int) -> None:
    path = tmp_path / "workshop.sqlite3"
    text = (b"saws, files, a hammer\n" * size)[: 20 * size]
    path.write_bytes(text)
    with pytest.raises(DamagedError, match=r"no database of a workshop.*restore FILE"):
        open_workshop(tmp_path)
    assert path.read_bytes() == text
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


def test_damage_is_found_before_anything_is_written(tmp_path: Path) -> None:
    path, _ = filled(tmp_path)
    before = hurt(path)
    with pytest.raises(DamagedError, match=re.escape(f"{path} is damaged")):
        open_workshop(tmp_path)
    assert path.read_bytes() == before


def test_a_power_cut_in_the_middle_of_a_change_is_put_right(tmp_path: Path) -> None:
    """What SQLite laid beside the file before it changed it holds the first page too, torn here as a power cut may."""
    path, kept = filled(tmp_path / "before")
    after = tmp_path / "after"
    after.mkdir()
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        for statement in ("PRAGMA journal_mode = DELETE", "PRAGMA cache_size = 2", "BEGIN"):
            other.execute(statement)
        for number in range(300):
            other.execute(
                "INSERT INTO log (entry_id, kind, job, job_version, piece, number, bend, angle_deg, bender, stock_key, "
                "made_on, note) SELECT ?, kind, job, job_version, piece, number, bend, angle_deg, bender, "
                "stock_key, made_on, note FROM log WHERE id = 1",
                (f"half {number}",),
            )
        for name in (path.name, path.name + "-journal"):
            shutil.copyfile(path.with_name(name), after / name)
        other.execute("ROLLBACK")
    with (after / path.name).open("r+b") as file:
        file.write(bytes(100))
    assert contents(after) == kept


@pytest.mark.parametrize(
    ("setting", "told"), [("application_id = 7", "another program"), ("user_version = 99", "newer")]
)
def test_a_database_that_is_not_ours_is_not_looked_through(tmp_path: Path, setting: str, told: str) -> None:
    path, _ = filled(tmp_path)
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute(f"PRAGMA {setting}")
    before = hurt(path)
    with pytest.raises(WorkshopError, match=told) as refused:
        open_workshop(tmp_path)
    assert not isinstance(refused.value, DamagedError)  # nobody should restore over it
    assert path.read_bytes() == before


def test_a_torn_file_is_found(tmp_path: Path) -> None:
    path, _ = filled(tmp_path)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(DamagedError):
        open_workshop(tmp_path)
    assert path.read_bytes() == whole[: len(whole) // 2]


def test_damage_under_an_open_workshop_is_told(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        fill(workshop)
        for number in range(200):
            workshop.log.add(a_logged_bend(entry_id=f"{number}"))
        with closing(sqlite3.connect(workshop.path)) as other:
            other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        size = workshop.path.stat().st_size
        with workshop.path.open("r+b") as file:
            file.seek(4096)
            file.write(b"\xa5" * (size - 4096))
        workshop._database.connection.execute("PRAGMA shrink_memory")
        with pytest.raises(DamagedError):
            workshop.log.all()


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    file = tmp_path / "workshop"
    file.write_text("nails")
    with pytest.raises(WorkshopError, match="is a file, no folder"):
        open_workshop(file)
    with pytest.raises(WorkshopError, match=r"cannot be made: Not a directory.*--workshop DIR"):
        open_workshop(file / "shop")
    with pytest.raises(WorkshopError, match="cannot be made"):
        open_workshop(tmp_path / "work\0shop")
    assert file.read_text() == "nails"


def test_a_database_that_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "workshop.sqlite3").mkdir()
    with pytest.raises(WorkshopError, match="it cannot be opened: it is a folder"):
        open_workshop(tmp_path)


def test_a_new_workshop_in_a_folder_that_cannot_be_written_to(shared: Path) -> None:
    shared.chmod(0o555)
    with as_ordinary_user():
        with pytest.raises(WorkshopError, match=r"cannot be opened.*see to the permissions"):
            open_workshop(shared)
        with pytest.raises(WorkshopError, match=r"cannot be made: Permission denied"):
            open_workshop(shared / "shop")
    assert list(shared.iterdir()) == []


@pytest.mark.parametrize(("folder_mode", "file_mode"), [(0o555, 0o444), (0o777, 0o444), (0o777, 0o000)])
def test_a_database_that_cannot_be_written_to_loses_nothing(shared: Path, folder_mode: int, file_mode: int) -> None:
    path, kept = filled(shared)
    before = path.read_bytes()
    path.chmod(file_mode)
    shared.chmod(folder_mode)
    refused = pytest.raises(WorkshopError, match=r"written to.*permissions")
    with as_ordinary_user(), refused, open_workshop(shared) as workshop:
        workshop.test_bends.add(a_test_bend())
    assert path.read_bytes() == before
    shared.chmod(0o755)
    path.chmod(0o644)
    assert contents(shared) == kept


def test_a_full_disk_loses_nothing_and_goes_on_when_there_is_room(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        fill(workshop)
        pages = workshop._database.connection.execute("PRAGMA page_count").fetchone()[0]
        workshop._database.connection.execute(f"PRAGMA max_page_count = {pages}")
        kept = 0
        with pytest.raises(WorkshopError, match=r"the disk is full\. This was not done; what was kept before is still"):
            for kept in range(1000):  # noqa: B007 - how many there was room for
                workshop.test_bends.add(a_test_bend(note="x" * 500))
        assert len(workshop.test_bends.all()) == 1 + kept
        with pytest.raises(WorkshopError, match="the disk is full"):
            workshop.benders.put(replace(a_bender_table(), table={"kind": "wrap", "note": "x" * 50_000}))
        assert [bender.name for bender in workshop.benders.all()] == ["lever"]
        workshop._database.connection.execute("PRAGMA max_page_count = 100000")
        workshop.test_bends.add(a_test_bend(note="x" * 500))
        after = everything(workshop)
    assert contents(tmp_path) == after
    assert len(after[3]) == 3 + kept  # type: ignore[arg-type]  # with the one struck out


def test_another_program_that_writes_for_too_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection, "WAIT", 0.05)
    path, kept = filled(tmp_path)
    with open_workshop(tmp_path) as workshop, closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(WorkshopError, match="another program has been writing to it"):
            workshop.log.add(a_logged_bend(entry_id="late"))
        assert everything(workshop) == kept
        other.execute("ROLLBACK")
        assert workshop.log.add(a_logged_bend(entry_id="late")).id == 4


def test_a_closed_workshop_says_so_in_our_words(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path)
    workshop.close()
    workshop.close()
    for question in (workshop.test_bends.all, workshop.log.all, lambda: workshop.log.add(a_logged_bend())):
        with pytest.raises(WorkshopError, match="closed"):
            question()


def test_an_older_sqlite_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 34, 1))
    monkeypatch.setattr(sqlite3, "sqlite_version", "3.34.1")
    with pytest.raises(WorkshopError, match=r"SQLite 3.37 or newer, and this Python has 3.34.1"):
        open_workshop(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_our_errors_have_one_root() -> None:
    assert issubclass(DamagedError, WorkshopError)
    assert issubclass(WorkshopError, BentworkError)
