"""``bentwork measure`` as a maker would give it."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from bentwork.cli.main import app
from bentwork.door.example import example_bytes
from tests.unit.files.measured_texts import BOAT


def test_what_is_told(tmp_path: Path) -> None:
    path = tmp_path / "boat.toml"
    path.write_text(BOAT, encoding="utf-8")
    told = CliRunner().invoke(app, ["measure", str(path), "--workshop", str(tmp_path / "none")])
    assert told.exit_code == 0, told.output
    for wanted in ("left lug: [", "Left against right", "Stay left brace", "pressed flat", "shed door", "lid: "):
        assert wanted in told.output, wanted


def test_json_says_the_same(tmp_path: Path) -> None:
    path = tmp_path / "boat.toml"
    path.write_text(BOAT, encoding="utf-8")
    told = CliRunner().invoke(app, ["measure", str(path), "--json", "--workshop", str(tmp_path / "none")])
    found = json.loads(told.output)
    assert found["measured"]["points"][1]["name"] == "left lug"
    assert found["measured"]["left_against_right"]["pairs"][0]["up_mm"] > 2.0
    assert found["measured"]["left_out"] == [8]
    assert found["stays"][0]["bends"] == 0
    assert found["keepouts"][0]["drawn"]["bar"] == "hoop"
    assert found["openings"][0]["spare_mm"] > 0.0


def test_a_stay_that_fouls_ends_with_status_1(tmp_path: Path) -> None:
    wall = '\n[keepout.wall]\nshape = "box"\nx = [150, 200]\ny = [-900, 900]\nz = [-900, 900]\n'
    path = tmp_path / "boat.toml"
    path.write_text(BOAT + wall, encoding="utf-8")
    told = CliRunner().invoke(app, ["measure", str(path), "--workshop", str(tmp_path / "none")])
    assert told.exit_code == 1
    assert "goes through wall" in told.output


def test_a_job_without_any(tmp_path: Path) -> None:
    path = tmp_path / "crate-shelf.toml"
    path.write_bytes(example_bytes())
    told = CliRunner().invoke(app, ["measure", str(path), "--workshop", str(tmp_path / "none")])
    assert told.exit_code == 0
    assert "there is no [measured], [stay.NAME]" in " ".join(told.output.split())
