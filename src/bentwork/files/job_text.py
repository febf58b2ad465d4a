"""From the bytes of a job file to its data: encoding, size and TOML, with what is wrong said in plain words."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from typing import Any, NoReturn

from bentwork.errors import Fault, InputError
from bentwork.files.job_words import shorten

__all__ = ["MOST_BYTES", "data_of", "own_copy", "text_of"]

MOST_BYTES = 5_000_000
"""A longer file is no job."""

_MOST = {
    "\n": (50_000, "lines"),
    ",": (150_000, "commas"),
    "[": (100_000, "brackets"),
    "{": (100_000, "braces"),
    "\\": (100_000, "backslashes"),
}
_MOST_NAMES = 6
_DEEPEST = 30
# Far more than the largest job needs. Within them tomllib takes a second or so at worst; beyond them it can take
# hours: its time grows with the square of the names that dots join.

_NAME = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_CHAIN = re.compile(rf"(?:^|[{{\[,])[ \t]*{_NAME}(?:[ \t]*\.[ \t]*{_NAME}){{{_MOST_NAMES},}}", re.MULTILINE)
_BRACKET = re.compile(r"""[\[\]{}]|#[^\n]*|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_LONG_NUMBER = re.compile(r"[0-9A-Fa-f_]{16,}")
_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_UTF8 = "text in UTF-8"
_SAVE = "Open it in a text editor and save it with the encoding UTF-8."
_ONCE = "Take out one of the two."

_SAID: tuple[tuple[str, str, str], ...] = (
    ("Cannot overwrite a value", "every key once in its table", _ONCE),
    ("Duplicate inline table key", "every key once in its table", _ONCE),
    ("Cannot declare", "every table once", "Give the second one another name, or put the lines of both into one."),
    ("Cannot mutate immutable", "a table that is written in one place", "Put all its keys between the same brackets."),
    ("Cannot redefine", "a table that is written in one place", "Put all its keys into one table."),
    ("Invalid initial character for a key", "a key", "A key of other letters than a to z goes in quotes."),
    ("Expected '=' after a key", "key = value", "Write = between the key and its value."),
    ("Expected ']", "a table name closed by its bracket, such as [stock.rod]", "Names with blanks go in quotes."),
    ("Invalid statement", "a line that begins with a key, [ or #", ""),
    (
        "Expected newline or end",
        "the end of the line after the value",
        "Text goes in quotes, each key on its own line.",
    ),
    ("Unescaped '\\'", "text in which \\ is doubled", "Write \\\\, or put the text in 'single quotes'."),
    ("Invalid hex value", "a hexadecimal number after \\u", ""),
    ("Escaped character is not", "a character that exists after \\u", ""),
    ("Unterminated string", "text closed by the quote it began with", "Add the quote that is missing."),
    ("Illegal character '\\n'", "text closed by the quote it began with", "Add the quote that is missing at its end."),
    (
        "Illegal character",
        "printable text",
        "Take out the control character; text over several lines needs three quotes.",
    ),
    ("Unclosed array", "a list closed by ]", "Add the ] or the comma that is missing."),
    (
        "Unclosed inline table",
        "a table in braces closed by }",
        "Add the } or the comma that is missing, all on one line.",
    ),
    ("Invalid value", "a value", "Text goes in quotes, a list in [brackets]; numbers are written like 12.5."),
    ("Invalid date", "a day that exists", "If it is text, put it in quotes."),
    ("Expected", "the end of the text that was begun", "Add the quotes that are missing."),
    ("Found invalid character", "printable text", "Take out the control character."),
)
"""What ``tomllib`` says first, what is wanted then, and what to do."""


def text_of(data: bytes, source: str) -> str:
    """Return the text of a file; a byte order mark is left off.

    Raises:
        InputError: it is empty, too long, binary or not in UTF-8.
    """
    if len(data) > MOST_BYTES:
        _refuse(source, 1, "the file", "more than 5 MB", "a job file of at most 5 MB", "Is it another file?")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or _half_zeros(data):
        _refuse(source, 1, "the file", "text in UTF-16", _UTF8, _SAVE)
    zero = data.find(0)
    if zero >= 0:
        line = data.count(b"\n", 0, zero) + 1
        _refuse(source, line, f"byte {zero + 1}", "a zero byte: this is no text", _UTF8, "Is it another file?")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        _refuse_bytes(data, source)
    if not text.strip():
        _refuse(source, 1, "the file", "nothing: it is empty", "a job", "Its first line is format = 1.")
    return text


def data_of(text: str, source: str) -> dict[str, Any]:
    """Return the data of a TOML text; the caller's own, to change as it likes.

    Raises:
        InputError: it is not TOML, or so big or deep that it is no job.
    """
    try:
        data = own_copy(_read(text))
    except InputError as error:
        raise InputError(source, error.faults) from None
    assert isinstance(data, dict)
    return data


def own_copy(value: Any) -> Any:
    """Return a value that TOML can say, its tables and lists made anew: nobody else sees what is changed in it."""
    if isinstance(value, dict):
        return {key: own_copy(item) for key, item in value.items()}
    return [own_copy(item) for item in value] if isinstance(value, list) else value


@lru_cache(maxsize=4)  # a change to a job asks for the text before and after it several times
def _read(text: str) -> dict[str, Any]:
    source = ""
    _refuse_nonsense(text, source)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        _refuse_syntax(str(error), text, source)
    except RecursionError:
        line = _line(text, _too_deep(text))
        _refuse(source, line, "the brackets", f"more than {_DEEPEST} open at once", "lists of numbers or points")
    except ValueError:  # whole numbers of thousands of digits
        long = max(_LONG_NUMBER.finditer(text), key=lambda match: len(match.group()))
        _refuse_number(_line(text, long.start()), source)
    if _LONG_NUMBER.search(text):
        _refuse_long_numbers(data, text, source)
    return data


def _refuse(source: str, line: int, where: str, found: str, wanted: str, do: str = "") -> NoReturn:
    raise InputError(source, [Fault(where, found, wanted, do, line)])


def _half_zeros(data: bytes) -> bool:
    """Tell whether every second byte of the beginning is zero: UTF-16 without its mark."""
    start = data[:64]
    pairs = len(start) // 2
    return pairs >= 2 and pairs in (start[0 : 2 * pairs : 2].count(0), start[1::2].count(0)) and start.count(0) == pairs


def _refuse_bytes(data: bytes, source: str) -> NoReturn:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        at = error.start
    line = data.count(b"\n", 0, at) + 1
    around = data[max(data.rfind(b"\n", 0, at) + 1, at - 20) : at].decode("utf-8", "replace")
    found = f"the byte {data[at]:02X}, which is not UTF-8"
    _refuse(source, line, f"byte {at + 1}", found + (f', after "{shorten(around)}"' if around else ""), _UTF8, _SAVE)


def _refuse_nonsense(text: str, source: str) -> None:
    for mark, (most, words) in _MOST.items():
        if (count := text.count(mark)) > most:
            _refuse(source, 1, "the file", f"{count} {words}", f"at most {most}", "Is it another file?")
    chain = _CHAIN.search(text)
    if chain:
        wanted = f"at most {_MOST_NAMES} names joined by dots"
        _refuse(source, _line(text, chain.end()), "the key", shorten(chain.group().strip()), wanted)


def _refuse_syntax(message: str, text: str, source: str) -> NoReturn:
    place = _PLACE.search(message)
    lines = text.replace("\r\n", "\n").split("\n")
    if place is not None and place[1]:
        number, column = int(place[1]), int(place[2])
    else:
        number = next(number for number in range(len(lines), 0, -1) if lines[number - 1].strip())
        column = len(lines[number - 1]) + 1
    line = lines[number - 1]
    wanted, do = next(((w, d) for start, w, d in _SAID if message.startswith(start)), ("a line of TOML", ""))
    if line[column - 1 : column] == "," and re.search(r"\d$", line[: column - 1]):
        do = "Decimals are written with a point: 12.5."
    begin = max(0, column - 40) if len(line) > 60 else 0
    found = ("…" if begin else "") + shorten(line[begin:].strip(), 59)
    where = f"column {column}"
    _refuse(source, number, where, found if line[begin:].strip() else "the end of the line", wanted, do)


def _too_deep(text: str) -> int:
    """Return the offset of the bracket that is one too many."""
    depth = 0
    for match in _BRACKET.finditer(text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(match.group(), 0)
        if depth > _DEEPEST:
            return match.start()
    return 0


def _refuse_long_numbers(data: dict[str, Any], text: str, source: str) -> None:
    """Raise when a whole number is longer than TOML allows; the first place that may be it is told."""
    heap: list[Any] = [data]
    while heap:
        value = heap.pop()
        if isinstance(value, dict):
            heap.extend(value.values())
        elif isinstance(value, list):
            heap.extend(value)
        elif isinstance(value, int) and not -(2**63) <= value < 2**63:
            long = max(_LONG_NUMBER.finditer(text), key=lambda match: len(match.group()))
            _refuse_number(_line(text, long.start()), source)


def _refuse_number(line: int, source: str) -> NoReturn:
    _refuse(source, line, "the number", "a whole number of more than 18 digits", "a number of at most 18 digits")


def _line(text: str, offset: int) -> int:
    return text.count("\n", 0, offset) + 1
