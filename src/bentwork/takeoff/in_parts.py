"""Several readers for one STEP file: it is taken apart while the CAD kernel starts, and put together afterwards.

Each part is read by a process of its own, and what they find is told in the order of the file. Whatever is not
as it should be ends in the file being read as a whole.
"""

from __future__ import annotations

import ctypes
import json
import os
import selectors
import signal
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

__all__ = ["Apart", "begin_apart", "order_of", "read_in_parts", "readers_for"]

Say = Callable[[dict[str, Any]], None]
Made = tuple[int, str, str, int]
"""Place, kind and name of a body, and the number of what was drawn."""

LEAST_BYTES = 300_000
"""Smaller files are read before they are taken apart."""
MOST_READERS = 4
_DIES_WITH_PARENT = 1
"""What ``prctl`` calls it."""


@dataclass(frozen=True, slots=True)
class Apart:
    """A file being taken apart.

    Args:
        files: of the parts, without a name: nothing is left of them, however this ends.
        process: that takes it apart.
    """

    files: tuple[int, ...]
    process: int

    def parts(self) -> tuple[int, ...]:
        """Wait for it, and return the files of the parts; empty when there are none, and nothing is left of it."""
        made = os.waitstatus_to_exitcode(os.waitpid(self.process, 0)[1])
        if 1 < made <= len(self.files):
            return self.files[:made]
        self.drop()
        return ()

    def drop(self) -> None:
        """Let go of the parts."""
        for file in self.files:
            os.close(file)


def readers_for(path: Path) -> int:
    """Return how many readers a file is worth: one for each processor, or 1."""
    if not all(hasattr(os, needed) for needed in ("fork", "memfd_create", "sched_getaffinity")):
        return 1
    return min(len(os.sched_getaffinity(0)), MOST_READERS) if path.stat().st_size >= LEAST_BYTES else 1


def begin_apart(path: Path, count: int) -> Apart:
    """Begin to take a file apart, for so many readers at most."""
    files = tuple(os.memfd_create("part") for _ in range(count))

    def take_apart() -> int:
        from bentwork.takeoff.step_parts import taken_apart

        parts = taken_apart(path.read_bytes(), count)
        for file, pieces in zip(files, parts, strict=False):
            with open(file, "wb", closefd=False) as out:
                out.writelines(pieces)
        return len(parts)

    return Apart(files, _fork(take_apart))


def read_in_parts(parts: Sequence[int], solids: int, say: Say) -> dict[str, Any] | None:
    """Read the parts of a file and answer as the reader of a whole one does.

    Args:
        parts: files of them.
        solids: how many the whole file names.
        say: answers.

    Returns:
        What is left to be said; empty when a reader broke down over the body that comes next. None when no body has
        been told yet, and the file must be read as a whole.
    """
    readers: list[_Reader] = []
    try:
        with suppress(OSError):  # no room for more processes
            readers += (_Reader(number, file) for number, file in enumerate(parts))
        return _put_together(readers, solids, say) if len(readers) == len(parts) else None
    finally:
        for reader in readers:
            reader.end()


class _Reader:
    """The process that reads one part."""

    def __init__(self, number: int, file: int) -> None:
        self.opened = False
        self.made: list[Made] | None = None
        self.units: list[str] = []
        self.answers: dict[int, dict[str, Any]] = {}
        self.error: dict[str, Any] = {}
        self.pipe, into = os.pipe()
        self._rest = b""
        self._process = _fork(lambda: _read_part(number, file, into))
        os.close(into)

    def hear(self) -> bool:
        """Take what it says next; tell whether it is still there."""
        heard = os.read(self.pipe, 1 << 16)
        *lines, self._rest = (self._rest + heard).split(b"\n")
        for line in lines:
            answer = json.loads(line)
            if "opened" in answer:
                self.opened = True
            elif "made" in answer:
                self.made, self.units = [tuple(one) for one in answer["made"]], answer["units"]
            elif "solid" in answer:
                self.answers[answer["solid"]["index"]] = answer
            elif "error" in answer:
                self.error = answer
        return bool(heard)

    def end(self) -> None:
        """End it, whatever it is at."""
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)
        os.close(self.pipe)


def _put_together(readers: Sequence[_Reader], solids: int, say: Say) -> dict[str, Any] | None:
    with selectors.DefaultSelector() as waiting:
        for reader in readers:
            waiting.register(reader.pipe, selectors.EVENT_READ, reader)
        opening = True
        for _ in _heard(waiting):
            if opening and all(reader.opened for reader in readers):
                opening = False
                say({"stage": "building"})
            if all(reader.made is not None for reader in readers):
                break
            if any(reader.made is None and reader.pipe not in waiting.get_map() for reader in readers):
                return None
        order = order_of([reader.made or [] for reader in readers], solids)
        if order is None:
            return None
        say({"total": len(order), "units": readers[0].units})
        left = deque(order)
        for _ in chain((None,), _heard(waiting)):
            while left and left[0][1] in readers[left[0][0]].answers:
                number, index = left.popleft()
                answer = readers[number].answers.pop(index)
                answer["solid"]["index"] = len(order) - len(left)
                say(answer)
    if left:
        return readers[left[0][0]].error
    return {"done": True}


def _heard(waiting: selectors.BaseSelector) -> Iterator[None]:
    """Listen to all readers until each has ended; yield whenever one has said something."""
    while waiting.get_map():
        for key, _ in waiting.select():
            if not key.data.hear():
                waiting.unregister(key.fileobj)
        yield


def order_of(made: Sequence[Sequence[Made]], solids: int) -> list[tuple[int, int]] | None:
    """Return which reader has each body, and which of its own it is, from 1, in the order of the file.

    What several have (a solid with hollows stands in every part) is the first one's.

    Args:
        made: by each reader.
        solids: how many there must be.

    Returns:
        None when they do not go together.
    """
    trees = [sorted({(place, name) for place, _, name, _ in bodies}) for bodies in made]
    owners: dict[int, int] = {}
    for number, bodies in enumerate(made):
        for place, kind, _, _ in bodies:
            if kind != "elsewhere":
                owners.setdefault(place, number)
    if any(tree != trees[0] for tree in trees) or len(owners) != len(trees[0]):
        return None
    own: list[tuple[bool, int, int, int]] = []
    drawn: set[tuple[int, int]] = set()
    for number, bodies in enumerate(made):
        there = [body for body in bodies if body[1] != "elsewhere"]
        for index, (place, kind, _, shape) in enumerate(there, 1):
            if owners[place] == number:
                own.append((kind != "solid", place, number, index))
                if kind in ("solid", "sheet"):
                    drawn.add((number, shape))
    return [(number, index) for *_, number, index in sorted(own)] if len(drawn) >= solids else None


def _read_part(number: int, file: int, into: int) -> int:
    from bentwork.takeoff import kernel
    from bentwork.takeoff.reading import read_bodies

    out = os.fdopen(into, "w", encoding="utf-8")

    def tell(answer: dict[str, Any]) -> None:
        out.write(json.dumps(answer, allow_nan=False) + "\n")
        out.flush()

    try:
        reader, _ = kernel.open_model(Path(f"/proc/self/fd/{file}"))
        tell({"opened": True})
        bodies = kernel.bodies(reader, number)
        made = [(body.place, body.kind, body.name, body.drawn) for body in bodies]
        tell({"made": made, "units": kernel.file_units(reader)})
        read_bodies([body for body in bodies if body.kind != "elsewhere"], 1, tell)
    except MemoryError:
        tell({"error": "memory"})
    return 0


def _fork(run: Callable[[], int]) -> int:
    """Run something in a process that dies with this one, and ends with what it returns."""
    parent = os.getpid()
    child = os.fork()
    if child:
        return child
    try:
        ctypes.CDLL(None).prctl(_DIES_WITH_PARENT, signal.SIGKILL)
        if os.getppid() == parent:
            os._exit(run())
    finally:
        os._exit(255)
