"""The log of bends measured on a job's pieces."""

from __future__ import annotations

import math
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.workshop.log_entries import Logged, LoggedBend
from bentwork.workshop.store import Workshop, open_workshop
from tests.unit.workshop.entries import a_logged_bend, a_logged_size


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    with open_workshop(tmp_path) as opened:
        yield opened


def test_what_is_logged_is_there_the_next_time(tmp_path: Path) -> None:
    entries: list[Logged] = [
        a_logged_bend(),
        a_logged_bend(entry_id="bend-2", bend=2, rotation_deg=-180.0, position_mm=312.5, hand="right", note="slipped"),
        a_logged_bend(
            entry_id="bend-3",
            number=3,
            held="B",
            pulled_deg=93.5,
            angle_sd_deg=0.5,
            position_sd_mm=0.3,
            bender="lever",
            stock_key="round 12 6082-T6",
        ),
        a_logged_size(),
        a_logged_size(entry_id="across", kind="across", from_place=2, to_place=5, measured_to="middle", sd_mm=0.5),
        a_logged_size(entry_id="gap", kind="gap", length_mm=-1.5, from_place=None, to_place=None),
        a_logged_size(entry_id="offset", kind="offset", length_mm=2.0, from_place=None, to_place=None, hand="left"),
        a_logged_size(entry_id="rock", kind="rock", length_mm=0.0, from_place=3, to_place=None),
        a_logged_size(entry_id="height", kind="height", length_mm=-63.5, from_place=3, to_place=1),
        a_logged_bend(entry_id="as told", bend=4, mark_mm=667.5, turn_deg=-90.0, sure=True),
        a_logged_size(
            entry_id="up", kind="offset", length_mm=-1.0, from_place=None, to_place=None, way="up", sure=True
        ),
    ]
    with open_workshop(tmp_path) as workshop:
        kept = [workshop.log.add(entry) for entry in entries]
    with open_workshop(tmp_path) as workshop:
        assert workshop.log.all() == tuple(kept)
    assert [replace(one, id=None) for one in kept] == entries
    assert [one.id for one in kept] == list(range(1, 12))


def test_the_log_of_a_piece_is_found(workshop: Workshop) -> None:
    ours = [workshop.log.add(a_logged_bend(entry_id=f"{n}", job_version=f"v{n}")) for n in range(2)]
    workshop.log.add(a_logged_bend(entry_id="other piece", piece="rail"))
    workshop.log.add(a_logged_bend(entry_id="other job", job="Boat cradle"))
    assert workshop.log.of("Crate shelf for a hand cart", "loop") == tuple(ours)


def test_the_same_entry_sent_twice_is_logged_once(workshop: Workshop) -> None:
    first = workshop.log.add(a_logged_bend())
    assert workshop.log.add(a_logged_bend()) == first
    assert workshop.log.all() == (first,)


def test_the_same_bend_measured_twice_is_logged_twice(workshop: Workshop) -> None:
    workshop.log.add(a_logged_bend())
    workshop.log.add(a_logged_bend(entry_id="bend-1 after the nudge", angle_deg=90.0))
    assert [one.angle_deg for one in workshop.log.all() if isinstance(one, LoggedBend)] == [89.5, 90.0]


def test_another_measurement_under_an_entry_id_is_refused(workshop: Workshop) -> None:
    first = workshop.log.add(a_logged_bend())
    with pytest.raises(InputError, match="an id that no other measurement has"):
        workshop.log.add(a_logged_bend(angle_deg=90.0))
    assert workshop.log.all() == (first,)


def test_one_that_is_logged_already_is_not_added_again(workshop: Workshop) -> None:
    kept = workshop.log.add(a_logged_bend())
    with pytest.raises(ValueError, match="in the log already"):
        workshop.log.add(kept)


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"entry_id": ""}, "entry id"),
        ({"job": " "}, "job"),
        ({"piece": "lo\top"}, "piece"),
        ({"bend": 0}, "bend"),
        ({"bend": 10**30}, "bend"),
        ({"angle_deg": 0.0}, "angle"),
        ({"angle_deg": math.nan}, "angle"),
        ({"rotation_deg": 180.5}, "rotation"),
        ({"rotation_deg": math.nan}, "rotation"),
        ({"position_mm": -1.0}, "position"),
        ({"made_on": "2025-13-01"}, "made on"),
        ({"hand": "upper"}, "hand"),
        ({"number": 0}, "number"),
        ({"held": "C"}, "held"),
        ({"pulled_deg": 0.0}, "pulled to"),
        ({"angle_sd_deg": 0.0}, "finder"),
        ({"position_sd_mm": math.nan}, "tape"),
        ({"bender": "\0"}, "bender"),
    ],
)
def test_what_cannot_have_been_measured_is_refused(changes: dict[str, object], where: str) -> None:
    with pytest.raises(InputError) as refused:
        a_logged_bend(**changes)
    assert [fault.where for fault in refused.value.faults] == [where]


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"kind": "weight"}, ["kind", "places"]),
        ({"measured_to": "top"}, ["measured to"]),
        ({"length_mm": 0.0}, ["length"]),
        ({"length_mm": math.inf}, ["length"]),
        ({"to_place": None}, ["places"]),
        ({"to_place": 3}, ["places"]),
        ({"kind": "across", "from_place": 3, "to_place": 1}, ["places"]),
        ({"kind": "gap"}, ["places"]),
        ({"kind": "rock", "to_place": None, "length_mm": -1.0}, ["length"]),
        ({"kind": "rock", "to_place": None, "from_place": -1}, ["places"]),
        ({"kind": "height", "from_place": 0, "to_place": 2}, ["places"]),
        ({"kind": "height", "from_place": 2, "to_place": 2}, ["places"]),
        ({"sd_mm": 0.0}, ["tape"]),
        ({"piece": "", "number": -1}, ["piece", "number"]),
    ],
)
def test_a_size_that_cannot_have_been_measured_is_refused(changes: dict[str, object], where: list[str]) -> None:
    with pytest.raises(InputError) as refused:
        a_logged_size(**changes)
    assert sorted(fault.where for fault in refused.value.faults) == sorted(where)


def test_a_size_under_the_id_of_a_bend_is_refused(workshop: Workshop) -> None:
    workshop.log.add(a_logged_bend())
    with pytest.raises(InputError, match="an id that no other measurement has"):
        workshop.log.add(a_logged_size(entry_id="bend-1"))


def test_a_wrong_entry_is_struck_out_once_and_stays_readable(workshop: Workshop) -> None:
    wrong, right = workshop.log.add(a_logged_bend(angle_deg=98.0)), workshop.log.add(a_logged_bend(entry_id="right"))
    struck = workshop.log.strike_out("bend-1", "misread 98 for 89", "2025-03-13")
    assert struck == replace(wrong, struck=True, struck_because="misread 98 for 89")
    assert workshop.log.strike_out("bend-1", "said again", "2025-03-14") == struck
    assert workshop.log.of(wrong.job, "loop") == workshop.log.all() == (right,)
    assert workshop.log.all(struck=True) == (struck, right)
    assert workshop.log.numbered(1) == workshop.log.entry("bend-1") == struck
    assert workshop.log.numbered(7) is None


def test_an_entry_that_is_sent_again_after_it_was_struck_out_stays_struck_out(workshop: Workshop) -> None:
    workshop.log.add(a_logged_bend())
    struck = workshop.log.strike_out("bend-1", "wrong bar", "2025-03-13")
    assert workshop.log.add(a_logged_bend()) == struck
    assert workshop.log.all() == ()


def test_what_is_not_there_cannot_be_struck_out(workshop: Workshop) -> None:
    with pytest.raises(InputError) as refused:
        workshop.log.strike_out("never", " ", "soon")
    assert [fault.where for fault in refused.value.faults] == ["reason", "struck on", "entry id"]
    assert not workshop._database.connection.in_transaction


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE log SET angle_deg = 90",
        "DELETE FROM log",
        "UPDATE log_strikes SET reason = 'none'",
        "DELETE FROM log_strikes",
    ],
)
def test_the_database_itself_lets_nobody_change_it(workshop: Workshop, statement: str) -> None:
    kept = workshop.log.add(a_logged_bend())
    workshop.log.add(a_logged_bend(entry_id="wrong"))
    workshop.log.strike_out("wrong", "wrong bar", "2025-03-13")
    with closing(sqlite3.connect(workshop.path)) as other, pytest.raises(sqlite3.IntegrityError, match="stays"):
        other.execute(statement)
    assert workshop.log.all() == (kept,)


@pytest.mark.parametrize(
    "change", ["angle_deg = NULL", "length_mm = 3", "bend = NULL", "to_place = 2", "kind = 'gap'", "bender = NULL"]
)
def test_the_database_itself_takes_no_half_of_an_entry(workshop: Workshop, change: str) -> None:
    workshop.log.add(a_logged_bend())
    with closing(sqlite3.connect(workshop.path)) as other:
        other.execute("DROP TRIGGER log_stay_UPDATE")
        with pytest.raises(sqlite3.IntegrityError, match="CHECK"):
            other.execute(f"UPDATE log SET {change}")
