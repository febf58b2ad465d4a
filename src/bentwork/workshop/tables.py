"""Tables of a job file, kept as JSON: plain words, numbers and lists, nothing else."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import TypeAlias, cast

from bentwork.bending.checking import Checks

__all__ = ["Json", "Table", "plain_table", "table_from_text", "text_of"]

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"
Table: TypeAlias = Mapping[str, Json]

_DEEPEST = 20


def plain_table(where: str, table: Mapping[str, object], checks: Checks) -> Table:
    """Return a copy of a table, in plain types only and apart from its reader's; faults are told to ``checks``."""
    plain = _plain(where, table, checks, 0)
    if not plain:
        checks.fault(where, "an empty table", "a table with something in it")
    return cast(Table, plain)


def text_of(table: Table) -> str:
    """Return the table as JSON, its keys in their order."""
    return json.dumps(table, allow_nan=False)


def table_from_text(text: str) -> Table:
    """Return the table that ``text_of`` wrote.

    Raises:
        ValueError: it is not such a text.
    """
    table = json.loads(text)
    if not isinstance(table, dict):
        raise ValueError("it is no table")
    return table


def _plain(where: str, value: object, checks: Checks, depth: int) -> Json:
    if depth > _DEEPEST:
        checks.fault(where, "tables within tables without end", f"no more than {_DEEPEST} within one another")
    elif isinstance(value, Mapping):
        return {str(key): _plain(f"{where}.{key}", inside, checks, depth + 1) for key, inside in value.items()}
    elif isinstance(value, list | tuple):
        return [_plain(f"{where}.{n}", inside, checks, depth + 1) for n, inside in enumerate(value, start=1)]
    elif isinstance(value, bool):
        return bool(value)
    elif isinstance(value, str):
        return str(value)
    elif isinstance(value, int):
        return int(value)
    elif isinstance(value, float) and math.isfinite(value):
        return float(value)
    else:
        checks.fault(where, repr(value), "text, a number, true or false, a list or a table")
    return None
