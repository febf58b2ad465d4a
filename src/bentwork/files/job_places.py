"""Places of a job file in the maker's words: ``piece.loop.points[2]`` is ``loop, corner point 2``."""

from __future__ import annotations

import json
import re

from bentwork.files.job_lines import Key, Path

__all__ = ["path_of", "spoken"]

_NAMED = ("piece", "stock", "bender", "mounting", "material", "fixing", "joint")
_ROW: dict[str, tuple[str, tuple[str, ...]]] = {
    "points": ("corner point {}", ("x", "y", "z")),
    "bends": ("bend {}", ("radius", "angle", "rotation")),
    "straights": ("straight {}", ()),
    "radius": ("radius of corner {}", ()),
    "bodies": ("body {}", ()),
}
_PART = re.compile(r"""\.?(?:(?P<bare>[A-Za-z0-9_][A-Za-z0-9_-]*)|(?P<text>"(?:[^"\\]|\\.)*"))|\[(?P<index>\d+)\]""")


def path_of(where: str) -> Path | None:
    """Return the keys of a place as faults name it, elements counted from 1 there; None where it is no place."""
    path: list[Key] = []
    at = 0
    while at < len(where):
        part = _PART.match(where, at)
        if part is None:
            return None
        if part["index"]:
            path.append(int(part["index"]) - 1)
        elif part["text"]:
            try:
                path.append(str(json.loads(part["text"])))
            except ValueError:
                return None
        else:
            path.append(part["bare"])
        at = part.end()
    return tuple(path)


def spoken(path: Path) -> str:
    """Return a place as one would say it at the bench; the job itself for none."""
    keys = list(path)
    words: list[str] = []
    if len(keys) > 1 and keys[0] in _NAMED and isinstance(keys[1], str):
        words.append(keys[1])
        keys = keys[2:]
    while keys:
        key = keys.pop(0)
        row, columns = _ROW.get(str(key), ("", ()))
        index = keys[0] if row and keys else None
        if isinstance(index, int):
            words.append(row.format(index + 1))
            keys.pop(0)
            column = keys[0] if keys else None
            if isinstance(column, int) and column < len(columns):
                words.append(columns[column])
                keys.pop(0)
        elif isinstance(key, int):
            words.append(f"number {key + 1}")
        else:
            words.append(key.replace("_", " "))
    return ", ".join(words) or "the job"
