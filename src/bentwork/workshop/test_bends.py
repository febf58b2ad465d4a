"""The test bends that the workshop keeps. They are only added to: a wrong one is struck out, and stays readable."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace

from bentwork.bending.checking import Checks
from bentwork.bending.stock_key import StockKey, section_from_text, section_text
from bentwork.bending.test_bend import TestBend
from bentwork.errors import Fault, InputError
from bentwork.workshop.connection import Database, Value

__all__ = ["TestBends", "bend_record"]

_SELECT = (
    "SELECT test_bends.*, strikes.reason, read_twice.said_on FROM test_bends"
    " LEFT JOIN strikes ON strikes.test_bend = test_bends.id"
    " LEFT JOIN read_twice ON read_twice.test_bend = test_bends.id"
    " WHERE ({condition}) ORDER BY test_bends.id"
)


class TestBends:
    """Every test bend, in the order in which they were entered."""

    __test__ = False  # pytest takes a class for tests by its name

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, bend: TestBend, entry_id: str | None = None) -> TestBend:
        """Keep a test bend for good, and return it with its number.

        Args:
            bend: not kept yet.
            entry_id: any text that its sender made up for this one entry; sent again, it is kept once.

        Raises:
            ValueError: it has a number already.
            InputError: another test bend came under this ``entry_id``.
            WorkshopError: it could not be kept; what was kept before is still there.
        """
        if bend.id is not None or bend.struck or bend.sure:
            raise ValueError("this test bend is in the workshop already")
        if entry_id is not None:
            checks = Checks("test bend")
            entry_id = checks.name("entry id", entry_id)
            checks.tell()
        with self._database.writing():
            known = self._where("entry_id = ?", (entry_id,)) if entry_id else ()
            if not known:
                number = self._database.insert("test_bends", {"entry_id": entry_id, **bend_record(bend)})
                return replace(bend, id=number)
        if replace(known[0], id=None, struck=False, struck_because="", sure=False) != bend:
            raise InputError("test bend", [Fault("entry id", repr(entry_id), "an id that no other test bend has")])
        return known[0]

    def all(self, *, struck: bool = False) -> tuple[TestBend, ...]:
        """Return all test bends; those struck out only when asked for."""
        return self._where("TRUE" if struck else "strikes.id IS NULL")

    def of(self, stock_key: StockKey, bender: str) -> tuple[TestBend, ...]:
        """Return the test bends of this kind of bar, of all its batches, on this bender; none that is struck out."""
        condition = "test_bends.stock_key = ? AND test_bends.bender = ? AND strikes.id IS NULL"
        return self._where(condition, (str(stock_key), bender.strip()))

    def strike_out(self, number: int, reason: str, struck_on: str) -> TestBend:
        """Strike out a wrong test bend: it stays, but counts no more. Returns it as it is now.

        Args:
            number: of the test bend.
            reason: what is wrong with it.
            struck_on: the day, such as ``2025-03-12``.

        Raises:
            InputError: there is no such test bend, it is struck out already, or reason or day is missing.
        """
        checks = Checks("test bend")
        reason = checks.text("reason", reason)
        if not reason:
            checks.fault("reason", "nothing", "what is wrong with it")
        checks.date("struck on", struck_on)
        with self._database.writing():
            found = self._where("test_bends.id = ?", (number,)) if abs(number) < 2**63 else ()
            if not found:
                checks.fault("number", f"{number}", "the number of a test bend that is there")
            elif found[0].struck:
                checks.fault("number", f"{number}, struck out already: {found[0].struck_because}", "one that counts")
            checks.tell()
            self._database.insert("strikes", {"test_bend": number, "reason": reason, "struck_on": struck_on})
        return replace(found[0], struck=True, struck_because=reason)

    def read_twice(self, number: int, said_on: str) -> TestBend:
        """Keep the maker's word that an odd test bend was read twice; saying it again does no harm.

        Args:
            number: of the test bend.
            said_on: the day, such as ``2025-03-12``.

        Raises:
            InputError: there is no such test bend that counts, or the day is missing.
        """
        checks = Checks("test bend")
        checks.date("said on", said_on)
        with self._database.writing():
            found = self._where("test_bends.id = ?", (number,)) if abs(number) < 2**63 else ()
            if not found:
                checks.fault("number", f"{number}", "the number of a test bend that is there")
            elif found[0].struck:
                checks.fault("number", f"{number}, struck out: {found[0].struck_because}", "one that is not struck out")
            checks.tell()
            if not found[0].sure:
                self._database.insert("read_twice", {"test_bend": number, "said_on": said_on})
        return replace(found[0], sure=True)

    def _where(self, condition: str, values: Sequence[Value] = ()) -> tuple[TestBend, ...]:
        return self._database.read(_bend, _SELECT.format(condition=condition), values)


def bend_record(bend: TestBend) -> dict[str, Value]:
    """Return a test bend as a row without its number, in the order of its table."""

    def number(value: float | None) -> float | None:
        return None if value is None else float(value)

    return {
        "stock_key": str(bend.stock_key),
        "section": section_text(bend.stock_key.section),
        "material": bend.stock_key.material,
        "bender": bend.bender,
        "radius_mm": float(bend.radius_mm),
        "batch": bend.batch,
        "way": bend.way,
        "made_on": bend.made_on,
        "pulled_deg": float(bend.pulled_deg),
        "left_deg": float(bend.left_deg),
        "bar_mm": number(bend.bar_mm),
        "mark_mm": number(bend.mark_mm),
        "held_leg_mm": number(bend.held_leg_mm),
        "free_leg_mm": number(bend.free_leg_mm),
        "legs_to": bend.legs_to,
        "start_shift_mm": number(bend.start_shift_mm),
        "tape_sd_mm": float(bend.tape_sd_mm),
        "gauge_sd_deg": float(bend.gauge_sd_deg),
        "note": bend.note,
    }


def _bend(row: sqlite3.Row) -> TestBend:
    told = {name: row[name] for name in row.keys() if name in _AS_THEY_ARE}  # noqa: SIM118 - a row iterates its values
    return TestBend(
        stock_key=StockKey(section_from_text(row["section"]), row["material"]),
        struck=row["reason"] is not None,
        struck_because=row["reason"] or "",
        sure=row["said_on"] is not None,
        **told,
    )


_AS_THEY_ARE = frozenset(
    "id bender radius_mm batch way made_on pulled_deg left_deg bar_mm mark_mm held_leg_mm free_leg_mm legs_to "
    "start_shift_mm tape_sd_mm gauge_sd_deg note".split()
)
