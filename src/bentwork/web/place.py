"""Where the jobs lie and where the workshop is; no path that comes from a browser leads out of the jobs' folder."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from bentwork.errors import Fault, InputError

__all__ = ["Place"]

_NAME = re.compile(r"[^/\\:*?\"<>|\x00-\x1f\x7f.][^/\\:*?\"<>|\x00-\x1f\x7f]{0,119}")
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)  # Windows keeps these


@dataclass(frozen=True, slots=True)
class Place:
    """Two folders of the maker's.

    Args:
        jobs: folder of the job files that are shown.
        workshop: folder of the workshop's database.
    """

    jobs: Path
    workshop: Path

    def job(self, name: str) -> Path:
        """Return the path of a job's file, whether it is there or not.

        Args:
            name: of the file, without its ending.

        Raises:
            InputError: no file can be called so.
        """
        if not _NAME.fullmatch(name) or _RESERVED.fullmatch(name) or name != name.strip():
            wanted = "a plain name of up to 120 letters, without / \\ : * ? < > | and not beginning with a dot"
            raise InputError("jobs", [Fault("name", repr(name[:80]), wanted)])
        return self.jobs / f"{name}.toml"

    def names(self) -> list[str]:
        """Return the names of all job files, in order."""
        found = [path.stem for path in self.jobs.glob("*.toml") if path.is_file() and not path.name.startswith(".")]
        return sorted((name for name in found if _NAME.fullmatch(name)), key=str.casefold)
