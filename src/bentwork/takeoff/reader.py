"""Reading a STEP file in a process of its own, so that no file can take the program along."""

from __future__ import annotations

import json
import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any

from bentwork.errors import Fault, InputError

__all__ = ["Limits", "Progress", "StepAnswers", "read_step"]

WORKER = (sys.executable, "-P", "-m", "bentwork.takeoff.worker")
MOST_RESTARTS = 3
"""How often a file is taken up again behind a solid that broke the kernel."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What the reader may use.

    Args:
        seconds: for the whole file.
        solid_seconds: for one solid.
        memory: bytes of address space, where the system can limit it; the kernel's own libraries take 1.5 GB of it.
    """

    seconds: int = 300
    solid_seconds: int = 30
    memory: int = 6 << 30


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the reader is.

    Args:
        stage: ``opening`` the file, ``building`` its shapes, looking at its ``solids``.
        done: solids looked at.
        total: solids in the file; 0 as long as that is not known.
        seconds: since the beginning.
    """

    stage: str
    done: int
    total: int
    seconds: float


@dataclass(frozen=True, slots=True)
class StepAnswers:
    """What the reader answered.

    Args:
        solids: documents as in ``document``.
        units: the file's own names of them.
        whole: no worker broke down or ran out of time or memory.
    """

    solids: tuple[Mapping[str, Any], ...]
    units: tuple[str, ...]
    whole: bool = True


def read_step(
    path: Path,
    limits: Limits | None = None,
    progress: Callable[[Progress], None] | None = None,
    command: Sequence[str] = WORKER,
) -> StepAnswers:
    """Read a STEP file that ``look`` let pass.

    Args:
        path: of the file.
        limits: of time and memory.
        progress: called with every solid and twice a second.
        command: of the worker.

    Raises:
        InputError: the CAD kernel is not there, or can make nothing of the file within the limits.
    """
    if find_spec("OCP") is None:
        do = "Install it with the package: bentwork[cad]. Corner points (.csv, .dxf) can be read without it."
        raise InputError(
            str(path), [Fault(path.name, "no CAD kernel here", "the optional CAD kernel, to read STEP", do)]
        )
    reading = _Reading(path, limits or Limits(), progress, tuple(command))
    for _ in range(MOST_RESTARTS + 1):
        if reading.run():
            return reading.answers()
    reading.give_up()
    return reading.answers()


class _Reading:
    """One file being read, over as many workers as it takes."""

    def __init__(
        self, path: Path, limits: Limits, progress: Callable[[Progress], None] | None, command: tuple[str, ...]
    ) -> None:
        self.path, self.limits, self.progress, self.command = path, limits, progress, command
        self.begun = time.monotonic()
        self.solids: list[Mapping[str, Any]] = []
        self.units: tuple[str, ...] = ()
        self.total, self.stage, self.whole = 0, "opening", True

    def run(self) -> bool:
        """Run one worker; tell whether the file is read. What broke it is then the solid it was at."""
        left = self.limits.seconds - (time.monotonic() - self.begun)
        if left <= 0.0:
            return self._too_long(f"{self.limits.seconds} seconds for the file")
        first = str(len(self.solids) + 1)
        arguments = (str(self.path.resolve()), str(int(left) + 1), str(self.limits.memory), first)
        process = subprocess.Popen(
            (*self.command, *arguments),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            # Matrices here are three by three: threads for them cost more to start than they save.
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
        )
        lines: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        assert process.stdout is not None and process.stdin is not None
        pump = threading.Thread(target=_pump, args=(process.stdout, lines), daemon=True)
        pump.start()
        try:
            return self._listen(lines)
        finally:
            # Also on Ctrl-C, and when a progress callback raises.
            process.kill()
            process.wait()
            pump.join()
            process.stdin.close()
            process.stdout.close()

    def _listen(self, lines: queue.SimpleQueue[bytes | None]) -> bool:
        since = time.monotonic()
        while True:
            try:
                line = lines.get(timeout=0.5)
            except queue.Empty:
                now = time.monotonic()
                self._tell()
                if now - self.begun > self.limits.seconds:
                    return self._too_long(f"{self.limits.seconds} seconds for the file")
                if self.total and now - since > self.limits.solid_seconds:
                    return self._too_long(f"{self.limits.solid_seconds} seconds for a solid")
                continue
            if line is None:
                if not self.total:
                    do = "Repair it in the CAD program, or export the bent parts alone."
                    raise self._fault("a file that breaks the CAD kernel", "a STEP file that can be read", do)
                self._broken("the CAD kernel broke down over it")
                return len(self.solids) >= self.total
            since = time.monotonic()
            if self._take(line):
                return len(self.solids) >= self.total

    def _take(self, line: bytes) -> bool:
        """Take an answer; tell whether it was the worker's last."""
        try:
            answer = json.loads(line)
        except ValueError:
            return False
        if "error" in answer:
            self._failed(answer)
            return True
        self.stage = answer.get("stage", self.stage)
        if "total" in answer:
            self.total, self.stage = int(answer["total"]), "solids"
            self.units = tuple(answer.get("units", ()))
        if "solid" in answer:
            self.solids.append(answer["solid"])
        if "stage" in answer or "total" in answer or "solid" in answer:
            self._tell()
        return bool(answer.get("done"))

    def _failed(self, answer: Mapping[str, Any]) -> None:
        kind, says = answer["error"], str(answer.get("says", ""))
        if kind == "missing":
            do = "Install it anew with the package: bentwork[cad]."
            raise self._fault(f"a CAD kernel that does not start ({says})", "the optional CAD kernel", do)
        if self.total:
            why = "memory ran out over it" if kind == "memory" else "the CAD kernel broke down over it"
            self._broken(why)
            return
        if kind == "memory":
            size = f"{self.limits.memory / 2**30:.0f} GB"
            raise self._fault("a file that memory does not hold", f"one that {size} hold", "Export fewer parts.")
        found = f"a file that the CAD kernel cannot read: {says}" if says else "a file that the CAD kernel cannot read"
        raise self._fault(found, "a STEP file with solids", "Export it again, as STEP AP214 or AP242.")

    def _too_long(self, limit: str) -> bool:
        if not self.total:
            raise self._fault("a file that takes too long", f"one that takes at most {limit}", "Export fewer parts.")
        self._broken(f"it takes longer than {limit}")
        if time.monotonic() - self.begun > self.limits.seconds:
            self.give_up()
        return len(self.solids) >= self.total

    def _broken(self, why: str) -> None:
        """Answer in the worker's place for the solid it was at."""
        self.whole = False
        if len(self.solids) < self.total:
            self.solids.append(_no_answer(len(self.solids) + 1, f"{why}: mend the model"))

    def give_up(self) -> None:
        """Answer for all solids that are left."""
        self.whole = self.whole and len(self.solids) >= self.total
        while len(self.solids) < self.total:
            self.solids.append(_no_answer(len(self.solids) + 1, "not looked at: the reader had to stop before it"))

    def answers(self) -> StepAnswers:
        """Return everything answered."""
        return StepAnswers(tuple(self.solids), self.units, self.whole)

    def _tell(self) -> None:
        if self.progress is not None:
            passed = time.monotonic() - self.begun
            self.progress(Progress(self.stage, len(self.solids), self.total, passed))

    def _fault(self, found: str, wanted: str, do: str) -> InputError:
        return InputError(str(self.path), [Fault(self.path.name, found, wanted, do)])


def _pump(stream: IO[bytes], lines: queue.SimpleQueue[bytes | None]) -> None:
    for line in stream:
        lines.put(line)
    lines.put(None)


def _no_answer(index: int, reason: str) -> Mapping[str, Any]:
    return {
        "index": index,
        "name": "",
        "kind": "other",
        "reason": reason,
        "volume_mm3": None,
        "same_as": None,
        "mirror_of": None,
    }
