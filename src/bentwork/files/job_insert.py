"""Putting an element into a list of a job file, or another place in it; every other character stays."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from itertools import pairwise
from typing import Any

from bentwork.errors import InputError
from bentwork.files.job_edit import set_value
from bentwork.files.job_lines import Path, Span, scan
from bentwork.files.job_rewrite import SOURCE, checked, line_end, refuse, stepped, written
from bentwork.files.job_text import data_of, own_copy
from bentwork.files.job_words import NOTHING

__all__ = ["insert_element", "move_element", "own_lines"]


def insert_element(text: str, path: Path, value: Any) -> str:
    """Return the text with an element put into a list before the one that stands there.

    Where the elements stand on lines of their own, the new one gets a line of its own too.

    Args:
        text: of the job file.
        path: of the place in the list; its last part is the index, from 0, that the new element will have. One beyond
            the last adds it at the end.
        value: anything that TOML can say.

    Raises:
        InputError: the text is no TOML, or there is no such list in it.
    """
    before = data_of(text, SOURCE)
    after = _inserted(before, path, value)
    spans = scan(text)
    elements = _elements(spans, path[:-1])
    index = path[-1]
    assert isinstance(index, int)
    if spans.get(path[:-1]) is None or spans[path[:-1]].kind != "value":
        refuse(path, "tables of their own", "a list in brackets", "Add it in the file.")
    if index < len(elements):
        return checked(_before(text, elements[index], written(value)), after, path)
    if elements and (lines := own_lines(text, elements[-1])):
        with suppress(InputError):  # a comma on a line of its own
            return checked(_below(text, elements[-1], lines, written(value)), after, path)
    return set_value(text, path, value)


def move_element(text: str, path: Path, to: int) -> str:
    """Return the text with an element of a list at another place in it; the comment on its line goes with it.

    Args:
        text: of the job file.
        path: of the element; its last part is its index, from 0.
        to: the index that it will have.

    Raises:
        InputError: the text is no TOML, or there is no such element or no such place.
    """
    before = data_of(text, SOURCE)
    after, index = _moved(before, path, to)
    spans = scan(text)
    elements = _elements(spans, path[:-1])
    if spans.get(path[:-1]) is None or spans[path[:-1]].kind != "value" or len(elements) <= max(index, to):
        refuse(path, "tables of their own", "a list in brackets", "Move it in the file.")
    if index == to:
        return text
    lines = [own_lines(text, element) for element in elements]
    if all(one is not None for one in lines):
        whole = [line for line in lines if line is not None]
        rows = [_with_comma(text, element, line) for element, line in zip(elements, whole, strict=True)]
        gaps = [text[a[1] : b[0]] for a, b in pairwise(whole)]  # comments and empty lines between them stay
        rows.insert(to, rows.pop(index))
        joined = "".join(row + gap for row, gap in zip(rows, [*gaps, ""], strict=True))
        with suppress(InputError):  # commas on lines of their own
            return checked(text[: whole[0][0]] + joined + text[whole[-1][1] :], after, path)
    words = [text[element.start : element.end] for element in elements]
    words.insert(to, words.pop(index))
    for element, word in sorted(zip(elements, words, strict=True), key=lambda one: -one[0].start):
        text = text[: element.start] + word + text[element.end :]
    return checked(text, after, path)


def _with_comma(text: str, element: Span, lines: tuple[int, int]) -> str:
    start, end = lines
    comma = "" if text[element.end : end].lstrip(" \t").startswith(",") else ","
    return text[start : element.end] + comma + text[element.end : end]


def _elements(spans: Mapping[Path, Span], path: Path) -> list[Span]:
    """Return where the elements of a list stand, or the entries of a table in braces, in their order."""
    found = [span for place, span in spans.items() if len(place) == len(path) + 1 and place[:-1] == path]
    return sorted(found, key=lambda span: span.key)


def own_lines(text: str, span: Span) -> tuple[int, int] | None:
    """Return where the lines of an element begin and end, its comment included; None where it shares them."""
    start = text.rfind("\n", 0, span.key) + 1
    stop = text.find("\n", span.end)
    end = len(text) if stop < 0 else stop + 1
    rest = text[span.end : end].lstrip(" \t").removeprefix(",").strip()
    if text[start : span.key].strip() or (rest and not rest.startswith("#")):
        return None
    return start, end


def _before(text: str, span: Span, said: str) -> str:
    lines = own_lines(text, span)
    if lines is None:
        return text[: span.key] + said + ", " + text[span.key :]
    start = lines[0]
    return text[:start] + text[start : span.key] + said + "," + line_end(text) + text[start:]


def _below(text: str, last: Span, lines: tuple[int, int], said: str) -> str:
    start, end = lines
    return (
        text[:start]
        + _with_comma(text, last, lines)
        + text[start : last.key]
        + said
        + ","
        + line_end(text)
        + text[end:]
    )


def _inserted(data: Mapping[str, Any], path: Path, value: Any) -> dict[str, Any]:
    changed, here = _list_at(data, path)
    index = path[-1]
    if not isinstance(index, int) or not 0 <= index <= len(here):
        refuse(path, NOTHING, "a place in a list", "")
    here.insert(index, value)
    return changed


def _moved(data: Mapping[str, Any], path: Path, to: int) -> tuple[dict[str, Any], int]:
    changed, here = _list_at(data, path)
    index = path[-1]
    if not isinstance(index, int) or not (0 <= index < len(here) and 0 <= to < len(here)):
        refuse(path, NOTHING, "an element of a list, and a place in it", "")
    here.insert(to, here.pop(index))
    return changed, index


def _list_at(data: Mapping[str, Any], path: Path) -> tuple[dict[str, Any], list[Any]]:
    """Return a copy of the data, and in it the list that a place is in."""
    changed = own_copy(dict(data))
    here: Any = changed
    try:
        for key in path[:-1]:
            here = stepped(here, key)
    except LookupError:
        refuse(path, NOTHING, "a list that is there", "Add the list first.")
    if not path or not isinstance(here, list):
        refuse(path, NOTHING, "a place in a list", "")
    return changed, here
