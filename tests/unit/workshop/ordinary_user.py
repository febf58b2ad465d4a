"""Root may write anywhere: what a test run by root does here, it does as nobody."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["as_ordinary_user", "folder_for_everybody"]

_NOBODY = 65534


@contextmanager
def folder_for_everybody() -> Iterator[Path]:
    """A folder that every user of the machine can reach, which pytest's own is not."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    try:
        yield folder
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


@contextmanager
def as_ordinary_user() -> Iterator[None]:
    """Do what is inside without the rights of root."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(_NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
