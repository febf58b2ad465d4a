"""What every change to a job file's text keeps to: how values are written, and that nothing else has changed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NoReturn

import tomlkit

from bentwork.errors import Fault, InputError
from bentwork.files.job_lines import Key, Path
from bentwork.files.job_text import data_of
from bentwork.files.job_words import place

__all__ = ["SOURCE", "checked", "holds", "key_written", "line_end", "refuse", "same", "stepped", "written"]

SOURCE = "the job"
"""What a text is called in faults."""


def holds(data: Mapping[str, Any], path: Path) -> bool:
    """Tell whether there is such a place."""
    here: Any = data
    try:
        for key in path:
            here = stepped(here, key)
    except LookupError:
        return False
    return True


def stepped(here: Any, key: Key) -> Any:
    """Return what a table holds by this key, or a list at this index.

    Raises:
        LookupError: it holds no such thing.
    """
    if isinstance(here, dict) and isinstance(key, str):
        return here[key]
    if isinstance(here, list) and isinstance(key, int) and key >= 0:
        return here[key]
    raise LookupError(key)


def checked(text: str, wanted: Mapping[str, Any], path: Path) -> str:
    """Return the text when it says what it should, and nothing else has changed."""
    try:
        fits = same(data_of(text, SOURCE), wanted)
    except InputError:
        fits = False
    if not fits:
        refuse(path, "a place that cannot be changed by itself", "a file in the usual layout", "Change it by hand.")
    return text


def same(one: Any, other: Any) -> bool:
    """Tell whether two values are alike; 1 is not 1.0 or true, and nan is like nan."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, float) and isinstance(other, float) and math.isnan(one):
        return math.isnan(other)
    return type(one) is type(other) and bool(one == other)


def written(value: Any) -> str:
    """Return a value as TOML writes it, on one line."""
    if isinstance(value, Mapping):
        words = [f"{key_written(key)} = {written(item)}" for key, item in value.items()]
        return "{ " + ", ".join(words) + " }" if words else "{}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(written, value)) + "]"
    try:
        return str(tomlkit.item(value).as_string())
    except (TypeError, ValueError):
        raise TypeError(f"TOML has no way to write a {type(value).__name__}") from None


def key_written(name: str) -> str:
    """Return a key as TOML writes it, in quotes where it needs them."""
    return tomlkit.key(name).as_string()


def line_end(text: str) -> str:
    """Return how this text ends its lines."""
    return "\r\n" if "\r\n" in text else "\n"


def refuse(path: tuple[Key, ...], found: str, wanted: str, do: str) -> NoReturn:
    """Raise the one fault of a change that cannot be made.

    Raises:
        InputError: always.
    """
    raise InputError(SOURCE, [Fault(place(path), found, wanted, do)])
