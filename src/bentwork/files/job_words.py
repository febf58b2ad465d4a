"""What stands in a file, told in the maker's words: values, keys, and what a mistyped word may have meant."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable, Mapping
from typing import Any

from bentwork.files.job_lines import Path

__all__ = ["NOTHING", "did_you_mean", "listed", "near", "place", "shorten", "told"]

NOTHING = "nothing"
"""What is found where something is missing."""

_LONGEST = 60
_DIGITS = 10**18
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\n": r"\n", "\t": r"\t", "\r": r"\r"}


def shorten(text: str, longest: int = _LONGEST) -> str:
    """Return the text on one line, printable, and cut to this many characters."""
    start = text[: longest + 1]
    plain = "".join(_ESCAPES.get(letter, letter if letter.isprintable() else _code(letter)) for letter in start)
    return plain if len(text) <= longest and len(plain) <= longest else plain[: longest - 1].rstrip() + "…"


def _code(letter: str) -> str:
    number = ord(letter)
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


def told(value: Any) -> str:
    """Return a value as it would stand in a job file, cut to some 60 characters."""
    return shorten(_toml(value, 3))


def _toml(value: Any, deep: int) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{shorten(value, _LONGEST - 2)}"'
    if isinstance(value, int) and abs(value) >= _DIGITS:
        return "a number of more than 18 digits"
    if isinstance(value, list):
        if not deep:
            return "[…]"
        return "[" + ", ".join(_toml(item, deep - 1) for item in value[:30]) + (", …]" if len(value) > 30 else "]")
    if isinstance(value, Mapping):
        if not deep:
            return "{…}"
        items = list(value.items())[:10]
        words = [f"{place((key,))} = {_toml(item, deep - 1)}" for key, item in items]
        return "{ " + ", ".join(words) + " }" if words else "{}"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return str(value)


def place(path: Path) -> str:
    """Return keys as they are written in a job file; elements count from 1, as corner points and bends do."""
    words = ""
    for key in path:
        if isinstance(key, int):
            words += f"[{key + 1}]"
        else:
            words += "." * bool(words) + (key if _BARE.fullmatch(key) and len(key) <= _LONGEST else told(key))
    return words


def near(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that comes nearest to this one; None when none is like it."""
    plain = {name.casefold(): name for name in known}
    found = difflib.get_close_matches(word[:_LONGEST].casefold(), plain, n=1)
    return plain[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return the question what a mistyped word meant, or something else to do when nothing is like it."""
    meant = near(word, known)
    return f"Did you mean {meant}?" if meant is not None else otherwise


def listed(words: Iterable[str], most: int = 12) -> str:
    """Return words in a row: ``a, b or c``; the first few of many."""
    row = list(words)
    if len(row) > most:
        return ", ".join(row[:most]) + f" or one of {len(row) - most} more"
    return " or ".join(filter(None, [", ".join(row[:-1]), *row[-1:]]))
