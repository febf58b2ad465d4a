"""The workshop at the command line: where it is, and what a job is told of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from bentwork.bending.test_bend import TestBend
    from bentwork.jobs.job import Job
    from bentwork.jobs.work import Result
    from bentwork.workshop.store import Workshop

__all__ = ["folder_of", "opened", "read_with", "worked", "workshop_option"]

F = TypeVar("F", bound=Callable[..., Any])


def workshop_option(command: F) -> F:
    """Add ``--workshop DIR`` to a command."""
    return click.option(
        "--workshop",
        type=click.Path(path_type=Path),
        metavar="DIR",
        envvar="BENTWORK_WORKSHOP",
        help="Folder of your workshop: test bends, benders, stock. bentwork workshop where says which is used.",
    )(command)


def folder_of(given: Path | None) -> Path:
    """Return the workshop's folder."""
    from bentwork.workshop.place import default_folder

    return given if given is not None else default_folder()


def opened(given: Path | None) -> Workshop:
    """Open the workshop, and make it when it is not there."""
    from bentwork.workshop.store import open_workshop

    return open_workshop(folder_of(given))


def read_with(path: Path, given: Path | None) -> tuple[Job, tuple[TestBend, ...]]:
    """Read a job with what the workshop owns, and the workshop's test bends; a workshop that is not there is empty."""
    from bentwork.cli.edge import job_path
    from bentwork.cli.model_progress import model_progress
    from bentwork.door import memory
    from bentwork.door.models import models_for

    path = job_path(path)
    return memory.read_with(path, folder_of(given), models_for(path.parent, progress=model_progress()))


def worked(path: Path, given: Path | None) -> Result:
    """Work out a job with all that the workshop remembers."""
    from bentwork.cli.searching import searching
    from bentwork.door.compiled import keep_compiled, warm_up

    keep_compiled()  # stays look for their way while the job is read
    job, bends = read_with(path, given)
    warm_up()
    from bentwork.jobs.whole import whole
    from bentwork.jobs.work import work

    with searching() as progress:
        return whole(work(job, bends, progress))
