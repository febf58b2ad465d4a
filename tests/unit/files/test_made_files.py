"""Files of ours are made anew, files of the maker's own are never touched."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

import pytest

from bentwork.errors import FileError
from bentwork.files import made_files
from bentwork.files.atomic import write_new
from bentwork.files.made_files import SUMS, write_made

ONE = {"loop.stl": b"one", "loop.dxf": b"lines"}


def write(folder: Path, files: Mapping[str, bytes], *, force: bool = False, drop: bool = True) -> None:
    write_made(folder, files, lambda _: force, lambda _: drop)


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != SUMS}


def test_the_list_is_that_of_the_usual_tool(tmp_path: Path) -> None:
    write(tmp_path / "new" / "er", ONE)
    told = (tmp_path / "new" / "er" / SUMS).read_text(encoding="utf-8")
    assert told == "".join(f"{hashlib.sha256(ONE[name]).hexdigest()}  {name}\n" for name in sorted(ONE))


def test_our_own_are_replaced_and_old_ones_removed(tmp_path: Path) -> None:
    write(tmp_path, ONE)
    write(tmp_path, {"loop.stl": b"two", "stay.stl": b"three"})
    assert held(tmp_path) == {"loop.stl": b"two", "stay.stl": b"three"}
    write(tmp_path, {"hoop.stl": b"four"}, drop=False)
    assert set(held(tmp_path)) == {"loop.stl", "stay.stl", "hoop.stl"}
    assert len((tmp_path / SUMS).read_text(encoding="utf-8").splitlines()) == 3


def test_a_changed_file_stops_everything_unless_forced(tmp_path: Path) -> None:
    write(tmp_path, ONE)
    (tmp_path / "loop.stl").write_bytes(b"mended by hand")
    with pytest.raises(FileError, match=r"loop\.stl .* left alone"):
        write(tmp_path, {"loop.stl": b"two", "loop.dxf": b"new lines"})
    assert held(tmp_path) == {"loop.stl": b"mended by hand", "loop.dxf": b"lines"}
    write(tmp_path, {"loop.stl": b"two"}, force=True)
    assert held(tmp_path) == {"loop.stl": b"two"}


def test_a_changed_file_of_an_older_version_is_not_removed(tmp_path: Path) -> None:
    write(tmp_path, ONE)
    (tmp_path / "loop.dxf").write_bytes(b"mended by hand")
    write(tmp_path, {"loop.stl": b"two"})
    assert held(tmp_path) == {"loop.stl": b"two", "loop.dxf": b"mended by hand"}


def test_a_file_that_was_there_first_is_the_makers(tmp_path: Path) -> None:
    (tmp_path / "loop.stl").write_bytes(b"mine")
    with pytest.raises(FileError, match=r"loop\.stl"):
        write(tmp_path, ONE)
    assert held(tmp_path) == {"loop.stl": b"mine"}
    assert not (tmp_path / SUMS).exists()


def test_a_link_is_not_followed_to_another_file(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_bytes(b"dear aunt")
    folder = tmp_path / "models"
    folder.mkdir()
    (folder / "loop.stl").symlink_to(tmp_path / "letter.txt")
    with pytest.raises(FileError, match=r"loop\.stl"):
        write(folder, ONE)
    assert (tmp_path / "letter.txt").read_bytes() == b"dear aunt"


@pytest.mark.parametrize("text", ["my own list\n", f"{'0' * 64}  ../letter.txt\n", "\udcff"])
def test_another_list_of_that_name_is_the_makers(tmp_path: Path, text: str) -> None:
    (tmp_path / SUMS).write_bytes(text.encode("utf-8", "surrogateescape"))
    before = (tmp_path / SUMS).read_bytes()
    with pytest.raises(FileError, match="made-by-bentwork"):
        write(tmp_path, ONE)
    assert (tmp_path / SUMS).read_bytes() == before


def test_stopped_halfway_the_rest_can_be_made_later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path, ONE)
    writing = write_new

    def stops(path: Path, data: bytes, *, replace: bool) -> None:
        if path.name == "loop.dxf":
            raise FileError("the disk is full")
        writing(path, data, replace=replace)

    monkeypatch.setattr(made_files, "write_new", stops)
    new = {"loop.stl": b"two", "loop.dxf": b"new lines"}
    with pytest.raises(FileError, match="disk is full"):
        write(tmp_path, new)
    monkeypatch.undo()
    write(tmp_path, new)
    assert held(tmp_path) == new


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "models").write_text("a file", encoding="utf-8")
    with pytest.raises(FileError, match="folder"):
        write(tmp_path / "models", ONE)


def test_a_folder_that_cannot_be_made_is_told_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "models").write_text("mine")
    with pytest.raises(FileError, match=r"models cannot be made: there is a file of that name. Give another folder"):
        write(tmp_path / "models", ONE, force=True)
    assert (tmp_path / "models").read_text() == "mine"
