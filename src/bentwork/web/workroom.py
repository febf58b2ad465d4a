"""Jobs worked out, each once: the same text with the same workshop is not worked out again."""

from __future__ import annotations

import itertools
import re
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from pathlib import Path

from bentwork.bending.test_bend import TestBend
from bentwork.door.memory import read_bytes_with
from bentwork.door.models import models_for
from bentwork.errors import BentworkError
from bentwork.jobs.finished import Finished
from bentwork.jobs.job import Job
from bentwork.jobs.scene import MOVING_ERROR, SceneBody, TabBody, body_mesh, scene
from bentwork.jobs.whole import whole, whole_but_carried
from bentwork.jobs.work import Result, work
from bentwork.models.mesh import Shaded
from bentwork.web.job_store import JobText, sum_of
from bentwork.workshop.place import database_in

__all__ = ["Overtaken", "WorkRoom", "Worked"]

_MOST_WORKED = 24
_MOST_MESHES = 400
_FILE = re.compile(r"""\bfile\s*=\s*["']([^"'\n]+)["']""")


@dataclass(frozen=True, slots=True)
class Worked:
    """A job worked out.

    Args:
        at: the state of the file that it belongs to.
        job: as read.
        bends: the workshop's test bends then.
        result: everything worked out.
        planned: the pieces alone, before anything is said of the frame.
        bodies: what is seen of it, each with the sum that its mesh goes by.
        finished: what the frame carries is among the findings, where anything is to be reckoned of it.
    """

    at: JobText
    job: Job
    bends: tuple[TestBend, ...]
    result: Result
    planned: Result
    bodies: tuple[tuple[str, SceneBody], ...]
    finished: bool = True


class Overtaken(BentworkError):  # noqa: N818 - nothing went wrong
    """A newer state of the same job is being worked out; nobody waits for this one."""


class WorkRoom:
    """Works jobs out, one at a time, and remembers the last ones.

    Args:
        workshop: folder of the workshop's database.
    """

    def __init__(self, workshop: Path) -> None:
        self._workshop = workshop
        self._working = threading.Lock()
        self._carrying = threading.Lock()
        self._typed: dict[str, str] = {}  # the state of each job that somebody waits for while typing
        self._changes = itertools.count()
        self._worked: OrderedDict[Hashable, Worked] = OrderedDict()
        self._meshes: OrderedDict[str, Finished | TabBody | tuple[Shaded, Shaded]] = OrderedDict()

    def changing(self, name: str) -> None:
        """Somebody changes a job: nobody waits any longer for what is being worked out of it."""
        self._typed[name] = f"change {next(self._changes)}"

    def worked(self, at: JobText, *, at_once: bool = False) -> Worked:
        """Return a job worked out.

        Args:
            at: the state of the file.
            at_once: somebody is typing: what the frame carries may be left out for now, as ``finished`` tells.

        Raises:
            InputError: the file is wrong; every fault is told.
            WorkshopError: the workshop cannot be read.
            Overtaken: somebody has typed a newer state of this job meanwhile.
        """
        if at_once:
            self._typed[at.name] = at.sum
        typed = self._typed.get(at.name)

        def stop(_done: int = 0, _of: int = 0) -> bool:
            return self._typed.get(at.name) != typed

        with self._working:
            key = (at.path, at.sum, self._standing(), models_of(at))
            worked = self._worked.get(key) or self._worked_now(at, stop)
            self._keep(key, worked)
            if worked.finished or at_once:
                return worked

        def go_on() -> None:
            if stop():
                raise _overtaken()

        with self._carrying:  # it may take seconds; whoever types on meanwhile ends it at its next step
            go_on()
            worked = replace(worked, result=whole(worked.planned, go_on), finished=True)
        with self._working:
            self._keep(key, worked)
        return worked

    def _worked_now(self, at: JobText, stop: Callable[[int, int], bool]) -> Worked:
        job, bends = self.read(at)
        overtaken = False

        def watched(done: int, of: int) -> bool:
            nonlocal overtaken
            overtaken = overtaken or stop(done, of)
            return overtaken

        if watched(0, 0):
            raise _overtaken()
        planned = work(job, bends, watched)
        if overtaken:
            raise _overtaken()
        most, finished = whole_but_carried(planned)
        bodies = tuple((self._keep_body(body), body) for body in scene(planned))
        return Worked(at, job, bends, most, planned, bodies, finished)

    @property
    def alone(self) -> threading.Lock:
        """Held while something is worked out: what is kept of it may be asked by one only."""
        return self._working

    def read(self, at: JobText) -> tuple[Job, tuple[TestBend, ...]]:
        """Return a job as read, not worked out, and the workshop's test bends.

        Raises:
            InputError: the file is wrong; every fault is told.
            WorkshopError: the workshop cannot be read.
        """
        return read_bytes_with(at.data, at.path.name, self._workshop, models_for(at.path.parent, absolute=False))

    def mesh(self, name: str) -> tuple[Shaded, Shaded] | None:
        """Return a mesh by its sum, as seen at rest and while it moves; None for one that nobody was told of lately."""
        with self._working:
            kept = self._meshes.get(name)
            if kept is not None and not isinstance(kept, tuple):
                kept = self._meshes[name] = (body_mesh(kept).shaded(), body_mesh(kept, MOVING_ERROR).shaded())
            return kept

    def _keep(self, key: Hashable, worked: Worked) -> None:
        self._worked[key] = worked
        self._worked.move_to_end(key)
        while len(self._worked) > _MOST_WORKED:
            self._worked.popitem(last=False)

    def _keep_body(self, seen: SceneBody) -> str:
        """Keep what a mesh is made from until it is asked for; returns its sum, empty where there is none."""
        if seen.body is None:
            return ""
        name = sum_of(repr(seen.key).encode())
        if name not in self._meshes:
            self._meshes[name] = seen.body
            while len(self._meshes) > _MOST_MESHES:
                self._meshes.popitem(last=False)
        self._meshes.move_to_end(name)
        return name

    def _standing(self) -> tuple[object, ...]:
        """What changes whenever the workshop's database does: SQLite writes either into it or beside it."""
        path = database_in(self._workshop)
        found: list[tuple[int, int] | None] = []
        for file in (path, path.with_name(path.name + "-wal")):
            try:
                told = file.stat()
            except OSError:
                found.append(None)
            else:
                found.append((told.st_mtime_ns, told.st_size))
        return tuple(found)


def _overtaken() -> Overtaken:
    return Overtaken("a newer state of this job is being worked out")


def models_of(at: JobText) -> tuple[tuple[str, int, int] | None, ...]:
    """What changes with the models that a job names: when one is saved anew, the job is another one."""
    found: list[tuple[str, int, int] | None] = []
    for name in _FILE.findall(at.data.decode("utf-8", "replace")):
        try:
            told = (at.path.parent / name).stat()
        except (OSError, ValueError):
            found.append(None)
        else:
            found.append((name, told.st_mtime_ns, told.st_size))
    return tuple(found)
