"""Commands from file to paper, as a maker would give them."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.piece.shapes import SHAPES

SKETCH = """\
# A rowlock bracket for a dinghy, typed by hand from a sketch.
format = 1
name = "Oar rest"
units = "mm"

[stock.rod]
section = "round"
diameter = 10
material = "304"
bar_length = 1000

[bender.lever]
kind = "wrap"
radius = 40
springback = 1.03

[piece.rest]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [150, 0, 0], [150, 120, 0], [150, 120, 100]]
trim = 10
"""


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    yield


def run(*words: str, input: str | None = None) -> Result:
    return CliRunner().invoke(app, list(words), input=input)


def job(text: str = SKETCH, name: str = "rest.toml") -> Path:
    path = Path(name)
    path.write_text(text, encoding="utf-8")
    return path


def as_json(*words: str) -> Any:  # noqa: ANN401  what JSON holds
    return json.loads(run(*words, "--json").stdout)


def test_a_job_typed_by_hand_is_planned() -> None:
    job()
    document = as_json("plan", "rest")
    assert document["format"] == 1
    assert document["job"] == "Oar rest"
    (piece,) = document["pieces"]
    assert (piece["name"], piece["stock"], piece["bender"], piece["closed"]) == ("rest", "rod", "lever", False)
    assert piece["straights_mm"] == pytest.approx([110, 40, 60])
    assert [b["number"] for b in piece["bends"]] == [1, 2]
    assert piece["bends"][0] == {"number": 1, "radius_mm": 40, "angle_deg": pytest.approx(90), "rotation_deg": 0}
    assert piece["bends"][1]["rotation_deg"] == pytest.approx(90)
    arc = 40 * 3.14159265358979 / 2
    assert piece["centreline_length_mm"] == pytest.approx(210 + 2 * arc)
    assert piece["cut_length_mm"] == pytest.approx(230 + 2 * arc)
    # 304: 7.9 g/cm3; 10 mm round is 78.54 mm2.
    assert piece["mass_kg"] == pytest.approx((210 + 2 * arc) * 78.5398 * 7.9e-6, rel=5e-3)
    assert piece["marks"][0]["start_mm"] == pytest.approx(120)
    assert piece["marks"][1]["start_mm"] == pytest.approx(160 + arc)
    assert piece["feasible"] is True
    one, two = piece["steps"]
    assert (one["held"], one["mark_mm"], one["turn_deg"]) == ("A", pytest.approx(120), 0)
    assert one["bend_to_deg"] == pytest.approx(92.7)
    assert one["springback_deg"] == pytest.approx(2.7)
    assert two["turn_deg"] == pytest.approx(-90)
    assert one["clearance_mm"] is None  # nothing is said to be known that is not


def test_check_and_plan_in_words() -> None:
    job()
    checked = run("check", "rest.toml")
    assert checked.exit_code == 0
    assert "2 note" in checked.stdout
    planned = run("plan", "rest.toml")
    assert planned.exit_code == 0
    assert "cut 355.5 mm with 10 mm spare on each end" in planned.stdout
    assert "\x1b[" not in planned.stdout


def test_a_stop_ends_with_status_1() -> None:
    job(SKETCH.replace("bar_length = 1000", "bar_length = 350"))
    done = run("plan", "rest", "--json")
    assert done.exit_code == 1
    document = json.loads(done.stdout)
    assert document["findings"][0]["code"] == "bar-too-short"
    assert document["pieces"][0]["feasible"] is False
    assert document["pieces"][0]["steps"] == []
    assert run("check", "rest").exit_code == 1


def test_faults_end_with_status_2_all_at_once_on_standard_error() -> None:
    job(
        SKETCH.replace("radius = 40", "raduis = 40")
        .replace("diameter = 10", "diameter = -10")
        .replace('"304"', '"340"')
    )
    done = run("plan", "rest")
    assert done.exit_code == 2
    assert done.stdout == ""
    for line, word in ((8, "-10"), (9, "304"), (14, "radius")):
        assert re.search(rf"line {line}\b.*{word}", done.stderr), done.stderr
    assert "Traceback" not in done.stderr


def test_faults_as_json_are_one_document() -> None:
    job(SKETCH.replace("points = [[0, 0, 0], [150, 0, 0],", "points = [[0, 0, 0], [10, 0, 0],"))
    done = run("plan", "rest", "--json")
    assert done.exit_code == 2
    document = json.loads(done.stdout)
    assert document["pieces"] == []
    (fault,) = document["errors"]
    assert fault["line"] == 20
    (finding,) = document["findings"]
    assert (finding["level"], finding["code"], finding["piece"]) == ("stop", "corner-too-close", "rest")
    assert "4.8 mm too little" in finding["why"]


@pytest.mark.parametrize("name", ["nowhere.toml", "nowhere", "."])
def test_a_job_that_is_not_there(name: str) -> None:
    for command in ("check", "plan", "paper"):
        done = run(command, name)
        assert done.exit_code == 2
        assert "Traceback" not in done.stderr
        assert done.stderr.strip()


def test_papers_of_a_job_typed_by_hand() -> None:
    job()
    done = run("paper", "rest")
    assert done.exit_code == 0, done.stderr
    names = sorted(path.name for path in Path("rest-papers").iterdir())
    assert {*names} >= {"angle-gauges.pdf", "full-size.pdf", "marking-strips.pdf", "shop-sheets.pdf"}
    assert "small-parts.pdf" not in names  # it has none
    assert all((Path("rest-papers") / name).read_bytes().startswith(b"%PDF") for name in names)


def test_only_some_papers_elsewhere() -> None:
    job()
    done = run("paper", "rest", "--only", "sheets", "--out", "bench", "--size", "letter")
    assert done.exit_code == 0
    assert [path.name for path in Path("bench").iterdir()] == ["shop-sheets.pdf"]


def test_papers_of_ours_are_replaced_and_those_of_the_maker_are_not() -> None:
    job()
    sheet = Path("rest-papers/shop-sheets.pdf")
    assert run("paper", "rest", "--only", "sheets").exit_code == 0
    first = sheet.read_bytes()
    job(SKETCH.replace("trim = 10", "trim = 20"))
    assert run("paper", "rest", "--only", "sheets").exit_code == 0
    second = sheet.read_bytes()
    assert second != first
    noted = second + b"% notes scribbled in a viewer\n"
    sheet.write_bytes(noted)
    done = run("paper", "rest", "--only", "sheets")
    assert done.exit_code == 2
    assert "shop-sheets.pdf" in done.stderr
    assert sheet.read_bytes() == noted
    assert run("paper", "rest", "--only", "sheets", "--force").exit_code == 0
    assert sheet.read_bytes() == second


def test_papers_into_a_place_that_is_a_file() -> None:
    job()
    Path("bench").write_text("mine")
    done = run("paper", "rest", "--out", "bench")
    assert done.exit_code == 2
    assert Path("bench").read_text() == "mine"


def test_a_faulty_job_writes_no_paper() -> None:
    job(SKETCH.replace("format = 1", "format = 7"))
    assert run("paper", "rest").exit_code == 2
    assert not Path("rest-papers").exists()


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("shape", list(SHAPES))
def test_every_shape_starts_a_job_that_can_be_planned(shape: str, units: str) -> None:
    done = run("new", "thing", "--from", shape, "--units", units)
    assert done.exit_code == 0, done.stderr
    assert "#" in Path("thing.toml").read_text()
    planned = run("plan", "thing", "--json")
    assert planned.exit_code == 0, planned.stdout
    document = json.loads(planned.stdout)
    assert document["pieces"]


def test_dimensions_of_a_shape_come_out_as_asked() -> None:
    assert run("new", "shelf", "--from", "loop", "--width", "412", "--depth", "12 in", "--upturn", "0").exit_code == 0
    (piece,) = as_json("plan", "shelf")["pieces"]
    assert piece["closed"] is True
    # Centreline 412 x 304.8 with four square corners of R 48: 2 (w + d) - 4 (2 - pi/2) R.
    assert piece["centreline_length_mm"] == pytest.approx(2 * (412 + 304.8) - 4 * (2 - 3.14159265 / 2) * 48, abs=1e-5)


def test_a_file_that_is_there_is_not_written_over() -> None:
    path = job("mine", "shelf.toml")
    done = run("new", "shelf", "--from", "loop")
    assert done.exit_code == 2
    assert path.read_text() == "mine"
    assert run("new", "shelf", "--from", "loop", "--force").exit_code == 0
    assert path.read_text() != "mine"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("new", "x", "--from", "lop"), "Did you mean loop"),
        (("new", "x"), "one of loop"),
        (("new", "--from", "loop"), "a name for the job"),
        (("new", "x", "--from", "hoop", "--depth", "30"), "a dimension of hoop"),
        (("new", "x", "--from", "loop", "--width", "wide"), "a length such as"),
        (("new", "x", "--from", "loop", "--width", "-5"), "or more"),
        (("new", "x", "--from", "loop", "--angle", "400"), "from 5 to 175"),
        (("new", "x", "--from", "ladder", "--crossbars", "2.5"), "whole number"),
        (("new", "x", "--from", "hoop", "--radius", "30"), "sets its own"),
        (("new", "x", "--from", "loop", "--units", "ells"), "mm or in"),
        (("new", "x", "--from", "loop", "--width", "60"), "no loop can be made of this"),
        (("new", "x", "--from", "hoop", "--width", "600", "--height", "200"), "no hoop can be made of this"),
        (("new", "x", "--from", "loop", "--material", "6082-T7"), "6082-T6"),
    ],
)
def test_wrong_words_are_told_and_nothing_is_written(words: tuple[str, ...], told: str) -> None:
    done = run(*words)
    assert done.exit_code == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert not list(Path().iterdir())


def test_new_alone_lists_the_shapes() -> None:
    done = run("new")
    assert done.exit_code == 0
    for shape in SHAPES:
        assert shape in done.stdout


def test_the_demo_makes_plans_and_prints() -> None:
    done = run("demo")
    assert done.exit_code == 0, done.stderr
    assert "bentwork-demo/crate-shelf.toml" in done.stdout.replace(os.sep, "/")
    made = {path.stem for path in Path("bentwork-demo/crate-shelf-papers").glob("*.pdf")}
    bent = {"shop-sheets", "marking-strips", "angle-gauges", "full-size"}
    assert made >= {*bent, "proof-load", "small-parts"}
    assert "benders" not in made
    assert run("demo").exit_code == 0  # twice is no fault
    changed = Path("bentwork-demo/crate-shelf.toml")
    changed.write_text(changed.read_text() + "# mine\n")
    assert run("demo").exit_code == 2
    assert changed.read_text().endswith("# mine\n")


def test_left_and_right_are_two_papers() -> None:
    text = SKETCH + 'mirror = true\nhand = "left"\n'
    job(text)
    (piece,) = as_json("plan", "rest")["pieces"]
    assert piece["bends"][1]["rotation_deg"] == pytest.approx(90)
    assert piece["opposite"]["bends"][1]["rotation_deg"] == pytest.approx(-90)
    assert piece["opposite"]["steps"][1]["turn_deg"] == pytest.approx(90)


def test_an_inch_job_is_told_in_inches() -> None:
    text = SKETCH.replace('units = "mm"', 'units = "in"').replace("diameter = 10", 'diameter = "3/8"')
    text = text.replace("bar_length = 1000", "bar_length = 36").replace("radius = 40", 'radius = "1 1/2"')
    text = text.replace(
        "points = [[0, 0, 0], [150, 0, 0], [150, 120, 0], [150, 120, 100]]\ntrim = 10",
        'points = [[0, 0, 0], [6, 0, 0], [6, "4 3/4", 0], [6, 4.75, 4]]\ntrim = "1/2"',
    )
    job(text)
    (piece,) = as_json("plan", "rest")["pieces"]
    assert piece["straights_mm"] == pytest.approx([4.5 * 25.4, 1.75 * 25.4, 2.5 * 25.4])
    told = run("plan", "rest").stdout
    assert "spare on each end" in told
    assert "1/2 in" in told
    assert "round 3/8 in" in told


def test_help_is_there_at_once_and_has_an_example() -> None:
    for command in ("new", "check", "plan", "paper", "demo"):
        done = run(command, "--help")
        assert done.exit_code == 0
        assert "Example: bentwork " + command in done.stdout


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys; sys.argv = ['bentwork', '--help']\n"
        "from bentwork.cli.main import app\n"
        "try:\n    app()\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'pydantic', 'typst', 'tomlkit', 'rich'} & set(sys.modules)\n"
        "sys.exit(f'loaded for help: {heavy}' if heavy else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_reader_that_goes_away_is_no_fault() -> None:
    job()
    command = f'"{sys.executable}" -m bentwork plan rest --json | head -c 1'
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr


def test_colours_only_where_they_are_wanted() -> None:
    job()
    env = {**os.environ, "NO_COLOR": "1", "TERM": "xterm-256color"}
    done = subprocess.run(
        [sys.executable, "-m", "bentwork", "check", "rest"], capture_output=True, text=True, check=False, env=env
    )
    assert "\x1b[" not in done.stdout


def test_a_name_with_quotes_in_it_is_a_name() -> None:
    done = run("new", 'the "big" one', "--from", "u")
    assert done.exit_code == 0, done.stderr
    assert as_json("plan", 'the "big" one')["job"] == 'the "big" one'
