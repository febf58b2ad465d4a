"""What stocks, benders, mountings, materials and pieces may be called."""

from __future__ import annotations

import unicodedata

__all__ = ["as_name", "is_name"]


def is_name(name: str) -> bool:
    """Tell whether a stock, bender, mounting, material or piece may be called this."""
    return 0 < len(name) <= 60 and name[0] not in " ." and all(_in_names(letter) for letter in name)


def as_name(words: str, most: int) -> str:
    """Return words as a name of at most so many letters; empty where nothing in them can be in one."""
    kept = "".join(letter if _in_names(letter) else "\n" for letter in unicodedata.normalize("NFC", words))
    return "-".join(part for part in kept.split("\n") if part).strip(" -.")[:most].strip(" -.")


def _in_names(letter: str) -> bool:
    # Marks are parts of letters in the scripts that build them from several characters.
    return letter in " _-.+" or unicodedata.category(letter) in ("Lu", "Ll", "Lt", "Lm", "Lo", "Mn", "Mc", "Nd")
