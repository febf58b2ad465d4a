"""The process of its own that reads a STEP file: ``python -m bentwork.takeoff.worker FILE SECONDS BYTES FIRST``.

It answers in lines of JSON on what was its standard output; whatever the CAD kernel prints goes nowhere. It ends when
its parent does: standard input is a line that the parent holds.
"""

from __future__ import annotations

import gc
import json
import os
import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from bentwork.takeoff.in_parts import begin_apart, read_in_parts, readers_for
from bentwork.takeoff.step_text import tidied

__all__ = ["main"]

Say = Callable[[dict[str, Any]], None]


def main() -> None:
    """Read the file named on the command line and answer; never raise."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    path, seconds, size, first = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    _limit(seconds, size)
    gc.disable()  # it lives for seconds, and leaves no rings behind worth looking for
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    threading.Thread(target=_end_with_parent, daemon=True).start()

    def say(answer: dict[str, Any]) -> None:
        answers.write(json.dumps(answer, allow_nan=False) + "\n")
        answers.flush()

    try:
        _read(tidied(path), first, say)
    except MemoryError:
        say({"error": "memory"})
    except Exception as error:  # whatever the kernel throws ends here, as an answer
        say({"error": "kernel", "says": f"{type(error).__name__}: {error}"[:300]})
    answers.flush()
    # The kernel's own clearing up takes longer than all the rest.
    os._exit(0)


def _limit(seconds: int, size: int) -> None:
    """Limit time and memory, where the system can."""
    try:
        import resource
    except ImportError:
        return  # the parent watches the clock in any case
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    resource.setrlimit(resource.RLIMIT_AS, (size, size))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _end_with_parent() -> None:
    while os.read(0, 64):
        pass
    os._exit(1)


def _read(path: Path, first: int, say: Say) -> None:
    # Reading its text and starting the kernel take about as long: they go side by side.
    apart = None
    if first == 1 and (count := readers_for(path)):
        with suppress(OSError):  # where there is no room for more processes, one has to do
            apart = begin_apart(path, count)
    try:
        from bentwork.takeoff import kernel
        from bentwork.takeoff.kernel_lost import lost_solids, solids_named
    except ImportError as error:
        say({"error": "missing", "says": str(error)[:300]})
        return
    from bentwork.takeoff.reading import read_bodies

    say({"stage": "opening"})
    if apart:
        files = apart.parts()
        left = read_in_parts(apart, files, solids_named(path), say) if files else None
        apart.drop()
        if left is not None:
            if left:
                say(left)
            return
    try:
        reader, _ = kernel.open_model(path)
        units = kernel.file_units(reader)
        say({"stage": "building"})
        bodies = kernel.bodies(reader)
        bodies += lost_solids(reader, path, bodies)
    except kernel.ModelError as error:
        say({"error": "model", "says": str(error)})
        return
    say({"total": len(bodies), "units": list(units)})
    read_bodies(bodies, first, say)
    say({"done": True})


if __name__ == "__main__":
    main()
