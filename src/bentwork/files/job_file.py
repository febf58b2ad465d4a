"""The job file, ``NAME.toml``: the door through which jobs come in."""

from __future__ import annotations

import hashlib
import os
from itertools import islice
from pathlib import Path
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.job_build import build
from bentwork.files.job_text import MOST_BYTES, data_of, text_of
from bentwork.files.job_words import did_you_mean, shorten
from bentwork.files.owned import Owned
from bentwork.jobs.job import Job
from bentwork.jobs.modelled import ModelReader

__all__ = ["bytes_of", "parse_job", "read_job", "tables_of"]

_MOST_NEIGHBOURS = 2000


def read_job(path: Path, owned: Owned | None = None, models: ModelReader | None = None) -> Job:
    """Read a job file.

    Args:
        path: of the file.
        owned: what it may name of the workshop.
        models: reads the bars of CAD models that it may name: ``takeoff.beside.models_beside``.

    Raises:
        InputError: it cannot be read or something in it is wrong; every fault is told, by line.
    """
    return parse_job(bytes_of(path), str(path), owned, models)


def tables_of(path: Path) -> dict[str, Any]:
    """Return the tables of a job file as they are written.

    Raises:
        InputError: it cannot be read, or is no TOML.
    """
    source = str(path)
    return data_of(text_of(bytes_of(path), source), source)


def bytes_of(path: Path) -> bytes:
    """Return the bytes of a job file.

    Raises:
        InputError: it cannot be read.
    """
    source = str(path)
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)  # no more, so that endless files end
    except FileNotFoundError:
        raise _fault(source, "no such file", "a job file, NAME.toml", _neighbour(path)) from None
    except IsADirectoryError:
        raise _fault(source, "a folder", "a job file, NAME.toml", _neighbour(path / "job.toml")) from None
    except PermissionError:
        raise _fault(source, "a file that you may not read", "a job file", "Change its permissions.") from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _fault(source, f"a file that cannot be read ({why})", "a job file", "") from None


def parse_job(data: bytes, source: str, owned: Owned | None = None, models: ModelReader | None = None) -> Job:
    """Read the bytes of a job file; ``source`` is its name, for messages, the rest as in ``read_job``.

    Raises:
        InputError: something is wrong; every fault is told, by line.
    """
    if data[:200].lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"ISO-10303-21"):
        do = f"Take its pieces off first: bentwork takeoff {shorten(source)} --job NAME.toml"
        raise _fault(source, "a STEP model", "a job file", do)
    text = text_of(data, source)
    digest = hashlib.sha256(data).hexdigest()
    return build(text, data_of(text, source), source, Path(source).stem or "job", digest, owned, models)


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
