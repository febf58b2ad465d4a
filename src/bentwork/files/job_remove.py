"""Taking something out of a job file's text: a key, an element of a list, a table with the comments that go with it.

The comment on a key's own line goes with it; so do the comment lines directly above a table's header, and those
directly below its last line unless they stand directly above the next header. Every other character stays.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from bentwork.errors import InputError
from bentwork.files.job_insert import own_lines
from bentwork.files.job_lines import Path, Span, scan
from bentwork.files.job_rewrite import SOURCE, checked, holds, refuse, stepped
from bentwork.files.job_text import data_of, own_copy
from bentwork.files.job_words import NOTHING

__all__ = ["remove"]

_COMMA = re.compile(r"[ \t]*,[ \t]*")


def remove(text: str, path: Path) -> str:
    """Return the text without what stands at a place.

    Args:
        text: of the job file.
        path: of a key, an element (from 0) or a table; what is in the table goes too.

    Raises:
        InputError: the text is no TOML, or there is nothing at this place.
    """
    before = data_of(text, SOURCE)
    if not path or not holds(before, path):
        refuse(path, NOTHING, "something that can be taken out", "")
    spans = scan(text)
    holder, span = _holder(path, spans), spans.get(path)
    if span is not None and span.kind == "value" and spans[holder].kind == "value":
        entries = [other for place, other in spans.items() if other.kind == "value" and _is_in(place, holder, spans)]
        in_list = text[spans[holder].start] == "["
        cuts = [_inside(text, span, sorted(entries, key=lambda entry: entry.key), in_list=in_list)]
    elif span is not None and span.kind == "value":
        cuts = [_line(text, span)]
    else:
        cuts = _tables(text, path, spans)
    result = text
    for start, end in sorted(cuts, reverse=True):
        result = result[:start] + result[end:]
    try:
        left = data_of(result, SOURCE)
    except InputError:
        refuse(path, "a place that cannot be taken out by itself", "a file in the usual layout", "Change it by hand.")
    return checked(result, _without(before, path, left), path)


def _holder(path: Path, spans: Mapping[Path, Span]) -> Path:
    """Return the table, list or braces that a place stands in; tables that only dots make are passed over."""
    path = path[:-1]
    while path and (path not in spans or spans[path].kind == "implied"):
        path = path[:-1]
    return path


def _is_in(place: Path, holder: Path, spans: Mapping[Path, Span]) -> bool:
    return len(place) > len(holder) and place[: len(holder)] == holder and _holder(place, spans) == holder


def _line(text: str, span: Span) -> tuple[int, int]:
    """Return the lines of a key that stands under a header."""
    stop = text.find("\n", span.end)
    return text.rfind("\n", 0, span.key) + 1, len(text) if stop < 0 else stop + 1


def _inside(text: str, span: Span, siblings: list[Span], *, in_list: bool) -> tuple[int, int]:
    """Return what goes between brackets or braces: the lines of an element, or it and a comma beside it."""
    if in_list and len(siblings) > 1 and (lines := own_lines(text, span)):
        return lines
    number = siblings.index(span)
    comma = _COMMA.match(text, span.end)
    if comma:
        return span.key, comma.end()
    if number:
        gap = text[siblings[number - 1].end : span.key]
        if "\n" not in gap:
            return siblings[number - 1].end, span.end
    return span.key, span.end


def _tables(text: str, path: Path, spans: Mapping[Path, Span]) -> list[tuple[int, int]]:
    """Return the parts of the text that a table and the tables in it take."""
    own = {place: span for place, span in spans.items() if place[: len(path)] == path}
    headers = [span for span in own.values() if span.kind == "table"]
    cuts = [_table(text, span) for span in headers]
    for place, span in own.items():  # keys that dots put into it, under the header of another
        parent = spans.get(place[:-1])
        held = parent is not None and parent.kind != "implied" and place[: len(path)] == path and len(place) > len(path)
        if span.kind == "value" and not held:
            cuts.append(_line(text, span))
    return [
        cut for cut in cuts if not any(other != cut and other[0] <= cut[0] and cut[1] <= other[1] for other in cuts)
    ]


def _table(text: str, span: Span) -> tuple[int, int]:
    start = text.rfind("\n", 0, span.key) + 1
    while (above := text.rfind("\n", 0, max(0, start - 1)) + 1) < start and text[above:start].lstrip().startswith("#"):
        start = above
    end = _next_line(text, span.end)
    comments = end
    while text[comments : _next_line(text, comments)].lstrip(" \t").startswith("#"):
        comments = _next_line(text, comments)
    blank = not text[comments : _next_line(text, comments)].strip()
    if blank:  # they are of this table, not of the next
        end = comments
        while end < len(text) and not text[end : _next_line(text, end)].strip():
            end = _next_line(text, end)
    if end >= len(text):  # the last one: the empty line before it is left over
        while start and not text[text.rfind("\n", 0, start - 1) + 1 : start].strip():
            start = text.rfind("\n", 0, start - 1) + 1
    return start, end


def _next_line(text: str, at: int) -> int:
    stop = text.find("\n", at)
    return len(text) if stop < 0 else stop + 1


def _without(data: Mapping[str, Any], path: Path, left: Mapping[str, Any]) -> dict[str, Any]:
    """Return the data without this place; tables that were only there for it are gone where they are in ``left``."""
    changed: dict[str, Any] = own_copy(dict(data))
    for length in range(len(path), 0, -1):
        here: Any = changed
        for key in path[: length - 1]:
            here = stepped(here, key)
        if length < len(path) and (here[path[length - 1]] or holds(left, path[:length])):
            break
        del here[path[length - 1]]
    return changed
