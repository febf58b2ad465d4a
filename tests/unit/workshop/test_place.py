"""Where the workshop is."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from bentwork.workshop.place import database_in, default_folder, has_workshop
from bentwork.workshop.store import open_workshop

_USUAL = {"linux": ".local/share", "darwin": "Library/Application Support", "win32": "AppData/Local"}


def test_the_usual_place_is_where_the_system_keeps_a_users_data(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)  # a setting of Linux that moves it
    assert default_folder() == Path.home() / _USUAL[sys.platform] / "bentwork"


def test_looking_for_a_workshop_makes_none(tmp_path: Path) -> None:
    folder = tmp_path / "workshop"
    assert not has_workshop(folder)
    assert not folder.exists()
    open_workshop(folder).close()
    assert has_workshop(folder)


def test_the_database_lies_in_the_folder_and_alone_when_closed(tmp_path: Path) -> None:
    folder = tmp_path / "maker's own, über\u2009den Hof" / "workshop?mode=ro#1"
    with open_workshop(folder) as workshop:
        assert workshop.path == database_in(folder)
    assert [path.name for path in folder.iterdir()] == ["workshop.sqlite3"]
