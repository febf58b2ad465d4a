"""Changing a job file: what is meant changes, every other byte stays."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bentwork.errors import InputError
from bentwork.files.job_edit import add_table, set_value
from bentwork.files.job_lines import Path, scan
from tests.unit.files.job_texts import CRATE_SHELF, INCHES, SMALL, data, job
from tests.unit.files.test_job_lines import LAYOUTS, Writer, plain, whole, words


def test_a_value_is_changed_and_its_comment_stays() -> None:
    text = set_value(CRATE_SHELF, ("bender", "lever", "radius"), 40.5)
    old = "radius = 36                        # centreline radius of the die"
    assert text == CRATE_SHELF.replace(old, old.replace("36", "40.5"))


def test_an_element_of_an_element() -> None:
    text = set_value(CRATE_SHELF, ("piece", "loop", "points", 1, 0), 450)
    assert text == CRATE_SHELF.replace("[400, 0, 0]", "[450, 0, 0]")
    text = set_value(CRATE_SHELF, ("mounting", "vise", "bodies", 0, "x"), [-10, 10.5])
    assert text == CRATE_SHELF.replace("x = [-340, -320]", "x = [-10, 10.5]")


def test_a_key_is_added_behind_the_last_of_its_table() -> None:
    text = set_value(SMALL, ("bender", "lever", "springback"), 1.034)
    assert text == SMALL.replace("radius = 50\n", "radius = 50\nspringback = 1.034\n")
    assert job(text).benders["lever"].springback == 1.034
    assert set_value(SMALL, ("units",), "in") == SMALL.replace("format = 1\n", 'format = 1\nunits = "in"\n')
    assert set_value("[a]\nx = 1 # one", ("a", "y"), True) == "[a]\nx = 1 # one\ny = true"
    assert set_value("[a]\r\n\r\n[b]\r\n", ("a", "y"), 2) == "[a]\r\ny = 2\r\n\r\n[b]\r\n"
    assert set_value("# first\n[a]\n", ("y",), 2) == "y = 2\n# first\n[a]\n"
    assert set_value("", ("y",), 2) == "y = 2\n"
    text = "[a]\nx = '''\n[b]\n''' # c\n\n# about b\n[b]\n"
    assert set_value(text, ("a", "y"), 2) == text.replace("# c\n", "# c\ny = 2\n")


def test_a_key_is_added_inside_braces_and_brackets() -> None:
    text = set_value(CRATE_SHELF, ("bender", "lever", "die", "deep end"), {"a": [1]})
    assert 'die = { thickness = 24, groove_depth = 6, "deep end" = { a = [1] } }\n' in text
    assert set_value("x = {}\ny = [ ]\n", ("x", "a"), 1) == "x = { a = 1 }\ny = [ ]\n"
    assert set_value("x = []\n", ("x", 0), "a") == 'x = ["a"]\n'
    assert set_value("x = [\n  1, # one\n  2, # two\n]\n", ("x", 2), 3) == "x = [\n  1, # one\n  2, 3, # two\n]\n"
    text = set_value("[a]\nb.c = 1\n", ("a", "b", "d"), 2)
    assert text == "[a]\nb.c = 1\nb.d = 2\n"
    text = set_value("[[a]]\nx = 1\n[[a]]\nx = 2\n", ("a", 0, "y"), 3)
    assert text == "[[a]]\nx = 1\ny = 3\n[[a]]\nx = 2\n"


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (SMALL, ()),
        (SMALL, ("bender", "lever")),
        (SMALL, ("bender", "other", "radius")),
        (SMALL, ("piece", "hoop", "points", 4)),
        (SMALL, ("piece", "hoop", "points", -1)),
        (SMALL, ("piece", "hoop", "points", "x")),
        (SMALL, ("piece", "hoop", 0)),
        (SMALL, ("format", "x")),
        ("[[a]]\nx = 1\n", ("a", 1)),
        ("x = \n", ("x",)),
        ("x = {\n", ("y",)),
    ],
)
def test_places_that_cannot_take_a_value(text: str, path: Path) -> None:
    with pytest.raises(InputError):
        set_value(text, path, 1)


def test_what_toml_cannot_say() -> None:
    with pytest.raises(TypeError):
        set_value(SMALL, ("name",), object())
    with pytest.raises(TypeError):
        set_value(SMALL, ("name",), None)


def test_a_table_is_added_at_the_end() -> None:
    text = add_table(
        SMALL, ("piece", "left rail"), {"stock": "rod", "points": [[0, 0, 0], (9, 0, 0)]}, "by hand\nor not"
    )
    assert text == SMALL + (
        '\n# by hand\n# or not\n[piece."left rail"]\nstock = "rod"\npoints = [[0, 0, 0], [9, 0, 0]]\n'
    )
    assert [piece.name for piece in job(text).pieces] == ["hoop", "left rail"]
    assert add_table("x = 1", ("a",), {}) == "x = 1\n\n[a]\n"
    assert add_table("x = 1\r\n", ("a", "b"), {"c": {"d": 1}}) == "x = 1\r\n\r\n[a.b]\r\nc = { d = 1 }\r\n"
    assert add_table("", ("a",), {"b": 1}) == "[a]\nb = 1\n"


@pytest.mark.parametrize(
    ("text", "path", "comment"),
    [
        (SMALL, ("piece", "hoop"), ""),
        (SMALL, ("format",), ""),
        (SMALL, (), ""),
        ("piece = { a = 1 }\n", ("piece", "b"), ""),
        ("piece = 3\n", ("piece", "b"), ""),
        (SMALL, ("piece", "b"), "\x07"),
        ("x = ", ("piece", "b"), ""),
    ],
)
def test_tables_that_cannot_be_added(text: str, path: tuple[str, ...], comment: str) -> None:
    with pytest.raises(InputError):
        add_table(text, path, {"x": 1}, comment)


def changed(whole: dict[str, Any], path: Path, value: object) -> dict[str, Any]:
    result = copy.deepcopy(whole)
    here: Any = result
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return result


new_values = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3), max_leaves=5
)


@settings(max_examples=200)
@given(st.sampled_from([CRATE_SHELF, INCHES, LAYOUTS, LAYOUTS.replace("\n", "\r\n")]), new_values, st.data())
def test_every_byte_outside_the_value_stays(text: str, value: object, draw: st.DataObject) -> None:
    spans = {path: span for path, span in scan(text).items() if span.kind == "value"}
    path = draw.draw(st.sampled_from(list(spans)))
    result = set_value(text, path, value)
    span = spans[path]
    assert result.startswith(text[: span.start])
    assert result.endswith(text[span.end :])
    assert data(result) == changed(data(text), path, value)


@settings(max_examples=200)
@given(whole, new_values, st.data())
def test_values_change_in_any_layout(table: dict[str, Any], value: object, draw: st.DataObject) -> None:
    text = Writer(draw).table(table, ())
    spans = {path: span for path, span in scan(text).items() if span.kind == "value"}
    assume(spans)
    path = draw.draw(st.sampled_from(list(spans)))
    result = set_value(text, path, value)
    assert result.startswith(text[: spans[path].start])
    assert result.endswith(text[spans[path].end :])
    assert data(result) == changed(data(text), path, value)


@settings(max_examples=200)
@given(whole, words, new_values, st.data())
def test_keys_are_added_in_any_layout(table: dict[str, Any], key: str, value: object, draw: st.DataObject) -> None:
    text = Writer(draw).table(table, ())
    homes = [path for path, span in scan(text).items() if span.kind == "table" and isinstance(at(table, path), dict)]
    home = draw.draw(st.sampled_from(homes))
    assume(key not in at(table, home))
    result = set_value(text, (*home, key), value)
    assert data(result) == changed(data(text), (*home, key), value)
    assert is_part_of(text, result)


@settings(max_examples=100)
@given(whole, st.lists(words, min_size=1, max_size=3), st.dictionaries(words, new_values, max_size=4), st.data())
def test_tables_are_added_to_any_layout(
    table: dict[str, Any], path: list[str], mapping: dict[str, Any], draw: st.DataObject
) -> None:
    assume(path[0] not in table)
    text = Writer(draw).table(table, ())
    result = add_table(text, tuple(path), mapping, "a note")
    assert result.startswith(text)
    expected: Any = mapping
    for key in reversed(path):
        expected = {key: expected}
    assert data(result) == {**data(text), **expected}


def at(whole: object, path: Path) -> Any:  # noqa: ANN401 - data has no shape
    here: Any = whole
    for key in path:
        here = here[key]
    return here


def is_part_of(text: str, result: str) -> bool:
    """Whether the result is the text with something put in at one place."""
    same = next((n for n, (one, other) in enumerate(zip(text, result, strict=False)) if one != other), len(text))
    return any(result.endswith(text[cut:]) and result.startswith(text[:cut]) for cut in range(same + 1))
