"""Changing a job file's text: the value that is meant changes, every other character stays.

Where the value stands is known from a walk over the text (``job_lines``); how the new one is written, quotes and
escapes and all, is left to tomlkit. Each result is read again before it is handed out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bentwork.files.job_lines import Path, Span, scan
from bentwork.files.job_rewrite import SOURCE, checked, holds, key_written, line_end, refuse, stepped, written
from bentwork.files.job_text import data_of, own_copy
from bentwork.files.job_words import NOTHING

__all__ = ["add_table", "set_value"]


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
    before = data_of(text, SOURCE)
    after = _changed(before, path, value)
    spans = scan(text)
    span = spans.get(path)
    if span is None:
        result = _inserted(text, path, value, spans)
    elif span.kind == "value":
        result = text[: span.start] + written(value) + text[span.end :]
    else:
        refuse(path, "a table of its own", "a value", "Change the values in it one by one.")
    return checked(result, after, path)


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
    before = data_of(text, SOURCE)
    if holds(before, path):
        refuse(path, "a table of this name", "a name that is not taken", "Choose another name.")
    after = _changed(before, path, dict(mapping), through=True)
    end = line_end(text)
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    lines += [
        f"[{'.'.join(map(key_written, path))}]",
        *(f"{key_written(key)} = {written(value)}" for key, value in mapping.items()),
    ]
    gap = "" if not text.strip() else end if text.endswith("\n") else end + end
    return checked(text + gap + end.join(lines) + end, after, path)


def _inserted(text: str, path: Path, value: Any, spans: Mapping[Path, Span]) -> str:
    """Return the text with a key or element that it did not have."""
    around = spans.get(path[:-1])
    if around is None:
        refuse(path, NOTHING, "a place in a table that is there", "Add the table first.")
    if around.kind == "value":
        return _inside(text, path, value, spans)
    keys = path
    while around.kind != "table":  # its own keys are written with dots under the table above
        keys = keys[:-1]
        around = spans[keys[:-1]]
    names = path[len(keys) - 1 :]
    if not all(isinstance(name, str) for name in names):
        refuse(path, NOTHING, "a key", "Tables in a list are added at the end of the file.")
    line = ".".join(key_written(str(name)) for name in names) + " = " + written(value)
    end = line_end(text)
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
        refuse(path, NOTHING, "a place in a list or table", "")
    said = written(value) if isinstance(last, int) else f"{key_written(last)} = {written(value)}"
    inner = [span.end for place, span in spans.items() if place[:-1] == path[:-1] and len(place) == len(path)]
    if not inner:
        pad = "" if isinstance(last, int) else " "
        return text[: around.start + 1] + pad + said + pad + text[around.start + 1 :]
    end = max(inner)
    return text[:end] + ", " + said + text[end:]


def _changed(data: Mapping[str, Any], path: Path, value: Any, *, through: bool = False) -> dict[str, Any]:
    """Return the data with the value in its place; ``through`` makes the tables on the way."""
    changed: dict[str, Any] = own_copy(dict(data))
    here: Any = changed
    for key in path[:-1]:
        if through and isinstance(here, dict):
            here.setdefault(key, {})
        try:
            here = stepped(here, key)
        except LookupError:
            refuse(path, NOTHING, "a place in a table that is there", "Add the table first.")
    last = path[-1] if path else None
    if isinstance(here, dict) and isinstance(last, str):
        here[last] = value
    elif isinstance(here, list) and isinstance(last, int) and 0 <= last <= len(here):
        here[last:] = [value, *here[last + 1 :]]
    else:
        refuse(path, NOTHING, "a key of a table or an element of a list", "")
    return changed
