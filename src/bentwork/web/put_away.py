"""Job files that the maker put away: in a folder of their own, and only the maker takes them out of it."""

from __future__ import annotations

import os
import re
from pathlib import Path

from bentwork.errors import Fault, FileError, InputError
from bentwork.web.place import Place

__all__ = ["FOLDER", "away", "back"]

FOLDER = ".removed"
"""Beside the job files; its name begins with a dot, so that it is in nobody's way."""

_NUMBER = re.compile(r" \d+$")


def away(place: Place, name: str) -> str:
    """Put a job file away, and return what it is called there.

    Raises:
        InputError: there is no such job.
        FileError: it cannot be moved; it is where it was.
    """
    path, folder = place.job(name), place.jobs / FOLDER
    if not path.is_file():
        raise InputError("jobs", [Fault("name", name, "a job that is there")])
    try:
        folder.mkdir(exist_ok=True)
        kept = _free(folder, name)
        path.rename(folder / f"{kept}.toml")
    except OSError as error:
        raise FileError(f"{name}.toml could not be put away: {error.strerror}.") from error
    return kept


def back(place: Place, kept: str) -> str:
    """Bring a job file back, and return its name: the old one, or with a number where that is taken again.

    Raises:
        InputError: nothing of this name was put away.
        FileError: it cannot be moved; it is where it was.
    """
    path = place.jobs / FOLDER / place.job(kept).name
    if not path.is_file():
        raise InputError("jobs", [Fault("name", kept, "a job that was put away")])
    name = _NUMBER.sub("", kept)
    try:
        while True:
            target = place.job(name)
            try:
                os.link(path, target)  # fails where there is one, also when it comes in this very moment
            except FileExistsError:
                name = _next(name)
                continue
            except OSError:  # memory cards know no links
                if target.exists():
                    name = _next(name)
                    continue
                path.rename(target)
                return name
            path.unlink()
            return name
    except OSError as error:
        raise FileError(f"{kept}.toml could not be brought back: {error.strerror}.") from error


def _free(folder: Path, name: str) -> str:
    kept, number = name, 1
    while (folder / f"{kept}.toml").exists():
        number += 1
        kept = f"{name} {number}"
    return kept


def _next(name: str) -> str:
    stem, number = re.fullmatch(r"(.*?)(?:-(\d+))?", name, re.DOTALL).groups()  # type: ignore[union-attr]
    return f"{stem}-{int(number or 1) + 1}"
