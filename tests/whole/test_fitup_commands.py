"""Fit-up at the terminal: before the first bend, and on a bar that is half made."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app

DEMO = Path(__file__).parents[2] / "src/bentwork/data/crate-shelf.toml"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BENTWORK_WORKSHOP", str(tmp_path / "workshop"))
    (tmp_path / "crate-shelf.toml").write_bytes(DEMO.read_bytes())


def run(*args: str) -> Result:
    return CliRunner().invoke(app, args)


def told(*args: str) -> dict[str, Any]:
    found = run(*args, "--json")
    assert found.exit_code in (0, 1), found.output
    document: dict[str, Any] = json.loads(found.stdout)
    return document


def test_fitup_tells_every_piece_that_is_bent() -> None:
    found = told("fitup", "crate-shelf")
    assert [piece["name"] for piece in found["pieces"]] == ["loop", "stay", "bracket"]
    for piece in found["pieces"]:
        good = piece["good"]
        assert 0.0 <= good["plan_alone"] <= 1.0
        assert sum(part["share"] for part in piece["shares"]) == pytest.approx(1.0)
    loop, stay, bracket = found["pieces"]
    assert all(0.0 < seam["share_of_strength"] < 1.0 for seam in loop["seams"])
    assert loop["onto_fixings"] is stay["onto_fixings"] is None
    assert bracket["onto_fixings"]["free_instead"][0]["along"] == "y"
    words = run("fitup", "crate-shelf").stdout
    assert "at most" in words
    assert "go onto left hook and right hook" in words
    assert "good by the plan alone" in words
    assert "no angle measured yet" in words


def test_the_hand_is_learnt_from_other_bars_of_the_same_kind() -> None:
    for number, over in enumerate((1.0, 0.4, 1.2, 0.8, 1.1, 0.9)):
        hand = "left" if number % 2 else "right"
        step = told("next", "crate-shelf", "stay", "--hand", hand)
        if step["step"] is None:
            break
        angle = f"{step['bend_to_deg'] - step['springback_deg'] + over:.2f}"
        pulled = f"{step['bend_to_deg']:.3f}"
        entry = ("log", "crate-shelf", "stay", "--hand", hand, "--bend", str(step["bend"]), "--angle", angle)
        assert run(*entry, "--pulled", pulled).exit_code in (0, 1)
    stay = next(piece for piece in told("fitup", "crate-shelf")["pieces"] if piece["name"] == "loop")
    assert stay["hand"]["angle_deg"]["bends"] == 2
    assert stay["hand"]["angle_deg"]["runs"] > 0.0


def test_mend_tells_the_same_next_step_as_next() -> None:
    run("log", "crate-shelf", "bracket", "--bend", "1", "--angle", "91.5", "--pulled", "92")
    found, step = told("mend", "crate-shelf", "bracket"), told("next", "crate-shelf", "bracket")
    assert found["bends"][0]["bend"] == step["bend"] == 2
    for key in ("mark_mm", "turn_deg", "bend_to_deg"):
        assert found["bends"][0][key] == pytest.approx(step[key])
    assert found["expected_gap_mm"] == step["expected_gap_mm"]
    assert "by the drawing from here on" in run("mend", "crate-shelf", "bracket").stdout


def test_next_keeps_to_the_contract() -> None:
    run("log", "crate-shelf", "loop", "--bend", "3", "--angle", "91.8")
    found = told("next", "crate-shelf", "loop")
    assert found["advice"] in ("carry on", "correct", "start again")
    assert all(set(one) == {"bend", "by_deg"} for one in found["correct"])
    assert found["expected_gap_mm"] > 0.0
    assert found["expected_gap_sd_mm"] > 0.0


def test_sizes_are_logged_and_what_cannot_be_is_refused() -> None:
    run("log", "crate-shelf", "bracket", "--bend", "1", "--angle", "90.5")
    assert run("log", "crate-shelf", "bracket", "--leg", "0-1=76", "--measured-to", "middle").exit_code == 0
    assert "leg 0 to 1" in run("log", "crate-shelf", "bracket").stdout
    for wrong in (("--leg", "1-2=40"), ("--gap", "1"), ("--leg", "0-3=70"), ("--across", "x"), ("--rock", "1")):
        found = run("log", "crate-shelf", "bracket", *wrong)
        assert found.exit_code == 2, wrong
        assert wrong[0] in found.stderr or wrong[0].lstrip("-") in found.stderr
    assert run("log", "crate-shelf", "bracket", "--gap", "1", "--bend", "2").exit_code == 2
