"""A file is one idea: it has an end, and a name that says what it is about."""

from __future__ import annotations

from pathlib import Path, PurePath

import pytest

SRC = Path(__file__).parents[2] / "src"
MOST_LINES = 400
NO_NAMES = {"utils", "util", "helpers", "helper", "common", "misc", "miscellaneous"}


def too_long(text: str) -> bool:
    return len(text.splitlines()) > MOST_LINES


def says_nothing(path: PurePath) -> bool:
    """Whether any part of the path is a name for everything and nothing, alone or at an end: units_utils."""
    words = {word for name in path.with_suffix("").parts for word in (name, name.split("_")[0], name.split("_")[-1])}
    return bool(words & NO_NAMES)


def test_no_file_is_too_long() -> None:
    files = [path for kind in ("*.py", "*.typ") for path in SRC.rglob(kind)]
    assert files
    assert [str(path.relative_to(SRC)) for path in files if too_long(path.read_text(encoding="utf-8"))] == []


def test_every_file_has_a_name_that_says_something() -> None:
    assert [str(path) for path in SRC.rglob("*") if says_nothing(path.relative_to(SRC))] == []


def test_a_long_file_is_seen() -> None:
    assert too_long("x = 1\n" * 401)
    assert not too_long("x = 1\n" * 400)


@pytest.mark.parametrize(
    "path", ["bentwork/utils.py", "bentwork/piece/helpers.py", "bentwork/common/x.py", "a/x_misc.py"]
)
def test_an_empty_name_is_seen(path: str) -> None:
    assert says_nothing(PurePath(path))
    assert not says_nothing(PurePath("bentwork/piece/commonly_used_shapes.py"))
