"""Two who change one job file: what of a change still stands on what the other one wrote meanwhile.

A change to one value stands where that value is as it was when the change was thought of, in a list of the same length;
a list whose rows were moved about is another list. Whole texts are put together line by line (the three-way merge of
Khanna, Kunal and Pierce, "A formal investigation of diff3", 2007, in its plain form), and where both touched one line
but only different values in it, value by value.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Literal

from bentwork.files.job_edit import set_value
from bentwork.files.job_lines import Key, Path
from bentwork.files.job_rewrite import SOURCE, same, stepped
from bentwork.files.job_text import data_of

__all__ = ["GONE", "How", "Meanwhile", "meanwhile", "merged"]

How = Literal["insert", "move", "remove"] | None


class _Gone:
    """What stands where nothing does."""


GONE = _Gone()


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """A place that another one changed meanwhile.

    Args:
        path: of it.
        was: what stood there when the change was thought of; ``GONE`` for nothing.
        now: what stands there.
    """

    path: Path
    was: Any
    now: Any


def meanwhile(was: Mapping[str, Any], now: Mapping[str, Any], path: Path, how: How, value: Any) -> Meanwhile | None:
    """Return what another one did to the place of a change; None where the change still stands.

    Args:
        was: data of the file that the change was made from.
        now: data of the file as it is.
        path: of the change.
        how: as in an edit; None sets the value.
        value: of the change: the index that a row moves to.
    """
    for depth, key in enumerate(path):
        if not isinstance(key, int):
            continue
        around = path[:depth]
        before, after = _at(was, around), _at(now, around)
        if not isinstance(before, list) or not isinstance(after, list) or len(before) != len(after):
            return None if _alike(before, after) else Meanwhile(around, before, after)
        for row in _touched(key, how if depth == len(path) - 1 else None, value):
            there = row < len(before) and depth < len(path) - 1
            moved = there and not same(before[row], after[row]) and not _but(before, after, row)
            if moved or (how in ("insert", "move") and depth == len(path) - 1 and not _row(before, after, row)):
                return Meanwhile((*around, row), before[row], after[row])
    if how == "insert":
        return None  # its neighbours were looked at
    before, after = _at(was, path), _at(now, path)
    return None if _alike(before, after) else Meanwhile(path, before, after)


def _touched(key: int, how: How, value: Any) -> tuple[int, ...]:
    """Return the rows of a list that a change goes by."""
    if how == "insert":
        return tuple(row for row in (key - 1, key) if row >= 0)
    if how == "move" and isinstance(value, int):
        return (key, value) if value >= 0 else (key,)
    return (key,)


def _row(before: list[Any], after: list[Any], row: int) -> bool:
    return row >= len(before) or same(before[row], after[row])


def _but(before: list[Any], after: list[Any], row: int) -> bool:
    """Tell whether every other row is as it was: then this one was changed where it stands, not moved."""
    return all(same(one, other) for k, (one, other) in enumerate(zip(before, after, strict=True)) if k != row)


def _alike(before: Any, after: Any) -> bool:
    return before is after or (GONE not in (before, after) and same(before, after))


def _at(data: Mapping[str, Any], path: Path) -> Any:
    here: Any = data
    try:
        for key in path:
            here = stepped(here, key)
    except LookupError:
        return GONE
    return here


def merged(base: str, mine: str, theirs: str, *, mine_counts: bool = False) -> tuple[str, list[Meanwhile]]:
    """Return the text with both changes, and the places that both changed in different ways.

    Args:
        base: the text that both began from.
        mine: one text made of it.
        theirs: the other one, that stands in the file.
        mine_counts: where both changed a place, take mine; otherwise theirs, and tell of it.

    Raises:
        InputError: one of the three is no TOML.
    """
    if theirs == base or mine == theirs:
        return mine, []
    text, clash = _by_lines(base, mine, theirs, mine_counts=mine_counts)
    if clash is None:
        return text, []
    was, wanted, now = (data_of(one, SOURCE) for one in (base, mine, theirs))
    if not (_like(was, wanted) and _like(was, now)):
        return text, [] if mine_counts else [Meanwhile((), *clash)]
    text, places = theirs, []
    for path, value in _leaves(wanted):
        if same(_at(was, path), value) or same(_at(now, path), value):
            continue
        told = meanwhile(was, now, path, None, None)
        if told is None or mine_counts:
            text = set_value(text, path, value)
        else:
            places.append(told)
    return text, places


def _by_lines(base: str, mine: str, theirs: str, *, mine_counts: bool) -> tuple[str, tuple[str, str] | None]:
    """Return the text line by line; with the first lines that both changed, as they were and as they are."""
    lines = base.splitlines(keepends=True)
    ours, others = _regions(lines, mine), _regions(lines, theirs)
    put: list[tuple[int, int, list[str]]] = []
    clash: tuple[str, str] | None = None
    for region in others:
        against = [one for one in ours if _meet(one, region)]
        if any(one != region for one in against):
            clash = clash or ("".join(lines[region[0] : region[1]]), "".join(region[2]))
            if mine_counts:
                continue
        put.append(region)
    put += [one for one in ours if one not in put and (mine_counts or not any(_meet(one, other) for other in others))]
    text: list[str] = []
    at = 0
    for start, end, new in sorted(put, key=lambda one: one[:2]):
        text += [*lines[at:start], *new]
        at = max(at, end)
    return "".join([*text, *lines[at:]]), clash


def _regions(lines: list[str], text: str) -> list[tuple[int, int, list[str]]]:
    """Return the lines of the base that a text has others for: from, to, and those."""
    new = text.splitlines(keepends=True)
    codes = SequenceMatcher(None, lines, new, autojunk=False).get_opcodes()
    return [(start, end, new[a:b]) for kind, start, end, a, b in codes if kind != "equal"]


def _meet(one: tuple[int, int, list[str]], other: tuple[int, int, list[str]]) -> bool:
    if one[:2] == other[:2]:
        return True
    return one[0] < other[1] and other[0] < one[1]


def _like(one: Any, other: Any) -> bool:
    """Tell whether two data have the same tables, keys and lists of the same length."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_like(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_like, one, other))
    return not isinstance(one, dict | list) and not isinstance(other, dict | list)


def _leaves(data: Any, path: tuple[Key, ...] = ()) -> Iterator[tuple[Path, Any]]:
    within = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else None
    if within is None:
        yield path, data
        return
    for key, value in within:
        yield from _leaves(value, (*path, key))
