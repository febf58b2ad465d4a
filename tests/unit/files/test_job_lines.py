"""Where keys and values stand, in every layout that TOML has for the same data."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from bentwork.files.job_lines import Lines, Path, scan
from tests.unit.files.job_texts import CRATE_SHELF, INCHES

LAYOUTS = """\
# a comment with [brackets], "quotes" and = signs
top = 1
"quoted key" = "a # no comment"   # a comment
'literal.key' = 'C:\\x'
"esc\\u0061ped" = 1

[stock.rod]
text = \"\"\"
many [
lines = 3
\"\"\" # here
other = '''
x = 1'''
quotes = \"\"\"""a\"b\"\"\"\"\"
day = 2026-01-02 03:04:05Z
after = 2

[piece . "left rail" . 'sub']
points = [
    [0, 0, 0],   # first

    # a comment with ] and ,
    [1, 2,
     3],
    { a.b = 1, "c d" = [ 7,
        8 ] },
]
die.thickness = 3
die.deep.er = 4
empty = []
nothing = {}

[[body]]
name = "one"
[[body]]
name = "two"
[body.more]
x = 1
[[body.list]]
y = 1
[[body.list]]
y = 2
[piece]
late = 1
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ((), 1),
        (("top",), 2),
        (("quoted key",), 3),
        (("literal.key",), 4),
        (("escaped",), 5),
        (("stock",), 7),
        (("stock", "rod"), 7),
        (("stock", "rod", "text"), 8),
        (("stock", "rod", "other"), 12),
        (("stock", "rod", "quotes"), 14),
        (("stock", "rod", "day"), 15),
        (("stock", "rod", "after"), 16),
        (("stock", "rod", "missing"), 7),
        (("piece", "left rail"), 18),
        (("piece", "left rail", "sub", "points"), 19),
        (("piece", "left rail", "sub", "points", 0), 20),
        (("piece", "left rail", "sub", "points", 0, 2), 20),
        (("piece", "left rail", "sub", "points", 1), 23),
        (("piece", "left rail", "sub", "points", 1, 2), 24),
        (("piece", "left rail", "sub", "points", 2), 25),
        (("piece", "left rail", "sub", "points", 2, "a"), 25),
        (("piece", "left rail", "sub", "points", 2, "a", "b"), 25),
        (("piece", "left rail", "sub", "points", 2, "c d", 1), 26),
        (("piece", "left rail", "sub", "points", 9), 19),
        (("piece", "left rail", "sub", "die"), 28),
        (("piece", "left rail", "sub", "die", "deep"), 29),
        (("piece", "left rail", "sub", "die", "deep", "er"), 29),
        (("piece", "left rail", "sub", "nothing"), 31),
        (("body",), 33),
        (("body", 0), 33),
        (("body", 0, "name"), 34),
        (("body", 1), 35),
        (("body", 1, "name"), 36),
        (("body", 1, "more", "x"), 38),
        (("body", 1, "list", 0, "y"), 40),
        (("body", 1, "list", 1), 41),
        (("body", 1, "list", 1, "y"), 42),
        (("piece",), 43),
        (("piece", "late"), 44),
        (("no", "such", 3, "place"), 1),
    ],
)
def test_lines_by_hand(path: Path, line: int) -> None:
    tomllib.loads(LAYOUTS)
    assert Lines(LAYOUTS).line(path) == line
    assert Lines(LAYOUTS.replace("\n", "\r\n")).line(path) == line


def assert_found(text: str) -> None:
    """Every value is found where its own text says what it is, on the line that its key stands in."""
    whole = tomllib.loads(text)
    spans, lines, rows = scan(text), Lines(text), text.split("\n")
    seen = 0

    def look(value: Any, path: Path) -> None:  # noqa: ANN401 - data has no shape
        nonlocal seen
        seen += 1
        span = spans[path]
        assert lines.line(path) == text.count("\n", 0, span.key) + 1
        if span.kind == "value":
            assert tomllib.loads("x = " + text[span.start : span.end])["x"] == value
        row = rows[lines.line(path) - 1]
        if path and isinstance(path[-1], str) and path[-1].isidentifier() and path[-1].isascii() and "\\" not in row:
            assert path[-1] in row
        if type(value) is int and path and isinstance(path[-1], int):
            assert str(value) in row
        items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        for key, item in items:
            look(item, (*path, key))

    look(whole, ())
    assert seen == len(spans)


@pytest.mark.parametrize("text", [LAYOUTS, CRATE_SHELF, INCHES, "", "\n", "# x", "x = 1", "[a]\n[b]\n"])
def test_every_value_of_these_is_found(text: str) -> None:
    assert_found(text)
    assert_found(text.replace("\n", "\r\n"))


words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=6) | st.sampled_from(list("abcdefgh"))
plain = (
    st.integers(-9999, 99999)
    | st.booleans()
    | st.floats(allow_nan=False)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
    | st.sampled_from(['"', "'", '"""', "'''", "\\", "a\nb", "[", "# x", "a = 1", "}"])
    | st.dates()
    | st.times()
)
nested = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4), max_leaves=14
)
whole = st.dictionaries(words, nested, max_size=5)


@given(whole)
def test_values_written_by_tomlkit_are_found(value: dict[str, Any]) -> None:
    assert_found(tomlkit.dumps(value))


class Writer:
    """Writes data as TOML in a layout that hypothesis chooses, piece by piece."""

    def __init__(self, draw: st.DataObject) -> None:
        self.draw = draw

    def pick(self, *choices: str) -> str:
        return self.draw.draw(st.sampled_from(choices))

    def gap(self) -> str:
        return self.pick("", " ", "\t", "  ")

    def note(self) -> str:
        return self.pick("", "", "  # note", " # ] } \" ' = [", "#")

    def line_end(self) -> str:
        return self.note() + self.pick("\n", "\n", "\r\n", "\n\n", "\n# between [x]\n")

    def key(self, name: str) -> str:
        plain = tomlkit.key(name).as_string()
        if all(letter.isprintable() and letter not in "'\\" for letter in name):
            plain = self.pick(plain, f"'{name}'")
        return plain

    def scalar(self, value: object) -> str:
        if isinstance(value, str):
            basic = tomlkit.string(value).as_string()
            long = tomlkit.string(value.replace("\r", ""), multiline=True).as_string()
            return self.pick(basic, long) if "\r" not in value else basic
        return tomlkit.item(value).as_string()

    def value(self, value: object) -> str:
        if isinstance(value, dict):
            items = [f"{self.key(key)}{self.gap()}={self.gap()}{self.value(item)}" for key, item in value.items()]
            return "{" + self.gap() + f"{self.gap()},{self.gap()}".join(items) + self.gap() + "}"
        if isinstance(value, list):
            if self.pick("one line", "many") == "one line" or not value:
                return "[" + f"{self.gap()},{self.gap()}".join(map(self.value, value)) + self.gap() + "]"
            text = "[" + self.line_end()
            for item in value[:-1]:
                text += self.gap() + self.value(item) + self.pick(",", " ,", "\n  ,") + self.line_end()
            return text + self.value(value[-1]) + self.pick("", ",") + self.line_end() + self.gap() + "]"
        return self.scalar(value)

    def table(self, table: dict[str, Any], path: tuple[str, ...]) -> str:
        """Keys first, then the tables that get a header of their own."""
        text, below = "", ""
        for key, item in table.items():
            how = self.pick("inline", "header", "dotted")
            if isinstance(item, dict) and item and how == "header":
                names = self.pick(".", " . ", " .").join(map(self.key, (*path, key)))
                below += (
                    f"{self.gap()}[{self.gap()}{names}{self.gap()}]{self.line_end()}{self.table(item, (*path, key))}"
                )
            elif isinstance(item, list) and item and all(isinstance(one, dict) for one in item) and how == "header":
                names = ".".join(map(self.key, (*path, key)))
                below += "".join(f"[[{names}]]{self.line_end()}{self.table(one, (*path, key))}" for one in item)
            elif isinstance(item, dict) and item and how == "dotted":
                for name, inner in item.items():
                    text += f"{self.key(key)}.{self.key(name)} = {self.value(inner)}{self.line_end()}"
            else:
                text += f"{self.gap()}{self.key(key)}{self.gap()}={self.gap()}{self.value(item)}{self.line_end()}"
        return text + below


@settings(max_examples=300)
@given(whole, st.data())
def test_values_written_in_any_layout_are_found(value: dict[str, Any], draw: st.DataObject) -> None:
    assert_found(Writer(draw).table(value, ()))


def test_what_lies_too_deep_or_too_far_has_the_place_around_it() -> None:
    deep = "x = [\n" + "[\n" * 40 + "]" * 40 + "]\n"
    assert Lines(deep).line(("x", *[0] * 40)) == 12
    long = "x = [\n" + "1,\n" * 3000 + "]\ny = 2\n"
    assert Lines(long).line(("x", 999)) == 1001
    assert Lines(long).line(("x", 2000)) == 1
    assert Lines(long).line(("y",)) == 3003


def test_a_form_that_is_not_known_ends_the_walk() -> None:
    assert Lines("a = 1\nb = \nc = 3\n").line(("a",)) == 1
    assert Lines("a = 1\nb = \nc = 3\n").line(("c",)) == 1
