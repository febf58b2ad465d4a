"""``bentwork buy`` as a maker would give it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from tests.desk import NO_SHOP

EXTRA = """
[shop]
kerf = 2.5
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = tmp_path / "crate-shelf.toml"
    path.write_text(NO_SHOP + EXTRA, encoding="utf-8")
    return path


def ran(*words: str, workshop: Path) -> Result:
    return CliRunner().invoke(app, [*words, "--workshop", str(workshop)], catch_exceptions=False)


def document(path: Path, *words: str) -> dict[str, Any]:
    answer = ran("buy", str(path), "--json", *words, workshop=path.parent / "workshop")
    found: dict[str, Any] = json.loads(answer.stdout)
    return found


def test_in_words(shelf: Path) -> None:
    answer = ran("buy", str(shelf), "--weighed", "1.26", workshop=shelf.parent / "workshop")
    assert answer.exit_code == 0, answer.output
    for words in (
        "2 × 3000 mm",
        "round 12 mm, 6082-T6 (rod)",
        "1 × 2000 mm",
        "saw round 12 mm (rod)",
        "Nothing cheaper is possible",
        "weighed 1.26 kg, reckoned 1.25 kg",
        "that is as it should be",
        "Without a price",
    ):
        assert words in answer.stdout


def test_json(shelf: Path) -> None:
    found = document(shelf, "--weighed", "1.0")
    assert (found["format"], found["kerf_mm"]) == (1, 2.5)
    rod, strap = found["stocks"]
    assert (rod["stock"], rod["cost"], rod["bound"], rod["proven"], rod["gap"]) == ("rod", 29.0, 29.0, True, 0.0)
    assert strap["cost"] == 6.2
    cut = [one["name"] for bar in rod["bars"] for one in bar["cuts"] * bar["times"]]
    assert sorted(cut) == ["crossbar"] * 3 + ["loop"] + ["stay"] * 2 + ["test bend"] * 2
    for bar in rod["bars"]:
        used = sum(one["length_mm"] for one in bar["cuts"]) + 2.5 * len(bar["cuts"])
        assert bar["rest_mm"] == pytest.approx(3000 - used)
    assert found["price"] == pytest.approx(35.2)
    assert "filler 5356, TIG" in found["without_price"]
    assert found["weighed"]["difference_kg"] == pytest.approx(1.0 - found["frame"]["mass_kg"])
    assert found["weighed"]["agrees"] is False
    assert found["weighed"]["meanings"]


def test_spares_that_fit_up_advises(shelf: Path) -> None:
    found = document(shelf, "--spares")
    names = {one["name"]: one["count"] for one in found["stocks"][0]["lengths"]}
    assert names["loop, spare"] >= 1
    assert found["price"] > 35.2


def test_a_piece_longer_than_any_bar(shelf: Path) -> None:
    shelf.write_text(shelf.read_text("utf-8").replace("bar_length = 3000", "bar_length = 1500"), "utf-8")
    answer = ran("buy", str(shelf), workshop=shelf.parent / "workshop")
    assert answer.exit_code == 1
    assert "No bar of rod is long enough for loop." in answer.stdout


def test_wrong_words(shelf: Path) -> None:
    answer = ran("buy", str(shelf), "--weighed", "-1", workshop=shelf.parent / "workshop")
    assert answer.exit_code == 2
    assert "a mass above 0" in answer.output


def test_the_buying_list_as_a_paper(shelf: Path) -> None:
    out = shelf.parent / "papers"
    answer = ran("paper", str(shelf), "--only", "buying", "--out", str(out), workshop=shelf.parent / "workshop")
    assert answer.exit_code == 0, answer.output
    assert (out / "buying-list.pdf").read_bytes().startswith(b"%PDF")


def test_tables_for_a_spreadsheet(shelf: Path) -> None:
    out = shelf.parent / "tables"
    answer = ran("export", str(shelf), "--only", "csv", "--out", str(out), workshop=shelf.parent / "workshop")
    assert answer.exit_code == 0, answer.output
    lines = (out / "cuts.csv").read_text("utf-8-sig").splitlines()
    assert lines[0].startswith('stock,bar,"bar length, mm",offcut,cut alike,piece')
    assert sum(",loop," in line for line in lines) == 1
    bought = (out / "buying.csv").read_text("utf-8-sig").splitlines()
    assert "bar,rod,2,bars,3000" in bought[1]


def test_an_offcut_on_the_rack_is_used_by_every_job_of_its_kind(shelf: Path) -> None:
    workshop = shelf.parent / "workshop"
    put = ran("workshop", "offcut", str(shelf), "rod", "820", "--count", "2", workshop=workshop)
    assert put.exit_code == 0, put.output
    assert "2 of 820 mm, rod" in put.stdout
    assert "2 of 820 mm" in ran("workshop", "show", workshop=workshop).stdout
    rod, strap = document(shelf)["stocks"]
    assert any(bar["offcut"] and bar["length_mm"] == 820 for bar in rod["bars"])
    assert not any(bar["offcut"] for bar in strap["bars"])
    assert rod["cost"] == 14.5
    gone = ran("workshop", "offcut", str(shelf), "rod", "820", "--count", "2", "--gone", workshop=workshop)
    assert "0 of 820 mm" in gone.stdout
    assert document(shelf)["stocks"][0]["cost"] == 29.0
    none = ran("workshop", "offcut", str(shelf), "rod", "820", "--gone", workshop=workshop)
    assert none.exit_code == 2
    assert "none of rod is there" in none.output
    wrong = ran("workshop", "offcut", str(shelf), "mast", "long", workshop=workshop)
    assert wrong.exit_code == 2
    assert "a stock of the job: rod, strap" in wrong.output
    assert "a length such as" in wrong.output
