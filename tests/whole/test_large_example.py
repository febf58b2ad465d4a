"""The large example through every command: each has something to say of it, and every paper compiles."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.door.example import LARGE, example_bytes, remember_example

COMMANDS = ("check", "plan", "carry", "parts", "buy", "weld", "finish", "measure")
PAPERS = {
    "shop-sheets",
    "marking-strips",
    "angle-gauges",
    "full-size",
    "proof-load",
    "measuring",
    "small-parts",
    "brackets",
    "welding",
    "finish",
    "buying-list",
}


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BENTWORK_WORKSHOP", str(tmp_path / "workshop"))


def run(*words: str) -> Result:
    return CliRunner().invoke(app, words)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_says_something_and_as_data(tmp_path: Path, command: str) -> None:
    remember_example(tmp_path / "workshop", LARGE)
    Path(f"{LARGE}.toml").write_bytes(example_bytes(LARGE))
    told = run(command, LARGE, "--json")
    assert told.exit_code == 0, told.output
    assert json.loads(told.stdout)["job"]
    in_words = run(command, LARGE)
    assert in_words.exit_code == 0
    assert "Gear rack" in in_words.stdout


def test_the_demo_prints_every_paper_of_it() -> None:
    done = run("demo", "--job", LARGE)
    assert done.exit_code == 0, done.output
    assert {path.stem for path in Path(f"bentwork-demo/{LARGE}-papers").glob("*.pdf")} == PAPERS
    job = f"bentwork-demo/{LARGE}.toml"
    bound = run(
        "paper", job, "--only", "booklet", "--only", "benders", "--out", "bound", "--workshop", "bentwork-demo/workshop"
    )
    assert bound.exit_code == 0, bound.output
    assert {path.stem for path in Path("bound").glob("*.pdf")} == {"booklet", "benders"}
    assert all(path.read_bytes().startswith(b"%PDF") for path in Path("bound").glob("*.pdf"))
