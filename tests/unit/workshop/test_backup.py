"""A backup: whole, alone in its file, and never over another one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bentwork.errors import DamagedError, WorkshopError
from bentwork.workshop.connection import connect
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_logged_bend, everything, fill


def test_a_backup_holds_everything_in_one_file(tmp_path: Path) -> None:
    to = tmp_path / "stick" / "workshop 2025-03-12.sqlite3"
    to.parent.mkdir()
    with open_workshop(tmp_path / "workshop") as workshop:
        fill(workshop)
        workshop.backup(to)
        kept = everything(workshop)
        workshop.log.add(a_logged_bend(entry_id="after the backup"))
    assert list(to.parent.iterdir()) == [to]
    # SQLite's file format, 1.3: twice 1 is the older way, which any program can read from a disc; twice 2 is WAL
    assert to.read_bytes()[18:20] == b"\1\1"
    moved = tmp_path / "elsewhere" / "workshop.sqlite3"
    moved.parent.mkdir()
    to.rename(moved)
    with open_workshop(moved.parent) as copy:
        assert everything(copy) == kept


def test_the_workshop_is_written_to_while_a_backup_is_made(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop, open_workshop(tmp_path) as other:
        with workshop._database.writing():
            workshop._database.run("DELETE FROM benders")
            other.backup(tmp_path / "meanwhile.sqlite3")
        assert other.log.add(a_logged_bend()).id == 1


def test_no_file_is_written_over(tmp_path: Path) -> None:
    to = tmp_path / "photo.jpg"
    to.write_bytes(b"a frame")
    with open_workshop(tmp_path / "workshop") as workshop:
        for name in (to, workshop.path):
            with pytest.raises(WorkshopError, match="is there already, and was left alone"):
                workshop.backup(name)
    assert to.read_bytes() == b"a frame"
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["photo.jpg"]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with open_workshop(tmp_path / "workshop") as workshop:
        with pytest.raises(WorkshopError, match="cannot be written: No such file or directory"):
            workshop.backup(tmp_path / "stick" / "a.sqlite3")
        with pytest.raises(WorkshopError, match="cannot be written"):
            workshop.backup(tmp_path / "a\0.sqlite3")


def test_a_disk_without_room_for_it_keeps_no_half(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def small(path: Path, *, uri: str = "") -> sqlite3.Connection:
        opened = connect(path, uri=uri)
        opened.execute("PRAGMA max_page_count = 5")
        return opened

    monkeypatch.setattr("bentwork.workshop.backup.connect", small)
    to = tmp_path / "a.sqlite3"
    with open_workshop(tmp_path / "workshop") as workshop:
        fill(workshop)
        kept = everything(workshop)
        with pytest.raises(WorkshopError, match=r"a\.sqlite3: the disk is full"):
            workshop.backup(to)
        assert everything(workshop) == kept
    assert [path.name for path in tmp_path.iterdir()] == ["workshop"]


def test_a_damaged_workshop_is_not_backed_up(tmp_path: Path) -> None:
    with open_workshop(tmp_path / "workshop") as workshop:
        fill(workshop)
        with closing(sqlite3.connect(workshop.path)) as other:
            other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        with workshop.path.open("r+b") as file:
            file.seek(3 * 4096)
            file.write(b"\xa5" * 4096)
        workshop._database.connection.execute("PRAGMA shrink_memory")
        with pytest.raises(DamagedError, match=r"workshop\.sqlite3 is damaged"):
            workshop.backup(tmp_path / "a.sqlite3")
    assert [path.name for path in tmp_path.iterdir()] == ["workshop"]
