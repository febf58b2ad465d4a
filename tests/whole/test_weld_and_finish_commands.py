"""``bentwork weld``, ``bentwork finish`` and brackets at the terminal, on paper and as DXF."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.door.example import example_bytes
from tests.brackets import bracket_job
from tests.unit.jobs.test_welding_plan import TROLLEY


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("crate-shelf.toml").write_bytes(example_bytes())
    Path("trolley.toml").write_text(TROLLEY + '\n[finish]\nsystem = "powder"\n', encoding="utf-8")
    holes = (
        "{ along = 20, diameter = 'M6' }, { along = 62, diameter = 5 }, "
        "{ side = 2, along = 60, diameter = 6, slot = 20 }"
    )
    Path("oar.toml").write_text(bracket_job(holes), encoding="utf-8")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, [*arguments, "--workshop", "nobody"])


def test_weld() -> None:
    done = run("weld", "crate-shelf")
    assert done.exit_code == 0, done.stderr
    for words in (
        "1: the seam of loop, top",
        "5356",
        "below 100 °C",
        "spacers of 88 mm",
        "helmet",
        "licensed practice",
    ):
        assert words in done.stdout, words


def test_weld_as_json() -> None:
    done = run("weld", "crate-shelf", "--json")
    found = json.loads(done.stdout)
    assert [one["number"] for one in found["order"]] == list(range(1, 10))
    assert found["order"][0]["sort"] == "seam"
    assert found["metals"][0]["most_interpass_c"] == 100.0
    assert found["spacers"][0]["between_mm"] == pytest.approx([88.0, 88.0])
    assert found["seams"][0]["side"] == 1


def test_finish() -> None:
    done = run("finish", "crate-shelf")
    assert done.exit_code == 0, done.stderr
    for words in ("Etch primer", "Sa 2 1/2", "Mask before", "barrier paste", "Dust of aluminium"):
        assert words in done.stdout, words


def test_finish_as_json_stops_a_closed_tube() -> None:
    done = run("finish", "trolley", "--json")
    assert done.exit_code == 1
    found = json.loads(done.stdout)
    assert found["system"] == "powder"
    assert {one["code"] for one in found["findings"] if one["level"] == "stop"} == {"closed-tube"}
    assert {one["bar"] for one in found["vents"]} == {"rung 1", "rung 2", "rung 3"}


def test_a_file_that_is_not_there() -> None:
    for command in ("weld", "finish"):
        done = run(command, "nowhere")
        assert done.exit_code == 2
        assert "Traceback" not in done.stderr


def test_brackets_in_the_plan() -> None:
    done = run("plan", "oar")
    assert "AFTER bending: 5.5 mm from bend 1, 7.4 mm wanted" in done.stdout
    found = json.loads(run("plan", "oar", "--json").stdout)
    (bracket,) = found["brackets"]
    assert [hole["after_bending"] for hole in bracket["holes"]] == [False, True, False]
    assert [hole["from_end_a_mm"] for hole in bracket["holes"]][:2] == pytest.approx([20.0, 62.0])
    assert bracket["flat_mm"][0] == found["pieces"][0]["cut_length_mm"]
    assert bracket["steps"][0]["stroke_mm"] > 0.0
    assert bracket["steps"][0]["push_n"] > 0.0
    assert "brackets" not in json.loads(run("plan", "crate-shelf", "--json").stdout)  # its bracket has no holes


def entities(path: Path) -> list[dict[str, list[str]]]:
    """Entities of a DXF drawing, values by group code: by the format's public reference, 0 begins an entity."""
    lines = path.read_text(encoding="ascii").splitlines()
    pairs = [(code.strip(), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]
    start = pairs.index(("2", "ENTITIES")) + 1
    found: list[dict[str, list[str]]] = []
    for code, value in pairs[start:]:
        if code == "0":
            found.append({})
        found[-1].setdefault(code, []).append(value)
    return found


def test_the_flat_as_dxf() -> None:
    assert run("export", "oar", "--only", "dxf", "--out", "models").exit_code == 0
    drawn = entities(Path("models/bracket-flat.dxf"))
    rings = [one for one in drawn if one["0"] == ["CIRCLE"]]
    assert [one["8"] for one in rings] == [["HOLES"], ["HOLES-AFTER"]]
    assert [float(one["40"][0]) for one in rings] == [3.3, 2.5]
    assert [float(one["10"][0]) for one in rings] == pytest.approx([20.0, 62.0])
    assert [float(one["20"][0]) for one in rings] == [0.0, 0.0]
    arcs = [one for one in drawn if one["0"] == ["ARC"]]
    assert [float(one["40"][0]) for one in arcs] == [3.0, 3.0]
    first, second = (float(one["10"][0]) for one in arcs)
    assert second - first == pytest.approx(14.0)  # 20 less the width of the slot
    assert {one["8"][0] for one in drawn if one["0"] == ["LINE"]} >= {"BEND-UP", "MIDDLE", "CENTRES", "HOLES"}


def test_papers() -> None:
    done = run("paper", "oar", "--only", "brackets", "--only", "welding", "--only", "finish", "--out", "bench")
    assert done.exit_code == 0, done.stderr
    names = {path.name for path in Path("bench").iterdir()}
    assert names == {"brackets.pdf", "finish.pdf"}  # nothing is welded
    done = run("paper", "crate-shelf", "--only", "welding", "--out", "shelf")
    assert [path.name for path in Path("shelf").iterdir()] == ["welding.pdf"]
