"""Files that are being taken off: each in a thread that waits for the reader's own process, and goes with its file."""

from __future__ import annotations

import secrets
import shutil
import tempfile
import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from bentwork.door.models import kept_models
from bentwork.errors import BentworkError
from bentwork.takeoff.bar import TakeOff
from bentwork.takeoff.reader import Progress
from bentwork.takeoff.take import take_off
from bentwork.units import Units

__all__ = ["Reading", "TakeOffs"]

_MOST = 6
"""So many are remembered; the oldest is stopped and forgotten for a newer one."""

State = Literal["reading", "done", "refused", "stopped"]


class _StoppedError(Exception):
    """The maker wants no more of it."""


@dataclass(slots=True)
class Reading:
    """One file.

    Args:
        id: what the page asks for it by.
        file: its name.
        folder: where it lies, for as long as it is read.
        progress: how far it is.
        state: what became of it.
        result: once it is done.
        error: where it was refused.
    """

    id: str
    file: str
    folder: Path
    progress: Progress = field(default_factory=lambda: Progress("opening", 0, 0, 0.0))
    state: State = "reading"
    result: TakeOff | None = None
    error: BentworkError | None = None
    unwanted: threading.Event = field(default_factory=threading.Event)

    @property
    def path(self) -> Path:
        """Where the file is to be written before it is read."""
        return self.folder / self.file

    @property
    def share(self) -> float | None:
        """How much of it is read, from 0 to 1; None as long as nobody knows how much there is."""
        if self.state == "done":
            return 1.0
        return self.progress.done / self.progress.total if self.progress.total else None

    def discard(self) -> None:
        """Remove the file."""
        shutil.rmtree(self.folder, ignore_errors=True)


class TakeOffs:
    """The files that were dropped on the page lately."""

    def __init__(self) -> None:
        self._readings: OrderedDict[str, Reading] = OrderedDict()
        self._lock = threading.Lock()

    def begun(self, file: str) -> Reading:
        """Return a place for a file; it is read once ``read`` is called, and known from then on."""
        folder = Path(tempfile.mkdtemp(prefix="bentwork-takeoff-"))
        return Reading(secrets.token_urlsafe(12), file, folder)

    def read(self, reading: Reading, units: Units, radius: float | None) -> None:
        """Read a file that was written, in a thread of its own."""
        with self._lock:
            self._readings[reading.id] = reading
            old = [self._readings.popitem(last=False)[1] for _ in range(len(self._readings) - _MOST)]
        for one in old:
            one.unwanted.set()
        threading.Thread(target=_read, args=(reading, units, radius), daemon=True).start()

    def get(self, name: str) -> Reading | None:
        """Return a reading; None for one that is not known, or not any more."""
        with self._lock:
            return self._readings.get(name)

    def stop(self, name: str) -> None:
        """Stop reading, and forget it."""
        with self._lock:
            reading = self._readings.pop(name, None)
        if reading:
            reading.unwanted.set()


def _read(reading: Reading, units: Units, radius: float | None) -> None:
    def told(progress: Progress) -> None:
        reading.progress = progress
        if reading.unwanted.is_set():
            raise _StoppedError

    try:
        found = take_off(reading.path, units=units, radius=radius, progress=told, kept=kept_models())
        reading.result, reading.state = found, "done"
    except _StoppedError:
        reading.state = "stopped"
    except BentworkError as error:
        reading.error, reading.state = error, "refused"
    except Exception:
        says = f"{reading.file} could not be read: something went wrong in Bentwork itself."
        reading.error, reading.state = BentworkError(says), "refused"
    finally:
        reading.discard()
