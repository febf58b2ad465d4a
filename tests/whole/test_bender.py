"""``bentwork bender`` and the paper of a job's benders, as a maker would ask for them."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.tooling.archetypes import ARCHETYPES
from tests.whole.test_commands import SKETCH


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    yield


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def job(text: str = SKETCH, name: str = "rest.toml") -> Path:
    path = Path(name)
    path.write_bytes(text.encode())
    return path


def test_alone_it_lists_the_kinds() -> None:
    done = run("bender")
    assert done.exit_code == 0
    for archetype in ARCHETYPES.values():
        assert archetype.says in done.stdout


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", list(ARCHETYPES))
def test_what_is_printed_can_be_appended_to_a_job(name: str, units: str) -> None:
    done = run("bender", name, "--name", "other", "--units", units)
    assert done.exit_code == 0, done.stderr
    path = job(f'format = 1\nunits = "{units}"\n')
    with path.open("a") as file:
        file.write(done.stdout)
    assert run("check", "rest").exit_code == 0
    table = tomllib.loads(done.stdout)["bender"]["other"]
    assert table["kind"] == ARCHETYPES[name].kind
    for line in done.stdout.splitlines():
        assert "=" not in line.split("#")[0] or "#" in line  # a comment at every size


def test_sizes_come_out_as_asked() -> None:
    table = tomllib.loads(
        run("bender", "plate-roller", "--radius", "2 in", "--diameter", "12", "--hand", "right").stdout
    )
    lever = table["bender"]["lever"]
    assert (lever["radius"], lever["hand"], lever["hook"]["length"]) == (50.8, "right", 30)


def test_into_a_job_every_other_character_stays() -> None:
    text = SKETCH.replace("\n", "\r\n").rstrip("\r\n") + "  # the last line"
    path = job(text)
    done = run("bender", "ram", "--name", "press", "--radius", "60", "--into", "rest")
    assert done.exit_code == 0, done.stderr
    after = path.read_bytes().decode()
    assert after.startswith(text)
    assert after.count("\n") == after.count("\r\n")
    assert set(tomllib.loads(after)["bender"]) == {"lever", "press"}
    assert run("check", "rest").exit_code == 0


def test_into_a_job_in_inches_it_is_in_inches() -> None:
    path = job('format = 1\nunits = "in"\n')
    assert run("bender", "plate-roller", "--radius", "2", "--diameter", "1/2", "--into", "rest.toml").exit_code == 0
    assert tomllib.loads(path.read_text())["bender"]["lever"]["radius"] == 2
    assert tomllib.loads(path.read_text())["bender"]["lever"]["die"]["thickness"] == 1


def test_a_faulty_job_takes_a_bender_too() -> None:
    path = job(SKETCH.replace('[bender.lever]\nkind = "wrap"\nradius = 40\nspringback = 1.03\n', ""))
    assert run("check", "rest").exit_code == 2  # its piece names a bender that is not there
    assert run("bender", "lever-shoe", "--radius", "40", "--diameter", "10", "--into", "rest").exit_code == 0
    assert run("check", "rest").exit_code == 0, path.read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("plate",), "Did you mean plate-roller"),
        (("anvil",), "one of lever-shoe"),
        (("ram", "--radius", "5"), "more than half of the bar, 6 mm"),
        (("ram", "--radius", "wide"), "a length such as"),
        (("ram", "--diameter", "-12"), "a length from 0.5 mm"),
        (("ram", "--hand", "both"), "left or right"),
        (("ram", "--units", "ells"), "mm or in"),
        (("ram", "--name", " x"), "a name of up to 60"),
        (("ram", "--into", "nowhere"), "no such file"),
        (("ram", "--into", "rest"), "a name that is not taken"),
        (("ram", "--name", "x", "--units", "in", "--into", "rest"), "the units of rest.toml"),
        (("--into", "rest"), "one of lever-shoe"),
        (("ram", "--name", "x", "--into", "broken"), "line 1"),
    ],
)
def test_wrong_words_are_told_and_nothing_is_written(words: tuple[str, ...], told: str) -> None:
    path, broken = job(), job("this is no job", "broken.toml")
    done = run("bender", *words)
    assert done.exit_code == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
    assert path.read_text() == SKETCH
    assert broken.read_text() == "this is no job"


def test_everything_that_is_wrong_is_told_at_once() -> None:
    done = run("bender", "anvil", "--radius", "x", "--diameter", "y", "--hand", "up", "--units", "ells", "--name", ".")
    assert done.exit_code == 2
    for option in ("ARCHETYPE", "--radius", "--diameter", "--hand", "--units", "--name"):
        assert option in done.stderr


@pytest.mark.parametrize(("units", "size"), [("mm", "letter"), ("in", "a4")])
def test_the_paper_of_the_benders(size: str, units: str) -> None:
    job(f'format = 1\nunits = "{units}"\n')
    for name in ARCHETYPES:
        assert run("bender", name, "--name", name, "--into", "rest").exit_code == 0
    done = run("paper", "rest", "--only", "benders", "--size", size)
    assert done.exit_code == 0, done.stderr
    pdf = Path("rest-papers/benders.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
    assert b"/Count 6/" in pdf  # pages: one for each


def test_benders_are_drawn_only_on_request_and_stay_until_then() -> None:
    job()
    assert run("paper", "rest").exit_code == 0
    usual = set(Path("rest-papers").iterdir())
    assert Path("rest-papers/benders.pdf") not in usual
    assert run("paper", "rest", "--only", "benders").exit_code == 0
    assert set(Path("rest-papers").iterdir()) == usual | {Path("rest-papers/benders.pdf")}
    assert run("paper", "rest").exit_code == 0
    assert Path("rest-papers/benders.pdf").exists()


def test_a_job_without_a_bender_has_no_such_paper() -> None:
    job("format = 1\n")
    done = run("paper", "rest", "--only", "benders")
    assert done.exit_code == 0
    assert "no bender" in done.stderr
    assert not Path("rest-papers").exists()


def test_new_gives_sizes_to_start_from_that_nothing_is_planned_with() -> None:
    assert run("new", "shelf", "--from", "loop").exit_code == 0
    text = Path("shelf.toml").read_text()
    assert "# hook = { starts_behind" in text
    assert set(tomllib.loads(text)["bender"]["lever"]) == {"kind", "radius"}
    lines = [
        line[2:] if line.startswith(("# die =", "# hook =", "# follower =", "# arm =", "# plate =")) else line
        for line in text.splitlines()
    ]
    Path("shelf.toml").write_text("\n".join(lines))
    assert set(tomllib.loads(Path("shelf.toml").read_text())["bender"]["lever"]) >= {
        "die",
        "hook",
        "follower",
        "arm",
        "plate",
    }
    assert run("plan", "shelf", "--json").exit_code in (0, 1)
    assert json.loads(run("plan", "shelf", "--json").stdout)["pieces"]
