"""Names of files that every system takes, made from the names of pieces."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

__all__ = ["file_names"]

_TAKEN_BY_WINDOWS = {"con", "prn", "aux", "nul", *(f"{port}{k}" for port in ("com", "lpt") for k in range(1, 10))}
_LONGEST = 80


def file_names(names: Iterable[str], taken: Iterable[str] = ()) -> tuple[str, ...]:
    """Return one file name, without its ending, for every name, no two alike however upper and lower case are told.

    Letters and figures of any script stay; everything else becomes a hyphen. A name that is taken gets a number.

    Args:
        names: of pieces, in the maker's words.
        taken: file names that stand for something else.
    """
    used = {_same(name) for name in taken}
    found = []
    for name in names:
        plain = _plain(name)
        unique, number = plain, 1
        while _same(unique) in used:
            number += 1
            unique = f"{plain}-{number}"
        used.add(_same(unique))
        found.append(unique)
    return tuple(found)


def _same(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


def _plain(name: str) -> str:
    words = re.sub(r"[^\w.]+", "-", unicodedata.normalize("NFC", name)).strip("-._")[:_LONGEST].rstrip("-._")
    if not words:
        return "piece"
    return f"{words}-piece" if words.split(".")[0].casefold() in _TAKEN_BY_WINDOWS else words
