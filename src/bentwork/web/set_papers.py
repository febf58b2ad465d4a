"""Papers and models of a job, each made once: the same result is not set again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar, cast

from bentwork.door.papers import date_words
from bentwork.files import export_files
from bentwork.files.paper_files import name_of, parts_of, sealed_pdf
from bentwork.files.paper_kinds import Kind
from bentwork.files.typesetting import PagePicture, page_pictures
from bentwork.sheets.subject import Paper
from bentwork.web.workroom import Worked

__all__ = ["Models", "PaperRoom", "SetPaper"]

_MOST = 16
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class SetPaper:
    """A paper that was set.

    Args:
        name: of its file.
        pdf: its bytes.
        pages: its pages as pictures, of the same drawings.
    """

    name: str
    pdf: bytes
    pages: tuple[PagePicture, ...]


@dataclass(frozen=True, slots=True)
class Models:
    """Files for other programs.

    Args:
        files: bytes by name.
        notes: what could not be made and why, a sentence each.
    """

    files: dict[str, bytes]
    notes: tuple[str, ...]


class PaperRoom:
    """Sets papers and makes models, one at a time, and remembers the last ones."""

    def __init__(self) -> None:
        self._setting = threading.Lock()
        self._made: OrderedDict[Hashable, tuple[Worked, object]] = OrderedDict()

    def paper(self, worked: Worked, kind: Kind, paper: Paper) -> SetPaper | None:
        """Return a paper; None where nothing would be on it.

        Raises:
            PaperError: it cannot be set.
        """
        today = date_words(date.today())

        def setting() -> SetPaper | None:
            parts = parts_of(worked.result, today, paper, kind)
            pictures = tuple(page for _, part in parts for page in page_pictures(part))
            return SetPaper(name_of(kind), sealed_pdf(parts), pictures) if parts else None

        return self._once(worked, (kind, paper.name, today), setting)

    def models(self, worked: Worked, kind: export_files.Kind) -> Models:
        """Return the files of one kind.

        Raises:
            FileError: there is no CAD kernel, or it broke down.
        """

        def making() -> Models:
            notes: list[str] = []
            now = datetime.now().isoformat(timespec="seconds")
            files = dict(export_files.export_files(worked.result, now, [kind], notes.append))
            return Models(files, tuple(notes))

        return self._once(worked, ("models", kind), making)

    def _once(self, worked: Worked, what: tuple[str, ...], make: Callable[[], T]) -> T:
        """Make something of a job unless it is there; it belongs to the job as it was worked out, not to its name."""
        with self._setting:
            key = (worked.at.path, *what)
            known = self._made.get(key)
            if known is None or known[0] is not worked:
                known = self._made[key] = (worked, make())
                while len(self._made) > _MOST:
                    self._made.popitem(last=False)
            self._made.move_to_end(key)
            return cast(T, known[1])
