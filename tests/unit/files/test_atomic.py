"""Writing whole or not at all: whatever fails, the old file stands and nothing is left lying about."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from bentwork.errors import BentworkError, FileError
from bentwork.files.atomic import write_new


def files_in(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize("replace", [True, False])
@pytest.mark.parametrize("content", [b"", b"format = 1\n", bytes(range(256)) * 5000])
def test_a_new_file(tmp_path: Path, replace: bool, content: bytes) -> None:
    write_new(tmp_path / "job.toml", content, replace=replace)
    assert files_in(tmp_path) == {"job.toml": content}


def test_a_file_is_replaced_and_keeps_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    write_new(path, b"new", replace=True)
    assert files_in(tmp_path) == {"job.toml": b"new"}
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_has_the_permissions_of_any_other(tmp_path: Path) -> None:
    (tmp_path / "other").touch()
    write_new(tmp_path / "job.toml", b"x", replace=False)
    assert (tmp_path / "job.toml").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_a_file_is_not_replaced_unasked(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"old")
    with pytest.raises(FileError, match="file of this name already"):
        write_new(path, b"new", replace=False)
    assert files_in(tmp_path) == {"job.toml": b"old"}


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_appears_while_writing_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    path = tmp_path / "job.toml"
    link = os.link

    def late(source: Path, target: Path) -> None:
        path.write_bytes(b"someone else's")
        if not links:
            raise OSError(errno.EPERM, "no links here")
        link(source, target)

    monkeypatch.setattr(os, "link", late)
    with pytest.raises(FileError, match="file of this name already"):
        write_new(path, b"new", replace=False)
    assert files_in(tmp_path) == {"job.toml": b"someone else's"}


def test_a_disk_without_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EOPNOTSUPP, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    write_new(tmp_path / "job.toml", b"new", replace=False)
    assert files_in(tmp_path) == {"job.toml": b"new"}


@pytest.mark.parametrize("replace", [True, False])
@pytest.mark.parametrize(
    ("call", "number", "words"),
    [
        ("fsync", errno.ENOSPC, "the disk is full"),
        ("fsync", errno.EDQUOT, "your share of the disk is full"),
        ("fsync", errno.EIO, "Input/output error"),
        ("open", errno.EACCES, "you may not write in this folder"),
        ("open", errno.EROFS, "the disk is read-only"),
    ],
)
def test_what_the_disk_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, replace: bool, call: str, number: int, words: str
) -> None:
    path = tmp_path / "job.toml"
    if replace:
        path.write_bytes(b"old")
    before = files_in(tmp_path)

    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patched:
        patched.setattr(os, call, refuse)
        with pytest.raises(FileError, match=words):
            write_new(path, b"new", replace=replace)
    assert files_in(tmp_path) == before


def test_a_full_disk_without_links_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fsync, calls = os.fsync, []

    def full_later(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "full")
        fsync(handle)

    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    monkeypatch.setattr(os, "fsync", full_later)
    with pytest.raises(FileError, match="full"):
        write_new(tmp_path / "job.toml", b"new", replace=False)
    assert files_in(tmp_path) == {}


def test_an_interrupt_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"old")

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_new(path, b"new", replace=True)
    assert files_in(tmp_path) == {"job.toml": b"old"}


def test_paths_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    for path, words in [
        (tmp_path / "no" / "job.toml", "there is no such folder"),
        (tmp_path / "file" / "job.toml", "what should be its folder is a file"),
        (tmp_path, "it is a folder"),
        (tmp_path / ("x" * 300), "its name is too long"),
        (tmp_path / "a\0b", "no file can have this name"),
    ]:
        for replace in (True, False):
            with pytest.raises(BentworkError, match=words) as error:
                write_new(path, b"x", replace=replace)
            assert str(error.value).isprintable()
    assert files_in(tmp_path) == {"file": b""}


def test_a_link_is_followed_and_a_device_left_alone(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real = tmp_path / "real" / "job.toml"
    real.write_bytes(b"old")
    link = tmp_path / "job.toml"
    link.symlink_to(real)
    write_new(link, b"new", replace=True)
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    with pytest.raises(FileError, match="not a file that can be replaced"):
        write_new(Path("/dev/null"), b"x", replace=True)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="not a file that can be replaced"):
        write_new(tmp_path / "pipe", b"x", replace=True)


def test_a_write_protected_file_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)  # as it is for anyone but root
    with pytest.raises(FileError, match="write-protected"):
        write_new(path, b"new", replace=True)
    assert files_in(tmp_path) == {"job.toml": b"old"}
