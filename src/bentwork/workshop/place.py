"""Where the workshop is: a folder of the maker's, and the database in it."""

from __future__ import annotations

from pathlib import Path

import platformdirs

__all__ = ["DATABASE", "database_in", "default_folder", "has_workshop"]

DATABASE = "workshop.sqlite3"
"""Name of the database in the workshop's folder. Beside it SQLite keeps ``-wal`` and ``-shm`` while it is open."""


def default_folder() -> Path:
    """Return the folder that is used when the maker names none: where this system keeps a user's own data."""
    return platformdirs.user_data_path("bentwork", appauthor=False)


def database_in(folder: Path) -> Path:
    """Return the path of the database in a workshop's folder."""
    return folder / DATABASE


def has_workshop(folder: Path) -> bool:
    """Tell whether anything was ever kept there, so that a look at the workshop need not make one."""
    return database_in(folder).exists()
