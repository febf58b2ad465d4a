"""A folder of files that we made: which of them nobody has changed since, so that they may be made anew.

The folder holds a list of the files with their SHA-256 sums, written as ``sha256sum`` writes it, so that it can be
checked without us. What is not in it, or has another sum, is the maker's own.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from pathlib import Path

from bentwork.errors import FileError
from bentwork.files.atomic import make_folder, write_new

__all__ = ["SUMS", "is_unchanged", "write_made"]

SUMS = "made-by-bentwork.sha256"
_LINE = re.compile(r"([0-9a-f]{64}) [ *]([^/\\\x00-\x1f]+)")


def write_made(
    folder: Path, files: Mapping[str, bytes], may_replace: Callable[[Path], bool], may_drop: Callable[[str], bool]
) -> tuple[Path, ...]:
    """Write files into a folder, all or none where that can be known beforehand; returns their paths.

    A file that we made ourselves and nobody changed is replaced; for any other ``may_replace`` is asked. One that we
    made before and not this time is removed where ``may_drop`` says so: it tells of an older version of the job.

    Args:
        folder: made when it is not there.
        files: bytes by name.
        may_replace: asked for every file of the maker's own that stands in the way.
        may_drop: asked for the name of every file of an older version.

    Raises:
        FileError: a file of the maker's own stands there, or the folder cannot be written to.
    """
    known = _known(folder)
    in_the_way = [folder / name for name in files if not _is_free(folder / name, known)]
    if known is None:
        in_the_way.append(folder / SUMS)
    kept = [path for path in in_the_way if not may_replace(path)]
    if kept:
        names = ", ".join(path.name for path in kept)
        raise FileError(f"{names} in {folder} was not made by bentwork, or was changed since; it was left alone")
    known = known or {}
    make_folder(folder)
    made = {name: {_sum(data)} for name, data in files.items()}
    old = {name for name in known if name not in made and may_drop(name) and is_unchanged(folder / name, known[name])}
    # Before and after: whenever we are stopped, every file of ours is known to be ours.
    _write_sums(folder, {name: known.get(name, set()) | made.get(name, set()) for name in {*known, *made}})
    for name, data in files.items():
        write_new(folder / name, data, replace=True)
    for name in old:
        (folder / name).unlink(missing_ok=True)
    _write_sums(folder, {name: made.get(name, sums) for name, sums in {**known, **made}.items() if name not in old})
    return tuple(folder / name for name in files)


def is_unchanged(path: Path, sums: set[str]) -> bool:
    """Tell whether a file is there and has one of these sums."""
    try:
        return _sum(path.read_bytes()) in sums
    except OSError:
        return False


def _is_free(path: Path, known: Mapping[str, set[str]] | None) -> bool:
    """Tell whether nothing of the maker's own stands there."""
    return not (path.exists() or path.is_symlink()) or is_unchanged(path, (known or {}).get(path.name, set()))


def _known(folder: Path) -> dict[str, set[str]] | None:
    """Read the list; None where a file of its name is something else."""
    path = folder / SUMS
    if not path.exists():
        return {}
    found: dict[str, set[str]] = {}
    try:
        for line in path.read_text(encoding="utf-8").splitlines():
            told = _LINE.fullmatch(line)
            if told is None or told[2] in (".", "..", SUMS):
                return None
            found.setdefault(told[2], set()).add(told[1])
    except (OSError, UnicodeDecodeError):
        return None
    return found


def _write_sums(folder: Path, known: Mapping[str, set[str]]) -> None:
    lines = [f"{one}  {name}\n" for name in sorted(known) for one in sorted(known[name])]
    write_new(folder / SUMS, "".join(lines).encode("utf-8"), replace=True)


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
