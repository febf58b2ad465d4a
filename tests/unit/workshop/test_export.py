"""What other programs get to read."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from bentwork.workshop.export import csv_of_test_bends, json_of_everything
from bentwork.workshop.own_things import OwnBender
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_logged_bend, a_test_bend, fill


def test_test_bends_become_a_table() -> None:
    odd = a_test_bend(left_deg=0.1 + 0.2, bar_mm=None, mark_mm=None, note='slipped, "hard"\nagain; =1+1', batch="")
    text = csv_of_test_bends([a_test_bend(), odd])
    lines = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [line["left_deg"] for line in lines] == ["90.0", "0.30000000000000004"]
    assert lines[0]["stock_key"] == "round 12 6082-T6"
    assert (lines[0]["bar_mm"], lines[1]["bar_mm"], lines[1]["mark_mm"]) == ("300.0", "", "")
    assert lines[1]["note"] == odd.note
    assert text.startswith("id,stock_key,section,material,bender,radius_mm,batch,way,made_on,pulled_deg,left_deg,")


def test_a_table_without_test_bends_has_its_names() -> None:
    assert len(csv_of_test_bends([]).splitlines()) == 1


def test_those_struck_out_are_marked(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        fill(workshop)
        lines = list(csv.DictReader(io.StringIO(csv_of_test_bends(workshop.test_bends.all(struck=True)))))
    assert [(line["id"], line["struck"], line["struck_because"]) for line in lines] == [
        ("1", "0", ""),
        ("2", "1", "misread 60 for 90"),
    ]


def test_everything_becomes_one_document(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        fill(workshop)
        text = json_of_everything(workshop)
    document = json.loads(text)
    assert list(document) == ["format", "version", "materials", "benders", "stock", "test_bends", "log"]
    assert {name: len(part) for name, part in document.items() if isinstance(part, list)} == {
        "materials": 1,
        "benders": 1,
        "stock": 1,
        "test_bends": 2,
        "log": 3,
    }
    assert document["materials"][0]["table"]["elongation"] == {"value": 18, "source": "mill certificate"}
    assert document["benders"][0]["table"]["follower"]["radius"] == 18.5
    assert document["stock"][0]["bar_length_mm"] == 3000.0
    assert document["test_bends"][1]["struck_because"] == "misread 60 for 90"
    assert document["log"][0]["rotation_deg"] == -0.5
    assert document["log"][1]["length_mm"] == 312.5
    assert document["log"][2]["struck_because"] == "misread 98 for 89"


def test_an_empty_workshop_is_a_document_too(tmp_path: Path) -> None:
    with open_workshop(tmp_path) as workshop:
        assert json.loads(json_of_everything(workshop))["log"] == []


def test_it_all_is_of_one_moment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_workshop(tmp_path) as workshop, open_workshop(tmp_path) as other:
        ask = workshop.benders.all

        def meanwhile() -> tuple[OwnBender, ...]:
            other.log.add(a_logged_bend())
            return ask()

        monkeypatch.setattr(workshop.benders, "all", meanwhile)
        assert json.loads(json_of_everything(workshop))["log"] == []
        assert len(workshop.log.all()) == 1
