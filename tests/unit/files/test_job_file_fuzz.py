"""Whatever is done to a good file: a job comes out, or every fault with a line; never any other error."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Iterator
from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work
from tests.unit.files.job_texts import CRATE_SHELF, INCHES, PARTS, data
from tests.unit.files.measured_texts import BOAT

Path = tuple[str | int, ...]


def tried(raw: bytes) -> None:
    """Read a file; a job must be fit to be worked out, a fault must lie within the file and speak plainly."""
    try:
        read = parse_job(raw, "job.toml")
    except InputError as error:
        assert error.faults
        lines = raw.count(b"\n") + 1
        for fault in error.faults:
            assert fault.line is not None and 1 <= fault.line <= lines
            assert fault.where and fault.found and fault.wanted
            words = str(fault)
            assert all(letter.isprintable() for letter in words), words
            assert "should be" not in words and "<class" not in words, words
            assert "None" not in words or b"None" in raw, words
            assert len(fault.found) <= 120 and len(words) < 1000, words
        return
    for piece in work(read).pieces:
        assert piece.line is not None


def places(value: object, path: Path = ()) -> Iterator[Path]:
    """Every key and element of nested data."""
    if path:
        yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield from places(item, (*path, key))


plain = (
    st.none()
    | st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.integers(-400, 400)
    | st.floats()
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=80)
    | st.sampled_from(["", "auto", "round", "lever", "rod", "1/2", "12 mm", "1 ft 3 in", "½", "-3", "x", "nan", "S235"])
    | st.dates()
    | st.times()
    | st.datetimes(min_value=datetime.datetime(1000, 1, 1))
)
names = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
nested = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=5) | st.dictionaries(names, inner, max_size=4), max_leaves=8
)
points = st.lists(st.lists(st.integers(-300, 300), min_size=3, max_size=3), max_size=8)
long = st.tuples(plain | st.just([0, 0, 0]), st.integers(190, 260)).map(lambda many: [many[0]] * many[1])
junk = nested | points | long


def without_none(value: object) -> object:
    """TOML has no null: what is nothing is left out."""
    if isinstance(value, dict):
        return {key: without_none(item) for key, item in value.items() if item is not None}
    if isinstance(value, list):
        return [without_none(item) for item in value if item is not None]
    return value


def put(whole: Any, path: Path, value: object) -> None:  # noqa: ANN401 - data has no shape
    """Put a value in the place of another; None takes it out. A place that went with another is left alone."""
    for depth, key in enumerate(path):
        if isinstance(whole, list) and isinstance(key, int) and key >= len(whole):
            return  # an element before it was taken out
        if depth < len(path) - 1:
            whole = whole[key]
    if value is None:
        del whole[path[-1]]
    else:
        whole[path[-1]] = without_none(value)


GOOD = [data(CRATE_SHELF), data(INCHES), data(PARTS), data(BOAT)]
PLACES = [list(places(good)) for good in GOOD]


@settings(max_examples=400)
@given(st.data())
def test_any_value_may_be_anything(draw: st.DataObject) -> None:
    which = draw.draw(st.integers(0, len(GOOD) - 1))
    changed = copy.deepcopy(GOOD[which])
    taken: list[Path] = []
    for _ in range(draw.draw(st.integers(1, 3))):
        path = draw.draw(st.sampled_from(PLACES[which]))
        if any(path[: len(old)] == old or old[: len(path)] == path for old in taken):
            continue
        if any(len(old) == len(path) and old[:-1] == path[:-1] and isinstance(old[-1], int) for old in taken):
            continue  # an element taken out moves the next ones
        put(changed, path, draw.draw(junk))
        taken.append(path)
    tried(tomlkit.dumps(changed).encode())


@settings(max_examples=200)
@given(st.data())
def test_any_key_may_be_called_anything(draw: st.DataObject) -> None:
    which = draw.draw(st.integers(0, len(GOOD) - 1))
    changed = copy.deepcopy(GOOD[which])
    path = draw.draw(st.sampled_from([path for path in PLACES[which] if isinstance(path[-1], str)]))
    whole: Any = changed
    for key in path[:-1]:
        whole = whole[key]
    name = draw.draw(
        st.text(st.characters(exclude_categories=["Cs"]), max_size=70)
        | st.sampled_from([str(path[-1]) for path in PLACES[which]])
    )
    whole[name] = whole.pop(path[-1])
    tried(tomlkit.dumps(changed).encode())


flips = st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), min_size=1, max_size=6)


@settings(max_examples=400)
@given(st.sampled_from([CRATE_SHELF.encode(), INCHES.encode()]), flips)
def test_any_byte_may_be_another(raw: bytes, flips: list[tuple[int, int]]) -> None:
    changed = bytearray(raw)
    for at, byte in flips:
        changed[at % len(changed)] = byte
    tried(bytes(changed))


ascii_flips = st.lists(
    st.tuples(st.integers(0, 10_000), st.sampled_from(list(b"[]{}\"'=.,#-+_ \n\r\t0123456789aeilnx\\")))
)


@settings(max_examples=400)
@given(st.sampled_from([CRATE_SHELF.encode(), INCHES.encode()]), ascii_flips)
def test_any_character_may_be_another_of_toml(raw: bytes, flips: list[tuple[int, int]]) -> None:
    changed = bytearray(raw)
    for at, byte in flips[:3]:
        changed[at % len(changed)] = byte
    tried(bytes(changed))


@settings(max_examples=150)
@given(st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_at_all(raw: bytes) -> None:
    tried(raw)


@settings(max_examples=150)
@given(st.sampled_from([CRATE_SHELF, INCHES, PARTS, BOAT]), st.integers(0, 5000), st.integers(0, 200))
def test_any_part_may_be_missing(text: str, at: int, length: int) -> None:
    at %= len(text)
    tried((text[:at] + text[at + length :]).encode())
