"""Changing a job file's text: the value that is meant changes, every other character stays.

Where the value stands is known from a walk over the text (``job_lines``); how the new one is written, quotes and
escapes and all, is left to tomlkit. Each result is read again before it is handed out.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping
from typing import Any, NoReturn

import tomlkit

from bentwork.errors import Fault, InputError
from bentwork.files.job_lines import Key, Path, Span, scan
from bentwork.files.job_text import data_of
from bentwork.files.job_words import NOTHING, place

__all__ = ["add_table", "set_value"]

_SOURCE = "the job"


def set_value(text: str, path: tuple[str | int, ...], value: Any) -> str:
    """Return the text with one value changed, or added where there is none yet.

    Args:
        text: of the job file.
        path: keys and indices (from 0) from the top of the file; the table around it must be there. An index one
            beyond the last adds an element.
        value: anything that TOML can say; tables inside it are written in braces.

    Raises:
        InputError: the text is no TOML, there is no such place in it, or the place cannot take the value.
    """
    before = data_of(text, _SOURCE)
    after = _changed(before, path, value)
    spans = scan(text)
    span = spans.get(path)
    if span is None:
        result = _inserted(text, path, value, spans)
    elif span.kind == "value":
        result = text[: span.start] + _written(value) + text[span.end :]
    else:
        _refuse(path, "a table of its own", "a value", "Change the values in it one by one.")
    return _checked(result, after, path)


def add_table(text: str, path: tuple[str, ...], mapping: Mapping[str, Any], comment: str = "") -> str:
    """Return the text with a table at its end.

    Args:
        text: of the job file.
        path: of the table, such as ``("piece", "loop")``.
        mapping: what stands in it; tables inside it are written in braces.
        comment: stands above the table, a line for each of its lines; may be empty.

    Raises:
        InputError: the text is no TOML, or there is such a table already.
    """
    before = data_of(text, _SOURCE)
    if _holds(before, path):
        _refuse(path, "a table of this name", "a name that is not taken", "Choose another name.")
    after = _changed(before, path, dict(mapping), through=True)
    end = _line_end(text)
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    lines += [f"[{'.'.join(map(_key, path))}]", *(f"{_key(key)} = {_written(value)}" for key, value in mapping.items())]
    gap = "" if not text.strip() else end if text.endswith("\n") else end + end
    return _checked(text + gap + end.join(lines) + end, after, path)


def _inserted(text: str, path: Path, value: Any, spans: Mapping[Path, Span]) -> str:
    """Return the text with a key or element that it did not have."""
    around = spans.get(path[:-1])
    if around is None:
        _refuse(path, NOTHING, "a place in a table that is there", "Add the table first.")
    if around.kind == "value":
        return _inside(text, path, value, spans)
    keys = path
    while around.kind != "table":  # its own keys are written with dots under the table above
        keys = keys[:-1]
        around = spans[keys[:-1]]
    names = path[len(keys) - 1 :]
    if not all(isinstance(name, str) for name in names):
        _refuse(path, NOTHING, "a key", "Tables in a list are added at the end of the file.")
    line = ".".join(_key(str(name)) for name in names) + " = " + _written(value)
    end = _line_end(text)
    if keys[:-1] == () and around.end == 0:  # nothing stands before the first table
        return line + end + text
    rest = text.find("\n", around.end)
    if rest < 0:
        return text + end + line
    return text[: rest + 1] + line + end + text[rest + 1 :]


def _inside(text: str, path: Path, value: Any, spans: Mapping[Path, Span]) -> str:
    """Return the text with one more thing before the closing bracket that belongs to it."""
    around, last = spans[path[:-1]], path[-1]
    if (text[around.start] == "[") != isinstance(last, int) or text[around.start] not in "[{":
        _refuse(path, NOTHING, "a place in a list or table", "")
    written = _written(value) if isinstance(last, int) else f"{_key(last)} = {_written(value)}"
    inner = [span.end for place, span in spans.items() if place[:-1] == path[:-1] and len(place) == len(path)]
    if not inner:
        pad = "" if isinstance(last, int) else " "
        return text[: around.start + 1] + pad + written + pad + text[around.start + 1 :]
    end = max(inner)
    return text[:end] + ", " + written + text[end:]


def _changed(data: Mapping[str, Any], path: Path, value: Any, *, through: bool = False) -> dict[str, Any]:
    """Return the data with the value in its place; ``through`` makes the tables on the way."""
    changed = copy.deepcopy(dict(data))
    here: Any = changed
    for key in path[:-1]:
        if through and isinstance(here, dict):
            here.setdefault(key, {})
        try:
            here = _step(here, key)
        except LookupError:
            _refuse(path, NOTHING, "a place in a table that is there", "Add the table first.")
    last = path[-1] if path else None
    if isinstance(here, dict) and isinstance(last, str):
        here[last] = value
    elif isinstance(here, list) and isinstance(last, int) and 0 <= last <= len(here):
        here[last:] = [value, *here[last + 1 :]]
    else:
        _refuse(path, NOTHING, "a key of a table or an element of a list", "")
    return changed


def _holds(data: Mapping[str, Any], path: Path) -> bool:
    here: Any = data
    try:
        for key in path:
            here = _step(here, key)
    except LookupError:
        return False
    return True


def _step(here: Any, key: Key) -> Any:
    """Return what a table holds by this key, or a list at this index.

    Raises:
        LookupError: it holds no such thing.
    """
    if isinstance(here, dict) and isinstance(key, str):
        return here[key]
    if isinstance(here, list) and isinstance(key, int) and key >= 0:
        return here[key]
    raise LookupError(key)


def _checked(text: str, wanted: Mapping[str, Any], path: Path) -> str:
    """Return the text when it says what it should, and nothing else has changed."""
    try:
        fits = _same(data_of(text, _SOURCE), wanted)
    except InputError:
        fits = False
    if not fits:
        _refuse(path, "a place that cannot be changed by itself", "a file in the usual layout", "Change it by hand.")
    return text


def _same(one: Any, other: Any) -> bool:
    """Tell whether two values are alike; 1 is not 1.0 or true, and nan is like nan."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, float) and isinstance(other, float) and math.isnan(one):
        return math.isnan(other)
    return type(one) is type(other) and bool(one == other)


def _written(value: Any) -> str:
    """Return a value as TOML writes it, on one line."""
    if isinstance(value, Mapping):
        words = [f"{_key(key)} = {_written(item)}" for key, item in value.items()]
        return "{ " + ", ".join(words) + " }" if words else "{}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_written, value)) + "]"
    try:
        return str(tomlkit.item(value).as_string())
    except (TypeError, ValueError):
        raise TypeError(f"TOML has no way to write a {type(value).__name__}") from None


def _key(name: str) -> str:
    return tomlkit.key(name).as_string()


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _refuse(path: tuple[Key, ...], found: str, wanted: str, do: str) -> NoReturn:
    raise InputError(_SOURCE, [Fault(place(path), found, wanted, do)])
