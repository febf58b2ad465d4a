"""Test bends in the workshop: added for good, struck out, found again."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.bending.stock_key import StockKey
from bentwork.errors import InputError, WorkshopError
from bentwork.stock.section import Round, SquareTube
from bentwork.workshop.export import json_of_everything
from bentwork.workshop.store import Workshop, open_workshop
from tests.unit.workshop.entries import ROD, a_test_bend


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    with open_workshop(tmp_path) as opened:
        yield opened


@pytest.fixture(scope="module")
def lasting(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    with open_workshop(tmp_path_factory.mktemp("workshop")) as opened:
        yield opened


def test_they_come_back_in_the_order_of_entry(workshop: Workshop) -> None:
    first = workshop.test_bends.add(a_test_bend(made_on="2025-03-14"))
    second = workshop.test_bends.add(a_test_bend(made_on="2025-03-12"))
    assert (first.id, second.id) == (1, 2)
    assert workshop.test_bends.all() == (first, second)
    assert replace(first, id=None) == a_test_bend(made_on="2025-03-14")


@given(
    pulled=st.floats(1e-6, 359.0),
    share=st.floats(0.01, 1.0),
    mark=st.none() | st.floats(0.001, 299.0),
    shift=st.none() | st.floats(-1e4, 1e4),
    note=st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")),
)
def test_every_digit_and_letter_comes_back(
    lasting: Workshop, pulled: float, share: float, mark: float | None, shift: float | None, note: str
) -> None:
    bend = a_test_bend(
        pulled_deg=pulled,
        left_deg=pulled * share,
        bar_mm=None,
        mark_mm=mark,
        held_leg_mm=None,
        free_leg_mm=None,
        start_shift_mm=shift,
        note=note,
        way="hard",
        legs_to="middle",
        stock_key=StockKey(SquareTube(40.0, 20.0, 1.5, 2.25), "S235"),
        tape_sd_mm=0.1 + 0.2,
        gauge_sd_deg=1 / 3,
    )
    kept = lasting.test_bends.add(bend)
    assert lasting.test_bends.all()[-1] == kept
    assert replace(kept, id=None) == bend


def test_those_of_a_bar_on_a_bender_are_found(workshop: Workshop) -> None:
    add = workshop.test_bends.add
    ours = [add(a_test_bend()), add(a_test_bend(batch="April"))]
    add(a_test_bend(bender="big ram"))
    add(a_test_bend(stock_key=StockKey(Round(12.0), "6082-T4")))
    add(a_test_bend(stock_key=StockKey(Round(12.5), "6082-T6")))
    workshop.test_bends.strike_out(add(a_test_bend()).id or 0, "gauge on the wrong face", "2025-03-12")
    assert workshop.test_bends.of(ROD, "lever") == tuple(ours)
    assert workshop.test_bends.of(ROD, "nobody's") == ()


def test_one_that_was_read_twice_says_so_for_good(workshop: Workshop) -> None:
    first = workshop.test_bends.add(a_test_bend())
    number = first.id or 0
    assert not first.sure
    assert workshop.test_bends.read_twice(number, "2025-03-13") == replace(first, sure=True)
    assert workshop.test_bends.read_twice(number, "2025-03-14") == replace(first, sure=True)  # once more does no harm
    assert workshop.test_bends.all() == (replace(first, sure=True),)
    assert json.loads(json_of_everything(workshop))["test_bends"][0]["read_twice"] == 1
    for wrong in (99, -1, 2**70):
        with pytest.raises(InputError, match="the number of a test bend"):
            workshop.test_bends.read_twice(wrong, "2025-03-13")
    workshop.test_bends.strike_out(number, "slipped", "2025-03-15")
    with pytest.raises(InputError, match="struck out: slipped"):
        workshop.test_bends.read_twice(number, "2025-03-16")


def test_one_struck_out_stays_with_its_reason(workshop: Workshop) -> None:
    kept = [workshop.test_bends.add(a_test_bend(left_deg=left)) for left in (90.0, 60.0, 90.5)]
    struck = workshop.test_bends.strike_out(2, " misread 60 for 90 ", "2025-03-13")
    assert struck == replace(kept[1], struck=True, struck_because="misread 60 for 90")
    assert workshop.test_bends.all() == (kept[0], kept[2])
    assert workshop.test_bends.all(struck=True) == (kept[0], struck, kept[2])


def test_striking_out_wants_one_that_counts_a_reason_and_a_day(workshop: Workshop) -> None:
    workshop.test_bends.add(a_test_bend())
    for number in (2, 0, -1, 2**70):
        with pytest.raises(InputError, match="number of a test bend that is there"):
            workshop.test_bends.strike_out(number, "misread", "2025-03-13")
    with pytest.raises(InputError) as refused:
        workshop.test_bends.strike_out(1, " ", "tomorrow")
    assert [fault.where for fault in refused.value.faults] == ["reason", "struck on"]
    assert len(workshop.test_bends.all()) == 1
    workshop.test_bends.strike_out(1, "misread", "2025-03-13")
    with pytest.raises(InputError, match="struck out already: misread"):
        workshop.test_bends.strike_out(1, "again", "2025-03-13")


def test_the_same_entry_sent_twice_is_kept_once(workshop: Workshop) -> None:
    first = workshop.test_bends.add(a_test_bend(), entry_id="phone-7")
    assert workshop.test_bends.add(a_test_bend(), entry_id="phone-7") == first
    struck = workshop.test_bends.strike_out(first.id or 0, "slipped", "2025-03-12")
    assert workshop.test_bends.add(a_test_bend(), entry_id="phone-7") == struck
    assert len(workshop.test_bends.all(struck=True)) == 1


def test_two_alike_without_an_entry_id_are_two(workshop: Workshop) -> None:
    assert workshop.test_bends.add(a_test_bend()) != workshop.test_bends.add(a_test_bend())


def test_another_bend_under_an_entry_id_is_refused(workshop: Workshop) -> None:
    first = workshop.test_bends.add(a_test_bend(), entry_id="phone-7")
    with pytest.raises(InputError, match="an id that no other test bend has"):
        workshop.test_bends.add(a_test_bend(left_deg=89.0), entry_id="phone-7")
    with pytest.raises(InputError, match="entry id: found nothing"):
        workshop.test_bends.add(a_test_bend(), entry_id="")
    assert workshop.test_bends.all() == (first,)


def test_one_that_is_kept_already_is_not_added_again(workshop: Workshop) -> None:
    kept = workshop.test_bends.add(a_test_bend())
    with pytest.raises(ValueError, match="in the workshop already"):
        workshop.test_bends.add(kept)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE test_bends SET left_deg = 1",
        "DELETE FROM test_bends",
        "INSERT OR REPLACE INTO test_bends SELECT * FROM test_bends",
        "UPDATE strikes SET reason = 'none'",
        "DELETE FROM strikes",
    ],
)
def test_the_database_itself_lets_nobody_change_them(workshop: Workshop, statement: str) -> None:
    kept = workshop.test_bends.add(a_test_bend())
    workshop.test_bends.strike_out(kept.id or 0, "slipped", "2025-03-12")
    before = workshop.test_bends.all(struck=True)
    with closing(sqlite3.connect(workshop.path)) as other:
        other.execute("PRAGMA recursive_triggers = ON")
        with pytest.raises(sqlite3.IntegrityError, match="what was measured stays"):
            other.execute(statement)
    assert workshop.test_bends.all(struck=True) == before


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("left_deg", 93.5),
        ("left_deg", -1.0),
        ("left_deg", "ninety"),
        ("pulled_deg", 360.0),
        ("pulled_deg", None),
        ("bar_mm", 0.0),
        ("bar_mm", 119.0),
        ("made_on", "yesterday"),
        ("section", "rail 12"),
        ("bender", " "),
        ("way", "both"),
        ("tape_sd_mm", 0.0),
        ("entry_id", ""),
    ],
)
def test_the_database_itself_takes_nothing_impossible(workshop: Workshop, column: str, value: object) -> None:
    workshop.test_bends.add(a_test_bend())
    with closing(sqlite3.connect(workshop.path)) as other:
        names = [row[1] for row in other.execute("PRAGMA table_info(test_bends)") if row[1] not in ("id", "entry_id")]
        other.execute(f"INSERT INTO test_bends ({', '.join(names)}) SELECT {', '.join(names)} FROM test_bends")
        changed = ", ".join("?" if name == column else name for name in names)
        names, changed = ([*names, column], f"{changed}, ?") if column not in names else (names, changed)
        with pytest.raises(sqlite3.IntegrityError):
            other.execute(f"INSERT INTO test_bends ({', '.join(names)}) SELECT {changed} FROM test_bends", (value,))


def test_an_entry_of_another_hand_that_makes_no_sense_is_told(workshop: Workshop) -> None:
    workshop.test_bends.add(a_test_bend())
    with closing(sqlite3.connect(workshop.path)) as other:
        names = [row[1] for row in other.execute("PRAGMA table_info(test_bends)") if row[1] not in ("id", "entry_id")]
        changed = ", ".join("'tube 12x6'" if name == "section" else name for name in names)
        other.execute(f"INSERT INTO test_bends ({', '.join(names)}) SELECT {changed} FROM test_bends")
        other.commit()
    with pytest.raises(WorkshopError, match=r"makes no sense.*tube 12x6.*leaves no hole"):
        workshop.test_bends.all()
