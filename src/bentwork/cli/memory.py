"""The workshop at the command line: where it is, and what a job is told of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from bentwork.bending.test_bend import TestBend
    from bentwork.files.owned import Owned
    from bentwork.jobs.job import Job
    from bentwork.jobs.work import Result
    from bentwork.workshop.store import Workshop

__all__ = ["folder_of", "opened", "owned_in", "read_with", "test_bends_in", "worked", "workshop_option"]

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


def owned_in(workshop: Workshop) -> Owned:
    """Return what jobs may name without saying what it is."""
    from bentwork.files.owned import Owned

    with workshop.at_one_moment():
        return Owned(
            materials={one.name: one.table for one in workshop.materials.all()},
            benders={one.name: (one.table, one.units) for one in workshop.benders.all()},
            stocks={
                one.name: (one.stock_key.section, one.stock_key.material, one.bar_length_mm, one.price)
                for one in workshop.stock.all()
            },
        )


def test_bends_in(workshop: Workshop) -> tuple[TestBend, ...]:
    """Return every test bend that counts."""
    return workshop.test_bends.all()


def read_with(path: Path, given: Path | None) -> tuple[Job, tuple[TestBend, ...]]:
    """Read a job with what the workshop owns, and the workshop's test bends; a workshop that is not there is empty."""
    from bentwork.cli.edge import job_path
    from bentwork.files.job_file import read_job
    from bentwork.workshop.place import has_workshop
    from bentwork.workshop.store import open_workshop

    folder = folder_of(given)
    if not has_workshop(folder):
        return read_job(job_path(path)), ()
    with open_workshop(folder) as workshop:
        return read_job(job_path(path), owned_in(workshop)), test_bends_in(workshop)


def worked(path: Path, given: Path | None) -> Result:
    """Work out a job with all that the workshop remembers."""
    from bentwork.cli.compiled import warm_up
    from bentwork.cli.searching import searching

    job, bends = read_with(path, given)
    warm_up()
    from bentwork.jobs.work import work

    with searching() as progress:
        return work(job, bends, progress)
