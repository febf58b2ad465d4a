"""Bentwork as it is installed by itself: without the optional CAD kernel everything works but STEP, and that is told.

An environment made of requirements/run.txt alone, which has no kernel, was walked through when this was written. Here
the kernel is there, and Python is told that it is not: a module that is None cannot be found nor imported.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from tests.desk import at_desk
from tests.unit.takeoff.test_lists_of_points import dxf, entity

STEP = "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n"
DRAWING = dxf(entity("LINE", c8="0", c10=0, c20=0, c30=0, c11=300, c21=0, c31=0))
JOB = """\
format = 1
name = "Hand cart"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[piece.rail]
stock = "rod"
takeoff = { file = "FILE", solid = 1 }
"""


@pytest.fixture(autouse=True)
def _no_kernel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "OCP", None)
    monkeypatch.chdir(tmp_path)
    Path("cart.step").write_text(STEP, encoding="ascii")
    Path("cart.dxf").write_text(DRAWING, encoding="ascii")
    Path("cart.csv").write_text("x,y,z\n0,0,0\n100,0,0\n", encoding="ascii")
    Path("of-step.toml").write_text(JOB.replace("FILE", "cart.step"), encoding="utf-8")
    Path("of-dxf.toml").write_text(JOB.replace("FILE", "cart.dxf"), encoding="utf-8")


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def test_a_step_file_is_refused_with_what_to_install_and_nothing_is_written() -> None:
    for more in ((), ("--job", "new.toml"), ("--report", "new.html")):
        done = run("takeoff", "cart.step", *more)
        assert (done.exit_code, done.stdout) == (2, "")
        assert "no CAD kernel here" in done.stderr
        assert "bentwork[cad]" in done.stderr
        assert "Traceback" not in done.stderr
    assert not Path("new.toml").exists()
    assert not Path("new.html").exists()
    told = run("takeoff", "cart.step", "--json")
    assert told.exit_code == 2
    assert "bentwork[cad]" in json.dumps(json.loads(told.stdout))


@pytest.mark.parametrize("model", ["cart.dxf", "cart.csv"])
def test_drawings_and_tables_are_read(model: str) -> None:
    done = run("takeoff", model, "--job", "new.toml")
    assert done.exit_code == 0, done.stderr
    assert "1 piece" in done.stdout
    assert Path("new.toml").exists()


@pytest.mark.parametrize("command", ["plan", "check", "export"])
def test_a_job_that_takes_a_piece_from_a_step_file_says_what_is_missing_and_where(command: str) -> None:
    done = run(command, "of-step")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "line 11, piece.rail.takeoff.file" in done.stderr
    assert "bentwork[cad]" in done.stderr


def test_a_job_that_takes_a_piece_from_a_drawing_is_worked_out_and_exported_but_for_step() -> None:
    assert run("plan", "of-dxf").exit_code == 0
    done = run("export", "of-dxf")
    assert done.exit_code == 0, done.stderr
    assert done.stderr.count("bentwork[cad]") == 1
    kinds = {Path(line).suffix for line in done.stdout.splitlines()}
    assert kinds == {".csv", ".dxf", ".glb", ".stl", ".svg"}


def test_the_page_says_so_before_and_after_a_step_file_is_dropped_on_it(tmp_path: Path) -> None:
    desk = at_desk(tmp_path / "desk")
    assert desk.client.get("/api/library").json()["cad"] is False
    assert desk.job()["scene"][0]["mesh"]
    name = desk.client.post("/api/takeoff", params={"file": "cart.step"}, content=STEP.encode()).json()["id"]
    told: dict[str, Any] = {"state": "reading"}
    for _ in range(2000):
        told = desk.client.get(f"/api/takeoff/{name}").json()
        if told["state"] != "reading":
            break
        time.sleep(0.05)
    assert told["state"] == "refused"
    assert "bentwork[cad]" in json.dumps(told)
    made = desk.client.get("/api/jobs/crate-shelf/models/step")
    assert made.status_code >= 400
    assert "bentwork[cad]" in made.json()["errors"][0]["says"]
    assert desk.client.get("/api/jobs/crate-shelf/models/glb").status_code == 200
