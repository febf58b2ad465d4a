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
from bentwork.workshop.store import Workshop, open_workshop
from tests.unit.workshop.entries import a_logged_bend


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    with open_workshop(tmp_path) as opened:
        yield opened


def test_what_is_logged_is_there_the_next_time(tmp_path: Path) -> None:
    entries = [
        a_logged_bend(),
        a_logged_bend(entry_id="bend-2", bend=2, rotation_deg=-180.0, position_mm=312.5, hand="right", note="slipped"),
    ]
    with open_workshop(tmp_path) as workshop:
        kept = [workshop.log.add(entry) for entry in entries]
    with open_workshop(tmp_path) as workshop:
        assert workshop.log.all() == tuple(kept)
    assert [replace(one, id=None) for one in kept] == entries
    assert [one.id for one in kept] == [1, 2]


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
    assert [one.angle_deg for one in workshop.log.all()] == [89.5, 90.0]


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
    ],
)
def test_what_cannot_have_been_measured_is_refused(changes: dict[str, object], where: str) -> None:
    with pytest.raises(InputError) as refused:
        a_logged_bend(**changes)
    assert [fault.where for fault in refused.value.faults] == [where]


@pytest.mark.parametrize("statement", ["UPDATE log SET angle_deg = 90", "DELETE FROM log"])
def test_the_database_itself_lets_nobody_change_it(workshop: Workshop, statement: str) -> None:
    kept = workshop.log.add(a_logged_bend())
    with closing(sqlite3.connect(workshop.path)) as other, pytest.raises(sqlite3.IntegrityError, match="stays"):
        other.execute(statement)
    assert workshop.log.all() == (kept,)
