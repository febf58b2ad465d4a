"""Several readers for one STEP file, put together again.

While the CAD kernel starts, the file's text is read: plain solids are looked at without the kernel, and what is left of
the file is taken apart for one kernel or several, each in a process of its own. What they find is told in the order of
the file. Whatever is not as it should be ends in the file being read as a whole.
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
from functools import partial
from itertools import chain
from pathlib import Path
from typing import IO, Any, NamedTuple

__all__ = ["Apart", "Made", "begin_apart", "order_of", "read_in_parts", "readers_for"]

Say = Callable[[dict[str, Any]], None]


class Made(NamedTuple):
    """What the CAD kernel made of a part, as ``Body`` has it.

    Args:
        place: in the order of the model.
        kind: of body.
        name: given in the model.
        drawn: the same for every instance of one drawn body.
        solid: which of the file's solids it stands for.
        matrix: of the move to where it stands, row by row.
        shift: of it, mm.
    """

    place: int
    kind: str
    name: str
    drawn: int
    solid: int = -1
    matrix: Sequence[Sequence[float]] = ()
    shift: Sequence[float] = ()


READER_BYTES = 300_000
"""So much text is worth a reader more."""
MOST_READERS = 4
_DIES_WITH_PARENT = 1
"""What ``prctl`` calls it."""


@dataclass(frozen=True, slots=True)
class Apart:
    """A file whose text is being read.

    Args:
        files: of the parts, without a name: nothing is left of them, however this ends.
        plain: those who read it.
    """

    files: tuple[int, ...]
    plain: tuple[_Reader, ...]

    def parts(self) -> tuple[int, ...]:
        """Wait for the parts that are left for the kernel, and return their files; none when it is to read it all."""
        first = self.plain[0]
        while first.parts is None and first.hear():
            pass
        return self.files[: first.parts or 0]

    def drop(self) -> None:
        """End the readers, and let go of the parts."""
        for reader in self.plain:
            reader.end()
        for file in self.files:
            os.close(file)


def readers_for(path: Path) -> int:
    """Return how many readers a file's text is worth, one for each processor at most; 0 where there is but one."""
    if not all(hasattr(os, needed) for needed in ("fork", "memfd_create", "sched_getaffinity")):
        return 0
    processors = len(os.sched_getaffinity(0))
    return min(processors, MOST_READERS, 1 + path.stat().st_size // READER_BYTES) if processors > 1 else 0


def begin_apart(path: Path, count: int) -> Apart:
    """Begin to read a file's text, by so many readers, for so many kernels at most.

    Raises:
        OSError: there is no room for more processes.
    """
    files = tuple(os.memfd_create("part") for _ in range(count))
    pipes = [os.pipe() for _ in range(count)]

    def lead() -> int:
        from bentwork.takeoff.plain_reading import read_plain

        return read_plain(path, files, [partial(_tell, os.fdopen(into, "w")) for _, into in pipes], _fork)

    try:
        process = _fork(lead)
    except OSError:
        for file in files:
            os.close(file)
        for out, _ in pipes:
            os.close(out)
        raise
    finally:
        for _, into in pipes:
            os.close(into)
    # The first of them is parent to the others, which end with it.
    return Apart(files, tuple(_Reader(out, 0 if k else process) for k, (out, _) in enumerate(pipes)))


def read_in_parts(apart: Apart, files: Sequence[int], solids: int, say: Say) -> dict[str, Any] | None:
    """Read the parts of a file and answer as the reader of a whole one does.

    Args:
        apart: the file.
        files: of its parts.
        solids: how many the whole file names.
        say: answers.

    Returns:
        What is left to be said; empty when a reader broke down over the body that comes next. None when no body has
        been told yet, and the file must be read as a whole.
    """
    readers: list[_Reader] = []
    try:
        with suppress(OSError):  # no room for more processes
            readers += (_part_reader(number, file) for number, file in enumerate(files))
        return _put_together(readers, apart.plain, solids, say) if len(readers) == len(files) else None
    finally:
        for reader in readers:
            reader.end()


class _Reader:
    """What a process that reads tells.

    Args:
        pipe: that it tells to.
        process: its number; 0 when it ends by itself.
    """

    def __init__(self, pipe: int, process: int) -> None:
        self.pipe, self._process, self._rest = pipe, process, b""
        self.parts: int | None = None
        self.opened = False
        self.made: list[Made] | None = None
        self.units: list[str] = []
        self.answers: dict[int, dict[str, Any]] = {}
        self.error: dict[str, Any] = {}

    def hear(self) -> bool:
        """Take what it says next; tell whether it is still there."""
        heard = os.read(self.pipe, 1 << 16)
        *lines, self._rest = (self._rest + heard).split(b"\n")
        for line in lines:
            answer = json.loads(line)
            if "parts" in answer:
                self.parts = answer["parts"]
            elif "opened" in answer:
                self.opened = True
            elif "made" in answer:
                self.made, self.units = [Made(*one) for one in answer["made"]], answer["units"]
            elif "solid" in answer:
                self.answers[answer["solid"]["index"]] = answer["solid"]
            elif "error" in answer:
                self.error = answer
        return bool(heard)

    def end(self) -> None:
        """End it, whatever it is at."""
        if self._process:
            os.kill(self._process, signal.SIGKILL)
            os.waitpid(self._process, 0)
        os.close(self.pipe)


def _part_reader(number: int, file: int) -> _Reader:
    pipe, into = os.pipe()
    try:
        return _Reader(pipe, _fork(lambda: _read_part(number, file, into)))
    finally:
        os.close(into)


def _put_together(readers: Sequence[_Reader], plain: Sequence[_Reader], solids: int, say: Say) -> dict[str, Any] | None:
    with selectors.DefaultSelector() as waiting:
        for reader in (*readers, *plain):
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
            while left and (solid := _solid(left[0], readers, plain)) is not None:
                left.popleft()
                say({"solid": {**solid, "index": len(order) - len(left)}})
    if left:
        broken = [reader.error for reader in (*readers, *plain) if reader.error]
        return broken[0] if broken else {}
    return {"done": True}


def _solid(at: tuple[int, int, Made], readers: Sequence[_Reader], plain: Sequence[_Reader]) -> dict[str, Any] | None:
    """Return what is known of a body; None while nothing is."""
    number, index, made = at
    if made.kind != "elsewhere":
        return readers[number].answers.pop(index, None)
    from bentwork.takeoff.document import solid_document, solid_from
    from bentwork.takeoff.placing import moved
    from bentwork.takeoff.standing import standing

    for reader in plain:
        if made.solid in reader.answers:
            drawn = solid_from(reader.answers[made.solid])
            return solid_document(standing(drawn, made.name, moved(made.matrix, made.shift), 0))
    return None


def _heard(waiting: selectors.BaseSelector) -> Iterator[None]:
    """Listen to all readers until each has ended; yield whenever one has said something."""
    while waiting.get_map():
        for key, _ in waiting.select():
            if not key.data.hear():
                waiting.unregister(key.fileobj)
        yield


def order_of(made: Sequence[Sequence[Made]], solids: int) -> list[tuple[int, int, Made]] | None:
    """Return which reader has each body, and which of its own it is, from 1, in the order of the file.

    What several have (a solid with hollows stands in every part) is the first one's; what none of them has is left to
    those who read without the kernel.

    Args:
        made: by each reader.
        solids: how many there must be.

    Returns:
        None when they do not go together.
    """
    trees = [sorted({(body.place, body.name) for body in bodies}) for bodies in made]
    owners: dict[int, int] = {}
    for number, bodies in enumerate(made):
        for body in bodies:
            if body.kind != "elsewhere":
                owners.setdefault(body.place, number)
    if any(tree != trees[0] for tree in trees):
        return None
    own: list[tuple[bool, int, int, int, Made]] = []
    drawn: set[tuple[int, int]] = set()
    for number, bodies in enumerate(made):
        there = [body for body in bodies if body.kind != "elsewhere"]
        for index, body in enumerate(there, 1):
            if owners[body.place] == number:
                own.append((body.kind != "solid", body.place, number, index, body))
                if body.kind in ("solid", "sheet"):
                    drawn.add((number, body.drawn))
    for body in made[0]:
        if body.place not in owners:
            if body.solid < 0:
                return None
            own.append((False, body.place, 0, 0, body))
            drawn.add((-1, body.solid))
    own.sort(key=lambda one: one[:4])
    return [(number, index, body) for *_, number, index, body in own] if len(drawn) >= solids else None


def _read_part(number: int, file: int, into: int) -> int:
    from bentwork.takeoff import kernel
    from bentwork.takeoff.reading import read_bodies

    tell = partial(_tell, os.fdopen(into, "w"))
    try:
        reader, _ = kernel.open_model(Path(f"/proc/self/fd/{file}"))
        tell({"opened": True})
        bodies = kernel.bodies(reader, number)
        rows = [(body.move.matrix.tolist(), body.move.shift.tolist()) for body in bodies]
        made = [(b.place, b.kind, b.name, b.drawn, b.solid, *row) for b, row in zip(bodies, rows, strict=True)]
        tell({"made": made, "units": kernel.file_units(reader)})
        read_bodies([body for body in bodies if body.kind != "elsewhere"], 1, tell)
    except MemoryError:
        tell({"error": "memory"})
    return 0


def _tell(out: IO[str], answer: dict[str, Any]) -> None:
    out.write(json.dumps(answer, allow_nan=False) + "\n")
    out.flush()


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
