"""The log: what was measured on a job's pieces. It is only added to; a wrong entry is struck out and stays readable."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, TypeVar

from bentwork.bending.checking import Checks
from bentwork.errors import Fault, InputError
from bentwork.workshop.connection import Database, Value
from bentwork.workshop.log_entries import Logged, LoggedBend, LoggedSize

__all__ = ["Log", "LoggedBend", "LoggedSize", "log_record"]

AnyLogged = TypeVar("AnyLogged", bound=Logged)
_SELECT = (
    "SELECT log.*, log_strikes.reason FROM log LEFT JOIN log_strikes ON log_strikes.entry = log.id"
    " WHERE ({condition}) ORDER BY log.id"
)
_COUNTS = "log_strikes.id IS NULL"


class Log:
    """Everything that was measured, in the order in which it was entered."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, entry: AnyLogged) -> AnyLogged:
        """Keep a measurement for good, and return it with its number; the same entry sent twice is kept once.

        One that was struck out meanwhile comes back struck out.

        Raises:
            ValueError: it has a number already.
            InputError: another measurement came under its ``entry_id``.
            WorkshopError: it could not be kept; what was kept before is still there.
        """
        if entry.id is not None or entry.struck:
            raise ValueError("this measurement is in the log already")
        with self._database.writing():
            known = self.entry(entry.entry_id)
            if known is None:
                return replace(entry, id=self._database.insert("log", log_record(entry)))
        if type(known) is type(entry) and replace(known, id=None, struck=False, struck_because="") == entry:
            return known
        raise InputError("log", [Fault("entry id", repr(entry.entry_id), "an id that no other measurement has")])

    def entry(self, entry_id: str) -> Logged | None:
        """Return the measurement that came under an id, struck out or not; None where none did."""
        return next(iter(self._where("log.entry_id = ?", (entry_id.strip(),))), None)

    def numbered(self, number: int) -> Logged | None:
        """Return the measurement of this number, struck out or not; None where there is none."""
        return next(iter(self._where("log.id = ?", (number,))), None) if abs(number) < 2**63 else None

    def all(self, *, struck: bool = False) -> tuple[Logged, ...]:
        """Return everything that was measured; what is struck out only when asked for."""
        return self._where("TRUE" if struck else _COUNTS)

    def of(self, job: str, piece: str) -> tuple[Logged, ...]:
        """Return what was measured on one piece of a job, of either hand, of all its copies and by every version."""
        return self._where(f"log.job = ? AND log.piece = ? AND {_COUNTS}", (job.strip(), piece.strip()))

    def bent_on(self, bender: str, stock_key: str) -> tuple[Logged, ...]:
        """Return every bend that was made of a kind of bar on a bender, in any job."""
        return self._where(
            f"log.kind = 'bend' AND log.bender = ? AND log.stock_key = ? AND {_COUNTS}", (bender, stock_key)
        )

    def strike_out(self, entry_id: str, reason: str, struck_on: str) -> Logged:
        """Strike out a wrong measurement: it stays, but counts no more. Returns it as it is now.

        One that is struck out already is left as it is, so that the same word sent twice does no harm.

        Args:
            entry_id: of the measurement.
            reason: what is wrong with it.
            struck_on: the day, such as ``2025-03-12``.

        Raises:
            InputError: there is no such measurement, or reason or day is missing.
        """
        checks = Checks("log")
        reason = checks.text("reason", reason)
        if not reason:
            checks.fault("reason", "nothing", "what is wrong with it")
        checks.date("struck on", struck_on)
        with self._database.writing():
            found = self.entry(entry_id)
            if found is None:
                checks.fault("entry id", repr(entry_id[:80]), "the id of a measurement that is in the log")
            checks.tell()
            assert found is not None
            if not found.struck:
                self._database.insert("log_strikes", {"entry": found.id, "reason": reason, "struck_on": struck_on})
                found = replace(found, struck=True, struck_because=reason)
        return found

    def _where(self, condition: str, values: Sequence[Value] = ()) -> tuple[Logged, ...]:
        return self._database.read(_logged, _SELECT.format(condition=condition), values)


def log_record(entry: Logged) -> dict[str, Value]:
    """Return a measurement as a row without its number, in the order of its table; what it has not is None."""
    row: dict[str, Value] = dict.fromkeys(_COLUMNS)
    row["kind"] = entry.kind if isinstance(entry, LoggedSize) else "bend"
    for name in _COLUMNS:
        value = getattr(entry, name, None)
        if value is not None and name != "kind":
            row[name] = float(value) if name.endswith(("_deg", "_mm")) else value
    row["sure"] = int(entry.sure)
    if row["kind"] == "height":
        row |= {"kind": "rock", "flat_bend": row["from_place"], "from_place": row["to_place"], "to_place": None}
    return row


def _logged(row: sqlite3.Row) -> Logged:
    kind: type[LoggedBend] | type[LoggedSize] = LoggedBend if row["kind"] == "bend" else LoggedSize
    told: dict[str, Any] = {name: row[name] for name in kind.__dataclass_fields__.keys() & set(row.keys())}
    told["sure"] = bool(row["sure"])
    if row["flat_bend"] is not None:
        told |= {"kind": "height", "from_place": row["flat_bend"], "to_place": row["from_place"]}
    return kind(**told, struck=row["reason"] is not None, struck_because=row["reason"] or "")


_COLUMNS = (
    "entry_id kind job job_version piece hand number bend held pulled_deg angle_deg rotation_deg position_mm "
    "angle_sd_deg position_sd_mm bender stock_key length_mm from_place to_place measured_to sd_mm made_on note "
    "mark_mm turn_deg sure way flat_bend".split()
)
