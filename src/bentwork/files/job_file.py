"""The job file, ``NAME.toml``: the door through which jobs come in."""

from __future__ import annotations

import hashlib
import os
from itertools import islice
from pathlib import Path

from bentwork.errors import Fault, InputError
from bentwork.files.job_build import build
from bentwork.files.job_text import MOST_BYTES, data_of, text_of
from bentwork.files.job_words import did_you_mean, shorten
from bentwork.jobs.job import Job

__all__ = ["parse_job", "read_job"]

_MOST_NEIGHBOURS = 2000


def read_job(path: Path) -> Job:
    """Read a job file.

    Raises:
        InputError: it cannot be read or something in it is wrong; every fault is told, by line.
    """
    source = str(path)
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)  # no more, so that endless files end
    except FileNotFoundError:
        raise _fault(source, "no such file", "a job file, NAME.toml", _neighbour(path)) from None
    except IsADirectoryError:
        raise _fault(source, "a folder", "a job file, NAME.toml", _neighbour(path / "job.toml")) from None
    except PermissionError:
        raise _fault(source, "a file that you may not read", "a job file", "Change its permissions.") from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _fault(source, f"a file that cannot be read ({why})", "a job file", "") from None
    return parse_job(data, source)


def parse_job(data: bytes, source: str) -> Job:
    """Read the bytes of a job file; ``source`` is its name, for messages.

    Raises:
        InputError: something is wrong; every fault is told, by line.
    """
    text = text_of(data, source)
    version = hashlib.sha256(data).hexdigest()[:6]
    return build(text, data_of(text, source), source, Path(source).stem or "job", version)


def _fault(source: str, found: str, wanted: str, do: str) -> InputError:
    return InputError(source, [Fault(shorten(source), found, wanted, do)])


def _neighbour(path: Path) -> str:
    """Return what to do when a file is missing: the job in its folder whose name is nearest, or all there are."""
    folder = path.parent
    try:
        with os.scandir(folder) as entries:
            jobs = sorted(entry.name for entry in islice(entries, _MOST_NEIGHBOURS) if entry.name.endswith(".toml"))
    except (OSError, ValueError):
        return f"There is no folder {shorten(str(folder))}."
    some = "There is no .toml file in its folder."
    if jobs:
        some = f"In its folder there is {', '.join(map(shorten, jobs[:5]))}{', …' if len(jobs) > 5 else ''}."
    return did_you_mean(path.name, jobs, some)
