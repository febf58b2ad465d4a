"""The named tables of a job file: going through them, and looking up what one names in another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_words import listed, near, place, told
from bentwork.jobs.names import is_name

__all__ = ["Built", "looked_up", "named_tables", "the_only"]

T = TypeVar("T")

Built = Mapping[str, T | None]
"""Things by the name of their table; None where the table is wrong, which has been told."""


def named_tables(
    sort: str, tables: Mapping[str, Any], faults: Faults
) -> Iterator[tuple[str, Mapping[str, Any] | None]]:
    """Go through the tables of one sort, such as ``[stock.NAME]``; None for what is no table."""
    for name, table in tables.items():
        path = (sort, name)
        if not is_name(name):
            wanted = "a name of up to 60 letters, digits, blanks or _ - . +, beginning with neither blank nor dot"
            faults.add(path, wanted, "Give it another name.", found=f"the name {told(name)}")
        if isinstance(table, dict):
            yield name, table
        else:
            do = f"Write [{place(path)}] and its keys below it."
            faults.add(path, f"a table [{place(path)}]", do)
            yield name, None


def looked_up(path: Path, name: str, sort: str, built: Built[T] | None, faults: Faults) -> T | None:
    """Return what a name stands for; None when it names nothing, which is told, or something that is itself wrong.

    Args:
        path: where the name stands.
        name: what stands there.
        sort: of what it should name.
        built: everything of this sort; None when that is wrong as a whole, which has been told.
        faults: gathers what is wrong.
    """
    if built is None:
        return None
    if name in built:
        return built[name]
    if built:
        wanted = f"the name of a {sort} in this file: {listed(map(told, built))}"
    else:
        wanted = f"the name of a {sort}; this file has none"
    meant = near(name, built)
    do = f"Did you mean {told(meant)}?" if meant is not None else f"Add a table [{place((sort, name))}]."
    faults.add(path, wanted, do)
    return None


def the_only(built: Built[T] | None) -> tuple[str | None, T | None]:
    """Return name and thing when there is exactly one of its sort: then it need not be named."""
    if built is None or len(built) != 1:
        return None, None
    return next(iter(built.items()))
