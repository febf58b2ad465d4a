"""Writing a file whole or not at all: whatever goes wrong, what stood there before still stands there."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

from bentwork.errors import FileError

__all__ = ["make_folder", "write_new"]

_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EXDEV)
"""What file systems without hard links answer: memory cards, some network drives."""

_WHY = {
    errno.EACCES: "you may not write in this folder",
    errno.EPERM: "you may not write in this folder",
    errno.EROFS: "the disk is read-only",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.EFBIG: "the disk takes no file of this size",
    errno.ENOENT: "there is no such folder",
    errno.ENOTDIR: "what should be its folder is a file",
    errno.EEXIST: "there is a file of that name",
    errno.EISDIR: "it is a folder",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its links run in a circle",
}


def make_folder(folder: Path) -> None:
    """Make a folder, and those that it stands in, unless it is there.

    Raises:
        FileError: it cannot be made; the text says why and what to do.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = _WHY.get(error.errno or 0, error.strerror or "unknown reason")
        raise FileError(f"the folder {folder} cannot be made: {why}. Give another folder") from error


def write_new(path: Path, data: bytes, *, replace: bool) -> None:
    """Write a file by way of a temporary one beside it, so that it is there whole or not at all.

    Args:
        path: of the file; a link is followed.
        data: all that is to stand in it.
        replace: whether a file that is there already may be replaced; otherwise it is never touched, even when it
            appears in the very moment of writing.

    Raises:
        FileError: the file could not be written; what stood there still does, and nothing else is left behind.
    """
    try:
        target = Path(os.path.realpath(path))
        mode = _mode_of(path, target, replace=replace)
        temporary = target.with_name(f".{target.name[:100]}.{secrets.token_hex(6)}.part")
        try:
            _write(temporary, data, mode)
            if replace:
                os.replace(temporary, target)  # noqa: PTH105 - the same call, and the one the tests watch
            else:
                _put_beside(temporary, target, data, mode)
        finally:
            with suppress(OSError):
                temporary.unlink()
        _settle(target.parent)
    except FileExistsError:
        raise _failed(path, "there is a file of this name already; it has not been touched") from None
    except OSError as error:
        raise _failed(path, _WHY.get(error.errno or 0, error.strerror or str(error))) from error
    except ValueError:  # a zero byte in the name
        raise _failed(path, "no file can have this name") from None


def _failed(path: Path, why: str) -> FileError:
    name = "".join(letter if letter.isprintable() else "?" for letter in str(path))
    return FileError(f"{name} could not be written: {why}.")


def _mode_of(path: Path, target: Path, *, replace: bool) -> int | None:
    """Return the permissions of the file that is to be replaced; None when there is none yet."""
    try:
        present = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(present.st_mode):
        raise _failed(path, "it is a folder")
    if not replace:
        raise FileExistsError
    if not stat.S_ISREG(present.st_mode):
        raise _failed(path, "what stands there is not a file that can be replaced")
    if not os.access(target, os.W_OK):
        raise _failed(path, "it is write-protected")
    return stat.S_IMODE(present.st_mode)


def _write(path: Path, data: bytes, mode: int | None) -> None:
    """Write a file that must not exist yet, and wait until it is on the disk."""
    # Not tempfile: it makes files that only their owner may read, and a job is shared like any other file.
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with os.fdopen(handle, "wb") as file:
        if mode is not None:
            path.chmod(mode)
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _put_beside(temporary: Path, target: Path, data: bytes, mode: int | None) -> None:
    """Give the written file its name, unless the name is taken by then."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        try:
            _write(target, data, mode)
        except FileExistsError:
            raise
        except BaseException:
            with suppress(OSError):
                target.unlink()
            raise


def _settle(folder: Path) -> None:
    """Wait until the name is on the disk too, where the system can tell."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
