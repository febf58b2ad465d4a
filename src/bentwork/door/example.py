"""The example job that comes with Bentwork, and the test bends that its maker made."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path

from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.pairs import pair_of
from bentwork.workshop.store import open_workshop

__all__ = ["EXAMPLE", "example_bytes", "remember_example"]

EXAMPLE = "crate-shelf"
"""Name of the job's file, without its ending."""


def example_bytes() -> bytes:
    """Return the example's job file."""
    return files("bentwork").joinpath("data", f"{EXAMPLE}.toml").read_bytes()


def remember_example(workshop: Path) -> None:
    """Enter the example's test bends into the workshop in a folder, once.

    Raises:
        WorkshopError: the workshop cannot be opened or written.
    """
    job = parse_job(example_bytes(), f"{EXAMPLE}.toml")
    told = files("bentwork").joinpath("data", f"{EXAMPLE}-test-bends.toml").read_text("utf-8")
    with open_workshop(workshop) as opened:
        for number, entry in enumerate(tomllib.loads(told)["test_bend"], 1):
            pair = pair_of(job, entry.pop("stock"), entry.pop("bender"))
            opened.test_bends.add(entry_of(pair, entry, job.ruler, ""), entry_id=f"example-{number}")
