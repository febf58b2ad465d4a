"""Where every key and every value of a TOML text stands.

The standard library reads TOML but forgets the places, so the text is walked once more: only when there is something
to say about it, and only after ``tomllib`` has found it to be right. The walk checks nothing; at a form of TOML that it
does not know it stops, and what lies beyond has the place of the table around it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal

__all__ = ["Key", "Lines", "Path", "Span", "scan"]

Key = str | int
Path = tuple[Key, ...]
"""Keys and indices (from 0) from the top of the file, such as ``("piece", "loop", "points", 2)``."""

_DEPTH = 12
"""Nothing in a job lies deeper; below this no places are kept, so that nonsense costs no memory."""

_ELEMENTS = 1000
"""No array of a job is longer; the places of what follows are not kept either."""

_FILLER = re.compile(r"(?:[ \t\r\n,]+|#[^\n]*)*")
_BLANK = re.compile(r"[ \t]*")
_PART = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_TEXT = (
    r'''"""(?:[^"\\]|\\.|""?(?!"))*"{3,5}'''
    r"""|'''(?:[^']|''?(?!'))*'{3,5}"""
    r"""|"(?:[^"\\\n]|\\.)*"|'[^'\n]*\'"""
)
_PLAIN_VALUE = re.compile(
    _TEXT + r"""|\d{4}-\d\d-\d\d[ ]\d\d:[^\s,\]}#]*"""  # date and time may be parted by a blank
    r"""|[^\s,\[\]{}#"'=]+""",
    re.DOTALL,
)
_TOKEN = re.compile(_TEXT + r"""|[^\[\]{}"'#]+|#[^\n]*|[\[\]{}]""", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Span:
    """Offsets into the text, in characters.

    Args:
        key: where the key begins, or the element of an array, or the ``[`` of a table.
        start: where the value begins; for a table, where its first entry may stand.
        end: just after the value; for a table, just after its last entry of its own.
        kind: ``value``, inline tables among them; ``table`` with a header of its own; ``implied``: a table, or a list
            of tables, that is only there because something in it is.
    """

    key: int
    start: int
    end: int
    kind: Literal["value", "table", "implied"] = "value"


class Lines:
    """Line numbers of keys and values; reads the text when first asked."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._spans: Mapping[Path, Span] | None = None

    def line(self, path: Path) -> int:
        """Return the line, from 1, of the key or element; of what is around it when it is not in the text."""
        if self._spans is None:
            self._spans = scan(self._text)
        while path and path not in self._spans:
            path = path[:-1]
        return self.at(self._spans[path].key) if path else 1

    def at(self, offset: int) -> int:
        """Return the line, from 1, of a place in the text."""
        return self._text.count("\n", 0, offset) + 1


def scan(text: str) -> dict[Path, Span]:
    """Return the span of every key, element and table of a TOML text that ``tomllib`` reads; () is the whole text."""
    walk = _Walk(text)
    with suppress(_NotKnownError):
        walk.document()
    return walk.spans


class _NotKnownError(Exception):
    """The walk came to something that it cannot name."""


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.spans: dict[Path, Span] = {(): Span(0, 0, 0, "table")}
        self.lengths: dict[Path, int] = {}  # of arrays of tables, so far

    def document(self) -> None:
        table: Path = ()
        at = self.filler(0)
        while at < len(self.text):
            if self.text[at] == "[":
                at, table = self.header(at)
            else:
                at = self.entry(at, table)
                self.reach(table, at)
            at = self.filler(at)

    def reach(self, table: Path, end: int) -> None:
        """Let a table end here."""
        span = self.spans.get(table)
        if span is not None:
            self.spans[table] = Span(span.key, span.start, end, span.kind)

    def header(self, at: int) -> tuple[int, Path]:
        opening = at
        listed = self.text.startswith("[[", at)
        at, parts = self.keys(at + (2 if listed else 1))
        at += 2 if listed else 1
        path: Path = ()
        for number, part in enumerate(parts, 1):
            path = (*path, part)
            if listed and number == len(parts):
                self.lengths[path] = self.lengths.get(path, 0) + 1
            if path in self.lengths:
                self.imply(path, opening)
                path = (*path, self.lengths[path] - 1)
            if number < len(parts):
                self.imply(path, opening)
        self.record(path, Span(opening, at, at, "table"))
        return at, path

    def entry(self, at: int, table: Path) -> int:
        """Read ``key = value`` with whatever the value holds; return the offset after it."""
        start, path = self.key_of(at, table)
        return self.value(start, path, at)

    def key_of(self, at: int, table: Path) -> tuple[int, Path]:
        """Read ``key =`` and return the offset of the value with its path."""
        after, parts = self.keys(at)
        if not self.text.startswith("=", after):
            raise _NotKnownError
        path = table
        for part in parts[:-1]:
            path = (*path, part)
            self.imply(path, at)
        return self.blank(after + 1), (*path, parts[-1])

    def value(self, at: int, path: Path, key: int) -> int:
        """Read one value, however deep, without recursion; return the offset after it."""
        nests: list[_Nest] = []
        while True:
            mark = self.text[at : at + 1]
            if mark in ("[", "{"):
                nests.append(_Nest(path, key, at, "]" if mark == "[" else "}"))
                at += 1
            else:
                match = _PLAIN_VALUE.match(self.text, at)
                if match is None:
                    raise _NotKnownError
                at = match.end()
                self.record(path, Span(key, match.start(), at))
            while nests:
                nest = nests[-1]
                at = self.filler(at) if nest.count < _ELEMENTS else self.closing(at)
                if not self.text.startswith(nest.closes, at):
                    break
                at += 1
                self.record(nest.path, Span(nest.key, nest.start, at))
                nests.pop()
            if not nests:
                return at
            key = at
            if nest.closes == "}":
                at, path = self.key_of(at, nest.path)
            else:
                path = (*nest.path, nest.count)
                nest.count += 1

    def closing(self, at: int) -> int:
        """Return the offset of the bracket that closes the array around this place."""
        depth = 0
        while True:
            match = _TOKEN.match(self.text, at)
            if match is None:
                raise _NotKnownError
            mark = match.group()
            if mark in ("]", "}"):
                if not depth:
                    return at
                depth -= 1
            elif mark in ("[", "{"):
                depth += 1
            at = match.end()

    def keys(self, at: int) -> tuple[int, list[str]]:
        """Read a key, dotted or not; return the offset after it and the blanks behind it, and its parts."""
        parts: list[str] = []
        while True:
            match = _PART.match(self.text, self.blank(at))
            if match is None:
                raise _NotKnownError
            parts.append(_plain(match.group()))
            at = self.blank(match.end())
            if not self.text.startswith(".", at):
                return at, parts
            at += 1

    def filler(self, at: int) -> int:
        """Skip blanks, line ends, comments and commas."""
        match = _FILLER.match(self.text, at)
        return match.end() if match else at

    def blank(self, at: int) -> int:
        match = _BLANK.match(self.text, at)
        return match.end() if match else at

    def record(self, path: Path, span: Span) -> None:
        if len(path) <= _DEPTH:
            self.spans[path] = span

    def imply(self, path: Path, key: int) -> None:
        """Record a table that has no header of its own, where it is first mentioned."""
        if path not in self.spans:
            self.record(path, Span(key, key, key, "implied"))


@dataclass(slots=True)
class _Nest:
    """An array or an inline table that is still open."""

    path: Path
    key: int
    start: int
    closes: str
    count: int = 0


def _plain(part: str) -> str:
    """Return a key without its quotes."""
    if part[0] == "'" or (part[0] == '"' and "\\" not in part):
        return part[1:-1]
    return str(tomllib.loads(f"key = {part}")["key"]) if part[0] == '"' else part
