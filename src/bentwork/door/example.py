"""The example jobs that come with Bentwork, and the test bends that their maker made."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Literal, get_args

from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.pairs import pair_of
from bentwork.workshop.store import open_workshop

__all__ = ["EXAMPLE", "EXAMPLES", "LARGE", "Example", "example_bytes", "remember_example"]

Example = Literal["crate-shelf", "gear-rack"]

EXAMPLE: Example = "crate-shelf"
"""Name of the first one's file, without its ending."""
LARGE: Example = "gear-rack"
"""The one in which everything stands that a job file can say."""
EXAMPLES: tuple[Example, ...] = get_args(Example)


def example_bytes(which: Example = EXAMPLE) -> bytes:
    """Return the job file of an example."""
    return files("bentwork").joinpath("data", f"{which}.toml").read_bytes()


def remember_example(workshop: Path, which: Example = EXAMPLE) -> None:
    """Enter an example's test bends into the workshop in a folder, once.

    Raises:
        WorkshopError: the workshop cannot be opened or written.
    """
    job = parse_job(example_bytes(which), f"{which}.toml")
    told = files("bentwork").joinpath("data", f"{which}-test-bends.toml").read_text("utf-8")
    first = "example" if which == EXAMPLE else which  # workshops know the first one's by that name
    with open_workshop(workshop) as opened:
        for number, entry in enumerate(tomllib.loads(told)["test_bend"], 1):
            pair = pair_of(job, entry.pop("stock"), entry.pop("bender"))
            opened.test_bends.add(entry_of(pair, entry, job.ruler, ""), entry_id=f"{first}-{number}")
