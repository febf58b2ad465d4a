"""The log: what was measured on the bends of a job's pieces. It is only added to."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from typing import Literal

from bentwork.bending.checking import Checks
from bentwork.errors import Fault, InputError
from bentwork.workshop.connection import Database, Value

__all__ = ["Log", "LoggedBend", "log_record"]

_MOST_BENDS = 10_000


@dataclass(frozen=True, slots=True)
class LoggedBend:
    """One bend of a piece as it was measured.

    Args:
        entry_id: any text that its sender made up for this one entry; sent again, it is kept once.
        job: name of the job.
        job_version: short code of the job file as it was bent to; may be empty.
        piece: name of the piece.
        bend: its number, from 1 at end A.
        angle_deg: the angle found.
        made_on: the day, such as ``2025-03-12``.
        hand: which hand of a mirrored piece; None where only one is made.
        rotation_deg: the rotation found against the bend before, -180 to 180; None when it was not measured.
        position_mm: where along the straight bar from end A the bend was found to begin, trim included, as marks are.
        note: anything else.
        id: number in the log; None until it is kept there.

    Raises:
        InputError: it cannot have been so; it carries every fault found.
    """

    entry_id: str
    job: str
    job_version: str
    piece: str
    bend: int
    angle_deg: float
    made_on: str
    hand: Literal["left", "right"] | None = None
    rotation_deg: float | None = None
    position_mm: float | None = None
    note: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        checks = Checks("log")
        for field in ("entry_id", "job", "piece"):
            object.__setattr__(self, field, checks.name(field.replace("_", " "), getattr(self, field)))
        for field in ("job_version", "note"):
            object.__setattr__(self, field, checks.text(field.replace("_", " "), getattr(self, field)))
        if not 0 < self.bend <= _MOST_BENDS:
            checks.fault("bend", f"{self.bend}", "its number, from 1 at end A")
        checks.angle("angle", self.angle_deg)
        checks.date("made on", self.made_on)
        checks.choice("hand", self.hand or "left", ("left", "right"))
        if self.rotation_deg is not None and not -180.0 <= self.rotation_deg <= 180.0:
            checks.fault("rotation", f"{self.rotation_deg:g}°", "a rotation from -180° to 180°")
        checks.length("position", self.position_mm)
        checks.tell()


class Log:
    """Every bend that was measured, in the order in which they were entered."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, bend: LoggedBend) -> LoggedBend:
        """Keep a measurement for good, and return it with its number; the same entry sent twice is kept once.

        Raises:
            ValueError: it has a number already.
            InputError: another measurement came under its ``entry_id``.
            WorkshopError: it could not be kept; what was kept before is still there.
        """
        if bend.id is not None:
            raise ValueError("this measurement is in the log already")
        with self._database.writing():
            known = self._database.read(_logged, "SELECT * FROM log WHERE entry_id = ?", (bend.entry_id,))
            if not known:
                return replace(bend, id=self._database.insert("log", log_record(bend)))
        if replace(known[0], id=None) != bend:
            raise InputError("log", [Fault("entry id", repr(bend.entry_id), "an id that no other measurement has")])
        return known[0]

    def all(self) -> tuple[LoggedBend, ...]:
        """Return everything that was measured."""
        return self._database.read(_logged, "SELECT * FROM log ORDER BY id")

    def of(self, job: str, piece: str) -> tuple[LoggedBend, ...]:
        """Return what was measured on one piece of a job, of either hand and by every version of the job file."""
        asked = (job.strip(), piece.strip())
        return self._database.read(_logged, "SELECT * FROM log WHERE job = ? AND piece = ? ORDER BY id", asked)


def log_record(bend: LoggedBend) -> dict[str, Value]:
    """Return a measurement as a row without its number, in the order of its table."""
    return {
        "entry_id": bend.entry_id,
        "job": bend.job,
        "job_version": bend.job_version,
        "piece": bend.piece,
        "hand": bend.hand,
        "bend": int(bend.bend),
        "angle_deg": float(bend.angle_deg),
        "rotation_deg": None if bend.rotation_deg is None else float(bend.rotation_deg),
        "position_mm": None if bend.position_mm is None else float(bend.position_mm),
        "made_on": bend.made_on,
        "note": bend.note,
    }


def _logged(row: sqlite3.Row) -> LoggedBend:
    return LoggedBend(**{name: row[name] for name in row.keys()})  # noqa: SIM118 - a row iterates its values
