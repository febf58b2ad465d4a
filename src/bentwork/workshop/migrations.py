"""The tables, step by step. A step that was published is never changed: what is to be different is a step more.

SQLite's ``user_version`` counts the steps that a database has been through, ``application_id`` says that it is ours;
both change in the transaction of the step, so that a step is done or not begun.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from bentwork.errors import WorkshopError
from bentwork.workshop.connection import undo
from bentwork.workshop.plain_words import plain_words

__all__ = ["APPLICATION_ID", "STEPS", "VERSION", "standing", "upgrade"]

APPLICATION_ID = int.from_bytes(b"Bent")
"""What marks a database as a workshop's."""

_SECTION = """CHECK (section GLOB 'round [0-9]*' OR section GLOB 'tube [0-9]*x*' OR section GLOB 'square [0-9]*x*'
    OR section GLOB 'square-tube [0-9]*x*x*x*' OR section GLOB 'flat [0-9]*x*')"""
_LENGTH = "REAL CHECK ({0} > 0 AND {0} < 100000)"
_DAY = "TEXT NOT NULL CHECK ({0} GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]')"
_NAME = "TEXT NOT NULL CHECK (trim({0}) <> '')"
_FOREVER = """CREATE TRIGGER {table}_stay_{word} BEFORE {word} ON {table}
    BEGIN SELECT RAISE(ABORT, 'what was measured stays: {table} are only added to'); END"""


def _forever(table: str) -> tuple[str, ...]:
    return tuple(_FOREVER.format(table=table, word=word) for word in ("UPDATE", "DELETE"))


def _columns(pattern: str, *names: str) -> str:
    return ",\n".join(f"    {name} {pattern.format(name)}" for name in names)


_BELONGINGS = (
    f"""CREATE TABLE materials (
    plain TEXT PRIMARY KEY CHECK (plain <> ''),
{_columns(_NAME, "name")},
    entry TEXT NOT NULL CHECK (entry LIKE '{{%}}')
) STRICT""",
    """CREATE TABLE benders (
    name TEXT PRIMARY KEY CHECK (trim(name) <> ''),
    units TEXT NOT NULL CHECK (units IN ('mm', 'in')),
    entry TEXT NOT NULL CHECK (entry LIKE '{%}')
) STRICT""",
    f"""CREATE TABLE stock (
    name TEXT PRIMARY KEY CHECK (trim(name) <> ''),
    section TEXT NOT NULL {_SECTION},
{_columns(_NAME, "material")},
    batch TEXT NOT NULL,
{_columns(_LENGTH, "bar_length_mm")},
    bars INTEGER NOT NULL CHECK (bars >= 0),
    price REAL CHECK (price >= 0 AND price < 1e12),
    note TEXT NOT NULL
) STRICT""",
)

_TEST_BENDS = (
    f"""CREATE TABLE test_bends (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id TEXT UNIQUE CHECK (entry_id <> ''),
{_columns(_NAME, "stock_key")},
    section TEXT NOT NULL {_SECTION},
{_columns(_NAME, "material", "bender")},
    radius_mm REAL NOT NULL CHECK (radius_mm > 0 AND radius_mm < 100000),
    batch TEXT NOT NULL,
    way TEXT NOT NULL CHECK (way IN ('easy', 'hard')),
{_columns(_DAY, "made_on")},
    pulled_deg REAL NOT NULL CHECK (pulled_deg > 0 AND pulled_deg < 360),
    left_deg REAL NOT NULL CHECK (left_deg > 0 AND left_deg <= pulled_deg),
{_columns(_LENGTH, "bar_mm", "mark_mm", "held_leg_mm", "free_leg_mm")},
    legs_to TEXT NOT NULL CHECK (legs_to IN ('outside', 'middle')),
    start_shift_mm REAL CHECK (abs(start_shift_mm) < 100000),
    tape_sd_mm REAL NOT NULL CHECK (tape_sd_mm > 0 AND tape_sd_mm < 50),
    gauge_sd_deg REAL NOT NULL CHECK (gauge_sd_deg > 0 AND gauge_sd_deg < 30),
    note TEXT NOT NULL,
    CHECK (mark_mm < bar_mm)
) STRICT""",
    "CREATE INDEX test_bends_by_stock ON test_bends (stock_key, bender)",
    f"""CREATE TABLE strikes (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    test_bend INTEGER NOT NULL UNIQUE REFERENCES test_bends (id),
{_columns(_NAME, "reason")},
{_columns(_DAY, "struck_on")}
) STRICT""",
    *_forever("test_bends"),
    *_forever("strikes"),
)

_LOG = (
    f"""CREATE TABLE log (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id TEXT NOT NULL UNIQUE CHECK (entry_id <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('bend', 'leg', 'across', 'gap', 'offset', 'rock')),
{_columns(_NAME, "job")},
    job_version TEXT NOT NULL,
{_columns(_NAME, "piece")},
    hand TEXT CHECK (hand IN ('left', 'right')),
    number INTEGER NOT NULL CHECK (number > 0),
    bend INTEGER CHECK (bend > 0),
    held TEXT CHECK (held IN ('A', 'B')),
    pulled_deg REAL CHECK (pulled_deg > 0 AND pulled_deg < 360),
    angle_deg REAL CHECK (angle_deg > 0 AND angle_deg < 360),
    rotation_deg REAL CHECK (rotation_deg >= -180 AND rotation_deg <= 180),
{_columns(_LENGTH, "position_mm")},
    angle_sd_deg REAL CHECK (angle_sd_deg > 0 AND angle_sd_deg < 30),
    position_sd_mm REAL CHECK (position_sd_mm > 0 AND position_sd_mm < 50),
    bender TEXT,
    stock_key TEXT,
    length_mm REAL CHECK (abs(length_mm) <= 100000),
    from_place INTEGER CHECK (from_place >= 0),
    to_place INTEGER CHECK (to_place > from_place),
    measured_to TEXT CHECK (measured_to IN ('outside', 'middle', 'inside')),
    sd_mm REAL CHECK (sd_mm > 0 AND sd_mm < 50),
{_columns(_DAY, "made_on")},
    note TEXT NOT NULL,
    CHECK ((kind = 'bend') = (bend IS NOT NULL)),
    CHECK ((kind = 'bend') = (angle_deg IS NOT NULL)),
    CHECK ((kind = 'bend') = (bender IS NOT NULL AND stock_key IS NOT NULL)),
    CHECK ((kind = 'bend') = (length_mm IS NULL)),
    CHECK ((kind = 'bend') = (measured_to IS NULL)),
    CHECK ((kind IN ('leg', 'across')) = (to_place IS NOT NULL)),
    CHECK (kind <> 'leg' OR to_place = from_place + 1)
) STRICT""",
    "CREATE INDEX log_by_piece ON log (job, piece)",
    f"""CREATE TABLE log_strikes (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    entry INTEGER NOT NULL UNIQUE REFERENCES log (id),
{_columns(_NAME, "reason")},
{_columns(_DAY, "struck_on")}
) STRICT""",
    *_forever("log"),
    *_forever("log_strikes"),
)

_AS_TOLD = (
    # SQLite adds a column to rows that are there without touching them: what was logged before says nothing of it.
    "ALTER TABLE log ADD COLUMN mark_mm REAL CHECK (mark_mm > 0 AND mark_mm < 100000)",
    "ALTER TABLE log ADD COLUMN turn_deg REAL CHECK (turn_deg >= -180 AND turn_deg <= 180)",
    "ALTER TABLE log ADD COLUMN sure INTEGER NOT NULL DEFAULT 0 CHECK (sure IN (0, 1))",
    "ALTER TABLE log ADD COLUMN way TEXT CHECK (way IN ('side', 'up'))",
)

_HEIGHTS = (
    # A height is kept as what stands off a flat table, as rock is, with the bend that lies flat on it: the table that
    # holds what was measured is added to, never made anew.
    "ALTER TABLE log ADD COLUMN flat_bend INTEGER "
    "CHECK (flat_bend IS NULL OR (flat_bend > 0 AND kind = 'rock' AND from_place IS NOT NULL))",
)

_READ_TWICE = (
    f"""CREATE TABLE read_twice (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    test_bend INTEGER NOT NULL UNIQUE REFERENCES test_bends (id),
{_columns(_DAY, "said_on")}
) STRICT""",
    *_forever("read_twice"),
)

STEPS: tuple[tuple[str, ...], ...] = (_BELONGINGS, _TEST_BENDS, _LOG, _AS_TOLD, _HEIGHTS, _READ_TWICE)
"""The statements of each step, in the order they came; a database of version n has been through the first n."""

VERSION = len(STEPS)


def standing(connection: sqlite3.Connection, path: Path, newest: int = VERSION) -> int:
    """Return how many steps a database has been through; 0 for one that is new and empty.

    Args:
        connection: to it; nothing is written.
        path: of its file, for messages.
        newest: how many steps this program knows.

    Raises:
        WorkshopError: it is another program's, or a newer Bentwork's.
    """
    with plain_words(path):
        begun = not connection.in_transaction
        if begun:
            connection.execute("BEGIN")  # all three as they stood at one moment
        try:
            owner, version, things = (
                int(connection.execute(question).fetchone()[0])
                for question in ("PRAGMA application_id", "PRAGMA user_version", "SELECT count(*) FROM sqlite_schema")
            )
        finally:
            if begun:
                undo(connection)
    if owner == 0 and version == 0 and things == 0:
        return 0
    if owner != APPLICATION_ID:
        raise WorkshopError(
            f"{path} is a database of another program, and was left alone. Move it out of that folder, or use another "
            "folder with --workshop DIR."
        )
    if not 0 < version <= newest:
        raise WorkshopError(
            f"{path} was written by a newer Bentwork: it is of version {version}, and this program knows versions up "
            f"to {newest}. It was left as it is. Use the newer Bentwork, or another folder with --workshop DIR."
        )
    return version


def upgrade(connection: sqlite3.Connection, path: Path, steps: Sequence[Sequence[str]] = STEPS) -> None:
    """Take a database through the steps that it has not been through, each in one transaction.

    Raises:
        WorkshopError: it is not ours, or a step could not be done; the steps before it are.
    """
    while standing(connection, path, len(steps)) < len(steps):
        with plain_words(path):
            connection.execute("BEGIN IMMEDIATE")
            try:
                done = standing(connection, path, len(steps))
                if done < len(steps):  # another process may have been faster
                    for statement in steps[done]:
                        connection.execute(statement)
                    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                    connection.execute(f"PRAGMA user_version = {done + 1}")
                connection.execute("COMMIT")
            except BaseException:
                undo(connection)
                raise
