"""A job, read with what the maker's workshop owns and remembers."""

from __future__ import annotations

from pathlib import Path

from bentwork.bending.test_bend import TestBend
from bentwork.door.models import models_for
from bentwork.door.offcuts import OFFCUT, offcuts_in
from bentwork.files.job_file import bytes_of, parse_job
from bentwork.files.owned import Owned
from bentwork.jobs.job import Job
from bentwork.jobs.modelled import ModelReader
from bentwork.workshop.place import has_workshop
from bentwork.workshop.store import Workshop, open_workshop

__all__ = ["owned_in", "read_bytes_with", "read_with"]


def owned_in(workshop: Workshop) -> Owned:
    """Return what jobs may name without saying what it is."""
    with workshop.at_one_moment():
        return Owned(
            materials={one.name: one.table for one in workshop.materials.all()},
            benders={one.name: (one.table, one.units) for one in workshop.benders.all()},
            stocks={
                one.name: (one.stock_key.section, one.stock_key.material, one.bar_length_mm, one.price)
                for one in workshop.stock.all()
                if one.batch != OFFCUT
            },
            offcuts=tuple(
                (one.stock_key.section, one.stock_key.material, one.bar_length_mm, one.bars)
                for one in offcuts_in(workshop)
                if one.bar_length_mm is not None
            ),
        )


def read_with(path: Path, folder: Path, models: ModelReader | None = None) -> tuple[Job, tuple[TestBend, ...]]:
    """Read a job file with what the workshop in a folder owns, and its test bends.

    A workshop that is not there is empty. ``models`` reads the CAD models that the job names (``door.models``); those
    in its folder, and those named by their whole path, if left out.

    Raises:
        InputError: the job cannot be read or something in it is wrong; every fault is told, by line.
        WorkshopError: the workshop cannot be read.
    """
    return read_bytes_with(bytes_of(path), str(path), folder, models or models_for(path.parent))


def read_bytes_with(
    data: bytes, source: str, folder: Path, models: ModelReader | None = None
) -> tuple[Job, tuple[TestBend, ...]]:
    """Read the bytes of a job file likewise; ``source`` is its name, for messages. Without ``models`` it names none.

    Raises:
        InputError: something is wrong; every fault is told, by line.
        WorkshopError: the workshop cannot be read.
    """
    if not has_workshop(folder):
        return parse_job(data, source, models=models), ()
    with open_workshop(folder) as workshop:
        return parse_job(data, source, owned_in(workshop), models), workshop.test_bends.all()
