"""Taking things out of a job file and putting elements in between: what stays, stays to the letter."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bentwork.errors import InputError
from bentwork.files.job_insert import insert_element, move_element
from bentwork.files.job_lines import Path, scan
from bentwork.files.job_remove import remove
from tests.unit.files.job_texts import CRATE_SHELF, INCHES, SMALL, data
from tests.unit.files.test_job_edit import new_values
from tests.unit.files.test_job_lines import LAYOUTS, Writer, whole


def test_a_key_goes_with_its_line_and_the_comment_on_it() -> None:
    line = "radius = 36                        # centreline radius of the die\n"
    assert line in CRATE_SHELF
    assert remove(CRATE_SHELF, ("bender", "lever", "radius")) == CRATE_SHELF.replace(line, "")
    assert remove("[a]\n# about x\nx = 1\ny = 2", ("a", "y")) == "[a]\n# about x\nx = 1\n"
    assert remove("[a]\r\nx = [\r\n 1\r\n] # one\r\ny = 2\r\n", ("a", "x")) == "[a]\r\ny = 2\r\n"


def test_a_key_goes_from_between_braces() -> None:
    text = "x = { a = 1, b = 2, c = 3 }\n"
    assert remove(text, ("x", "a")) == "x = { b = 2, c = 3 }\n"
    assert remove(text, ("x", "b")) == "x = { a = 1, c = 3 }\n"
    assert remove(text, ("x", "c")) == "x = { a = 1, b = 2 }\n"
    assert data(remove("x = { a = 1 }\n", ("x", "a"))) == {"x": {}}


def test_an_element_goes_with_its_line_or_its_comma() -> None:
    text = "x = [\n    1, # one\n    2, # two\n    3 # three\n]\n"
    assert remove(text, ("x", 1)) == "x = [\n    1, # one\n    3 # three\n]\n"
    assert remove(text, ("x", 2)) == "x = [\n    1, # one\n    2, # two\n]\n"
    assert remove("x = [1, 2, 3]\n", ("x", 0)) == "x = [2, 3]\n"
    assert remove("x = [1, 2, 3]\n", ("x", 2)) == "x = [1, 2]\n"
    assert remove("x = [[1, 2], [3]]\n", ("x", 0, 1)) == "x = [[1], [3]]\n"
    assert data(remove("x = [1, # one\n 2]\n", ("x", 1))) == {"x": [1]}


def test_a_table_goes_with_the_comments_that_belong_to_it() -> None:
    text = "x = 1\n\n# about a\n# more\n[a]\n# in a\nx = 1 # one\n# y = 2\n\n# about b\n[b]\nx = 2\n"
    assert remove(text, ("a",)) == "x = 1\n\n# about b\n[b]\nx = 2\n"
    assert remove(text, ("b",)) == text[: text.index("\n# about b")]
    abutting = "[a]\nx = 1\n# about b\n[b]\nx = 2\n"
    assert remove(abutting, ("a",)) == "# about b\n[b]\nx = 2\n"


def test_a_table_goes_with_the_tables_in_it_wherever_they_stand() -> None:
    text = "[a.b]\nx = 1\n\n[c]\ny = 2\n\n[a.b.d]\nz = 3\n"
    assert remove(text, ("a", "b")) == "[c]\ny = 2\n"
    assert remove(text, ("a",)) == "[c]\ny = 2\n"
    assert remove("[a]\nb.c = 1\nb.d = 2 # d\n[a.e]\nx = 1\n", ("a", "b")) == "[a]\n[a.e]\nx = 1\n"
    assert remove("[[a]]\nx = 1\n\n[[a]]\nx = 2\n", ("a", 0)) == "[[a]]\nx = 2\n"


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (SMALL, ()),
        (SMALL, ("piece", "other")),
        (SMALL, ("piece", "hoop", "points", 9)),
        (SMALL, ("format", "x")),
        ("x = ", ("x",)),
    ],
)
def test_what_is_not_there_cannot_be_taken_out(text: str, path: Path) -> None:
    with pytest.raises(InputError):
        remove(text, path)


def test_an_element_is_put_in_before_another() -> None:
    text = "x = [\n    1, # one\n    2, # two\n]\n"
    assert insert_element(text, ("x", 0), 9) == "x = [\n    9,\n    1, # one\n    2, # two\n]\n"
    assert insert_element(text, ("x", 1), 9) == "x = [\n    1, # one\n    9,\n    2, # two\n]\n"
    assert insert_element(text, ("x", 2), [9]) == "x = [\n    1, # one\n    2, # two\n    [9],\n]\n"
    bare = "x = [\r\n  1,\r\n  2 # two\r\n]\r\n"
    assert insert_element(bare, ("x", 2), 9) == "x = [\r\n  1,\r\n  2, # two\r\n  9,\r\n]\r\n"
    assert insert_element("x = [1, 2]\n", ("x", 1), 9) == "x = [1, 9, 2]\n"
    assert insert_element("x = [1, 2]\n", ("x", 2), 9) == "x = [1, 2, 9]\n"
    assert insert_element("x = []\n", ("x", 0), 9) == "x = [9]\n"


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (SMALL, ("piece", "hoop", "points", 9)),
        (SMALL, ("piece", "hoop", "points", -1)),
        (SMALL, ("piece", "hoop", 0)),
        (SMALL, ("piece", "none", "points", 0)),
        ("[[a]]\nx = 1\n", ("a", 0)),
    ],
)
def test_places_where_nothing_can_be_put_in(text: str, path: Path) -> None:
    with pytest.raises(InputError):
        insert_element(text, path, 1)


def test_an_element_is_moved_with_the_comment_on_its_line() -> None:
    text = "x = [\n    1, # one\n\n    2, # two\n    3 # three\n]\n"
    assert move_element(text, ("x", 0), 1) == "x = [\n    2, # two\n\n    1, # one\n    3, # three\n]\n"
    assert move_element(text, ("x", 2), 0) == "x = [\n    3, # three\n\n    1, # one\n    2, # two\n]\n"
    assert move_element("x = [1, [2], 3] # all\n", ("x", 1), 2) == "x = [1, 3, [2]] # all\n"
    assert move_element(text, ("x", 1), 1) == text
    for path, to in ((("x", 3), 0), (("x", 0), 3), (("x",), 0), (("y", 0), 0)):
        with pytest.raises(InputError):
            move_element(text, path, to)


def lines_kept(old: str, new: str) -> bool:
    """Whether the new text is the old one with characters left out."""
    letters = iter(old)
    return all(letter in letters for letter in new)


def without(table: dict[str, Any], path: Path, text: str = "") -> dict[str, Any]:
    result = copy.deepcopy(table)
    here: Any = result
    for key in path[:-1]:
        here = here[key]
    del here[path[-1]]
    if here == [] and text_has_header(text, path[:-1]):  # the last of [[tables]]: a file cannot say that there are none
        return without(table, path[:-1])
    return result


def text_has_header(text: str, path: Path) -> bool:
    """Whether a list is written as headers, [[so]], and not in brackets."""
    span = scan(text).get(path)
    return span is None or span.kind != "value"


def pruned(value: object) -> object:
    """Without tables that hold nothing: one that was only there for what was in it goes too."""
    if isinstance(value, list):
        return [pruned(item) for item in value]
    if not isinstance(value, dict):
        return value
    inner = {key: pruned(item) for key, item in value.items()}
    return {key: item for key, item in inner.items() if item != {}}


@settings(max_examples=200)
@given(st.sampled_from([CRATE_SHELF, INCHES, LAYOUTS, LAYOUTS.replace("\n", "\r\n")]), st.data())
def test_anything_can_be_taken_out_and_the_rest_stays(text: str, draw: st.DataObject) -> None:
    path = draw.draw(st.sampled_from([path for path, span in scan(text).items() if path and span.kind == "value"]))
    result = remove(text, path)
    assert lines_kept(text, result)
    assert pruned(data(result)) == pruned(without(data(text), path, text))


@settings(max_examples=200)
@given(whole, st.data())
def test_things_are_taken_out_in_any_layout_or_refused_whole(table: dict[str, Any], draw: st.DataObject) -> None:
    text = Writer(draw).table(table, ())
    paths = [path for path in scan(text) if path]
    assume(paths)
    path = draw.draw(st.sampled_from(paths))
    try:
        result = remove(text, path)
    except InputError:
        return
    assert lines_kept(text, result)
    assert pruned(data(result)) == pruned(without(data(text), path, text))


@settings(max_examples=200)
@given(whole, new_values, st.data())
def test_elements_are_put_in_in_any_layout(table: dict[str, Any], value: object, draw: st.DataObject) -> None:
    text = Writer(draw).table(table, ())
    lists = [p for p, span in scan(text).items() if span.kind == "value" and text[span.start] == "["]
    assume(lists)
    path = draw.draw(st.sampled_from(lists))
    here: Any = data(text)
    for key in path:
        here = here[key]
    index = draw.draw(st.integers(0, len(here)))
    result = insert_element(text, (*path, index), value)
    there: Any = data(result)
    for key in path:
        there = there[key]
    assert there == [*here[:index], value, *here[index:]]
    assert lines_kept(result, text)


@settings(max_examples=200)
@given(whole, st.data())
def test_elements_are_moved_in_any_layout(table: dict[str, Any], draw: st.DataObject) -> None:
    text = Writer(draw).table(table, ())
    lists = [
        p
        for p, span in scan(text).items()
        if span.kind == "value" and text[span.start] == "[" and (*p, 0) in scan(text)
    ]
    assume(lists)
    path = draw.draw(st.sampled_from(lists))
    here: Any = data(text)
    for key in path:
        here = here[key]
    index, to = draw.draw(st.integers(0, len(here) - 1)), draw.draw(st.integers(0, len(here) - 1))
    there: Any = data(move_element(text, (*path, index), to))
    for key in path:
        there = there[key]
    wanted = list(here)
    wanted.insert(to, wanted.pop(index))
    assert there == wanted
