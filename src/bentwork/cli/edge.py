"""Where errors turn into words and exit statuses: 0 done, 1 done with a stop, 2 input or usage is wrong."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bentwork.errors import BentworkError

__all__ = ["edge", "job_path", "put"]


@contextmanager
def edge(*, as_json: bool = False) -> Iterator[None]:
    """Turn our errors into text on standard error (and JSON on standard output) and exit status 2."""
    try:
        yield
    except BentworkError as error:
        print(error, file=sys.stderr)
        if as_json:
            from bentwork.files.plan_json import dumps, fault_document

            put(dumps(fault_document(error)))
        raise SystemExit(2) from None


def put(text: str) -> None:
    """Print to standard output; a reader that has gone away (``| head``) ends the program quietly."""
    try:
        print(text, flush=True)
    except BrokenPipeError:
        # Python flushes standard output once more at exit: give it somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(0) from None


def job_path(given: Path) -> Path:
    """Return the job file meant: ``crate-shelf`` stands for ``crate-shelf.toml`` when only that is there."""
    if not given.name:
        return given
    with_ending = given.with_name(given.name + ".toml")
    return with_ending if not given.exists() and with_ending.exists() else given
